//! A copy of the demo in a folder of its own, which a repository is taken to begin in.

use tempfile::TempDir;

pub fn demo() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for entry in walkdir::WalkDir::new("plans") {
        let entry = entry.unwrap();
        let target = folder.path().join(entry.path());
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(target).unwrap();
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
    std::fs::create_dir(folder.path().join(".git")).unwrap();
    folder
}
