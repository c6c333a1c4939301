//! `offing export` and `offing import route`.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::args::{Export, ExportForm, ImportRoute};
use super::settled::OnlyOnes;
use super::{Failure, output, place};
use crate::document::Node;
use crate::exchange::{
    Form, Found, LARGEST, NoExport, NotKept, Skeleton, export, parse_route, skeleton_beside, write,
};
use crate::models::geodesy::{Position, inverse};
use crate::plan::{Gathered, gather, is_yaml, position_degrees};
use crate::schema::explain::nearest;
use crate::schema::{Kind, LONGEST_ID};
use crate::source::{
    ReadError, Sources, Tree as _, open_argument, open_repository, printable_line,
};
use crate::units::Length;

/// How many findings are reported where a route does not go out.
const TOLD: usize = 10;
/// A route that begins farther from every launch site of its site is reported: our own proposal.
const FAR: Length = Length::metres(20_000.0);
/// Why a mission that is there is left as it is.
const LEFT: &str = "import overwrites no mission";

pub(super) fn run_export(options: &Export) -> Result<u8, Failure> {
    output::has_its_place(options.output.as_deref())?;
    let tree = place::repository(&options.plans)?;
    let mission = place::mission(&tree, &options.plans, &options.mission);
    let course = match export(&tree, &mission, options.despite_findings) {
        Ok(course) => course,
        Err(NoExport::NoAnswer(error)) => return Err(error.into()),
        Err(NoExport::NotKept(standing)) => {
            output::complain(&refusal(&options.mission, &standing));
            return Ok(1);
        }
    };
    let form = match options.to {
        ExportForm::Gpx => Form::Gpx,
        ExportForm::Geojson => Form::GeoJson,
        ExportForm::Kml => Form::Kml,
    };
    let text = write(&course, form).map_err(Failure::NotWritten)?;
    output::deliver(&text, options.output.as_deref())?;
    Ok(0)
}

fn refusal(mission: &str, standing: &[NotKept]) -> String {
    let mut text = format!(
        "mission `{}` does not check clean, so its route was not written:",
        printable_line(mission)
    );
    for one in standing.iter().take(TOLD) {
        text.push_str(&format!(
            "\n  {} ({}): {}",
            printable_line(&one.rule),
            one.severity,
            printable_line(&one.says)
        ));
    }
    if standing.len() > TOLD {
        text.push_str(&format!("\n  and {} more", standing.len() - TOLD));
    }
    text.push_str(
        "\n`--despite-findings` writes it all the same, and the file then says which rules are not \
         met",
    );
    text
}

pub(super) fn run_import_route(options: &ImportRoute) -> Result<u8, Failure> {
    if let Some(id) = &options.id {
        place::id("--id", id, LONGEST_ID)?;
    }
    // `-` is the standard output, as it is of every other command.
    let output = options.output.as_deref();
    let output = output::no_stream(output);
    if let Some(path) = output {
        output::must_be_new(path, LEFT)?;
    }
    if let Some(path) = output
        && !path.to_str().is_some_and(is_yaml)
    {
        return Err(Failure::Usage(format!(
            "no check would read `{}`: the file of a mission ends in `.yaml` or `.yml`",
            path.display()
        )));
    }
    let around = Around::of_folder(folder_of(output));
    let only = around.only();
    let (vessel, site) = of_whom(options, &only)?;
    let (vessel, site) = (vessel.as_str(), site.as_str());
    let shown = options.file.display().to_string();
    let refused = |text: String| Failure::Unreadable(format!("{}: {text}", printable_line(&shown)));
    let opened = open_argument(&options.file).map_err(|e| Failure::Unreadable(e.to_string()))?;
    let Some(path) = &opened.selected else {
        return Err(refused("this is a folder".to_owned()));
    };
    let text = opened
        .tree
        .read(path, LARGEST)
        .map_err(|e| Failure::Unreadable(e.to_string()))?;
    let found = parse_route(&text).map_err(refused)?;
    let file = options.file.file_name().unwrap_or_default();
    let file = file.to_string_lossy();
    let id = match &options.id {
        Some(id) => id.clone(),
        None => crate::exchange::id_of(&found, &file),
    };
    let begun = Skeleton {
        id: &id,
        vessel,
        site,
        file: &file,
    };
    let doubts = around.doubts((vessel, site), &id, &found);
    let only = only.at_site(site);
    let settled = |path: &str| only.settled(Kind::Mission, path);
    let (text, gaps) = skeleton_beside(&begun, &found, &settled).map_err(refused)?;
    for doubt in doubts {
        output::complain(&doubt);
    }
    let Some(path) = output else {
        output::print(&text)?;
        return Ok(0);
    };
    output::deliver_new(&text, path, LEFT)?;
    output::print(&import_summary(path, &id, found.points.len(), gaps))?;
    Ok(0)
}

/// The folder that a mission is to lie in.
fn folder_of(output: Option<&Path>) -> &Path {
    match output.and_then(Path::parent) {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// The vessel and the site of a mission: those that are named, or the only ones of the repository.
fn of_whom(options: &ImportRoute, only: &OnlyOnes) -> Result<(String, String), Failure> {
    let asked = [
        (Kind::Vessel, "--vessel", &options.vessel),
        (Kind::Site, "--site", &options.site),
    ];
    let [vessel, site] = asked.map(|(kind, option, id)| {
        let Some(id) = id.as_deref().or_else(|| only.id(kind)) else {
            let why = format!("there is no {kind} here, or more than one; name it with `{option}`");
            return Err(Failure::Usage(why));
        };
        place::id(option, id, LONGEST_ID)?;
        Ok(id.to_owned())
    });
    Ok((vessel?, site?))
}

/// What lies around a mission that is begun: in the repository that it is to lie in, and in that of the folder
/// that is worked in, which may hold all that it names where there is no repository yet.
struct Around {
    /// What was gathered of each, the mission's own first, up to one that cannot be read.
    read: Vec<(Sources, Gathered)>,
    /// Why one cannot be.
    failed: Option<ReadError>,
}

impl Around {
    fn of_folder(folder: &Path) -> Self {
        let mut around = Self {
            read: Vec::new(),
            failed: None,
        };
        let mut roots: Vec<PathBuf> = Vec::new();
        for folder in [folder, Path::new(".")] {
            let mut sources = Sources::new();
            let gathered = open_repository(folder).and_then(|tree| {
                let root = tree.root().to_owned();
                if roots.contains(&root) {
                    return Ok(None);
                }
                roots.push(root);
                gather(&tree, &mut sources).map(Some)
            });
            match gathered {
                Ok(gathered) => around.read.extend(gathered.map(|of| (sources, of))),
                Err(error) => {
                    around.failed = Some(error);
                    break;
                }
            }
        }
        around
    }

    /// The files that there is only one of.
    fn only(&self) -> OnlyOnes {
        let own = self.read.first();
        own.map_or_else(OnlyOnes::default, |(_, own)| OnlyOnes::of_files(own))
    }

    /// What of the vessel and the site is not there: a mission may well be begun before them, and a slip of the pen
    /// is reported. So is an id that another mission has, and a route that lies nowhere near the site.
    fn doubts(&self, (vessel, site): (&str, &str), id: &str, found: &Found) -> Vec<String> {
        if let Some(error) = &self.failed {
            return vec![format!(
                "could not look up the vessel and the site: {error}"
            )];
        }
        let mut doubts: Vec<String> = Vec::new();
        let mut known: Vec<(Kind, &str)> = Vec::new();
        for (sources, gathered) in &self.read {
            for file in &gathered.files {
                let Some((of_file, _)) = &file.id else {
                    continue;
                };
                known.push((file.kind, of_file));
                if file.kind == Kind::Mission && of_file == id {
                    doubts.push(format!(
                        "{} has the id `{id}` already, and a check refuses two missions of one id; \
                         `--id` gives this one another",
                        sources.path(file.source)
                    ));
                }
                if file.kind == Kind::Site && of_file == site {
                    doubts.extend(far(&file.document.root, site, found));
                }
            }
        }
        for (kind, id) in [(Kind::Vessel, vessel), (Kind::Site, site)] {
            let of_kind = known.iter().filter(|(of, _)| *of == kind);
            let known: Vec<&str> = of_kind.map(|(_, id)| *id).collect();
            if known.contains(&id) {
                continue;
            }
            let hint = nearest(id, &known).map_or_else(
                || "a check refuses the mission until there is one".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            doubts.push(format!("there is no {} `{id}` here; {hint}", kind.name()));
        }
        // One of the two folders may hold the other.
        let mut once = BTreeSet::new();
        doubts.retain(|doubt| once.insert(doubt.clone()));
        doubts
    }
}

/// That a route begins nowhere near the launch sites of a site, and whether it does with its
/// coordinates exchanged.
fn far(site: &Node, id: &str, found: &Found) -> Option<String> {
    let places = site.get("launch_sites").and_then(Node::as_list)?;
    let at = |place: &Node| {
        let (latitude, longitude) = position_degrees(place.get("at")?)?;
        Some(Position::from_degrees(latitude, longitude))
    };
    let places: Vec<Position> = places.iter().filter_map(at).collect();
    let first = found.points.first()?;
    let nearest = |latitude: f64, longitude: f64| {
        let from = Position::from_degrees(latitude, longitude);
        let away = places.iter().map(|place| inverse(*place, from).distance);
        away.min_by(|a, b| a.get().total_cmp(&b.get()))
    };
    let away = nearest(first.latitude, first.longitude)?;
    if away < FAR {
        return None;
    }
    let exchanged = first.longitude.abs() <= 90.0
        && nearest(first.longitude, first.latitude).is_some_and(|away| away < FAR);
    let hint = if exchanged {
        "with latitude and longitude swapped it is near; GeoJSON and KML put longitude first"
    } else {
        "check that this is the intended route and site"
    };
    Some(format!(
        "the route begins {:.0} km from the nearest launch site of site `{id}`; {hint}",
        away.get() / 1000.0
    ))
}

fn import_summary(path: &Path, id: &str, points: usize, gaps: usize) -> String {
    let path = path.display().to_string();
    format!(
        "{} begins mission {id} with {points} points; fill in {gaps} fields.\n",
        printable_line(&path)
    )
}
