//! Latitude and longitude that are swapped, in data of others.

use super::Folder;
use crate::shared::repo::Repo;

/// What the commands say of latitude and longitude that are swapped, both within ±90°: GeoJSON has its longitude first by
/// RFC 7946, section 3.1.1, and KML by its standard, OGC 12-007r2, 16.9.
#[test]
fn latitude_and_longitude_that_are_swapped_are_found_out_by_the_site() {
    let folder = Folder::of(&[]);
    let shore = |a: &str, b: &str, c: &str| {
        format!("{{ \"type\": \"Polygon\", \"coordinates\": [[[{a}], [{b}], [{c}], [{a}]]] }}")
    };
    folder.write(
        "good.geojson",
        shore("-24.30,52.40", "-24.29,52.40", "-24.29,52.41"),
    );
    folder.write(
        "swapped.geojson",
        shore("52.40,-24.30", "52.40,-24.29", "52.41,-24.29"),
    );
    folder.write(
        "far.geojson",
        shore("3.30,40.40", "3.31,40.40", "3.31,40.41"),
    );
    folder.write("good.xyz", "-24.30 52.40 3.1\n");
    folder.write("swapped.xyz", "52.40 -24.30 3.1\n");
    folder.write("far.xyz", "3.30 40.40 3.1\n");
    let marks = |at: &str| {
        format!(
            "{{ \"type\": \"FeatureCollection\", \"features\": [ {{ \"type\": \"Feature\", \"properties\": {{ \
             \"kind\": \"rock\", \"id\": \"a\" }}, \"geometry\": {{ \"type\": \"Point\", \"coordinates\": [{at}] }} }} ] }}"
        )
    };
    folder.write("good-marks.geojson", marks("-24.30, 52.40"));
    folder.write("swapped-marks.geojson", marks("52.40, -24.30"));
    folder.write("far-marks.geojson", marks("3.30, 40.40"));
    let soundings = [
        "--crs",
        "EPSG:4326",
        "--unit",
        "m",
        "--depths",
        "positive-down",
        "--datum",
        "the crest",
    ];
    let commands: [(&str, &str, &[&str]); 3] = [
        ("shoreline", ".geojson", &[]),
        ("soundings", ".xyz", &soundings),
        ("places", "-marks.geojson", &[]),
    ];
    for (what, ending, more) in commands {
        let run = |name: &str, site: &[&str]| {
            let file = format!("{name}{ending}");
            folder.told(&[&["import", what, &*file][..], more, site].concat())
        };
        let site = ["--site", "quenderby"];
        for site in [&[][..], &site[..]] {
            let (status, _, told) = run("good", site);
            assert_eq!(status, 0, "{told}");
            assert!(!told.contains("latitude first"), "{told}");
            let (status, text, told) = run("swapped", site);
            assert_eq!((status, text.as_str()), (2, ""), "{told}");
            assert!(
                told.contains("latitude and longitude are swapped"),
                "{told}"
            );
        }
        let (status, _, told) = run("far", &[]);
        assert_eq!(status, 0, "{told}");
        assert!(told.contains("from every site here"), "{told}");
        let (status, text, told) = run("far", &site);
        assert_eq!((status, text.as_str()), (2, ""), "{told}");
        assert!(told.contains("the site that `--site` names"), "{told}");
        let (status, _, told) = run("good", &["--site", "nowhere"]);
        assert_eq!(status, 64, "{told}");
        // Without a site there is nothing to hold it against, and the command says where it lies.
        let bare = Repo::empty();
        let file = format!("swapped{ending}");
        bare.write(&file, &folder.read(&file));
        let output = bare.offing(&[&["import", what, &*file][..], more].concat());
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{told}");
        assert!(
            told.contains("[-24.3000000, 52.4000000]")
                && told.contains("no site here states a place"),
            "{told}"
        );
        // A site that is not filled in as yet has its shoreline.
        bare.write(
            "lake.yaml",
            "kind: site\nformat: 1\nid: lake\nshoreline:\n  file: shore.geojson\n  error:\n",
        );
        bare.write("shore.geojson", &folder.read("good.geojson"));
        let output = bare.offing(&[&["import", what, &*file][..], more].concat());
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(
            told.contains("from the shoreline of site `lake`; latitude and longitude are"),
            "{told}"
        );
    }
}
