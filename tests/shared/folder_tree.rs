//! The files of a folder of the repository, in memory.

use std::path::Path;

use offing::door::source::MemoryTree;

/// The files of a folder of the repository, by their paths inside it.
pub fn of_folder(folder: &str, wanted: impl Fn(&str) -> bool) -> MemoryTree {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut tree = MemoryTree::default();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let name = path.strip_prefix(&root).unwrap().to_str().unwrap();
            if wanted(name) {
                // Files that a check of this repository is not to find are kept as `….yaml.txt`.
                let name = name.strip_suffix(".txt").unwrap_or(name);
                tree.put(name, std::fs::read_to_string(&path).unwrap());
            }
        }
    }
    tree
}
