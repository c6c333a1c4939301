//! Bytes that nobody vouches for, through every importer.

use proptest::prelude::*;

use super::*;

/// Files that at least one importer takes.
fn whole() -> Vec<Vec<u8>> {
    let ring = "[[1, 2], [1.001, 2], [1.001, 2.001], [1, 2]]";
    let polygon = format!("{{ \"type\": \"Polygon\", \"coordinates\": [{ring}] }}");
    let kml = "<kml><Placemark><LineString><coordinates>1,2 1.001,2 1.001,2.001 1,2</coordinates></LineString>\
               </Placemark></kml>";
    let gpx = "<gpx version='1.1'><trk><trkseg><trkpt lat='2' lon='1'/><trkpt lat='2' lon='1.001'/>\
               <trkpt lat='2.001' lon='1'/><trkpt lat='2' lon='1'/></trkseg></trk></gpx>";
    let grid = "ncols 2\nnrows 2\nxllcorner 1\nyllcorner 2\ncellsize 0.0001\n1 2\n3 4\n";
    let json = "{ \"t\": [0, 3600], \"d\": [1, 2], \"m\": [3, 4], \"g\": [5, 6] }";
    let zipped = zip::tests::packed(&[("a.shp", &drawn::tests::square_in_degrees())]);
    let texts = [
        polygon.as_str(),
        kml,
        gpx,
        grid,
        json,
        "1 2 3\n1 2.0001 4\n",
        "t,d,m,g\n0,1,2,3\n",
    ];
    let mut all: Vec<Vec<u8>> = texts.iter().map(|text| text.as_bytes().to_vec()).collect();
    all.push(drawn::tests::square_in_degrees());
    all.push(zipped);
    all
}

#[test]
fn each_form_is_taken_by_an_importer() {
    for (number, bytes) in whole().iter().enumerate() {
        assert!(try_every_import(bytes) > 0, "{number}");
    }
}

proptest! {
    /// Whatever is changed, cut off or put in, an importer ends with an answer.
    #[test]
    fn damaged_files_are_taken_or_refused(
        which in 0..9_usize,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        cut in any::<prop::sample::Index>(),
        keeps in any::<bool>(),
    ) {
        let mut bytes = whole()[which].clone();
        for (at, value) in changes {
            let at = at.index(bytes.len());
            bytes[at] = value;
        }
        if !keeps {
            bytes.truncate(cut.index(bytes.len()));
        }
        let _ = try_every_import(&bytes);
    }
}
