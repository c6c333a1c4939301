//! `offing import area`.

use super::{bytes, crs, deliver, distance, name, no_site, refused, usage};
use crate::cli::args::ImportArea;
use crate::cli::{Failure, place};
use crate::document::Node;
use crate::import::{Along, AreaOptions, KeepOut, LARGEST_DRAWING, WIDEST_BEAM, import_area};
use crate::models::geodesy::Position;
use crate::plan::{gather, position_degrees};
use crate::schema::Kind;
use crate::source::{Sources, printable_line};
use crate::units::{
    Angle, Dimension, FromDirection, Length, Ratio, Towards, direction, parse_quantity,
};

/// Longest id of a block: a number may be put behind it.
const LONGEST_ID: usize = 60;

pub(super) fn run(options: &ImportArea) -> Result<u8, Failure> {
    for (option, id) in [("--id", &options.id), ("--site", &options.site)] {
        place::id(option, id, LONGEST_ID)?;
    }
    let depth = distance("--depth", &options.depth)?;
    if depth <= Length::ZERO {
        return Err(usage("--depth", "a depth is more than 0 m"));
    }
    let beam = angle("--beam", &options.beam)?;
    if !(1.0..=WIDEST_BEAM + 1e-9).contains(&beam.to_degrees()) {
        return Err(usage(
            "--beam",
            &format!(
                "a beam is from 1° to {WIDEST_BEAM}° wide, from one edge of the swath to the other; no sounder opens \
                 wider across its line"
            ),
        ));
    }
    let overlap = quantity("--overlap", &options.overlap, Dimension::RATIO)?;
    if !(0.0..=0.9).contains(&overlap) {
        return Err(usage("--overlap", "an overlap is from 0 % to 90 %"));
    }
    let clear = options.clear_of_land.as_deref();
    let (closed, launch_site) = of_site(options)?;
    let wanted = AreaOptions {
        crs: crs(options.crs.as_deref())?,
        id: options.id.clone(),
        depth,
        beam,
        overlap: Ratio::fraction(overlap),
        along: along(options)?,
        turn_room: distance("--turn-room", &options.turn_room)?,
        clear_of_keep_outs: distance("--clear-of-keep-outs", &options.clear_of_keep_outs)?,
        clear_of_land: clear
            .map(|text| distance("--clear-of-land", text))
            .transpose()?,
        launch_site,
    };
    let read = bytes(&options.file, LARGEST_DRAWING)?;
    let import = import_area(read, &name(&options.file), &wanted, &closed)
        .map_err(|fault| refused(&options.file, &[fault]))?;
    let told = format!("{}.\n", import.summary);
    deliver(&import.text, &options.output, &import.notes, &told, false)
}

fn quantity(option: &str, text: &str, dimension: Dimension) -> Result<f64, Failure> {
    let read = parse_quantity(text, dimension);
    Ok(read
        .map_err(|error| usage(option, &error.to_string()))?
        .value)
}

fn angle(option: &str, text: &str) -> Result<Angle, Failure> {
    Ok(Angle::radians(quantity(option, text, Dimension::ANGLE)?))
}

/// A direction from true north: degrees, a point of the compass, or a magnetic bearing with its declination.
fn towards(option: &str, text: &str) -> Result<Angle, Failure> {
    let read = direction(text).map_err(|error| usage(option, &error))?;
    read.by_itself().map_err(|why| usage(option, why))
}

/// Which way the lines run: one of the three ways to say so.
fn along(options: &ImportArea) -> Result<Along, Failure> {
    match (&options.wind_from, options.longest_side, &options.direction) {
        (Some(wind), _, _) => Ok(Along::Wind(FromDirection::new(towards("--wind-from", wind)?))),
        (None, true, _) => Ok(Along::LongestSide),
        (None, false, Some(stated)) => Ok(Along::Stated(Towards::new(towards("--direction", stated)?))),
        (None, false, None) => Err(Failure::Usage(
            "the direction of the lines is not stated; add `--wind-from` for lines up and down the planned wind, \
             `--longest-side`, or `--direction`"
                .to_owned(),
        )),
    }
}

/// A launch site, by its id.
type LaunchSite = (String, Position);

/// What a site closes to the boat, at any time, and its first launch site.
fn of_site(options: &ImportArea) -> Result<(Vec<KeepOut>, Option<LaunchSite>), Failure> {
    let tree = place::repository(&options.plans)?;
    let mut sources = Sources::new();
    let gathered = gather(&tree, &mut sources);
    let gathered = gathered.map_err(|error| Failure::Unreadable(error.to_string()))?;
    let named = gathered.files.iter().find(|file| {
        let id = file.id.as_ref().map(|(id, _)| id);
        file.kind == Kind::Site && id == Some(&options.site)
    });
    let Some(site) = named else {
        let sites = gathered.of_kind(Kind::Site);
        let known = sites.filter_map(|file| Some(file.id.as_ref()?.0.as_str()));
        return Err(no_site(&options.site, known));
    };
    let shown = printable_line(sources.path(site.source)).into_owned();
    if !site.sound {
        return Err(Failure::Unreadable(format!(
            "{shown}: the site has errors, which `offing check` shows; what it closes to the boat is not known"
        )));
    }
    let root = &site.document.root;
    let mut all = Vec::new();
    for (key, what) in [("keep_out", "keep-out"), ("hazards", "hazard")] {
        for one in root.get(key).and_then(Node::as_list).unwrap_or_default() {
            let id = one.get("id").and_then(Node::as_text).unwrap_or_default();
            // Of a hazard that is no area the distance of each line from it counts, which a check looks at.
            let Some(area) = one.get("area").and_then(Node::as_list) else {
                continue;
            };
            let outline: Option<Vec<Position>> = area.iter().map(corner).collect();
            let outline = outline.ok_or_else(|| {
                Failure::Unreadable(format!(
                    "{shown}: the area of {what} `{}` cannot be read",
                    printable_line(id)
                ))
            })?;
            let id = format!("{what} {id}");
            all.push(KeepOut { id, outline });
        }
    }
    let launch_sites = root.get("launch_sites").and_then(Node::as_list);
    let launch_site = launch_sites.and_then(<[Node]>::first).and_then(|one| {
        let id = one.get("id").and_then(Node::as_text)?;
        Some((id.to_owned(), corner(one.get("at")?)?))
    });
    Ok((all, launch_site))
}

/// A corner as a site's file has it.
fn corner(node: &Node) -> Option<Position> {
    let (latitude, longitude) = position_degrees(node)?;
    Some(Position::from_degrees(latitude, longitude))
}
