//! Reading a work tree: bounded, and nothing outside it.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use cap_fs_ext::DirExt as _;
use cap_std::ambient_authority;
use cap_std::fs::Dir;
use rustix::fs::{CWD, FileType, Mode, RenameFlags, mknodat, renameat_with};
use tempfile::TempDir;

use super::confined::open;
use super::*;

fn folder(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (path, text) in files {
        write(folder.path(), path, text.as_bytes());
    }
    folder
}

fn write(root: &Path, path: &str, bytes: &[u8]) {
    let path = root.join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, bytes).unwrap();
}

fn pipe(path: &Path) {
    mknodat(CWD, path, FileType::Fifo, Mode::RUSR | Mode::WUSR, 0).unwrap();
}

fn read_error(tree: &WorkTree, path: &str) -> String {
    tree.read(path, Limit::YAML).unwrap_err().to_string()
}

fn refused(listing: &Listing) -> Vec<String> {
    let refused = listing.refused.iter();
    refused.map(|(_, error)| error.to_string()).collect()
}

fn paths(listing: &Listing) -> Vec<&str> {
    listing
        .files
        .iter()
        .map(|file| file.path.as_str())
        .collect()
}

#[test]
fn every_regular_file_is_listed_in_one_order() {
    let folder = folder(&[
        ("b.yaml", "12345"),
        ("a/z.yaml", ""),
        ("a-b.yaml", ""),
        (".hidden/x.yaml", ""),
        ("target/y.yaml", ""),
        (".gitignore", "target"),
        (".git/config", "secret"),
        ("Z.yaml", ""),
    ]);
    let tree = WorkTree::open(folder.path()).unwrap();
    let listing = tree.list().unwrap();
    assert_eq!(
        paths(&listing),
        [
            ".gitignore",
            ".hidden/x.yaml",
            "Z.yaml",
            "a-b.yaml",
            "a/z.yaml",
            "b.yaml",
            "target/y.yaml"
        ]
    );
    assert_eq!(listing.files[5].size, 5);
    assert!(listing.refused.is_empty(), "{listing:?}");
    assert_eq!(tree.read("b.yaml", Limit::YAML), Ok("12345".into()));
    assert_eq!(
        read_error(&tree, ".git/config"),
        ".git/config: lies in git's own folder"
    );
}

#[test]
fn links_are_refused_and_not_followed() {
    let outside = folder(&[("secret.yaml", "secret")]);
    let inside = folder(&[("real/a.yaml", "a")]);
    let root = inside.path();
    symlink(outside.path().join("secret.yaml"), root.join("file.yaml")).unwrap();
    symlink(outside.path(), root.join("dir")).unwrap();
    symlink("real/a.yaml", root.join("within.yaml")).unwrap();
    symlink("real", root.join("within")).unwrap();
    symlink("nowhere", root.join("dangling")).unwrap();
    let tree = WorkTree::open(root).unwrap();
    let listing = tree.list().unwrap();
    assert_eq!(paths(&listing), ["real/a.yaml"]);
    let names = ["dangling", "dir", "file.yaml", "within", "within.yaml"];
    let link = |name: &str| format!("{name}: is a symbolic link, and links are not followed");
    assert_eq!(refused(&listing), names.map(link));
    for (path, name) in [
        ("file.yaml", "file.yaml"),
        ("within.yaml", "within.yaml"),
        ("dangling", "dangling"),
        ("dir/secret.yaml", "dir"),
        ("within/a.yaml", "within"),
    ] {
        assert_eq!(read_error(&tree, path), link(name));
    }
}

/// The opening itself is confined, even where the checks before it saw something else.
#[test]
fn the_opening_itself_follows_no_link() {
    let outside = folder(&[("secret.yaml", "secret")]);
    let inside = folder(&[("real/deep/a.yaml", "a")]);
    symlink(outside.path(), inside.path().join("dir")).unwrap();
    symlink("real/deep/a.yaml", inside.path().join("link")).unwrap();
    symlink("real", inside.path().join("within")).unwrap();
    let root = Dir::open_ambient_dir(inside.path(), ambient_authority()).unwrap();
    let deep = root.open_dir_nofollow("real").unwrap();
    let deep = deep.open_dir_nofollow("deep").unwrap();
    assert!(open(&deep, "a.yaml").is_ok());
    assert!(open(&deep, "none").is_err());
    assert!(open(&root, "link").is_err());
    assert!(open(&root, "dir/secret.yaml").is_err());
    assert!(open(&root, "../secret.yaml").is_err());
    assert!(root.open_dir_nofollow("dir").is_err());
    assert!(root.open_dir_nofollow("within").is_err());
}

/// A pipe without a writer would keep the program waiting for ever.
#[test]
fn the_opening_itself_waits_for_nobody() {
    let inside = folder(&[]);
    pipe(&inside.path().join("pipe"));
    let root = Dir::open_ambient_dir(inside.path(), ambient_authority()).unwrap();
    assert!(open(&root, "pipe").is_ok());
}

/// Two names change places all the while: a file and a link out, a folder and a link to one outside. What
/// is read is the inner one or nothing.
#[test]
fn what_is_exchanged_while_it_is_read_leads_nowhere_else() {
    const OF_FOLDER: [&str; 2] = ["folder", "outer"];
    const OF_FILE: [&str; 2] = ["file.yaml", "link.yaml"];
    let outside = folder(&[("a.yaml", "secret"), ("secret.yaml", "secret")]);
    let inside = folder(&[("folder/a.yaml", "inner"), ("file.yaml", "inner")]);
    let at = |name: &str| inside.path().join(name);
    symlink(outside.path(), at(OF_FOLDER[1])).unwrap();
    symlink(outside.path().join("a.yaml"), at(OF_FILE[1])).unwrap();
    let tree = WorkTree::open(inside.path()).unwrap();
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !done.load(Ordering::Relaxed) {
                for [one, other] in [OF_FOLDER, OF_FILE] {
                    let flags = RenameFlags::EXCHANGE;
                    renameat_with(CWD, at(one), CWD, at(other), flags).unwrap();
                }
            }
        });
        let (mut read, mut refused) = (0, 0);
        for round in 0..4000 {
            let path = ["folder/a.yaml", "outer/a.yaml", "file.yaml", "link.yaml"][round % 4];
            match tree.read(path, Limit::YAML) {
                Ok(text) => {
                    assert_eq!(&*text, "inner", "{path}");
                    read += 1;
                }
                Err(_) => refused += 1,
            }
            if round % 40 == 0 {
                let listing = tree.list().unwrap();
                assert!(!paths(&listing).iter().any(|path| path.contains("secret")));
            }
        }
        done.store(true, Ordering::Relaxed);
        assert!(read > 0 && refused > 0, "{read} read, {refused} refused");
    });
}

#[test]
fn paths_that_lead_out_are_refused() {
    let folder = folder(&[("in/a.yaml", "a"), ("b.yaml", "b")]);
    let tree = WorkTree::open(&folder.path().join("in")).unwrap();
    for (path, message) in [
        ("../b.yaml", "../b.yaml: the path holds `.` or `..`"),
        ("./a.yaml", "./a.yaml: the path holds `.` or `..`"),
        ("/etc/passwd", "/etc/passwd: the path holds an empty name"),
        ("", ": the path is empty"),
        (
            "a\\b",
            "a\\b: the path holds a backslash; folders are separated by `/`",
        ),
        ("a\0", "a\\u{0}: the path holds a control character"),
        ("none.yaml", "none.yaml: not found"),
        ("a.yaml/x", "a.yaml/x: not found"),
    ] {
        assert_eq!(read_error(&tree, path), message);
    }
}

#[test]
fn only_regular_files_are_read() {
    let folder = folder(&[("dir/a.yaml", "a")]);
    pipe(&folder.path().join("pipe.yaml"));
    let _socket =
        std::os::unix::net::UnixListener::bind(folder.path().join("socket.yaml")).unwrap();
    let tree = WorkTree::open(folder.path()).unwrap();
    let listing = tree.list().unwrap();
    assert_eq!(paths(&listing), ["dir/a.yaml"]);
    assert_eq!(
        refused(&listing),
        [
            "pipe.yaml: not a regular file but a device, pipe or socket",
            "socket.yaml: not a regular file but a device, pipe or socket"
        ]
    );
    for (path, found) in [
        ("pipe.yaml", "a pipe"),
        ("socket.yaml", "a socket"),
        ("dir", "a folder"),
    ] {
        let message = format!("{path}: not a regular file but {found}");
        assert_eq!(read_error(&tree, path), message);
    }
    let devices = WorkTree::open(Path::new("/dev")).unwrap();
    assert_eq!(
        read_error(&devices, "null"),
        "null: not a regular file but a device"
    );
}

#[test]
fn repositories_inside_are_not_entered() {
    let folder = folder(&[
        ("a.yaml", "a"),
        ("clone/.git/HEAD", ""),
        ("clone/b.yaml", "b"),
        ("deep/module/.git", "gitdir: ../../.git/modules/x"),
        ("deep/module/sub/c.yaml", "c"),
    ]);
    let tree = WorkTree::open(folder.path()).unwrap();
    let listing = tree.list().unwrap();
    assert_eq!(paths(&listing), ["a.yaml"]);
    let message = |name: &str| {
        format!("{name}: is a repository of its own inside this one, and is not entered")
    };
    assert_eq!(refused(&listing), ["clone", "deep/module"].map(message));
    assert_eq!(read_error(&tree, "clone/b.yaml"), message("clone"));
    assert_eq!(
        read_error(&tree, "deep/module/sub/c.yaml"),
        message("deep/module")
    );
}

#[test]
fn bytes_that_are_not_utf8() {
    let folder = folder(&[]);
    write(folder.path(), "a.yaml", b"a: 1\nb: \xc3\xa9\xe9!\n");
    write(folder.path(), "b.yaml", b"\xff\xfea\0");
    let tree = WorkTree::open(folder.path()).unwrap();
    assert_eq!(
        read_error(&tree, "a.yaml"),
        "a.yaml:2:5: not UTF-8: the byte 0xE9 at offset 10 starts no character"
    );
    assert_eq!(
        read_error(&tree, "b.yaml"),
        "b.yaml:1:1: not UTF-8: the byte 0xFF at offset 0 starts no character"
    );
}

#[test]
fn names_that_are_refused() {
    use std::os::unix::ffi::OsStrExt;
    let folder = folder(&[
        ("bad\nname.yaml", ""),
        ("back\\slash", ""),
        ("builtin:x/r.yaml", ""),
    ]);
    let name = std::ffi::OsStr::from_bytes(b"caf\xe9.yaml");
    fs::write(folder.path().join(name), "").unwrap();
    let tree = WorkTree::open(folder.path()).unwrap();
    let listing = tree.list().unwrap();
    assert!(listing.files.is_empty());
    assert_eq!(
        refused(&listing),
        [
            "back\\slash: the path holds a backslash; folders are separated by `/`",
            "bad\\u{a}name.yaml: the path holds a control character",
            "builtin:x: names that start with `builtin:` are reserved for files inside the program",
            "caf\\xE9.yaml: the name is not UTF-8"
        ]
    );
}

#[test]
fn sizes_are_bounded() {
    let folder = folder(&[("a.yaml", "12345678"), ("b.yaml", "123456789")]);
    let tree = WorkTree::open(folder.path()).unwrap();
    let limit = Limit::from_bytes(8);
    assert_eq!(tree.read("a.yaml", limit), Ok("12345678".into()));
    assert_eq!(
        tree.read("b.yaml", limit).unwrap_err().to_string(),
        "b.yaml: the file has 9 bytes, and at most 8 are allowed"
    );
    // A file whose size is not known beforehand is still cut off.
    let system = WorkTree::open(Path::new("/proc/self")).unwrap();
    assert_eq!(
        system.read("status", limit).unwrap_err().to_string(),
        "status: the file has 9 bytes, and at most 8 are allowed"
    );
}

#[test]
fn trees_are_bounded() {
    let folder = folder(&[("a/b/c.yaml", ""), ("d.yaml", "")]);
    let with = |limits| WorkTree::with_limits(folder.path(), limits).unwrap();
    let files = |files| Limits {
        files,
        ..Limits::DEFAULT
    };
    assert_eq!(
        with(files(4)).list().map(|listing| listing.files.len()),
        Ok(2)
    );
    assert_eq!(
        with(files(3)).list().unwrap_err().to_string(),
        "more than 3 files and folders, which is the most that is read"
    );
    let shallow = with(Limits {
        depth: 2,
        ..Limits::DEFAULT
    });
    let listing = shallow.list().unwrap();
    assert_eq!(paths(&listing), ["d.yaml"]);
    assert_eq!(
        refused(&listing),
        ["a/b/c.yaml: lies more than 2 folders deep"]
    );
    let short = with(Limits {
        path_length: 7,
        ..Limits::DEFAULT
    });
    assert_eq!(
        read_error(&short, "a/b/c.yaml"),
        "a/b/c.yaml: the path has 10 bytes, and at most 7 are allowed"
    );
}

#[test]
fn arguments_name_a_folder_or_one_file() {
    let folder = folder(&[
        (".git/HEAD", ""),
        ("plans/missions/a.yaml", "a"),
        ("plans/b.yaml", "b"),
    ]);
    let root = folder.path().canonicalize().unwrap();
    let whole = open_argument(&root.join("plans")).unwrap();
    assert_eq!(whole.selected, None);
    assert_eq!(whole.tree.root(), root);
    let listed: Vec<String> = whole
        .tree
        .list()
        .unwrap()
        .files
        .into_iter()
        .map(|f| f.path)
        .collect();
    assert_eq!(listed, ["plans/b.yaml", "plans/missions/a.yaml"]);

    let one = open_argument(&root.join("plans/missions/a.yaml")).unwrap();
    assert_eq!(one.selected.as_deref(), Some("plans/missions/a.yaml"));
    assert_eq!(one.tree.root(), root);
    assert_eq!(
        one.tree.read("plans/missions/a.yaml", Limit::YAML),
        Ok("a".into())
    );

    fs::remove_dir_all(root.join(".git")).unwrap();
    let alone = open_argument(&root.join("plans/missions/../missions/a.yaml")).unwrap();
    assert_eq!(alone.selected.as_deref(), Some("a.yaml"));
    assert_eq!(alone.tree.root(), root.join("plans/missions"));
}

#[test]
fn arguments_that_are_refused() {
    let folder = folder(&[("a.yaml", "a")]);
    symlink("a.yaml", folder.path().join("link.yaml")).unwrap();
    pipe(&folder.path().join("pipe"));
    let error = |name: &str| open_argument(&folder.path().join(name)).unwrap_err();
    assert!(matches!(error("link.yaml"), ReadError::IsLink { .. }));
    assert!(matches!(error("none.yaml"), ReadError::NotFound { .. }));
    assert!(matches!(error("pipe"), ReadError::NotRegular { .. }));
    assert_eq!(
        open_argument(Path::new("")).unwrap_err().to_string(),
        ": the path is empty"
    );
    assert_eq!(
        WorkTree::open(&folder.path().join("a.yaml")).unwrap_err(),
        ReadError::BadPath {
            path: folder.path().join("a.yaml").display().to_string(),
            reason: "is not a folder",
        }
    );
}
