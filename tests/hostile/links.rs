//! Ways out of the repository, and files that are none.

use std::os::unix::net::UnixListener;

use rustix::fs::{CWD, FileType, Mode, mknodat};

use crate::run::Limits;
use crate::world::{MISSION, SHORELINE, SITE, World};

fn pipe(world: &World, path: &str) {
    let at = world.repository().join(path);
    let _ = std::fs::remove_file(&at);
    mknodat(CWD, &at, FileType::Fifo, Mode::RUSR | Mode::WUSR, 0).unwrap();
}

/// To a file, a folder, a chain of them, to nothing, to itself, into `/proc` and to a device without
/// an end.
#[test]
fn symbolic_links_lead_nowhere() {
    let world = World::new();
    let outside = world.outside();
    world.link(outside.join(MISSION), "missions/file.yaml");
    world.link(&outside, "missions/folder");
    world.link("../outside/site", "more.yaml");
    world.link("missions/two.yaml", "missions/one.yaml");
    world.link("three.yaml", "missions/two.yaml");
    world.link(outside.join(MISSION), "missions/three.yaml");
    world.link("nowhere", "missions/dangling.yaml");
    world.link("itself.yaml", "missions/itself.yaml");
    world.link("/proc/self/environ", "missions/process.yaml");
    world.link("/proc/self/cwd", "process");
    world.link("/dev/zero", "missions/zero.yaml");
    for ran in world.everywhere() {
        ran.refuses("is a symbolic link, and links are not followed");
        for name in [
            "file", "folder", "one", "three", "dangling", "itself", "zero",
        ] {
            assert!(ran.terminal().contains(name), "{name}: {}", ran.terminal());
        }
    }
}

/// A plan that names a file by its path names one of the repository: by no `..`, no full path, no
/// address, and through no link.
#[test]
#[ignore = "slow"]
fn references_stay_inside() {
    let outside = "../outside/site/quenderby-shoreline.geojson";
    let cases = [
        (format!("../{outside}"), "leaves the repository"),
        (format!("./x/../../{outside}"), "leaves the repository"),
        ("/etc/passwd".to_owned(), "the path is absolute"),
        ("/proc/self/environ".to_owned(), "the path is absolute"),
        ("/dev/zero".to_owned(), "the path is absolute"),
        ("file:///etc/passwd".to_owned(), "this is an address"),
        ("..\\\\..\\\\outside".to_owned(), "holds a backslash"),
        ("../.git/config".to_owned(), "lies in git's own folder"),
        (
            "folder/quenderby-shoreline.geojson".to_owned(),
            "symbolic link",
        ),
        ("file.geojson".to_owned(), "symbolic link"),
        ("zero.geojson".to_owned(), "symbolic link"),
        (".".to_owned(), "names a folder"),
    ];
    for key in ["shoreline", "soundings"] {
        let named = format!("  file: quenderby-{key}.geojson");
        for (number, (path, why)) in cases.iter().enumerate() {
            let world = World::new();
            world.link(world.outside().join("site"), "site/folder");
            world.link(world.outside().join(SHORELINE), "site/file.geojson");
            world.link("/dev/zero", "site/zero.geojson");
            world.edit(SITE, &named, &format!("  file: \"{path}\""));
            world.check().refuses(why);
            // The rest is the same for a tree of git's; once each is enough.
            if key == "shoreline" && number % 4 == 0 {
                world.commit("what came in");
                world
                    .run(&["review", "HEAD~1", "HEAD"], Limits::REVIEW)
                    .refuses(why);
            }
        }
    }
}

/// Opening a pipe waits for who writes into it, and a device may have no end.
#[test]
fn pipes_and_sockets_are_not_waited_for() {
    let world = World::new();
    pipe(&world, "missions/pipe.yaml");
    pipe(&world, SHORELINE);
    let _socket = UnixListener::bind(world.repository().join("missions/s.yaml")).unwrap();
    let ran = world.check();
    ran.refuses("not a regular file but a pipe");
    assert!(ran.terminal().contains("missions/pipe.yaml"));
    assert!(ran.terminal().contains("missions/s.yaml"));
    world.review().refuses("not a regular file");
    let all = |path: &str| {
        world
            .run(&["check", path], Limits::CHECK)
            .refuses("not a regular file")
    };
    all("missions/pipe.yaml");
    all("missions/s.yaml");
    all("/dev/zero");
}

/// Another repository inside this one is somebody else's.
#[test]
fn repositories_inside_are_not_entered() {
    let world = World::new();
    let outside = world.outside();
    crate::world::git_in(&outside, &["init", "--quiet"]);
    crate::world::git_in(&outside, &["add", "--all"]);
    crate::world::git_in(&outside, &["commit", "--quiet", "--message", "x"]);
    let url = outside.display().to_string();
    world.git(&[
        "-c",
        "protocol.file.allow=always",
        "submodule",
        "add",
        "--quiet",
        &url,
        "sub",
    ]);
    // A `.git` of any kind makes it one.
    world.write("copy/m.yaml", &world.read(MISSION));
    world.write("copy/.git", "gitdir: ../../outside/.git\n");
    let ran = world.check();
    ran.refuses("is a repository of its own inside this one, and is not entered");
    assert!(ran.terminal().contains("sub") && ran.terminal().contains("copy"));
    world.review().refuses("is a repository of its own");
}
