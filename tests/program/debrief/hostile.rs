//! Tracks that hold nothing, too much, or what they should not.

use std::time::{Duration, Instant};

use super::made::{Making, csv, run};
use super::{debrief, offing, told};

const HEAD: &str = "utc,lat,lon,pack_v,pack_a,depth_m,control_dbm\n";

/// Exit status and error of a debrief of a text.
fn refused(text: &str) -> (i32, String) {
    let folder = crate::shared::scratch::folder().unwrap();
    let file = folder.path().join("track.csv");
    std::fs::write(&file, text).unwrap();
    let came = debrief(&file, &[]);
    assert_eq!(came.out, "", "{text}");
    (came.status, came.err)
}

fn row(time: &str, place: &str) -> String {
    format!("{time},{place},16,3,5,-60\n")
}

#[test]
#[ignore = "slow"]
fn what_tells_nothing_is_refused_with_its_reason() {
    let at = "52.404486,-24.289770";
    let one = row("2027-06-22T10:40:00Z", at);
    for (text, due) in [
        (String::new(), "the file is empty"),
        (HEAD.to_owned(), "no fix with a time and a position"),
        (format!("{HEAD}{one}"), "no two usable fixes"),
        (format!("{HEAD}{one}{one}{one}"), "no two usable fixes"),
        (
            format!("{HEAD}{}", row("2027-06-22T10:40:00Z", "NaN,1")),
            "line 2: `NaN` is not a number",
        ),
        (
            format!("{HEAD}{}", row("2027-06-22T10:40:00Z", "52.4,inf")),
            "line 2: `inf` is not a number",
        ),
        (
            format!("{HEAD}{}", row("2027-06-22T10:40:00Z", "52.4,-240.1")),
            "line 2: latitude 52.4, longitude -240.1 is not on the earth",
        ),
        (
            format!("{HEAD}{}", row("soon", at)),
            "line 2: `soon` is not a point in time",
        ),
        ("lat,lon\n1,2\n".to_owned(), "no column is headed `utc`"),
    ] {
        let (status, err) = refused(&text);
        assert_eq!(status, 2, "{due}: {err}");
        assert!(
            err.contains("track.csv: ") && err.contains(due),
            "{due}: {err}"
        );
    }
}

/// A recorder that loses its power in the middle of a row costs that row, and no run.
#[test]
fn a_last_row_that_was_cut_off_costs_no_run() {
    let text = csv(&run(&Making::default()));
    let (status, json) = told(&text[..text.len() - 25]);
    assert_eq!(status, 0, "{json}");
    let cleaned = json["track"]["cleaned"].as_array().unwrap();
    assert!(
        cleaned
            .iter()
            .any(|one| one == "1 × a last row that was cut off, left out"),
        "{cleaned:?}"
    );
}

#[test]
fn rows_back_to_front_are_told_as_such() {
    let text = csv(&run(&Making::default()));
    let rows: Vec<&str> = text.lines().skip(1).collect();
    let back: Vec<&str> = rows.into_iter().rev().collect();
    let (status, err) = refused(&format!("{HEAD}{}\n", back.join("\n")));
    assert_eq!(status, 2);
    assert!(err.contains("its times run backwards"), "{err}");
}

/// The made run with every place put elsewhere.
fn elsewhere(place: impl Fn(f64, f64) -> (f64, f64)) -> String {
    let mut rows = run(&Making::default());
    for row in &mut rows {
        (row.latitude, row.longitude) = place(row.latitude, row.longitude);
    }
    csv(&rows)
}

#[test]
#[ignore = "slow"]
fn a_track_of_somewhere_else_is_refused_and_a_mirrored_one_is_known() {
    let (status, err) = refused(&elsewhere(|latitude, longitude| (longitude, latitude)));
    assert!(
        status == 2 && err.contains("latitude and longitude swapped"),
        "{err}"
    );
    for far in [0.05, 3.0, 60.0] {
        let (status, err) = refused(&elsewhere(|latitude, longitude| {
            (latitude - far, longitude)
        }));
        assert!(
            status == 2 && err.contains("not of this mission"),
            "{far}: {err}"
        );
    }
}

#[test]
fn times_that_run_backwards_are_no_run() {
    let mut rows = run(&Making::default());
    let times: Vec<_> = rows.iter().rev().map(|row| row.time).collect();
    for (row, time) in rows.iter_mut().zip(times) {
        row.time = time;
    }
    let (status, err) = refused(&csv(&rows));
    assert!(
        status == 2 && err.contains("its times run backwards"),
        "{err}"
    );
}

#[test]
fn a_fix_far_off_is_taken_out_and_counted() {
    let text = csv(&run(&Making::default()));
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let cells: Vec<String> = lines[200].split(',').map(str::to_owned).collect();
    lines[200] = format!("{},0.0,0.0,{}", cells[0], cells[3..].join(","));
    let cells: Vec<String> = lines[300].split(',').map(str::to_owned).collect();
    lines[300] = format!("{},52.41,-24.30,{}", cells[0], cells[3..].join(","));
    let (_, json) = told(&(lines.join("\n") + "\n"));
    let cleaned = json["track"]["cleaned"].to_string();
    assert!(
        cleaned.contains("farther from the site") && cleaned.contains("out of the boat's reach"),
        "{cleaned}"
    );
    assert!(json["whole"]["not_judged"].is_null(), "{}", json["whole"]);
}

#[test]
#[ignore = "slow"]
fn a_million_rows_are_read_or_refused_in_time() {
    let begun = Instant::now();
    let mut text = String::from(HEAD);
    for second in 0..1_000_001 {
        let (minutes, seconds) = (second / 60, second % 60);
        let (hours, minutes) = (minutes / 60, minutes % 60);
        let (days, hours) = (hours / 24, hours % 24);
        text.push_str(&format!(
            "2027-06-{:02}T{hours:02}:{minutes:02}:{seconds:02}Z,52.404259,-24.289588,,,,\n",
            1 + days
        ));
    }
    let (status, err) = refused(&text);
    assert!(
        status == 2 && err.contains("more than 1000000 rows"),
        "{err}"
    );
    let cut = text.len() - 60;
    let folder = crate::shared::scratch::folder().unwrap();
    let file = folder.path().join("track.csv");
    std::fs::write(&file, &text[..=text[..cut].rfind('\n').unwrap()]).unwrap();
    let came = debrief(&file, &[]);
    assert_eq!((came.status, came.err.as_str()), (2, ""));
    assert!(
        came.out
            .contains("The run was left on the leg to the recovery point"),
        "{}",
        came.out
    );
    assert!(
        begun.elapsed() < Duration::from_secs(240),
        "{:?}",
        begun.elapsed()
    );
}

#[test]
#[ignore = "slow"]
fn what_a_terminal_or_a_page_would_act_on_is_shown_and_not_acted_on() {
    let (_, err) = refused(&format!("{HEAD}\u{1b}[31mred\u{7},1,1,,,,\n"));
    assert!(!err.contains('\u{1b}') && !err.contains('\u{7}'), "{err:?}");
    let folder = crate::shared::scratch::folder().unwrap();
    let file = folder.path().join("<script>x|`y` \u{202e}.csv");
    std::fs::write(&file, csv(&run(&Making::default()))).unwrap();
    for form in ["terminal", "json", "markdown", "html"] {
        let came = debrief(&file, &["--format", form]);
        assert!(came.out.contains("script"), "{form}: {}", came.err);
        assert!(!came.out.contains('\u{202e}'), "{form}");
        if form == "html" || form == "markdown" {
            assert!(!came.out.contains("<script>"), "{form}");
        }
    }
}

#[test]
fn the_words_of_the_command_line_are_held_to() {
    let track = "plans/tracks/dam-to-bay-transects-20270622.csv";
    let run = |arguments: &[&str]| {
        let ran = offing(arguments);
        (
            ran.status.code().unwrap(),
            String::from_utf8(ran.stderr).unwrap(),
        )
    };
    let of = |mission: &'static str, track: &'static str, more: &[&'static str]| {
        let start = ["debrief", mission, "--plans", "plans", "--track", track];
        run(&[&start[..], more].concat())
    };
    let (mission, columns) = (super::MISSION, ["--columns", super::COLUMNS]);
    let (status, err) = of(mission, track, &[]);
    assert!(status == 64 && err.contains("--columns"), "{err}");
    let (status, err) = of("nobody", track, &columns);
    assert!(status == 64 && err.contains("no mission `nobody`"), "{err}");
    let (status, err) = of(mission, "plans", &columns);
    assert!(status == 2 && err.contains("this is a folder"), "{err}");
    let (status, err) = of(mission, track, &["--columns", "plans/policy/team.yaml"]);
    assert!(
        status == 2 && err.contains("plans/policy/team.yaml: line "),
        "{err}"
    );
    let elsewhere = [&columns[..], &["-o", "no/such/folder/x.html"]].concat();
    let (status, err) = of(mission, track, &elsewhere);
    assert!(status == 74, "{err}");
}
