//! Trials by speeds and by times, and what is refused of them.

use super::*;
use crate::units::Dimension;

fn options(ran: Ran) -> TrialOptions {
    TrialOptions {
        setting: "throttle".to_owned(),
        ran,
        power: Wanted::parse("watts in W", Dimension::POWER).unwrap(),
        date: "2027-04-24".parse().unwrap(),
    }
}

fn by_time() -> TrialOptions {
    let wanted = Wanted::parse("time in s", Dimension::TIME).unwrap();
    options(Ran::Time(wanted, Length::metres(50.0)))
}

fn by_speed() -> TrialOptions {
    options(Ran::Speed(
        Wanted::parse("v in km/h", Dimension::SPEED).unwrap(),
    ))
}

fn import(text: &str, options: &TrialOptions) -> Result<TrialImport, Fault> {
    import_trial(text.as_bytes().to_vec(), "t.csv", options)
}

/// The runs of the page on measuring: four of 50 m at 33.4 W with a hotel load of 8 W.
const SHEET: &str = "throttle,time,watts
off,,8.0
half,45.2,33.5
half,54.6,33.3
half,46.0,33.5
half,53.9,33.3
full,33.0,106
full,33.6,106
";

#[test]
fn runs_there_and_back_become_points_on_the_safe_side() {
    let import = import(SHEET, &by_time()).unwrap();
    // (1.106 + 3 × 0.916 + 3 × 1.087 + 0.928) / 8 = 1.005 m/s, worked out by hand on that page.
    assert_eq!(
        import.text,
        "# 2 speeds of 6 runs imported from t.csv; speeds rounded down, powers up
propulsion:
  trial:
    date: 2027-04-24
    points:
      - { speed: 1 m/s, power: 25.4 W }
      - { speed: 1.5 m/s, power: 98 W }
hotel_load: 8 W
"
    );
    assert!(import.notes.is_empty(), "{:?}", import.notes);
    assert_eq!(
        import.summary,
        "2 speeds of 6 runs, from 1 m/s to 1.5 m/s; hotel load 8 W"
    );
}

#[test]
fn speeds_in_any_order_are_read_in_their_unit() {
    let sheet =
        "v;watts;throttle\n5.4;106;full\n5.5;106;full\n3.7;34;half\n3.6;34.2;half\n0;8.04;-\n";
    let import = import(sheet, &by_speed()).unwrap();
    assert!(
        import.text.contains(
            "      - { speed: 1.01 m/s, power: 26.1 W }\n      - { speed: 1.51 m/s, power: 98 W }\n"
        ),
        "{}",
        import.text
    );
    assert!(
        import.text.ends_with("hotel_load: 8.1 W\n"),
        "{}",
        import.text
    );
}

/// A quantity is shown with three digits, which would take the last off a great power.
#[test]
fn no_digit_of_a_power_is_lost_to_the_kind_side() {
    let import = import(&SHEET.replace("106", "217.34"), &by_time()).unwrap();
    assert!(import.text.contains("power: 209.4 W }"), "{}", import.text);
}

#[test]
fn runs_that_were_no_calm_trial_are_told() {
    let import = import(&SHEET.replace("46.0", "50.0"), &by_time()).unwrap();
    assert_eq!(import.notes.len(), 1, "{:?}", import.notes);
    assert!(
        import.notes[0].contains("at the setting half differ by 10 %"),
        "{:?}",
        import.notes
    );
}

#[test]
fn what_is_no_trial_is_refused_on_its_line() {
    for (sheet, says) in [
        (
            SHEET.replace("off,,8.0\n", ""),
            "f: no row is of the motors off",
        ),
        (
            SHEET.replace("full,33.6,106\n", ""),
            "f:7:1: the setting full has 1 run; one is run 2 to 8 times",
        ),
        (
            SHEET.replace("33.0", "0.33"),
            "f:7:6: `0.33` makes 151.52 m/s, which no such boat runs",
        ),
        (SHEET.replace("33.0", "fast"), "f:7:6: `fast` is no time"),
        (SHEET.replace("33.0", "-33"), "f:7:6: `-33` makes"),
        (SHEET.replace("33.6,106", "33.6,"), "f:8:11: `` is no power"),
        (
            SHEET.replace("106", "7"),
            "f:7:1: the setting full takes no more than the motors off do, 8.0 W",
        ),
        (SHEET.replace("106", "20"), "the faster takes more power"),
        (SHEET.replace("full", ""), "f:7:1: the run has no setting"),
        (
            SHEET.replace("full", "half"),
            "a trial has 2 to 100 settings, and the file has 1",
        ),
        (
            SHEET.replace("watts", "power"),
            "f:1:1: no column is headed `watts`",
        ),
        (
            "throttle,time,watts\n".to_owned(),
            "f: the file holds no row",
        ),
    ] {
        let said = import(&sheet, &by_time()).unwrap_err().shown("f");
        assert!(
            said.starts_with("f:") && said.contains(says),
            "{says}: {said}"
        );
    }
}
