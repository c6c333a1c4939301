//! Areas made into survey blocks: spacing, direction, room for turns, and what is closed cut out.

use super::*;

fn options() -> AreaOptions {
    AreaOptions {
        crs: None,
        id: "bay".to_owned(),
        depth: Length::metres(4.0),
        beam: Angle::degrees(90.0),
        overlap: Ratio::fraction(0.2),
        along: Along::Stated(Towards::new(Angle::ZERO)),
        turn_room: Length::ZERO,
        clear_of_keep_outs: Length::ZERO,
        clear_of_land: Some(Length::metres(20.0)),
        launch_site: None,
    }
}

/// Metres east and north of a place, as degrees.
fn at(x: f64, y: f64) -> Position {
    Plane::about(Position::from_degrees(52.0, -24.0)).to_position(Point::new(x, y))
}

fn polygon(corners: &[(f64, f64)]) -> String {
    let mut corners = corners.to_vec();
    corners.push(corners[0]);
    let all: Vec<String> = corners
        .iter()
        .map(|(x, y)| {
            let at = at(*x, *y);
            format!(
                "[{:.9}, {:.9}]",
                at.longitude.to_degrees(),
                at.latitude.to_degrees()
            )
        })
        .collect();
    format!(
        "{{ \"type\": \"Polygon\", \"coordinates\": [[{}]] }}",
        all.join(", ")
    )
}

const FIELD: [(f64, f64); 4] = [(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)];

fn import(text: &str, options: &AreaOptions, closed: &[KeepOut]) -> Result<AreaImport, Fault> {
    import_area(text.as_bytes().to_vec(), "f.geojson", options, closed)
}

#[test]
fn an_area_far_from_its_site_is_refused_and_one_by_it_is_not() {
    let by = |latitude, longitude| AreaOptions {
        launch_site: Some((
            "steps".to_owned(),
            Position::from_degrees(latitude, longitude),
        )),
        ..options()
    };
    assert!(import(&polygon(&FIELD), &by(52.1, -24.1), &[]).is_ok());
    let told = |options: &AreaOptions| import(&polygon(&FIELD), options, &[]).unwrap_err();
    let far = told(&by(52.0, -23.0));
    assert!(
        far.message
            .contains("more than 20 km from launch site `steps`; is it the site"),
        "{far:?}"
    );
    assert_eq!(far.place, Place::Line(1, 39));
    let swapped = told(&by(-24.0, 52.0));
    assert!(
        swapped
            .message
            .ends_with("latitude and longitude are swapped"),
        "{swapped:?}"
    );
}

/// The corners of each block in metres, to the metre, in order from the least.
fn blocks(came: &AreaImport) -> Vec<Vec<(i64, i64)>> {
    let plane = Plane::about(Position::from_degrees(52.0, -24.0));
    let lines = came
        .text
        .lines()
        .filter_map(|line| line.trim().strip_prefix("area: "));
    let corners = |line: &str| {
        let numbers: Vec<f64> = line
            .split(['[', ']', ',', ' '])
            .filter_map(|one| one.parse().ok())
            .collect();
        let mut all: Vec<(i64, i64)> = numbers
            .chunks(2)
            .map(|pair| {
                let point = plane.to_plane(Position::from_degrees(pair[0], pair[1]));
                (point.x.round() as i64, point.y.round() as i64)
            })
            .collect();
        all.sort_unstable();
        all
    };
    lines.map(corners).collect()
}

fn keep_out(corners: &[(f64, f64)]) -> KeepOut {
    KeepOut {
        id: "keep-out reeds".to_owned(),
        outline: corners.iter().map(|(x, y)| at(*x, *y)).collect(),
    }
}

/// A beam of 90° lights up twice the depth (2 d tan 45°); a fifth of that overlaps.
#[test]
fn spacing_follows_from_depth_beam_and_overlap() {
    let came = import(&polygon(&FIELD), &options(), &[]).unwrap();
    assert!(
        came.text.contains("      spacing: 6.4 m\n"),
        "{}",
        came.text
    );
    assert!(
        came.text.contains("      clear_of_land: 20 m\n"),
        "{}",
        came.text
    );
    assert!(
        came.text.contains("  - id: bay\n    survey:\n"),
        "{}",
        came.text
    );
    assert_eq!(blocks(&came), [[(0, 0), (0, 100), (200, 0), (200, 100)]]);
    let open = AreaOptions {
        clear_of_land: None,
        ..options()
    };
    let came = import(&polygon(&FIELD), &open, &[]).unwrap();
    assert!(came.text.contains("clear_of_land: # to be filled"));
}

/// By hand: 2 × 77.3 m × tan 45° = 154.6 m, four fifths of it 123.68 m. 124 m would leave less overlap than was
/// asked for, and 102 m less room than 102.4 m.
#[test]
fn a_wide_spacing_and_a_stand_off_keep_their_tenths() {
    let options = AreaOptions {
        depth: Length::metres(77.3),
        clear_of_land: Some(Length::metres(102.4)),
        ..options()
    };
    let came = import(&polygon(&FIELD), &options, &[]).unwrap().text;
    for line in ["      spacing: 123.6 m\n", "      clear_of_land: 102.4 m\n"] {
        assert!(came.contains(line), "{came}");
    }
}

#[test]
fn lines_run_along_the_wind_or_the_longest_side() {
    let direction = |along| {
        let came = import(&polygon(&FIELD), &AreaOptions { along, ..options() }, &[]).unwrap();
        let line = came
            .text
            .lines()
            .find_map(|line| line.trim().strip_prefix("direction: "));
        line.unwrap().to_owned()
    };
    assert_eq!(direction(Along::LongestSide), "090°");
    assert_eq!(
        direction(Along::Wind(FromDirection::new(Angle::degrees(240.0)))),
        "060°"
    );
    assert_eq!(
        direction(Along::Stated(Towards::new(Angle::degrees(12.34)))),
        "012.3°"
    );
}

#[test]
fn turns_lie_outside_of_the_area() {
    let with = |turn_room, degrees| AreaOptions {
        turn_room: Length::metres(turn_room),
        along: Along::Stated(Towards::new(Angle::degrees(degrees))),
        ..options()
    };
    let came = import(&polygon(&FIELD), &with(10.0, 0.0), &[]).unwrap();
    assert_eq!(
        blocks(&came),
        [[(0, -10), (0, 110), (200, -10), (200, 110)]]
    );
    let came = import(&polygon(&FIELD), &with(10.0, 90.0), &[]).unwrap();
    assert_eq!(
        blocks(&came),
        [[(-10, 0), (-10, 100), (210, 0), (210, 100)]]
    );
    // A corner upwards moves as a whole; a notch from above gets shallower at its sides, and stays as wide.
    let roof = [
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 100.0),
        (100.0, 150.0),
        (0.0, 100.0),
    ];
    let came = import(&polygon(&roof), &with(10.0, 0.0), &[]).unwrap();
    assert_eq!(
        blocks(&came)[0],
        [(0, -10), (0, 110), (100, 160), (200, -10), (200, 110)]
    );
    // A notch from the side is filled from above and below.
    let notch = [
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 40.0),
        (100.0, 100.0),
        (200.0, 160.0),
        (200.0, 200.0),
        (0.0, 200.0),
    ];
    let came = import(&polygon(&notch), &with(12.0, 0.0), &[]).unwrap();
    let due = [
        (0, -12),
        (0, 212),
        (120, 100),
        (200, -12),
        (200, 52),
        (200, 148),
        (200, 212),
    ];
    assert_eq!(blocks(&came)[0], due);
    let told = import(&polygon(&notch), &with(70.0, 0.0), &[]).unwrap_err();
    assert!(told.message.contains("a notch along the lines"), "{told:?}");
}

#[test]
fn what_is_closed_is_cut_out_and_told_where_it_cuts() {
    let with = AreaOptions {
        clear_of_keep_outs: Length::metres(5.0),
        ..options()
    };
    // In the middle: before and behind it, and on both sides.
    let inside = keep_out(&[(80.0, 40.0), (120.0, 40.0), (120.0, 60.0), (80.0, 60.0)]);
    let came = import(&polygon(&FIELD), &with, &[inside]).unwrap();
    assert_eq!(
        blocks(&came),
        [
            vec![(0, 0), (0, 100), (75, 0), (75, 100)],
            vec![(75, 0), (75, 35), (125, 0), (125, 35)],
            vec![(75, 65), (75, 100), (125, 65), (125, 100)],
            vec![(125, 0), (125, 100), (200, 0), (200, 100)],
        ]
    );
    assert!(came.text.contains("  - id: bay-4\n"));
    assert_eq!(
        came.notes,
        ["keep-out reeds lies in the area: the lines stay clear of it"]
    );
    // Over a corner: told where it cuts.
    let corner = keep_out(&[(150.0, 80.0), (250.0, 80.0), (250.0, 150.0), (150.0, 150.0)]);
    let came = import(&polygon(&FIELD), &with, std::slice::from_ref(&corner)).unwrap();
    assert_eq!(blocks(&came).len(), 2);
    let (east, north) = (at(200.0, 80.0), at(150.0, 100.0));
    for place in [east, north] {
        let due = shown_position(place.latitude.to_degrees(), place.longitude.to_degrees());
        assert!(came.notes[0].contains(&due[..9]), "{due}: {:?}", came.notes);
    }
    assert!(
        came.notes[0].starts_with("keep-out reeds cuts the area at ["),
        "{:?}",
        came.notes
    );
    // Far off, and all over it.
    let far = keep_out(&[(300.0, 80.0), (350.0, 80.0), (350.0, 150.0)]);
    let came = import(&polygon(&FIELD), &with, &[far]).unwrap();
    assert!(came.notes.is_empty() && blocks(&came).len() == 1);
    let all = keep_out(&[
        (-10.0, -10.0),
        (300.0, -10.0),
        (300.0, 150.0),
        (-10.0, 150.0),
    ]);
    let told = import(&polygon(&FIELD), &with, &[all]).unwrap_err();
    assert!(
        told.message.starts_with("nothing of the area is left"),
        "{told:?}"
    );
}

#[test]
fn what_is_no_area_is_refused() {
    let line = "{ \"type\": \"LineString\",\n\"coordinates\": [[1, 2], [1, 2.001], [1.001, 2]] }";
    let told = import(line, &options(), &[]).unwrap_err().shown("f");
    assert!(
        told.starts_with("f:2:17: an area is a ring that ends where it begins"),
        "{told}"
    );
    let two = format!(
        "{{ \"type\": \"GeometryCollection\", \"geometries\": [{}, {}] }}",
        polygon(&FIELD),
        polygon(&FIELD)
    );
    let told = import(&two, &options(), &[]).unwrap_err();
    assert!(
        told.message.contains("a second outline begins here"),
        "{told:?}"
    );
    let eight = polygon(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
    let told = import(&eight, &options(), &[]).unwrap_err();
    assert!(
        told.message.contains("the outline is not valid"),
        "{told:?}"
    );
    let shallow = AreaOptions {
        depth: Length::metres(0.01),
        ..options()
    };
    let told = import(&polygon(&FIELD), &shallow, &[]).unwrap_err();
    assert!(
        told.message.starts_with("lines would be 0.02 m apart"),
        "{told:?}"
    );
}
