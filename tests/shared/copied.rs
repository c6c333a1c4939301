//! Copies of the demo, each in a folder that a repository is taken to begin in.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use tempfile::TempDir;

use super::kept::Kept;

static PLANS: LazyLock<Kept> =
    LazyLock::new(|| Kept::of(&Path::new(env!("CARGO_MANIFEST_DIR")).join("plans")));

/// One for a test alone, in `plans`.
pub fn demo() -> TempDir {
    let folder = super::scratch::folder().unwrap();
    lay_into(folder.path());
    folder
}

/// One for all tests, in `plans`, which nothing is written to. In this repository itself the program lists the
/// compiler's files as well, some ten thousand of them, each time.
pub fn unchanged() -> &'static Path {
    static AT: LazyLock<PathBuf> = LazyLock::new(|| {
        let within = Path::new(env!("CARGO_TARGET_TMPDIR"));
        let at = within.join(format!("demo-{}", &PLANS.digest()[..16]));
        if !at.is_dir() {
            let made = tempfile::tempdir_in(within).unwrap();
            lay_into(made.path());
            // It fails where another process was quicker.
            let _ = std::fs::rename(made.path(), &at);
        }
        assert!(at.join("plans/policy").is_dir());
        at
    });
    &AT
}

fn lay_into(folder: &Path) {
    PLANS.lay_into(&folder.join("plans"));
    std::fs::create_dir(folder.join(".git")).unwrap();
}
