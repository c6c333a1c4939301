//! Names of files and folders that mean harm.

use std::ffi::OsStr;
use std::os::unix::ffi::OsStrExt;

use crate::run::Limits;
use crate::world::{MISSION, World};

const NAMES: [&[u8]; 16] = [
    b"two\nlines.yaml",
    b"::error::x.yaml",
    b"a\n::error::x.yaml",
    b"##[error]x.yaml",
    b"\x1b[2Jclear.yaml",
    b"caf\xe9.yaml",
    b"\xff\xfe.yaml",
    b"-rf.yaml",
    b"--output=x.yaml",
    b"'quoted' \"twice\".yaml",
    b"<script>x.yaml",
    b"[a](b).yaml",
    b"a|b`c`.yaml",
    b"%0A::error::x.yaml",
    "\u{202e}lmay.yaml".as_bytes(),
    b" .yaml",
];

#[test]
#[ignore = "slow"]
fn names_of_files() {
    for broken in [false, true] {
        let world = World::new();
        let text = world.read(MISSION);
        for (number, name) in NAMES.iter().enumerate() {
            let id = format!("id: m{number}");
            let own = if broken {
                "kind: mission\n".to_owned()
            } else {
                text.clone()
            };
            let own = own.replace("id: north-bay-lines", &id);
            let at = world.repository().join(OsStr::from_bytes(name));
            std::fs::write(at, own).unwrap();
        }
        for ran in world.everywhere() {
            ran.refuses("not checked");
            assert!(
                ran.terminal().contains("caf\\xE9.yaml"),
                "{}",
                ran.terminal()
            );
        }
    }
}

/// Folders of such names are told of as well, and what lies in them.
#[test]
#[ignore = "slow"]
fn names_of_folders() {
    let world = World::new();
    let text = world.read(MISSION);
    for (number, name) in NAMES.iter().enumerate() {
        let folder = world.repository().join(OsStr::from_bytes(name));
        std::fs::create_dir(&folder).unwrap();
        let own = text.replace("id: north-bay-lines", &format!("id: m{number}"));
        std::fs::write(folder.join("m.yaml"), own).unwrap();
    }
    for ran in world.everywhere() {
        ran.refuses("not checked");
    }
}

/// A name on the command line is a name, and not an option of git's.
#[test]
#[ignore = "slow"]
fn names_that_begin_as_options_do() {
    let world = World::new();
    let made = world.aside("made");
    let output = format!("--output={}", made.display());
    for revision in [
        output.as_str(),
        "--exec=sh",
        "-x",
        "--all",
        "--upload-pack=sh",
        "--help",
    ] {
        let ran = world.run(&["review", "--", revision], Limits::REVIEW);
        ran.refuses("there is no revision");
        let ran = world.run(&["review", "HEAD", "--", revision], Limits::REVIEW);
        ran.refuses("there is no revision");
    }
    assert!(!made.exists());
    for revision in [
        "HEAD\n::error::x",
        "\u{202e}x",
        "##[error]x",
        "HEAD:missions",
        "HEAD\u{1b}[2J",
    ] {
        let ran = world.run(&["review", revision], Limits::REVIEW);
        ran.refuses("there is no revision");
    }
}
