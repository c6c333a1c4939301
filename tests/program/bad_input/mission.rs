//! What a mission file can have wrong, conditions apart.

use super::cases::{case, run};
use super::tree::{Files, mission};

const ID: &str = "north-bay-lines";

#[test]
fn fields() {
    let file = &mission(ID);
    let base = Files::demo(&[ID]);
    let told = run(
        &base,
        &[
            case("a misspelt field", file, "recovery:\n", "§recoverry:\n").and(
                file,
                "kind: mission",
                "§kind: mission",
            ),
            case(
                "a misspelt field within another",
                file,
                "reaction_time:",
                "§reacton_time:",
            ),
            case(
                "a field that nothing resembles",
                file,
                "charge_at_launch: 95 %",
                "§colour: red",
            ),
            case("a missing field", file, "site: quenderby\n", "").and(
                file,
                "kind: mission",
                "§kind: mission",
            ),
            case(
                "a missing field within another",
                file,
                "launch:\n  place: west-slip",
                "§launch:",
            ),
            case(
                "nothing after the colon",
                file,
                "vessel: goosander",
                "vessel§:",
            ),
            case("another format", file, "format: 1", "format: §2"),
            case(
                "a bare number for a quantity",
                file,
                "charge_at_launch: 95 %",
                "charge_at_launch: §95",
            ),
            case(
                "a quantity without its unit",
                file,
                "charge_at_launch: 95 %",
                "charge_at_launch: §'95'",
            ),
            case(
                "a unit that is not known",
                file,
                "spacing: 30 m",
                "spacing: §30 furlong",
            ),
            case("another dimension", file, "spacing: 30 m", "spacing: §30 s"),
            case(
                "two quantities in one field",
                file,
                "spacing: 30 m",
                "spacing: §30 m 20 cm",
            ),
            case("no number at all", file, "spacing: 30 m", "spacing: §wide"),
            case("not a number", file, "spacing: 30 m", "spacing: §nan m"),
            case("infinite", file, "spacing: 30 m", "spacing: §1e999 m"),
            case(
                "an infinite bare number",
                file,
                "spacing: 30 m",
                "spacing: §.inf",
            ),
            case(
                "past anything a boat does",
                file,
                "spacing: 30 m",
                "spacing: §2e6 m",
            ),
            case(
                "negative where it makes no sense",
                file,
                "spacing: 30 m",
                "spacing: §-30 m",
            ),
            case(
                "nothing where it makes no sense",
                file,
                "spacing: 30 m",
                "spacing: §0 m",
            ),
            case(
                "more than everything",
                file,
                "charge_at_launch: 95 %",
                "charge_at_launch: §195 %",
            ),
            case(
                "a bearing past the circle",
                file,
                "direction: 070°",
                "direction: §370°",
            ),
            case(
                "a time of day for a duration",
                file,
                "delay: 20 min",
                "delay: §12:30",
            ),
            case(
                "zeros before a whole number",
                file,
                "vessel: goosander",
                "vessel: §012",
            ),
            case(
                "a bare no for a name",
                file,
                "vessel: goosander",
                "vessel: §no",
            ),
            case(
                "a true-or-false value for a name",
                file,
                "vessel: goosander",
                "vessel: §true",
            ),
            case(
                "a name with blanks",
                file,
                "vessel: goosander",
                "vessel: §the goosander",
            ),
            case(
                "an empty text",
                file,
                "title: Sounding lines in the north bay",
                "title: §''",
            ),
            case(
                "an unknown word, misspelt",
                file,
                "control: needed",
                "control: §neded",
            ),
            case(
                "an unknown word",
                file,
                "at_end: { action: hold }",
                "at_end: { action: §dance }",
            ),
            case(
                "an unknown link",
                file,
                "  telemetry: logged aboard",
                "  §telemtry: logged aboard",
            ),
            case(
                "a list for a mapping",
                file,
                "at_end: { action: hold }",
                "at_end: §[hold]",
            ),
            case(
                "two thresholds",
                file,
                "below_charge: 45 %",
                "below_charge: 45 %, below_voltage: 14 V",
            )
            .and(file, "on_low_battery:", "§on_low_battery:"),
            case(
                "no threshold",
                file,
                "on_low_battery: { action: return, below_charge: 45 % }",
                "§on_low_battery: { action: return }",
            ),
            case(
                "a return at the end",
                file,
                "at_end: { action: hold }",
                "at_end: { action: §return }",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn references() {
    let file = &mission(ID);
    let base = Files::demo(&[ID]);
    let pointed = "- { station: slip-mast, link: control, azimuth: 015° }";
    let manned = "- { station: slip-mast, operator_at: [52.395825, -24.310461] }\nantennas:\n  - { station: slip-mast, link: control, azimuth: 015° }";
    let told = run(
        &base,
        &[
            case(
                "an unknown vessel",
                file,
                "vessel: goosander",
                "vessel: §gosander",
            ),
            case(
                "an unknown site",
                file,
                "site: quenderby",
                "site: §elsewhere",
            ),
            case("an unknown policy", file, "policy: team", "policy: §taem"),
            case(
                "an unknown launch site",
                file,
                "place: west-slip\n  at: [52.395812, -24.310484]",
                "place: §west-slp\n  at: [52.395812, -24.310484]",
            ),
            case(
                "an unknown launch site that nothing resembles",
                file,
                "place: west-slip\n  at: [52.396063, -24.310462]",
                "place: §harbour\n  at: [52.396063, -24.310462]",
            ),
            case(
                "an unknown station",
                file,
                pointed,
                "- { station: §slip-must, link: control, azimuth: 015° }",
            ),
            case(
                "a station without a radio for the link",
                file,
                manned,
                "- { station: slip-mast, operator_at: [52.395825, -24.310461] }\n  - { station: dam-mast, operator_at: [52.404476, -24.289795] }\nantennas:\n  - { station: §dam-mast, link: sonar-data, azimuth: 015° }",
            ),
            case(
                "a station whose antenna has no axis",
                file,
                manned,
                "- { station: slip-mast, operator_at: [52.395825, -24.310461] }\n  - { station: dam-mast, operator_at: [52.404476, -24.289795] }\nantennas:\n  - { station: dam-mast, link: control, azimuth: §015° }",
            ),
            case(
                "an antenna pointed at a station that nobody mans",
                file,
                pointed,
                "- { station: §dam-mast, link: control, azimuth: 015° }",
            ),
            case(
                "antennas pointed and no station in use",
                file,
                "stations:\n  - { station: slip-mast, operator_at: [52.395825, -24.310461] }\nantennas:\n  - { station: slip-mast, link: control, azimuth: 015° }\n  - { station: slip-mast, link: telemetry, azimuth: 015° }",
                "antennas:\n  - { station: §slip-mast, link: control, azimuth: 015° }",
            ),
            case(
                "a station in use that the site does not have",
                file,
                "- { station: slip-mast, operator_at: [52.395825, -24.310461] }",
                "- { station: §slip-mats, operator_at: [52.395825, -24.310461] }",
            ),
            case(
                "a station that is named twice",
                file,
                "- { station: slip-mast, operator_at: [52.395825, -24.310461] }",
                "- { station: slip-mast, operator_at: [52.395825, -24.310461] }\n  - { station: §slip-mast, operator_at: [52.395826, -24.310461] }",
            ),
            case(
                "a station's operator who stands at another water",
                file,
                "- { station: slip-mast, operator_at: [52.395825, -24.310461] }",
                "- { station: slip-mast, operator_at: §[53.395825, -24.310461] }",
            ),
            case(
                "a station in use with nobody at it",
                file,
                "- { station: slip-mast, operator_at: [52.395825, -24.310461] }",
                "- { station: §slip-mast }",
            )
            .and(
                file,
                "operator:\n  at: [52.395825, -24.310461]\n  reaction_time: 10 s\n",
                "",
            ),
            case(
                "an antenna pointed twice",
                file,
                "- { station: slip-mast, link: telemetry, azimuth: 015° }",
                "- { station: slip-mast, link: control, azimuth: §090° }",
            ),
            case(
                "an unknown link",
                file,
                pointed,
                "- { station: slip-mast, link: §controll, azimuth: 015° }",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn positions() {
    let file = &mission(ID);
    let base = Files::demo(&[ID]);
    let to = "to: [52.398033, -24.308835]";
    let told = run(
        &base,
        &[
            case("swapped", file, to, "to: §[-24.308835, 52.398033]"),
            case(
                "swapped in the operator's place",
                file,
                "  at: [52.395825, -24.310461]\n  reaction_time",
                "  at: §[-24.310461, 52.395825]\n  reaction_time",
            ),
            case("off the site", file, to, "to: §[53.398033, -24.308835]"),
            case(
                "off the site by the sign",
                file,
                to,
                "to: §[52.398033, 24.308835]",
            ),
            case(
                "a latitude off the earth",
                file,
                to,
                "to: [§92.398033, -24.308835]",
            ),
            case(
                "a longitude off the earth",
                file,
                to,
                "to: [52.398033, §-224.308835]",
            ),
            case(
                "off the earth by swapping",
                file,
                to,
                "to: [§-124.308835, 52.398033]",
            ),
            case(
                "three numbers",
                file,
                to,
                "to: [52.398033, -24.308835, §3.0]",
            ),
            case("one number", file, to, "to: §[52.398033]"),
            case(
                "a text for a number",
                file,
                to,
                "to: [52.398033, §'-24.308835']",
            ),
            case("not a list", file, to, "to: §52.398033"),
            case(
                "degrees and minutes without letters",
                file,
                to,
                "to: [§52°23.88', §24°18.53']",
            ),
            case("not a number", file, to, "to: [§.nan, -24.308835]"),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn times() {
    let file = &mission(ID);
    let site = super::tree::SITE;
    let base = Files::demo(&[ID]);
    let launch = "time: 2027-06-15T09:30";
    let back = "latest_return: 2027-06-15T11:30";
    let zone = "time_zone: Etc/GMT+2 # two hours behind UTC; the sign is the other way round in these names\n";
    let permission = {
        let text = base.text(site);
        let from = text.find("permissions:").expect("it states some");
        let to = text.find("emergency_contact").expect("it comes after them");
        &text[from..to]
    };
    let told = run(
        &base,
        &[
            case("charged at a point in time", file, "charged: 2027-06-14", "charged: §2027-06-14T18:00"),
            case("a visibility without its unit", file, "visibility: 5 km", "visibility: §5"),
            case(
                "the latest return before the launch",
                file,
                back,
                "latest_return: §2027-06-15T09:10",
            ),
            case("no time zone and no offset", site, zone, "")
                .and(site, "    closed: [{ from: 03-01, to: 09-15 }] # every year, until the young have flown\n", "")
                .and(site, permission, "")
                .and(file, "charged: 2027", "§charged: 2027")
                .and(file, launch, "time: §2027-06-15T09:30")
                .and(file, back, "latest_return: §2027-06-15T11:30"),
            case(
                "an hour that clocks repeat",
                site,
                zone,
                "time_zone: Europe/London\n",
            )
            .and(file, launch, "time: §2027-10-31T01:30")
            .and(file, back, "latest_return: 2027-10-31T04:30"),
            case(
                "an hour that clocks skip",
                site,
                zone,
                "time_zone: Europe/London\n",
            )
            .and(file, launch, "time: §2027-03-28T01:30")
            .and(file, back, "latest_return: 2027-03-28T04:30"),
            case(
                "a day that is not in the calendar",
                file,
                launch,
                "time: §2027-02-30T09:30",
            ),
            case("a launch by another clock than the site's", file, launch, "time: §2027-06-15T09:30+02:00"),
            case("a launch by a clock that is an hour from the site's", file, launch, "time: §2027-06-15T09:30-01:00"),
            case("a return by another clock than the site's", file, back, "latest_return: §2027-06-15T15:30+02:00"),
            case("a launch with an offset of nothing", file, launch, "time: §2027-06-15T09:30+00:00"),
            case("a launch by the winter's clock in summer", site, zone, "time_zone: Europe/London\n").and(file, launch, "time: §2027-06-15T10:30+00:00"),
            case("a day without its hour", file, launch, "time: §2027-06-15"),
            case("an hour without its day", file, launch, "time: §09:30"),
            case(
                "a quoted hour without its day",
                file,
                launch,
                "time: §'12:30'",
            ),
            case("a year as a bare number", file, launch, "time: §2027"),
            case(
                "an endless time",
                file,
                launch,
                &format!("time: §2027-06-15T09:30:00.{}", "0".repeat(60)),
            ),
        ],
    );
    insta::assert_snapshot!(told);
}
