//! Any text as a file of a route or a track: it is refused with a reason, or what is read is on the
//! earth, and begins a mission whose file parses.

#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::door::document::{ParseLimits, parse};
use offing::door::exchange::{Skeleton, id_of, parse_route, skeleton};
use offing::door::source::{Sources, checked_text};
use offing::door::track::{Cleaning, Columns, clean, read_csv, read_gpx};
use offing::door::units::Speed;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = checked_text("fuzzed", bytes) else {
        return;
    };
    match parse_route(&text) {
        Err(why) => assert!(!why.is_empty(), "refused without a reason"),
        Ok(found) => {
            assert!(found.points.len() >= 2);
            for point in &found.points {
                assert!(point.latitude.abs() <= 90.0 && point.longitude.abs() <= 180.0);
            }
            let id = id_of(&found, "fuzzed");
            let begun = Skeleton {
                id: &id,
                vessel: "v",
                site: "s",
                file: "fuzzed",
            };
            if let Ok((mission, _)) = skeleton(&begun, &found) {
                let source = Sources::new().add("mission.yaml", mission.as_str());
                assert!(
                    parse(source, &mission, &ParseLimits::YAML).is_ok(),
                    "{mission}"
                );
            }
        }
    }
    let columns =
        "time: { column: t, written: seconds }\nlatitude: { column: a }\nlongitude: { column: o }";
    let columns = Columns::parse(columns).expect("columns");
    if let Err(why) = Columns::parse(&text) {
        assert!(!why.is_empty(), "refused without a reason");
    }
    let tracks = [read_gpx(&text), read_csv(&text, &columns)];
    for track in tracks.into_iter().flatten() {
        let cleaned = clean(
            &track,
            &Cleaning::for_top_speed(Speed::metres_per_second(3.0)),
        );
        let kept: usize = cleaned.pieces.iter().map(Vec::len).sum();
        assert_eq!(kept + cleaned.counts.taken_out(), track.samples.len());
        for sample in &track.samples {
            assert!(text.is_char_boundary(sample.begins as usize), "{sample:?}");
        }
    }
});
