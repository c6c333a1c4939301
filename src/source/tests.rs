//! Places, the store, references, safe printing and writing.

use std::fs;

use proptest::prelude::*;

use super::file::Utf16Position;
use super::*;

const ID: SourceId = SourceId(0);

fn file(text: &str) -> SourceFile {
    SourceFile::new("a.yaml".to_owned(), text.into())
}

fn place(file: &SourceFile, offset: u32) -> (u32, u32) {
    let position = file.position(offset);
    (position.line, position.column)
}

#[test]
fn spans_join_within_a_file() {
    let one = Span::new(ID, 4, 9);
    let other = Span::new(ID, 7, 12);
    assert_eq!(one.join(other), Span::new(ID, 4, 12));
    assert_eq!(other.join(one), Span::new(ID, 4, 12));
    assert_eq!(one.join(Span::new(SourceId(1), 0, 99)), one);
    assert_eq!((one.len(), one.is_empty()), (5, false));
    let empty = Span::new(ID, 9, 4);
    assert_eq!((empty.range(), empty.is_empty()), (9..9, true));
    assert!(Span::new(ID, 9, 10) < Span::new(SourceId(1), 0, 1));
}

#[test]
fn positions_count_characters() {
    let text = "aé\r\n水b\rc\n\n𐐀d";
    let file = file(text);
    assert_eq!(file.line_count(), 5);
    let lines: Vec<_> = (0..7).map(|line| file.line_text(line)).collect();
    assert_eq!(
        lines,
        [
            None,
            Some("aé"),
            Some("水b"),
            Some("c"),
            Some(""),
            Some("𐐀d"),
            None
        ]
    );
    let at = |part: &str| u32::try_from(text.find(part).unwrap()).unwrap();
    assert_eq!(place(&file, 0), (1, 1));
    assert_eq!(place(&file, at("é")), (1, 2));
    assert_eq!(place(&file, at("é") + 1), (1, 2), "inside a character");
    assert_eq!(place(&file, at("\r\n")), (1, 3));
    assert_eq!(place(&file, at("水")), (2, 1));
    assert_eq!(place(&file, at("b")), (2, 2));
    assert_eq!(place(&file, at("c")), (3, 1));
    assert_eq!(place(&file, at("d")), (5, 2));
    assert_eq!(place(&file, u32::MAX), (5, 3));
}

#[test]
fn a_byte_order_mark_is_no_column() {
    let file = file("\u{feff}ab\nc");
    assert_eq!(place(&file, 0), (1, 1));
    assert_eq!(place(&file, 3), (1, 1));
    assert_eq!(place(&file, 4), (1, 2));
    assert_eq!(file.line_text(1), Some("ab"));
}

#[test]
fn an_empty_text_has_one_line() {
    let file = file("");
    assert_eq!((file.line_count(), file.line_text(1)), (1, Some("")));
    assert_eq!(place(&file, 0), (1, 1));
}

// The Language Server Protocol 3.17, "Position": in `a𐐀b` the offset of `b` is 3 (from memory).
#[test]
fn editors_count_utf16() {
    let file = file("x\na𐐀b\n");
    let position = file.utf16_position(7);
    assert_eq!((position.line, position.column), (1, 3));
    assert_eq!(file.offset_of_utf16(position), 7);
    let at = |line, column| file.offset_of_utf16(Utf16Position { line, column });
    assert_eq!(at(1, 2), 3, "half a character is its start");
    assert_eq!(at(1, 99), 8, "past the line's end");
    assert_eq!(at(99, 0), 9, "past the last line");
}

proptest! {
    #[test]
    fn every_offset_has_a_place_that_leads_back(text in "[ab é水𐐀\n\r]{0,60}") {
        let file = file(&text);
        for (offset, _) in text.char_indices() {
            let offset = u32::try_from(offset).unwrap();
            let Position { line, column } = file.position(offset);
            let start = file.line_text(line).unwrap();
            let in_break = column as usize > start.chars().count();
            let utf16 = file.utf16_position(offset);
            prop_assert_eq!(utf16.line + 1, line);
            if !in_break {
                prop_assert_eq!(file.offset_of_utf16(utf16), offset);
            }
        }
    }

    #[test]
    fn what_is_printed_acts_on_nothing(text in any::<String>()) {
        let line = printable_line(&text);
        prop_assert!(!line.contains(char::is_control));
        prop_assert_eq!(printable_line(&line), line.as_ref());
        prop_assert!(!printable_block(&text).contains(|c: char| c.is_control() && c != '\n'));
        prop_assert!(!printable(&text).contains(|c: char| c.is_control() && c != '\n' && c != '\t'));
    }
}

#[test]
fn the_store_keeps_files_in_order() {
    let mut sources = Sources::new();
    assert!(sources.is_empty());
    let plan = sources.add("plans/north.yaml", "a: 1\nb: zwölf\n");
    let rule = sources.add_embedded("builtin:rules/energy/reserve-at-turnaround.yaml", "c");
    let again = sources.add("plans/north.yaml", "other");
    assert_eq!((plan, rule, again), (SourceId(0), SourceId(1), SourceId(2)));
    assert_eq!(sources.len(), 3);
    assert_eq!(sources.find("plans/north.yaml"), Some(plan));
    assert_eq!(sources.find("plans/south.yaml"), None);
    let span = Span::new(plan, 8, 14);
    assert_eq!(sources.slice(span), "zwölf");
    assert_eq!(sources.position(span), Position { line: 2, column: 4 });
    assert_eq!(sources.end_position(span), Position { line: 2, column: 9 });
    assert_eq!(
        sources.path(rule),
        "builtin:rules/energy/reserve-at-turnaround.yaml"
    );
    assert!(sources.is_embedded(rule) && !sources.is_embedded(plan));
    // A path alone makes no text the program's own.
    let mut others = sources.clone();
    let shown_so = others.add("builtin:plans/north.yaml", "d");
    assert!(!others.is_embedded(shown_so) && !others.is_embedded(SourceId(9)));
    let order: Vec<_> = sources.iter().map(|(id, file)| (id, file.text())).collect();
    assert_eq!(
        order,
        [(plan, "a: 1\nb: zwölf\n"), (rule, "c"), (again, "other")]
    );

    let unknown = Span::new(SourceId(9), 0, 1);
    assert_eq!(
        (sources.slice(unknown), sources.path(SourceId(9))),
        ("", "")
    );
    assert_eq!(sources.position(unknown), Position { line: 1, column: 1 });
    assert_eq!(
        sources.slice(Span::new(plan, 11, 12)),
        "",
        "half a character"
    );
}

#[test]
fn references_resolve_beside_the_file() {
    let from = "plans/missions/north.yaml";
    for (reference, path) in [
        ("a.geojson", "plans/missions/a.geojson"),
        ("./a.geojson", "plans/missions/a.geojson"),
        ("../water/lake.geojson", "plans/water/lake.geojson"),
        ("../../a.geojson", "a.geojson"),
        ("sub/./x/../a.geojson", "plans/missions/sub/a.geojson"),
        ("été.geojson", "plans/missions/été.geojson"),
    ] {
        assert_eq!(resolve(from, reference), Ok(path.to_owned()));
    }
    assert_eq!(resolve("north.yaml", "a"), Ok("a".to_owned()));
}

#[test]
fn references_that_are_refused() {
    let long = "x".repeat(1025);
    let deep = "d/".repeat(32) + "f";
    for (reference, message) in [
        ("../../../a", "../../../a: leaves the repository"),
        ("x/../../../../a", "x/../../../../a: leaves the repository"),
        (
            "/etc/passwd",
            "/etc/passwd: the path is absolute; write it relative to this file",
        ),
        (
            "C:/a",
            "C:/a: the path is absolute; write it relative to this file",
        ),
        (
            "c:a",
            "c:a: the path is absolute; write it relative to this file",
        ),
        (
            "..\\a",
            "..\\a: the path holds a backslash; folders are separated by `/`",
        ),
        ("", ": the path is empty"),
        ("a\0b", "a\\u{0}b: the path holds a control character"),
        ("a\nb", "a\\u{a}b: the path holds a control character"),
        ("a\u{9b}b", "a\\u{9b}b: the path holds a control character"),
        ("a//b", "a//b: the path holds an empty name"),
        ("a/", "a/: the path names a folder, not a file"),
        ("a/..", "a/..: the path names a folder, not a file"),
        (".", ".: the path names a folder, not a file"),
        ("../../.git/config", ".git/config: lies in git's own folder"),
    ] {
        let error = resolve("plans/missions/north.yaml", reference).unwrap_err();
        assert_eq!(error.to_string(), message);
    }
    assert_eq!(
        resolve("a.yaml", &long).unwrap_err().to_string(),
        format!(
            "{}...: the path has 1025 bytes, and at most 1024 are allowed",
            "x".repeat(80)
        )
    );
    assert_eq!(
        resolve("a.yaml", &deep).unwrap_err().to_string(),
        format!("{deep}: lies more than 32 folders deep")
    );
    assert_eq!(
        resolve("a.yaml", "builtin:rules/x.yaml")
            .unwrap_err()
            .to_string(),
        "builtin:rules/x.yaml: names that start with `builtin:` are reserved for files inside the \
         program"
    );
}

proptest! {
    #[test]
    fn a_resolved_path_is_one_that_a_tree_may_hold(
        from in prop::collection::vec("[ab.]{1,3}", 1..5),
        reference in prop::collection::vec(prop::sample::select(
            vec!["a", "b", "..", ".", "", ".git", "\\", "\u{202e}", "x.yaml"]), 1..8),
    ) {
        let from = from.join("/");
        if check_path(&from, &Limits::DEFAULT).is_ok()
            && let Ok(path) = resolve(&from, &reference.join("/"))
        {
            prop_assert_eq!(check_path(&path, &Limits::DEFAULT), Ok(()));
        }
    }
}

#[test]
fn printing_escapes_what_acts_or_hides() {
    let plain = "Straße, 240° — 水 → ok 🚤";
    assert_eq!(printable_line(plain), plain);
    for (text, line) in [
        ("\u{1b}[31mred\u{7}", "\\u{1b}[31mred\\u{7}"),
        ("a\u{9b}b\u{85}\u{7f}", "a\\u{9b}b\\u{85}\\u{7f}"),
        ("\u{61c}\u{200e}\u{200f}", "\\u{61c}\\u{200e}\\u{200f}"),
        (
            "\u{202a}\u{202e}\u{2066}\u{2069}",
            "\\u{202a}\\u{202e}\\u{2066}\\u{2069}",
        ),
        (
            "a\u{200b}b\u{feff}\u{2060}\u{ad}",
            "a\\u{200b}b\\u{feff}\\u{2060}\\u{ad}",
        ),
        ("a\u{2028}b\u{2029}", "a\\u{2028}b\\u{2029}"),
        ("\u{e0041}\u{fe0f}\u{3164}", "\\u{e0041}\\u{fe0f}\\u{3164}"),
        ("a\nb\tc\r", "a\\u{a}b\\u{9}c\\u{d}"),
        // Commands in a job's log.
        ("::error::x", ":\\u{3a}error:\\u{3a}x"),
        (
            "##[group]x ##vso[task]",
            "##\\u{5b}group]x ##vso\\u{5b}task]",
        ),
        ("# [a] ##1[b] c: d", "# [a] ##1[b] c: d"),
    ] {
        assert_eq!(printable_line(text), line);
    }
    assert_eq!(printable("a\nb\tc\r\u{1b}"), "a\nb\tc\\u{d}\\u{1b}");
    assert_eq!(
        printable_block("a\r\nb\tc\rd\u{202e}"),
        "a\nb    c\\u{d}d\\u{202e}"
    );
    assert_eq!(printable_block("a\nb\u{1b}"), "a\nb\\u{1b}");
    assert_eq!(
        printable_bytes(b"caf\xe9\n\xff.yaml"),
        "caf\\xE9\\u{a}\\xFF.yaml"
    );
}

#[test]
fn writing_replaces_the_whole_file() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("out.json");
    write_out(&path, b"one").unwrap();
    assert_eq!(fs::read(&path).unwrap(), b"one");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    write_out(&path, b"two").unwrap();
    assert_eq!(fs::read(&path).unwrap(), b"two");
    let mode = fs::metadata(&path).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o640);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn writing_a_new_file_leaves_one_that_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record.yaml");
    write_new(&path, b"one").unwrap();
    let again = write_new(&path, b"two").unwrap_err();
    assert_eq!(again.kind(), std::io::ErrorKind::AlreadyExists);
    assert_eq!(fs::read(&path).unwrap(), b"one");
    // A link that leads nowhere is there too.
    let link = folder.path().join("link");
    std::os::unix::fs::symlink(folder.path().join("nothing"), &link).unwrap();
    assert!(write_new(&link, b"two").is_err());
    assert!(!folder.path().join("nothing").exists());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
}

#[test]
fn writing_leaves_links_and_folders_as_they_are_and_nothing_behind() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::write(path("target"), "kept").unwrap();
    fs::create_dir(path("folder")).unwrap();
    for (to, name) in [
        ("target", "link"),
        ("folder", "to-folder"),
        ("none", "astray"),
    ] {
        std::os::unix::fs::symlink(path(to), path(name)).unwrap();
        assert!(write_out(&path(name), b"new").is_err(), "{name}");
        assert!(take_away(&path(name)).is_err(), "{name}");
        assert!(path(name).symlink_metadata().unwrap().is_symlink());
    }
    assert_eq!(fs::read_to_string(path("target")).unwrap(), "kept");
    assert!(!path("none").exists());
    assert!(write_out(&path("folder"), b"x").is_err());
    assert!(write_out(&path("none/x"), b"x").is_err());
    assert!(write_out(std::path::Path::new("/"), b"x").is_err());
    let socket = std::os::unix::net::UnixListener::bind(path("socket")).unwrap();
    assert!(write_out(&path("socket"), b"x").is_err());
    drop(socket);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 6);
    take_away(&path("target")).unwrap();
    take_away(&path("target")).unwrap();
    assert!(!path("target").exists());
}

#[test]
fn a_pipe_is_written_to_and_stays_a_pipe() {
    use std::os::unix::fs::FileTypeExt as _;
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("pipe");
    let kind = rustix::fs::FileType::Fifo;
    let mode = rustix::fs::Mode::from_raw_mode(0o600);
    rustix::fs::mknodat(rustix::fs::CWD, &pipe, kind, mode, 0).unwrap();
    let link = folder.path().join("link");
    std::os::unix::fs::symlink(&pipe, &link).unwrap();
    for name in [&pipe, &link] {
        let end = pipe.clone();
        let reader = std::thread::spawn(move || fs::read(end).unwrap());
        write_out(name, b"through").unwrap();
        assert_eq!(reader.join().unwrap(), b"through");
    }
    take_away(&pipe).unwrap();
    assert!(pipe.symlink_metadata().unwrap().file_type().is_fifo());
    assert!(write_new(&pipe, b"x").is_err());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
}
