//! What was known before and is worse, and what is called otherwise and is the same.

use serde_json::Value as Json;

use super::launch::{decided, reasons};
use super::repo::{NORTH, Repo, UPWIND, WAIVER, standing};
use super::water::with;

const VESSEL: &str = "plans/vessels/goosander.yaml";
const SITE: &str = "plans/site/quenderby.yaml";

fn of_rule<'a>(report: &'a Json, rule: &str) -> Vec<&'a Json> {
    let all = report["check"]["findings"].as_array().unwrap();
    all.iter().filter(|one| one["rule"] == rule).collect()
}

fn baseline(repo: &Repo) {
    let (status, _) = repo.run(&[
        "baseline",
        "--review-by",
        "2027-12-31",
        "--by",
        "survey lead",
        "--reason",
        "Begun.",
    ]);
    assert_eq!(status, 0);
}

/// A mission whose reserve is known to be short.
fn short(charge: u32) -> Repo {
    let repo = Repo::new();
    charged(&repo, "95 %", charge);
    repo
}

fn charged(repo: &Repo, from: &str, charge: u32) {
    let to = format!("charge_at_launch: {charge} %");
    repo.edit(NORTH, &format!("charge_at_launch: {from}"), &to);
}

#[test]
#[ignore = "slow"]
fn a_known_error_that_gets_worse_is_new() {
    let repo = short(60);
    let base = repo.commit();
    charged(&repo, "60 %", 58);
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1, "{report:#}");
    assert_eq!(of_rule(&report, "reserve-at-turnaround").len(), 1);
    let worse = report["worse"].as_array().unwrap();
    let reserve = worse
        .iter()
        .find(|one| one["rule"] == "reserve-at-turnaround");
    assert!(
        reserve.is_some_and(|one| one["was"] != one["now"]),
        "{worse:#?}"
    );
    let (_, text) = repo.run(&["review", &base]);
    assert!(text.contains("known before, and worse now:"), "{text}");
    // What is better, or the same as far as it is shown, is still there and no news.
    for charge in ["62 %", "60.0001 %", "59.9999 %"] {
        repo.git(&["checkout", "--quiet", "--", "."]);
        repo.edit(
            NORTH,
            "charge_at_launch: 60 %",
            &format!("charge_at_launch: {charge}"),
        );
        let (status, report) = repo.json(&["review", &base]);
        assert_eq!(
            (status, standing(&report["check"])),
            (0, vec![]),
            "{charge}"
        );
        assert_eq!(report["worse"], Json::Array(Vec::new()));
        assert!(
            report["still"]
                .to_string()
                .contains("reserve-at-turnaround"),
            "{charge}"
        );
    }
}

#[test]
#[ignore = "slow"]
fn the_baseline_does_not_take_in_what_got_worse() {
    let repo = short(60);
    baseline(&repo);
    charged(&repo, "60 %", 64);
    // Better than the baseline has it.
    let base = repo.commit();
    assert_eq!(repo.json(&["check", "."]).0, 0);
    charged(&repo, "64 %", 62);
    assert_eq!(repo.json(&["check", "."]).0, 0);
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1, "{report:#}");
    let found = of_rule(&report, "reserve-at-turnaround");
    assert!(
        found.len() == 1 && found[0]["accepted"].is_null(),
        "{found:#?}"
    );
    // Back at what it was it is accepted as before.
    charged(&repo, "62 %", 64);
    assert_eq!(repo.json(&["review", &base]).0, 0);
}

#[test]
fn a_waiver_with_its_own_limit_stays_and_is_told() {
    let repo = Repo::new();
    repo.append(UPWIND, WAIVER);
    let base = repo.commit();
    let to = "to: [52.401897, -24.293624]";
    repo.edit(UPWIND, to, "to: [52.401907, -24.293594]");
    let (_, report) = repo.json(&["review", &base]);
    let worse = report["worse"].to_string();
    let found = of_rule(&report, "upwind-run-length");
    assert!(worse.contains("upwind-run-length"), "{report:#}");
    assert_eq!(found[0]["accepted"]["how"], "waiver", "{found:#?}");
}

/// The people of a mission, its boat and its water are reported where they are others.
#[test]
#[ignore = "slow"]
fn another_person_in_charge_is_told() {
    let repo = Repo::new();
    let base = repo.commit();
    for (from, to, what, was, now) in [
        (
            "person_in_charge: survey lead",
            "person_in_charge: second helper",
            "team, person in charge",
            "survey lead",
            "second helper",
        ),
        (
            "  lookout: second helper\n",
            "",
            "team, lookout",
            "second helper",
            "nothing",
        ),
        (
            "overdue: 30 min",
            "overdue: 90 min",
            "alarm, overdue",
            "30 min",
            "90 min",
        ),
        (
            "time: 2027-06-15T09:30",
            "time: 2027-06-15T09:20",
            "launch, time",
            "2027-06-15T09:30",
            "2027-06-15T09:20",
        ),
    ] {
        repo.git(&["checkout", "--quiet", "--", "."]);
        repo.edit(NORTH, from, to);
        let (_, report) = repo.json(&["review", &base]);
        let told = report["missions"][0]["told"].as_array().unwrap();
        let one = told.iter().find(|one| one["what"] == what);
        let one = one.unwrap_or_else(|| panic!("{what}: {told:#?}"));
        assert_eq!(one["was"].as_str().unwrap_or("nothing"), was);
        assert_eq!(one["now"].as_str().unwrap_or("nothing"), now);
        for form in ["terminal", "markdown"] {
            let (_, text) = repo.run(&["review", &base, "--format", form]);
            let text = text.replace("&#45;", "-");
            assert!(
                text.contains(&format!("{what}: {was} → {now}")),
                "{form}: {text}"
            );
        }
    }
    // The same in other units and with other blanks is the same.
    repo.git(&["checkout", "--quiet", "--", "."]);
    repo.edit(NORTH, "overdue: 30 min", "overdue: 0.5 h");
    let (_, report) = repo.json(&["review", &base]);
    assert_eq!(
        report["missions"][0]["told"],
        Json::Array(Vec::new()),
        "{report:#}"
    );
}

/// A station has an antenna for each link: each is held against itself, not against the first one there.
#[test]
fn one_antenna_of_a_station_is_not_taken_for_another() {
    const TWO: &str = "  - { station: slip-mast, link: control, azimuth: 015° }
  - { station: slip-mast, link: telemetry, azimuth: 015° }
";
    let of_both = |control: u32, telemetry: u32| {
        TWO.replace(
            "control, azimuth: 015°",
            &format!("control, azimuth: {control:03}°"),
        )
        .replace(
            "telemetry, azimuth: 015°",
            &format!("telemetry, azimuth: {telemetry:03}°"),
        )
    };
    let turned = (
        "  - { station: slip-mast, link: telemetry, azimuth: 015° }
  - { station: slip-mast, link: control, azimuth: 015° }
",
        Vec::new(),
    );
    let telling = |link: &str, was: &str, now: &str| {
        vec![serde_json::json!({
            "what": format!("antennas, slip-mast, {link}, azimuth"), "was": was, "now": now,
        })]
    };
    let both = of_both(15, 15);
    for (before, (after, told)) in [
        (both.clone(), turned),
        (
            both.clone(),
            (&*of_both(15, 18), telling("telemetry", "015°", "018°")),
        ),
        // Now as the other one was all along.
        (
            of_both(15, 18),
            (&*both, telling("telemetry", "018°", "015°")),
        ),
        (
            of_both(18, 15),
            (&*both, telling("control", "018°", "015°")),
        ),
    ] {
        let repo = Repo::new();
        repo.edit(NORTH, TWO, &before);
        let base = repo.commit();
        repo.edit(NORTH, &before, after);
        let (_, report) = repo.json(&["review", &base]);
        let found = report["missions"][0]["told"].as_array();
        let found = found.cloned().unwrap_or_default();
        assert_eq!(found, told, "{before}{after}");
    }
}

fn copied(repo: &Repo, path: &str, from: &str, to: &str) -> String {
    let text = repo.read(path);
    let copy = text.replace(&format!("\nid: {from}\n"), &format!("\nid: {to}\n"));
    assert_ne!(text, copy);
    let at = path.replace(from, to);
    repo.write(&at, &copy);
    at
}

#[test]
fn a_boat_under_a_new_id_is_known_by_what_its_file_holds() {
    let repo = Repo::new();
    let base = repo.commit();
    let teal = copied(&repo, VESSEL, "goosander", "teal");
    repo.edit(NORTH, "vessel: goosander", "vessel: teal");
    let (status, report) = repo.json(&["review", &base]);
    let found = of_rule(&report, "vessel-copied");
    assert_eq!((status, found.len()), (0, 1), "{report:#}");
    assert_eq!(found[0]["severity"], "advice");
    let told = report["missions"][0]["told"].to_string();
    assert!(
        told.contains("goosander") && told.contains("teal"),
        "{told}"
    );
    // Better figures.
    repo.edit(
        &teal,
        "measured_capacity: 9.3 Ah",
        "measured_capacity: 12 Ah",
    );
    repo.edit(&teal, "leeway: 4 %", "leeway: 2 %");
    let (status, report) = repo.json(&["review", &base]);
    let found = of_rule(&report, "vessel-copied");
    assert_eq!((status, found.len()), (1, 1), "{report:#}");
    assert_eq!(found[0]["severity"], "warning");
    let steps = found[0]["steps"].to_string();
    assert!(
        steps.contains("9.3 Ah → 12 Ah") && steps.contains("4 % → 2 %"),
        "{steps}"
    );
    // What vouches for the figures is as it was.
    assert!(
        !of_rule(&report, "vessel-without-evidence").is_empty(),
        "{report:#}"
    );
    // Written in other units and another order it is the same boat; the old one may be gone.
    let text = repo.read(&teal).replace("leeway: 2 %", "leeway: 0.02");
    let text = text.replace(
        "speed: 1.0 m/s, power: 30 W",
        "power: 0.03 kW, speed: 100 cm/s",
    );
    repo.write(&teal, &text);
    repo.git(&["rm", "--quiet", VESSEL]);
    repo.edit(UPWIND, "vessel: goosander", "vessel: teal");
    let (_, report) = repo.json(&["review", &base]);
    let found = of_rule(&report, "vessel-copied");
    assert_eq!(found.len(), 1, "{report:#}");
    let message = found[0]["message"].as_str().unwrap();
    assert!(
        message.contains("`goosander` is called `teal` now"),
        "{message}"
    );
}

#[test]
fn a_water_under_a_new_id_is_known_by_what_its_file_holds() {
    let repo = Repo::new();
    let base = repo.commit();
    let quarry = copied(&repo, SITE, "quenderby", "quarry");
    repo.edit(NORTH, "site: quenderby", "site: quarry");
    let shore = "plans/site/quenderby-shoreline.geojson";
    let other = "plans/site/quarry-shoreline.geojson";
    // The same shoreline under another name is the same.
    repo.write(other, &repo.read(shore));
    let text = repo
        .read(&quarry)
        .replace("quenderby-shoreline", "quarry-shoreline");
    repo.write(&quarry, &text);
    let (_, report) = repo.json(&["review", &base]);
    let found = of_rule(&report, "site-copied");
    assert_eq!(found.len(), 1, "{report:#}");
    assert_eq!(found[0]["severity"], "advice", "{found:#?}");
    // Other bytes are not.
    repo.write(other, &format!("{}\n", repo.read(shore)));
    let (status, report) = repo.json(&["review", &base]);
    let found = of_rule(&report, "site-copied");
    assert_eq!(
        (status, found[0]["severity"].as_str()),
        (1, Some("warning")),
        "{found:#?}"
    );
    assert!(
        found[0]["steps"].to_string().contains("shoreline, file"),
        "{found:#?}"
    );
}

/// Fingerprints are whole digests, and so are the findings that a baseline takes in.
#[test]
#[ignore = "slow"]
fn what_a_baseline_takes_in_is_known_by_whole_digests() {
    let repo = short(60);
    baseline(&repo);
    let text = repo.read("baseline.yaml");
    let prints: Vec<&str> = text
        .lines()
        .filter_map(|line| {
            line.trim()
                .strip_prefix("- fingerprint: \"")?
                .strip_suffix('"')
        })
        .collect();
    assert!(
        !prints.is_empty() && prints.iter().all(|one| one.len() == 64),
        "{text}"
    );
    assert_eq!(repo.json(&["check", "."]).0, 0);
    // The beginning of one is none.
    repo.write("baseline.yaml", &text.replace(prints[0], &prints[0][..24]));
    assert_eq!(repo.json(&["check", "."]).0, 2);
    // Nor is one of other last digits that of a finding.
    let last = if prints[0].ends_with('0') { "1" } else { "0" };
    let other = format!("{}{last}", &prints[0][..63]);
    repo.write("baseline.yaml", &text.replace(prints[0], &other));
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(status, 1);
    assert!(
        standing(&report).contains(&"baseline-fixed".to_owned()),
        "{report:#}"
    );
}

/// The first digits of a digest confirm a plan where they are those of one plan alone.
#[test]
#[ignore = "slow"]
fn the_first_digits_of_several_digests_confirm_none() {
    let repo = Repo::new();
    let digest = repo.run(&["digest", "north-bay-lines", "--whole"]).1;
    let digest = digest.trim();
    let typed = |digits: &str| decided(&repo, "north-bay-lines", &with(&[("--digest", digits)])).1;
    let decision = typed(&digest[..8]);
    assert_eq!(reasons(&decision), Vec::<String>::new(), "{decision}");
    assert!(
        decision["taken"]
            .to_string()
            .contains("first 8 digits of 64"),
        "{decision}"
    );
    // A decision on another plan whose digest begins alike.
    let path = decision["record"].as_str().unwrap();
    let other = format!("{}{}", &digest[..8], "0".repeat(56));
    repo.write(path, &repo.read(path).replace(digest, &other));
    let refused = |digits: &str| {
        let decision = typed(digits);
        let all = decision["reasons"].as_array().unwrap();
        let of = all.iter().filter(|one| one["rule"] == "another-plan");
        of.map(|one| one["says"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    let said = refused(&digest[..8]);
    assert!(
        said.len() == 1 && said[0].contains("type all 64"),
        "{said:?}"
    );
    assert_eq!(refused(digest), Vec::<String>::new());
    assert_eq!(refused(&digest[..20]), Vec::<String>::new());
}
