//! What a tired hand types for what it means: the finding stands on the slip and says what to write.

use offing::door::finding::Nature;

use super::cases::{case, run, run_files};
use super::tree::{Files, SHORELINE, SITE, VESSEL, check_folder, mission, places, told};

const ID: &str = "north-bay-lines";

fn base() -> Files {
    Files::demo(&[ID])
}

#[test]
fn positions() {
    let file = &mission(ID);
    let bay_mouth = "to: [52.398033, -24.308835]";
    let one = |name, to: &str| case(name, file, bay_mouth, to);
    let told = run(
        &base(),
        &[
            one(
                "a longitude without its minus",
                "to: §[52.398033, 24.308835]",
            ),
            one("a latitude with one", "to: §[-52.398033, -24.308835]"),
            one("a pair swapped", "to: §[-24.308835, 52.398033]"),
            one(
                "a pair swapped without its minus",
                "to: §[24.308835, 52.398033]",
            ),
            one(
                "a minus of typography",
                "to: [52.398033, §\u{2212}24.308835]",
            ),
            one("an en dash", "to: [52.398033, §\u{2013}24.308835]"),
            one("commas for points", "to: §[52,398033, -24,308835]"),
            one("one comma for a point", "to: §[52,398033, -24.308835]"),
            one("a letter for the sign", "to: [52.398033, §24.308835 W]"),
            one("a degree sign", "to: [§52.398033°, -24.308835]"),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn positions_in_minutes() {
    let file = &mission(ID);
    let bay_mouth = "to: [52.398033, -24.308835]";
    let one = |name, to: &str| case(name, file, bay_mouth, to);
    let told = run(
        &base(),
        &[
            one("a sign and a letter", "to: [52°23.882′N, §-24°18.530′W]"),
            one(
                "a sign and a letter in one text",
                "to: §52°23.882′N -24°18.530′W",
            ),
            one("sixty minutes", "to: §52°60.000′N 24°18.530′W"),
            one("sixty seconds", "to: [§52°23′60.0″N, 24°18′31.8″W]"),
            one("swapped in one text", "to: §24°18.530′W 52°23.882′N"),
            one("swapped in two", "to: [§24°18.530′W, §52°23.882′N]"),
            one("two latitudes", "to: §52°23.882′N 52°23.882′N"),
            one("one latitude", "to: §52°23.882′N"),
            one("no letters", "to: §52°23.882′ 24°18.530′"),
            one("no degree sign", "to: §52.398033N 24.308835W"),
            one("no mark of minutes", "to: §52°23.882N 24°18.530W"),
            one(
                "a comma for a point",
                "to: \u{a7}\"52°23,882′N 24°18,530′W\"",
            ),
            one("beyond the pole", "to: §90°23.882′N 24°18.530′W"),
            one("a text and a number", "to: §[52°23.882′N, -24.308835]"),
            one(
                "the other side of Greenwich",
                "to: §52°23.882′N 24°18.530′E",
            ),
            one("a height with it", "to: §+52.398033-024.308835+12/"),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn directions() {
    let file = &mission(ID);
    let lines = |name, to: &str| case(name, file, "direction: 070°", &format!("direction: {to}"));
    let site = |name, to: &str| {
        case(name, SITE, "water: fresh", to).and(file, "site: quenderby", "site: §quenderby")
    };
    let told = run(
        &base(),
        &[
            lines("magnetic without a declination", "§070° M"),
            lines("a point magnetic without one", "§ENE M"),
            lines("a declination of a true direction", "§070° (3° E)"),
            lines("a declination without its side", "§070° M (3°)"),
            lines("no point of the compass", "§NNS"),
            lines("a bare number", "§70"),
            lines("past a whole turn", "§400° M (3° E)"),
            lines("below nothing", "§-5°"),
            site("a declination north", "declination: §3° N\nwater: fresh"),
            site(
                "a declination without its side",
                "declination: §3°\nwater: fresh",
            ),
            site(
                "a declination with a sign",
                "declination: §-3° W\nwater: fresh",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn quantities() {
    let file = &mission(ID);
    let speed = "to: [52.398033, -24.308835], speed: { over_ground: 1.1 m/s }";
    let put = |name, to: &str| {
        let to = format!("to: [52.398033, -24.308835], speed: {to}");
        case(name, file, speed, &to)
    };
    let vessel = |name, from: &str, to: &str| {
        case(name, VESSEL, from, to).and(file, "vessel: goosander", "vessel: §goosander")
    };
    let told = run(
        &base(),
        &[
            put("a comma for a point", "{ over_ground: §1,0 m/s }"),
            put(
                "a comma and another slip",
                "{ over_ground: §1,0 m/s, §sog: 1 m/s }",
            ),
            put("another word for a field", "{ §sog: 1.0 m/s }"),
            put("knots by their name", "{ over_ground: §2 knots }"),
            put("knots in short", "{ over_ground: §2 kts }"),
            put("metres per second in short", "{ over_ground: §1 mps }"),
            put("a unit of several words", "{ over_ground: §4 km per hour }"),
            case(
                "a letter for degrees Celsius",
                file,
                "water_temperature: 20 °C",
                "water_temperature: §20 C",
            ),
            case(
                "degrees by their name",
                file,
                "direction: 070°",
                "direction: §70 degrees",
            ),
            case(
                "metres by their name",
                file,
                "spacing: 30 m",
                "spacing: §30 metres",
            ),
            case(
                "percent by its name",
                file,
                "charge_at_launch: 95 %",
                "charge_at_launch: §95 percent",
            ),
            case(
                "an en dash",
                file,
                "water_temperature: 20 °C",
                "water_temperature: §\u{2013}1 °C",
            ),
            vessel(
                "volts by their name",
                "cut_off_voltage: 12.8 V",
                "cut_off_voltage: §12.8 volts",
            ),
            vessel(
                "a unit in small letters",
                "nominal_capacity: 10 Ah",
                "nominal_capacity: §10 ah",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn brackets_and_colons() {
    let file = &mission(ID);
    let one = |name, from: &str, to: &str| case(name, file, from, to);
    let told = run(
        &base(),
        &[
            one(
                "a brace before an item",
                "- { station: slip-mast, link: control, azimuth: 015° }\n  - {",
                "- §{ station: slip-mast, link: control, azimuth: 015°\n  - {",
            ),
            one(
                "a bracket before an item",
                "  - { id: slow-down, to: [52.396769, -24.309569], speed: { over_ground: 1.1 m/s } }\n  - {",
                "  - { id: slow-down, to: [52.396769, -24.309569\n  §- {",
            ),
            one(
                "a brace before a field",
                "at_end: { action: hold }\non_lost_link:",
                "at_end: { action: hold\n§on_lost_link:",
            ),
            one(
                "a bracket at the end of the file",
                "manual_override: { over: control, within: 2 s }",
                "manual_override: §{ over: control, within: 2 s",
            ),
            one("a colon", "charged: 2027-06-14", "§charged 2027-06-14"),
            one(
                "a colon within a block",
                "  delay: 20 min",
                "  §delay 20 min",
            ),
            one("the colon of a block", "launch:\n", "§launch\n"),
            one(
                "the blank after a colon",
                "charged: 2027-06-14",
                "§charged:2027-06-14",
            ),
            one(
                "a colon in an item",
                "  - id: bay-lines",
                "  - §id bay-lines",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn days_and_hours() {
    let file = &mission(ID);
    let launch = "  time: 2027-06-15T09:30";
    let time = |name, to: &str| case(name, file, launch, &format!("  time: {to}"));
    let charged =
        |name, to: &str| case(name, file, "charged: 2027-06-14", &format!("charged: {to}"));
    let told = run(
        &base(),
        &[
            charged("the thirty-first of April", "§2027-04-31"),
            charged("a leap day of a common year", "§2027-02-29"),
            charged("day and month exchanged", "§2027-14-06"),
            time("the thirty-first of June", "§2027-06-31T09:30"),
            time("past midnight", "§2027-06-15T24:30"),
            time("the sixty-first second", "§2027-06-15T09:30:61"),
            time("a day without its hour", "§2027-06-15"),
            time("the offset of another clock", "§2027-06-15T09:30+01:00"),
            time("UTC written as an offset", "§2027-06-15T09:30+00:00"),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn figures() {
    let file = &mission(ID);
    let vessel = |name, from: &str, to: &str| {
        case(name, VESSEL, from, to).and(file, "vessel: goosander", "vessel: §goosander")
    };
    let low = "below_charge: 45 %";
    let told = run(
        &base(),
        &[
            vessel(
                "a draught in metres for centimetres",
                "draft: 0.15 m",
                "draft: §12 m",
            ),
            vessel(
                "a beam in metres for centimetres",
                "beam: 0.45 m",
                "beam: §4.5 m",
            ),
            vessel(
                "a draught ten times too much",
                "displacement: 20 kg",
                "displacement: §20 kg",
            )
            .and(VESSEL, "draft: 0.15 m", "draft: 1.2 m")
            .and(VESSEL, "beam: 0.45 m", "beam: 1.1 m"),
            vessel(
                "a displacement past the box",
                "displacement: 20 kg",
                "displacement: §200 kg",
            ),
            vessel(
                "another word for the field",
                "draft: 0.15 m",
                "§draught: 0.15 m",
            )
            .and(VESSEL, "hull:\n", "§hull:\n"),
            case(
                "the voltage of one cell",
                file,
                low,
                "below_voltage: §3.5 V",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

/// The wind profile holds to 30 m: what lies past it is shown on the height, not on the wind.
#[test]
fn a_wind_stated_too_high_is_shown_on_its_height() {
    let mut files = base();
    files.edit(
        &mission(ID),
        "gust: 5 m/s, height: 10 m",
        "gust: 5 m/s, height: §10 km",
    );
    let outcome = files.check();
    let finding = outcome
        .findings
        .iter()
        .find(|one| one.message.contains("1 m to 30 m"));
    let finding = finding.expect("a finding about the height");
    let at = outcome.sources.position(finding.primary.span);
    assert_eq!([(mission(ID), at.line, at.column)], files.marks()[..]);
}

/// The shoreline alone is wrong: it is told once, and no position of the site's file is.
#[test]
fn a_shoreline_elsewhere() {
    let with = |shoreline: &str| {
        let mut files = base();
        files.edit(&mission(ID), "site: quenderby", "site: §quenderby");
        files.write(
            SHORELINE,
            format!(r#"{{ "type": "Polygon", "coordinates": [{shoreline}] }}"#),
        );
        files
    };
    let cases = [
        (
            "latitude first",
            with(
                "[§[52.39, -24.32], [52.39, -24.28], [52.41, -24.28], [52.41, -24.32], [52.39, -24.32]]",
            ),
        ),
        (
            "longitudes without their minus",
            with(
                "[§[24.32, 52.39], [24.28, 52.39], [24.28, 52.41], [24.32, 52.41], [24.32, 52.39]]",
            ),
        ),
    ];
    let mut text = run_files(cases);
    // A site that places one thing alone leaves it open which of the two files is wrong.
    let mut files = Files::start();
    let pond = files.text("pond.yaml");
    let (before, rest) = pond.split_once("stations:").expect("stations");
    let (_, after) = rest.split_once("keep_out:").expect("what follows them");
    let alone = format!("{before}keep_out:{after}");
    files.write("pond.yaml", alone);
    let jetty = "at: [52.299950, -24.402850]";
    files.edit("pond.yaml", jetty, "at: §[52.299950, 24.402850]");
    text += &run_files([("one place alone", files_with_site_marked(files))]);
    insta::assert_snapshot!(text);
}

fn files_with_site_marked(mut files: Files) -> Files {
    let mission = files
        .text("first-lines.yaml")
        .replacen("site: ", "site: §", 1);
    files.write("first-lines.yaml", mission);
    files
}

/// A folder that is copied into itself doubles every file, and each says so.
#[test]
fn a_folder_copied_into_itself() {
    let mut files = base();
    for (path, bytes) in files.0.clone() {
        files.0.insert(format!("plans/{path}"), bytes);
    }
    let folder = files.lay_out();
    let outcome = check_folder(folder.path(), None).expect("listed");
    let help = "these two files hold the same bytes: was the folder copied into itself?";
    for path in [VESSEL, SITE, &mission(ID)] {
        let doubled = outcome.findings.iter().find(|finding| {
            let at = outcome.sources.path(finding.primary.span.source);
            finding.message.starts_with("Two ") && at.ends_with(path)
        });
        let doubled = doubled.unwrap_or_else(|| panic!("{path}:\n{}", told(&outcome)));
        assert!(
            doubled
                .remedies_told()
                .iter()
                .any(|text| text.starts_with(help)),
            "{:?}",
            doubled.remedies
        );
    }
    // Another file under the same id is no copy.
    let mut files = base();
    let other = files.text(VESSEL).replace("draft: 0.15 m", "draft: 0.16 m");
    files.write("vessels/other.yaml", other);
    assert!(!told(&files.check()).contains("same bytes"));
    assert!(!places(&outcome).is_empty() && files.0.contains_key(SITE));
}

/// One digit off, and the waypoint lies ashore: told once, as what it is. One that is only too near
/// the bank is judged.
#[test]
fn a_waypoint_on_land() {
    let at = |from: &str, to: &str| {
        let mut files = base();
        files.edit(&mission(ID), from, to);
        files.check()
    };
    let first = "to: [52.398033, -24.308835]";
    for to in [
        "[52.418033, -24.308835]",
        "[52.398033, -24.338835]",
        "[52.378033, -24.308835]",
    ] {
        let outcome = at(first, &format!("to: {to}"));
        let told = told(&outcome);
        assert!(told.contains("lies on land, "), "{to}: {told}");
        assert!(told.contains("help: check its digits"), "{to}: {told}");
        assert_eq!(outcome.findings.len(), 1, "{to}: {told}");
    }
    let near = at(first, "to: [52.395500, -24.308835]");
    assert!(
        near.findings
            .iter()
            .all(|finding| finding.nature != Nature::Input)
    );
    assert!(
        near.findings
            .iter()
            .any(|finding| finding.rule == "shoreline")
    );
}
