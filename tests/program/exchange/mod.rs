//! Routes out of plans and into them, and data of others brought into files: what is written is read by readers that are not ours, what
//! is read comes from files that nobody vouches for.

mod gaps;
mod imports;
mod official;
mod readers;
mod refused;
mod round;
mod swapped;

use std::path::Path;
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// A copy of the demo's shared files with some of its missions.
struct Folder(TempDir);

impl Folder {
    fn of(missions: &[&str]) -> Self {
        let folder = Self(crate::shared::scratch::folder().unwrap());
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
        let shared = [
            "vessels/goosander.yaml",
            "site/quenderby.yaml",
            "site/quenderby-shoreline.geojson",
            "site/quenderby-soundings.geojson",
            "policy/team.yaml",
            "orders/from-the-slip.yaml",
            "orders/from-the-dam.yaml",
        ];
        let missions = missions.iter().map(|id| format!("missions/{id}.yaml"));
        for path in shared.map(str::to_owned).into_iter().chain(missions) {
            folder.write(&path, std::fs::read(root.join(&path)).unwrap());
        }
        folder.write(".git/HEAD", "");
        folder
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn write(&self, path: &str, bytes: impl AsRef<[u8]>) {
        let at = self.path().join(path);
        std::fs::create_dir_all(at.parent().unwrap()).unwrap();
        std::fs::write(at, bytes).unwrap();
    }

    fn read(&self, path: &str) -> String {
        std::fs::read_to_string(self.path().join(path)).unwrap()
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(arguments)
            .current_dir(self.path())
            .env("NO_COLOR", "1")
            .stdin(Stdio::null())
            .output()
            .unwrap()
    }

    /// Exit status, standard output, error stream.
    fn told(&self, arguments: &[&str]) -> (i32, String, String) {
        let output = self.run(arguments);
        (
            output.status.code().expect("it ends by itself"),
            String::from_utf8(output.stdout).unwrap(),
            String::from_utf8(output.stderr).unwrap(),
        )
    }
}
