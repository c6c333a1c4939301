//! What a begun mission leaves open is refused by a check, each gap on its line, until it is there.

use serde_json::Value as Json;

use super::Folder;

/// Three points, of which none says that it is the launch or the recovery point.
const PLAIN: &str = r#"<?xml version="1.0"?>
<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">
 <wpt lat="52.3991" lon="-24.3090"><name>beside</name></wpt>
 <rte><name>To the bay</name>
  <rtept lat="52.398033" lon="-24.308835"><name>bay mouth</name></rtept>
  <rtept lat="52.398271" lon="-24.308195"/>
  <rtept lat="52.396769" lon="-24.309569"><name>1</name></rtept>
 </rte>
</gpx>
"#;

fn begun(folder: &Folder) -> String {
    folder.write("plain.gpx", PLAIN);
    std::fs::create_dir_all(folder.path().join("missions")).unwrap();
    let import = [
        "import",
        "route",
        "plain.gpx",
        "--vessel",
        "goosander",
        "--site",
        "quenderby",
        "-o",
        "missions/begun.yaml",
    ];
    let (status, told, complaint) = folder.told(&import);
    assert_eq!(status, 0, "{complaint}");
    let due = "missions/begun.yaml begins mission To-the-bay with 3 points; fill in 10 fields.\n";
    assert_eq!(told, due);
    // It is not written over.
    let (status, _, complaint) = folder.told(&import);
    assert_eq!(status, 64);
    assert!(complaint.contains("exists already"), "{complaint}");
    folder.read("missions/begun.yaml")
}

/// Lines with an error in the mission, and whether it was judged.
fn checked(folder: &Folder) -> (Vec<u64>, bool) {
    let (_, text, _) = folder.told(&["check", "--format", "json"]);
    let report: Json = serde_json::from_str(&text).unwrap();
    let all = report["findings"].as_array().unwrap();
    let lines = all.iter().filter(|finding| {
        let rule = finding["rule"].as_str().unwrap();
        rule.starts_with("input-")
    });
    let mut lines: Vec<u64> = lines
        .map(|finding| {
            finding["primary"]["location"]["start"]["line"]
                .as_u64()
                .unwrap_or_else(|| panic!("{finding}"))
        })
        .collect();
    lines.sort_unstable();
    (lines, !report["missions"].as_array().unwrap().is_empty())
}

#[test]
fn every_gap_is_refused_on_its_line_until_it_is_filled() {
    let folder = Folder::of(&[]);
    let text = begun(&folder);
    insta::assert_snapshot!("begun", text);
    let mut gaps: Vec<u64> = (1u64..)
        .zip(text.lines())
        .filter(|(_, line)| line.contains(": # to be filled: ") && !line.trim().starts_with('#'))
        .map(|(number, _)| number)
        .collect();
    assert_eq!(gaps.len(), 10);
    assert_eq!(checked(&folder), (gaps.clone(), false));
    // Filled one after the other, from the last to the first, so that the lines stay.
    let values = [
        "west-slip",
        "2027-06-15T09:30",
        "2027-06-15T11:30",
        "west-slip",
        "2027-06-14",
        "240°",
        "4 m/s",
        "7 m/s",
        "5 km",
        "14 °C",
    ];
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for value in values.iter().rev() {
        let line = &mut lines[usize::try_from(gaps.pop().unwrap()).unwrap() - 1];
        *line = line.replace(": # to be filled", &format!(": {value} # filled"));
        folder.write("missions/begun.yaml", lines.join("\n"));
        let (found, judged) = checked(&folder);
        assert_eq!(found, gaps, "{}", lines.join("\n"));
        assert_eq!(judged, gaps.is_empty());
    }
    // What else is open is requested by the rules: it does not pass.
    assert_eq!(folder.told(&["check"]).0, 1);
}

/// Every comment that stands for a field names one of the schema, and taken out of the comment it is
/// a gap as well.
#[test]
#[ignore = "slow"]
fn a_field_in_a_comment_is_a_gap_once_it_is_begun() {
    let folder = Folder::of(&[]);
    let text = begun(&folder);
    let mut tried = 0;
    for (index, line) in text.lines().enumerate() {
        let field = line
            .trim_start()
            .strip_prefix("# ")
            .and_then(|rest| rest.split_once(": # "));
        let (Some(at), Some(_)) = (line.find("# "), field) else {
            continue;
        };
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        lines[index] = format!("{}{}", &line[..at], &line[at + 2..]);
        folder.write("missions/begun.yaml", lines.join("\n"));
        let (found, _) = checked(&folder);
        let number = u64::try_from(index + 1).unwrap();
        assert!(found.contains(&number), "{line}: {found:?}");
        tried += 1;
    }
    assert!(tried > 20, "{tried}");
}

#[test]
fn a_route_that_looks_wrong_for_its_site_is_told() {
    let folder = Folder::of(&["north-bay-lines"]);
    let line = |a: &str, b: &str| format!(r#"{{"type":"LineString","coordinates":[[{a}],[{b}]]}}"#);
    folder.write(
        "right.geojson",
        line("-24.3088,52.3980", "-24.3081,52.3982"),
    );
    folder.write(
        "turned.geojson",
        line("52.3980,-24.3088", "52.3982,-24.3081"),
    );
    folder.write("far.geojson", line("10.1,60.2", "10.1,60.3"));
    let told = |file: &str, id: &str| {
        let import = [
            "import",
            "route",
            file,
            "--id",
            id,
            "--vessel",
            "goosander",
            "--site",
            "quenderby",
        ];
        let (status, _, told) = folder.told(&import);
        assert_eq!(status, 0, "{told}");
        told
    };
    assert_eq!(told("right.geojson", "new"), "");
    let turned = told("turned.geojson", "new");
    assert!(
        turned.contains("km from the nearest launch site of site `quenderby`"),
        "{turned}"
    );
    assert!(
        turned.contains("with latitude and longitude swapped it is near"),
        "{turned}"
    );
    let far = told("far.geojson", "new");
    assert!(
        far.contains("check that this is the intended route and site"),
        "{far}"
    );
    let taken = told("right.geojson", "north-bay-lines");
    assert!(
        taken.contains("missions/north-bay-lines.yaml has the id `north-bay-lines` already"),
        "{taken}"
    );
    assert_eq!(taken.matches("already").count(), 1, "{taken}");
}
