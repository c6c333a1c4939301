//! A copy of the demo in a folder of its own, which a repository is taken to begin in.

use std::sync::LazyLock;

use tempfile::TempDir;

use super::kept::Kept;

pub fn demo() -> TempDir {
    static PLANS: LazyLock<Kept> = LazyLock::new(|| Kept::of("plans".as_ref()));
    let folder = super::scratch::folder().unwrap();
    PLANS.lay_into(&folder.path().join("plans"));
    std::fs::create_dir(folder.path().join(".git")).unwrap();
    folder
}
