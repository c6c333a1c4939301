//! The messages of the chapter on troubleshooting, each printed by the program after a small mistake.

use super::markdown::parts;
use super::session::Session;
use super::text_of;

const CHAPTER: &str = "docs/how-to/troubleshooting.md";

/// Puts the minimal repository under git.
const GIT: &str = "git init -q -b main && git -c user.name=team -c user.email=team@example.com add --all && git -c \
                   user.name=team -c user.email=team@example.com commit -qm one";
/// Readings that would do.
const WIND: &str = "--wind '270° 2 m/s gust 3.5 m/s at 2 m'";
/// A launch in good time, by the person in charge.
const ON_TIME: &str = "--at 2027-05-04T10:05 --now 2027-05-04T10:00";

/// Each mistake as commands in a copy of the minimal repository.
fn mistakes() -> Vec<String> {
    let check = "offing check . --short --width 400";
    // What stands in a file, and what is put there.
    let edits: &[(&str, &str)] = &[
        ("boat.yaml", "s/beam: 0.35 m/beam: 0.35/"),
        ("boat.yaml", "s/beam: 0.35 m/beam: 0.35 kg/"),
        ("boat.yaml", "s/beam: 0.35 m/beam: 0.35 mtr/"),
        ("boat.yaml", "s/beam: 0.35 m/beam: 0,35 m/"),
        ("boat.yaml", "s/beam: 0.35 m/beam: 35 m/"),
        ("boat.yaml", "s/beam: 0.35 m/beam:/"),
        ("boat.yaml", "/beam: 0.35 m/d"),
        ("boat.yaml", "s/^  beam/\\tbeam/"),
        ("boat.yaml", "s/^hotel_load: 6 W/&\\n&/"),
        ("boat.yaml", "s/format: 1/format: 2/"),
        ("boat.yaml", "/^  usable_fraction/d"),
        ("pond.yaml", "/^time_zone/d"),
        ("pond.yaml", "s/, depth: 0.8 m//"),
        (
            "pond-shoreline.geojson",
            "0,/-24.40290, 52.29950/s//-24.40290, 52.29960/",
        ),
        ("first-lines.yaml", "s/path: straight/path: strait/"),
        ("first-lines.yaml", "s/mean: 3 m/maen: 3 m/"),
        ("first-lines.yaml", "s/^charged/other_users_told: []\\n&/"),
        ("first-lines.yaml", "s/^kind: mission/kind mission/"),
        ("first-lines.yaml", "s/^vessel: boat/vessel: boaty/"),
        (
            "first-lines.yaml",
            "s/time: 2027-05-04T10:00Z/time: 4.5.2027 10:00/",
        ),
        (
            "first-lines.yaml",
            "s/at: .52.299950, -24.402500., speed/at: [-124.402500, 52.299950], speed/",
        ),
        (
            "first-lines.yaml",
            "s/at: .52.299950, -24.402500., speed/at: [-24.402500, 52.299950], speed/",
        ),
    ];
    let mut all: Vec<String> = edits
        .iter()
        .map(|(file, edit)| format!("sed -i '{edit}' {file}; {check}"))
        .collect();
    let signed = "approvals: { signers: signers, needed: [survey lead] }";
    let policy = |more: &str| {
        format!(
            "printf 'kind: policy\\nformat: 1\\nid: team\\nextends: builtin\\nrules: {{}}\\n{more}\\n' > team.yaml"
        )
    };
    let key = "echo survey-lead ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIE0K0v7bQG1u1j0g3V6y7Yw5fV4m3Q2Jc1x5s7m9aBcD > signers";
    let launch = |options: &str| {
        format!("offing launch first-lines {options} --by 'survey lead' < /dev/null")
    };
    let ready = launch(&format!("{ON_TIME} {WIND} --battery '16.4 V'"));
    let columns = "printf 'kind: track-columns\\nformat: 1\\ntime: { column: utc, written: ISO 8601 }\\nlatitude: { \
                   column: lat }\\nlongitude: { column: lon }\\n' > c.yaml";
    let track = "printf 'utc,lat,lon\\n2027-05-04T10:05:00Z,52.39995,-24.40285\\n2027-05-04T10:05:20Z,52.39996,-24.40285\\n' \
                 > t.csv";
    let far_apart = "echo '{\"type\":\"LineString\",\"coordinates\":[[-24.4,52.3],[-24.39,52.3],[-24.39,52.31]]}' > l.geojson";
    all.extend([
        format!("rm pond-shoreline.geojson; {check}"),
        format!("cp first-lines.yaml again.yaml; {check}"),
        format!("rm first-lines.yaml; {check}"),
        format!("echo 'x: 1' > other.yaml; {check}"),
        "offing check missing-folder".to_owned(),
        "offing chek .".to_owned(),
        "offing explain stand-of".to_owned(),
        "offing review main".to_owned(),
        format!("{GIT}; offing review mian"),
        "mkdir runs; echo x > runs/README.md; offing init .".to_owned(),
        "offing import shoreline pond-shoreline.geojson -o pond-shoreline.geojson".to_owned(),
        "echo '1 2 3' > bed.xyz; offing import soundings bed.xyz --crs EPSG:4326 --unit m".to_owned(),
        "echo '1 2 3' > bed.xyz; offing import soundings bed.xyz --unit m --depths positive-down --datum x".to_owned(),
        format!("{far_apart}; offing import shoreline l.geojson"),
        ready.clone(),
        format!("{GIT}; echo '# x' >> boat.yaml; {ready}"),
        format!("{GIT}; {}", ready.replace("survey lead", "operator")),
        format!("{}; {GIT}; {ready}", policy("checklist: [gauge-set]")),
        format!("{}; {key}; {GIT}; {ready}", policy(signed)),
        format!("{}; {check}", policy(signed)),
        format!("{GIT}; {}", ready.replace(ON_TIME, "--at 2027-05-04T10:25 --now 2027-05-04T10:20")),
        format!("{GIT}; {}", ready.replace(ON_TIME, "--at 2027-05-04T10:05 --now 2027-05-04T07:00")),
        format!("{GIT}; {ready} > /dev/null; {ready}"),
        format!("{GIT}; {}", ready.replace(WIND, "")),
        format!("{GIT}; {}", ready.replace(WIND, "--wind '270 2 gust 3.5'")),
        format!("{GIT}; {}", ready.replace("16.4 V", "19 V")),
        format!(
            "{GIT}; {track}; {columns}; offing record first-lines --track t.csv --columns c.yaml --kept disk --outcome \
             completed --ended 2027-05-04T10:30 --by 'survey lead' --at 2027-05-04T12:00"
        ),
        "offing debrief first-lines --track boat.yaml".to_owned(),
        format!("{track}; {columns}; offing debrief first-lines --track t.csv --columns c.yaml"),
    ]);
    all
}

/// A text without its line breaks and indentation.
fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
#[ignore = "slow"]
fn every_message_is_one_that_the_program_prints() {
    let session = Session::new();
    let outputs: Vec<(String, String)> = mistakes()
        .into_iter()
        .enumerate()
        .map(|(number, mistake)| {
            let fresh = format!("cp -r ../offing/docs/start ../m{number} && cd ../m{number}");
            assert_eq!(session.run(&fresh), "");
            // Whatever a mistake begins with, it is one of this file's.
            let said = session.run(&format!("echo begin; {mistake}"));
            (mistake, in_one_line(&said))
        })
        .collect();
    let (blocks, _) = parts(CHAPTER, &text_of(CHAPTER));
    let messages: Vec<(usize, String)> = blocks
        .iter()
        .filter(|block| block.info == "message")
        .map(|block| (block.at, in_one_line(&block.lines.join(" "))))
        .collect();
    assert!(messages.len() >= 25, "only {} messages", messages.len());
    for (at, message) in &messages {
        assert!(
            outputs
                .iter()
                .any(|(_, said)| said.contains(message.as_str())),
            "{CHAPTER}:{at}: nothing prints: {message}\n{outputs:#?}"
        );
    }
    for (mistake, said) in &outputs {
        let known = messages
            .iter()
            .any(|(_, message)| said.contains(message.as_str()));
        assert!(known, "{mistake}: no message of the chapter is in: {said}");
    }
}

#[test]
fn every_message_says_what_to_do() {
    let text = text_of(CHAPTER);
    let mut after = text.split("```message\n").skip(1);
    assert!(after.all(|rest| {
        let (_, rest) = rest.split_once("```\n").unwrap();
        let said = rest.split("\n```").next().unwrap();
        said.trim()
            .lines()
            .next()
            .is_some_and(|line| line.ends_with(['.', '?', ':']) || line.len() > 20)
    }));
}
