//! Documents that are small to write and large to read.

use std::fmt::Write as _;

use crate::world::{MISSION, SHORELINE, World};

/// A mission with more below it.
fn with(world: &World, more: &str) {
    let text = format!("{}{more}\n", world.read(MISSION));
    world.write(MISSION, &text);
}

#[test]
fn aliases_that_multiply() {
    let world = World::new();
    let mut bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n".to_owned();
    for number in 1..12 {
        let items = vec![format!("*a{}", number - 1); 9].join(", ");
        let _ = writeln!(bomb, "a{number}: &a{number} [{items}]");
    }
    with(&world, &bomb);
    for ran in world.everywhere() {
        ran.refuses("input-");
        assert!(ran.peak < 300 << 10, "{}", ran.peak);
    }
    // One long text, a hundred thousand times, in a file that any YAML reader takes.
    let world = World::new();
    let long = format!(
        "long: &l {}\nall: [{}]",
        "x".repeat(60_000),
        "*l, ".repeat(100_000)
    );
    with(&world, &long);
    world.check().refuses("input-");
}

#[test]
#[ignore = "slow"]
fn brackets_without_an_end() {
    for (open, close) in [
        ("[", "]"),
        ("{a: ", "}"),
        ("- ", ""),
        ("? ", ""),
        ("\"", ""),
        ("&a ", ""),
    ] {
        let world = World::new();
        let deep = format!("deep: {}1{}", open.repeat(100_000), close.repeat(100_000));
        with(&world, &deep);
        world.check().refuses("input-");
    }
    let world = World::new();
    let indented: String = (0..1_000)
        .map(|depth| format!("\n{}a:", " ".repeat(depth + 1)))
        .collect();
    with(&world, &format!("deep:{indented} 1"));
    world.check().refuses("input-");
    // The same in JSON, whose own readers recurse.
    for open in [
        "[",
        "{\"a\":",
        "{\"type\":\"GeometryCollection\",\"geometries\":[",
    ] {
        let world = World::new();
        world.write(SHORELINE, &open.repeat(2_000_000 / open.len()));
        for ran in world.everywhere() {
            ran.refuses("input-");
        }
    }
}

#[test]
fn more_than_is_read() {
    let world = World::new();
    with(&world, &format!("# {}", "x".repeat(2 << 20)));
    for ran in world.everywhere() {
        ran.refuses("at most 1048576 are allowed");
    }
    // A file without an end to its size, which takes no room on the disk.
    let file = std::fs::File::create(world.repository().join(MISSION)).unwrap();
    file.set_len(1 << 40).unwrap();
    let ran = world.check();
    ran.refuses("at most 1048576 are allowed");
    assert!(ran.peak < 200 << 10, "{}", ran.peak);
}

/// Errors are reported up to a number, and a page of them does not fill a disk.
#[test]
#[ignore = "slow"]
fn errors_without_number() {
    let world = World::new();
    let faults: String = (0..20_000).map(|n| format!("x{n}: 1\n")).collect();
    with(&world, &faults);
    let ran = world.check();
    ran.refuses("input-");
    assert!(
        ran.everything().len() < 4 << 20,
        "{}",
        ran.everything().len()
    );
}
