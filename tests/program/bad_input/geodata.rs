//! What the shoreline can have wrong: the way to its file, and the file.

use super::cases::{Case, case, run};
use super::tree::{Files, SHORELINE, SITE, check_folder, mission, places, told};

const ID: &str = "long-run-downwind";
const NAMED: &str = "  file: quenderby-shoreline.geojson";

/// Without the mission's line, which is marked in every case.
fn base() -> Files {
    let mut base = Files::demo(&[ID]);
    base.edit(&mission(ID), "site: quenderby", "site: §quenderby");
    base
}

#[test]
fn references() {
    let one = |name, to: &str| case(name, SITE, NAMED, to);
    let told = run(
        &base(),
        &[
            one("not there", "  file: §quenderby-shore.geojson"),
            one(
                "in a folder that is not there",
                "  file: §maps/quenderby-shoreline.geojson",
            ),
            one("out of the repository", "  file: §../../../etc/hostname"),
            one(
                "out of the repository by a long way round",
                "  file: §a/b/../../../../../../etc/hostname",
            ),
            one("absolute", "  file: §/etc/hostname"),
            one(
                "absolute on a drive",
                "  file: §'C:/maps/shoreline.geojson'",
            ),
            one(
                "with backslashes",
                "  file: §'..\\site\\quenderby-shoreline.geojson'",
            ),
            one("a folder", "  file: §../vessels"),
            one("a folder by its slash", "  file: §../vessels/"),
            one("in git's own folder", "  file: §../.git/config"),
            one(
                "an address",
                "  file: §https://example.com/shoreline.geojson",
            ),
            one("a text that is no GeoJSON", "  file: ../policy/team.yaml").and(
                super::tree::POLICY,
                "kind: policy",
                "§kind: policy",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

#[cfg(unix)]
#[test]
fn links() {
    let mut files = base();
    files.edit(SITE, NAMED, "  file: §linked.geojson");
    let folder = files.lay_out();
    let outside = crate::shared::scratch::folder().expect("a folder");
    std::fs::write(outside.path().join("x.geojson"), "{}").expect("written");
    let link = folder.path().join("site/linked.geojson");
    std::os::unix::fs::symlink(outside.path().join("x.geojson"), link).expect("linked");
    let outcome = check_folder(folder.path(), None).expect("listed");
    assert_eq!(places(&outcome), files.marks());
    insta::assert_snapshot!(told(&outcome));
}

/// The demo with a square of water in place of its shoreline, into which a case puts its fault.
fn square() -> Files {
    let mut files = base();
    files.write(
        SHORELINE,
        r#"{
  "type": "FeatureCollection",
  "features": [
    {
      "type": "Feature",
      "properties": {},
      "geometry": {
        "type": "Polygon",
        "coordinates": [
          [[-24.32, 52.39], [-24.28, 52.39], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]],
          [[-24.30, 52.40], [-24.299, 52.401], [-24.299, 52.40], [-24.30, 52.40]]
        ]
      }
    }
  ]
}
"#,
    );
    files
}

#[test]
fn the_square_itself_is_sound() {
    let mut files = square();
    files.edit(&mission(ID), "site: §quenderby", "site: quenderby");
    let outcome = files.check();
    assert_eq!(places(&outcome), []);
    assert_eq!(outcome.checked.len(), 1);
}

#[test]
fn geojson() {
    let outer =
        "[[-24.32, 52.39], [-24.28, 52.39], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]]";
    let one = |name, from: &str, to: &str| -> Case { case(name, SHORELINE, from, to) };
    let ring = |name, to: &str| -> Case { case(name, SHORELINE, outer, to) };
    let polygon = "{\n        \"type\": \"Polygon\"";
    let told = run(
        &square(),
        &[
            one("cut short", "      }\n    }\n  ]\n}\n", "").and(SHORELINE, "\"geometry\": {", "\"geometry\": §{").and(SITE, NAMED, "  file: §quenderby-shoreline.geojson"),
            one("of another kind", polygon, &format!("§{}", polygon.replace("Polygon", "LineString"))),
            one("a collection of geometries", polygon, &format!("§{}", polygon.replace("Polygon", "GeometryCollection"))),
            one("a geometry of no type", "\"type\": \"Polygon\",", "\"sort\": \"Polygon\",").and(SHORELINE, "\"geometry\": {", "\"geometry\": §{"),
            one("no geometry", "\"geometry\": {", "\"form\": {").and(SHORELINE, "    {\n      \"type\": \"Feature\"", "    §{\n      \"type\": \"Feature\""),
            one("no features", "\"features\": [", "\"parts\": [").and(SHORELINE, "{\n  \"type\": \"FeatureCollection\"", "§{\n  \"type\": \"FeatureCollection\""),
            one("another datum", "  \"features\": [", "  \"crs\": §{ \"type\": \"name\", \"properties\": { \"name\": \"urn:ogc:def:crs:EPSG::4277\" } },\n  \"features\": ["),
            ring("a ring that is not closed", "§[[-24.32, 52.39], [-24.28, 52.39], [-24.28, 52.41], [-24.32, 52.41]]"),
            ring("a ring of three positions", "§[[-24.32, 52.39], [-24.28, 52.39], [-24.32, 52.39]]"),
            ring("a ring that crosses itself", "[§[-24.32, 52.39], [-24.28, 52.41], [-24.28, 52.39], [-24.32, 52.41], [-24.32, 52.39]]"),
            ring("a ring without extent", "[§[-24.32, 52.39], [-24.28, 52.39], [-24.28, 52.39], [-24.32, 52.39]]"),
            one("an island outside the water", "[[-24.30, 52.40], [-24.299, 52.401], [-24.299, 52.40], [-24.30, 52.40]]", "[§[-24.20, 52.40], [-24.199, 52.401], [-24.199, 52.40], [-24.20, 52.40]]"),
            ring("not a number", "[[-24.32, 52.39], [-24.28, §.nan], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]]")
                .and(SITE, NAMED, "  file: §quenderby-shoreline.geojson"),
            ring("not a number as scripts write it", "[[-24.32, 52.39], §[-24.28, NaN], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]]"),
            ring("numbers as texts", "[[-24.32, 52.39], §[\"-24.28\", \"52.39\"], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]]"),
            ring("four numbers", "[[-24.32, 52.39], §[-24.28, 52.39, 3, 4], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]]"),
            ring("a number past all bounds", "[[-24.32, 52.39], [§1e999, 52.39], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]]")
                .and(SITE, NAMED, "  file: §quenderby-shoreline.geojson"),
            ring("off the earth", "[[-24.32, 52.39], §[52.39, -124.28], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]]"),
            ring("metres of a map grid", "[§[532000, 180000], [533000, 180000], [533000, 181000], [532000, 180000]]"),
            ring("a continent", "[§[-34.32, 42.39], [-14.28, 42.39], [-14.28, 62.41], [-34.32, 62.41], [-34.32, 42.39]]"),
            one("a polygon without rings", outer, "").and(SHORELINE, ",\n          [[-24.30, 52.40], [-24.299, 52.401], [-24.299, 52.40], [-24.30, 52.40]]", "")
                .and(SHORELINE, "\"geometry\": {", "\"geometry\": §{"),
            one("no polygon at all", "    {\n      \"type\": \"Feature\"", "  ],\n  \"rest\": [\n    {\n      \"type\": \"Feature\"")
                .and(SHORELINE, "{\n  \"type\": \"FeatureCollection\"", "§{\n  \"type\": \"FeatureCollection\""),
        ],
    );
    insta::assert_snapshot!(told);
}

/// Two waters that overlap leave it open what is land.
#[test]
fn overlapping_waters() {
    let mut files = base();
    files.write(
        SHORELINE,
        r#"{ "type": "MultiPolygon", "coordinates": [
  [[[-24.32, 52.39], §[-24.28, 52.39], [-24.28, 52.41], [-24.32, 52.41], [-24.32, 52.39]]],
  [[[-24.30, 52.395], [-24.27, 52.395], [-24.27, 52.405], [-24.30, 52.405], [-24.30, 52.395]]]
] }"#,
    );
    insta::assert_snapshot!(super::cases::run_files([("overlapping waters", files)]));
}
