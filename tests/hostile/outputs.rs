//! Output onto what is no plain file: it is written through or refused, and nothing but a plain file is
//! ever replaced. And output that cannot be written.

use std::fs;
use std::io::Read as _;
use std::os::unix::fs::{FileTypeExt as _, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::mpsc;
use std::time::Duration;

use rustix::fs::{CWD, FileType, Mode, mknodat};

use crate::world::{MISSION, World};

/// Commands that write a report or a figure under a name that follows.
const WRITERS: [&[&str]; 8] = [
    &["check", "--format", "json=OUT"],
    &["check", "--format", "markdown=OUT"],
    &["review", "HEAD", "--format", "sarif=OUT"],
    &["brief", "north-bay-lines", "-o", "OUT"],
    &[
        "limits",
        "north-bay-lines",
        "--step",
        "30°",
        "--figure",
        "OUT",
    ],
    &[
        "export",
        "north-bay-lines",
        "--to",
        "gpx",
        "--despite-findings",
        "-o",
        "OUT",
    ],
    &["merge", "part.json", "--format", "json=OUT"],
    &[
        "debrief",
        "north-bay-lines",
        "--track",
        "track.csv",
        "--columns",
        "columns.yaml",
        "--format",
        "html",
        "-o",
        "OUT",
    ],
];

/// Commands that write a file which must be new, or is the one of its sort.
const NEW: [&[&str]; 3] = [
    &[
        "import",
        "route",
        "route.gpx",
        "--vessel",
        "goosander",
        "--site",
        "quenderby",
        "-o",
        "OUT",
    ],
    &[
        "baseline",
        "--review-by",
        "2027-12-31",
        "--by",
        "lead",
        "--reason",
        "begun",
        "-o",
        "OUT",
    ],
    &[
        "launch",
        "north-bay-lines",
        "--wind",
        "240° 2 m/s gust 3 m/s at 2 m",
        "--battery",
        "16.4 V",
        "--by",
        "survey lead",
        "--at",
        "2027-06-15T09:40",
        "-o",
        "OUT",
    ],
];

fn world() -> World {
    let world = World::new();
    // A short way: what is written is little of it, and limits of the wind take as long as the way is.
    let text = world.read(MISSION);
    let (before, rest) = text.split_once("  - id: bay-lines").unwrap();
    let (_, after) = rest.split_once("  - { id: off-the-bay").unwrap();
    world.write(MISSION, &format!("{before}  - {{ id: off-the-bay{after}"));
    let mut track = "utc,lat,lon\n".to_owned();
    for second in 0..600 {
        let north = f64::from(second) * 1e-6;
        track += &format!(
            "2027-06-15T11:{:02}:{:02}Z,{:.6},-24.310484\n",
            30 + second / 60,
            second % 60,
            52.395812 + north
        );
    }
    world.write("track.csv", &track);
    world.write(
        "columns.yaml",
        "kind: track-columns\nformat: 1\ntime: { column: utc, written: ISO 8601 }\n\
         latitude: { column: lat }\nlongitude: { column: lon }\n",
    );
    for arguments in [
        &["check", "--format", "json=part.json", "--partition", "1/1"][..],
        &[
            "export",
            "north-bay-lines",
            "--to",
            "gpx",
            "--despite-findings",
            "-o",
            "route.gpx",
        ],
    ] {
        let output = offing(&world, arguments);
        assert!(
            output.status.code().is_some_and(|code| code <= 2),
            "{output:?}"
        );
    }
    world.commit("more");
    world
}

fn command(world: &World, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_offing"));
    command
        .args(arguments)
        .current_dir(world.repository())
        .stdin(Stdio::null());
    command
}

fn offing(world: &World, arguments: &[&str]) -> Output {
    command(world, arguments).output().unwrap()
}

fn onto(world: &World, arguments: &[&str], out: &Path) -> Output {
    let out = out.to_str().unwrap();
    let arguments: Vec<String> = arguments
        .iter()
        .map(|one| one.replace("OUT", out))
        .collect();
    offing(
        world,
        &arguments.iter().map(String::as_str).collect::<Vec<_>>(),
    )
}

fn pipe(path: &Path) {
    mknodat(CWD, path, FileType::Fifo, Mode::from_raw_mode(0o600), 0).unwrap();
}

/// What is in a folder, by name, with its kind.
fn listed(folder: &Path) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| {
            let entry = entry.unwrap();
            let kind = format!("{:?}", entry.file_type().unwrap());
            (entry.file_name().into_string().unwrap(), kind)
        })
        .collect();
    all.sort();
    all
}

#[test]
#[ignore = "slow"]
fn a_link_a_folder_and_a_socket_stay_what_they_are() {
    let world = world();
    let folder = world.aside("places/x").parent().unwrap().to_owned();
    fs::write(folder.join("kept.yaml"), "kept").unwrap();
    fs::create_dir(folder.join("folder.yaml")).unwrap();
    symlink(folder.join("kept.yaml"), folder.join("link.yaml")).unwrap();
    symlink(folder.join("folder.yaml"), folder.join("to-folder.yaml")).unwrap();
    symlink(folder.join("nothing"), folder.join("astray.yaml")).unwrap();
    symlink("link.yaml", folder.join("to-link.yaml")).unwrap();
    let _socket = std::os::unix::net::UnixListener::bind(folder.join("socket.yaml")).unwrap();
    let before = listed(&folder);
    for name in ["link", "to-link", "to-folder", "astray", "folder", "socket"] {
        for (number, arguments) in WRITERS.iter().chain(&NEW).enumerate() {
            // One of each is enough where the writers have one way.
            if number % 3 != 0 && name != "link" {
                continue;
            }
            let output = onto(&world, arguments, &folder.join(format!("{name}.yaml")));
            let code = output.status.code().unwrap();
            assert!(
                matches!(code, 2 | 64 | 74),
                "{name} {arguments:?}: {code} {output:?}"
            );
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            assert!(said.contains(name), "{name} {arguments:?}: {said}");
            assert_eq!(listed(&folder), before, "{name} {arguments:?}");
        }
    }
    assert_eq!(
        fs::read_to_string(folder.join("kept.yaml")).unwrap(),
        "kept"
    );
    // Links that a report is not named like a file of a plan by are told as what they are.
    symlink(folder.join("kept.yaml"), folder.join("link")).unwrap();
    for arguments in WRITERS {
        let output = onto(&world, arguments, &folder.join("link"));
        assert_eq!(output.status.code(), Some(74), "{arguments:?}: {output:?}");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains("it is a link"), "{arguments:?}: {said}");
    }
    assert_eq!(
        fs::read_to_string(folder.join("kept.yaml")).unwrap(),
        "kept"
    );
}

#[test]
#[ignore = "slow"]
fn a_pipe_is_written_through() {
    let world = world();
    let path = world.aside("pipe");
    pipe(&path);
    let link = world.aside("to-pipe");
    symlink(&path, &link).unwrap();
    for name in [&path, &link] {
        for arguments in WRITERS {
            let (told, heard) = mpsc::channel();
            let end = path.clone();
            std::thread::spawn(move || {
                let mut bytes = Vec::new();
                fs::File::open(end)
                    .unwrap()
                    .read_to_end(&mut bytes)
                    .unwrap();
                told.send(bytes).unwrap();
            });
            let output = onto(&world, arguments, name);
            assert!(
                output.status.code().is_some_and(|code| code <= 2),
                "{arguments:?}: {output:?}"
            );
            let bytes = heard
                .recv_timeout(Duration::from_secs(20))
                .expect("it is written to");
            assert!(bytes.len() > 100, "{arguments:?}");
            assert!(path.symlink_metadata().unwrap().file_type().is_fifo());
            assert!(link.symlink_metadata().unwrap().is_symlink());
        }
    }
    for arguments in NEW {
        let output = onto(&world, arguments, &path);
        assert!(
            output.status.code().is_some_and(|code| code > 1),
            "{output:?}"
        );
        assert!(path.symlink_metadata().unwrap().file_type().is_fifo());
    }
    // One that is read no further is output that could not be written.
    let end = path.clone();
    let reader = std::thread::spawn(move || drop(fs::File::open(end).unwrap()));
    let output = onto(&world, WRITERS[3], &path);
    reader.join().unwrap();
    assert!(
        matches!(output.status.code(), Some(0 | 1 | 74)),
        "{output:?}"
    );
}

/// A device of one's own, so that no real one is ever at risk; only root may make one.
#[test]
#[ignore = "slow"]
fn a_device_is_written_through() {
    let world = world();
    let null = world.aside("null");
    let mode = Mode::from_raw_mode(0o666);
    let (null, own) = match mknodat(
        CWD,
        &null,
        FileType::CharacterDevice,
        mode,
        rustix::fs::makedev(1, 3),
    ) {
        Ok(()) => (null, true),
        Err(_) => (PathBuf::from("/dev/null"), false),
    };
    let link = world.aside("to-null");
    symlink(&null, &link).unwrap();
    let places = if own {
        vec![null.clone(), link.clone()]
    } else {
        vec![link.clone()]
    };
    for place in &places {
        for arguments in WRITERS {
            let output = onto(&world, arguments, place);
            assert!(
                output.status.code().is_some_and(|code| code <= 2),
                "{arguments:?}: {output:?}"
            );
            assert!(null.metadata().unwrap().file_type().is_char_device());
        }
    }
    assert!(link.symlink_metadata().unwrap().is_symlink());
    if !own {
        return;
    }
    // A device that takes nothing more, and a disk, which is never written to.
    let full = world.aside("full");
    mknodat(
        CWD,
        &full,
        FileType::CharacterDevice,
        mode,
        rustix::fs::makedev(1, 7),
    )
    .unwrap();
    // A number that no disk of this machine has.
    let disk = world.aside("disk");
    mknodat(
        CWD,
        &disk,
        FileType::BlockDevice,
        mode,
        rustix::fs::makedev(240, 250),
    )
    .unwrap();
    for place in [&full, &disk] {
        for arguments in WRITERS {
            let output = onto(&world, arguments, place);
            assert_eq!(output.status.code(), Some(74), "{arguments:?}: {output:?}");
            assert!(!place.metadata().unwrap().is_file());
        }
    }
}

#[test]
#[ignore = "slow"]
fn figures_go_through_no_link() {
    let world = world();
    let figures = world.aside("figures");
    let elsewhere = world.aside("elsewhere");
    fs::create_dir(&figures).unwrap();
    fs::create_dir(&elsewhere).unwrap();
    let arguments = ["check", "--figures", "OUT"];
    symlink(&elsewhere, figures.join("north-bay-lines")).unwrap();
    let output = onto(&world, &arguments, &figures);
    assert_eq!(output.status.code(), Some(74), "{output:?}");
    assert!(listed(&elsewhere).is_empty());
    fs::remove_file(figures.join("north-bay-lines")).unwrap();
    let output = onto(&world, &arguments, &figures);
    assert!(
        output.status.code().is_some_and(|code| code <= 2),
        "{output:?}"
    );
    // Every name that a figure has or would have.
    let place = figures.join("north-bay-lines");
    let drawn = listed(&place);
    assert!(drawn.len() > 3, "{drawn:?}");
    let kept = elsewhere.join("kept");
    for (name, _) in &drawn {
        fs::remove_file(place.join(name)).unwrap();
        fs::write(&kept, "kept").unwrap();
        symlink(&kept, place.join(name)).unwrap();
        let output = onto(&world, &arguments, &figures);
        assert_eq!(output.status.code(), Some(74), "{name}: {output:?}");
        assert!(place.join(name).symlink_metadata().unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&kept).unwrap(), "kept");
        fs::remove_file(place.join(name)).unwrap();
    }
    assert_eq!(onto(&world, &arguments, &figures).status.code(), Some(0));
}

#[test]
#[ignore = "slow"]
fn the_standard_output_by_its_name_is_the_standard_output() {
    let world = world();
    for arguments in [
        ["brief", "north-bay-lines", "-o", "OUT"],
        ["check", "--format", "json=OUT", "--short"],
    ] {
        let out = world.aside("out");
        let by_name = |name: &str, to: Stdio| {
            let named: Vec<String> = arguments
                .iter()
                .map(|one| one.replace("OUT", name))
                .collect();
            let named: Vec<&str> = named.iter().map(String::as_str).collect();
            command(&world, &named).stdout(to).output().unwrap()
        };
        let plain = by_name("-", Stdio::piped()).stdout;
        assert!(!plain.is_empty());
        assert_eq!(by_name("/dev/stdout", Stdio::piped()).stdout, plain);
        let file = fs::File::create(&out).unwrap();
        let output = by_name("/dev/stdout", Stdio::from(file));
        assert!(
            output.status.code().is_some_and(|code| code <= 2),
            "{output:?}"
        );
        assert_eq!(fs::read(&out).unwrap(), plain);
        let errors = by_name("/dev/stderr", Stdio::piped());
        assert!(errors.stderr.ends_with(&plain), "{errors:?}");
    }
}

#[test]
#[ignore = "slow"]
fn what_cannot_be_written_is_status_74() {
    let world = world();
    let some: [&[&str]; 14] = [
        &["--help"],
        &["--version"],
        &["check", "--help"],
        &["check"],
        &["check", "--format", "json"],
        &["review", "HEAD"],
        &["window", "north-bay-lines", "--step", "4 h"],
        &["limits", "north-bay-lines", "--step", "30°"],
        &["brief", "north-bay-lines"],
        &["explain", "overrun"],
        &["rules"],
        &["schema", "mission"],
        &["digest", "north-bay-lines"],
        &[
            "export",
            "north-bay-lines",
            "--to",
            "kml",
            "--despite-findings",
        ],
    ];
    for arguments in some {
        let full = fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap();
        let output = command(&world, arguments).stdout(full).output().unwrap();
        assert_eq!(
            output.status.code(),
            Some(74),
            "full, {arguments:?}: {output:?}"
        );
        // Only a shell closes it.
        let mut shell = Command::new("sh");
        shell
            .args(["-c", "exec \"$0\" \"$@\" >&-", env!("CARGO_BIN_EXE_offing")])
            .args(arguments)
            .current_dir(world.repository())
            .stdin(Stdio::null());
        let output = shell.output().unwrap();
        assert_eq!(
            output.status.code(),
            Some(74),
            "closed, {arguments:?}: {output:?}"
        );
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains("could not be written"), "{said}");
        // Thrown away is no fault.
        for null in [
            fs::OpenOptions::new()
                .write(true)
                .open("/dev/null")
                .unwrap(),
            fs::OpenOptions::new()
                .read(true)
                .write(true)
                .open("/dev/null")
                .unwrap(),
        ] {
            let output = command(&world, arguments).stdout(null).output().unwrap();
            assert!(
                output.status.code().is_some_and(|code| code <= 2),
                "{arguments:?}: {output:?}"
            );
        }
    }
    // A report that goes into a file needs no standard output.
    let mut shell = Command::new("sh");
    let report = world.aside("report.json");
    let form = format!("--format=json={}", report.display());
    shell
        .args([
            "-c",
            "exec \"$0\" \"$@\" >&-",
            env!("CARGO_BIN_EXE_offing"),
            "check",
            &form,
        ])
        .current_dir(world.repository());
    assert_eq!(shell.output().unwrap().status.code(), Some(0));
    assert!(fs::read_to_string(report).unwrap().starts_with('{'));
}
