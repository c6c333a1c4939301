//! What the place of shorelines, soundings and places is held against: what the sites of the repository state.

use std::path::Path;

use super::{no_site, refused};
use crate::cli::args::OfSite;
use crate::cli::{Failure, place};
use crate::document::{Node, ParseLimits, parse};
use crate::import::{Fault, Held, Place, Whereabouts};
use crate::models::geodesy::Position;
use crate::plan::{FileOfKind, gather, position_degrees};
use crate::schema::Kind;
use crate::source::{Limit, Sources, Tree, printable_line, resolve};

/// Longest id of a site.
const LONGEST_ID: usize = 200;

/// Holds what was read against the sites, each by itself; what there is to look at of all of it.
pub(super) fn hold(
    file: &Path,
    options: &OfSite,
    all: &[(Whereabouts, Place)],
) -> Result<Option<String>, Failure> {
    let held = held(options)?;
    let off = |place, message| refused(file, &[Fault { place, message }]);
    for (reach, place) in all {
        reach.hold(&held).map_err(|text| off(*place, text))?;
    }
    let mut whole = all.iter().map(|(reach, _)| *reach);
    let Some(mut reach) = whole.next() else {
        return Ok(None);
    };
    whole.for_each(|one| reach.join(one));
    reach.hold(&held).map_err(|text| off(Place::Whole, text))
}

/// The places that the named site states, or every site of the repository where none is named. Without a name, a
/// folder that cannot be read holds no site.
fn held(options: &OfSite) -> Result<Held, Failure> {
    let named = options.site.as_deref();
    if let Some(id) = named {
        place::id("--site", id, LONGEST_ID)?;
    }
    let mut held = Held {
        site: named.map(str::to_owned),
        places: Vec::new(),
    };
    let mut sources = Sources::new();
    let gathered = place::repository(&options.plans).and_then(|tree| {
        let gathered = gather(&tree, &mut sources);
        let gathered = gathered.map_err(|error| Failure::Unreadable(error.to_string()))?;
        Ok((tree, gathered))
    });
    let (tree, gathered) = match gathered {
        Ok(both) => both,
        Err(_) if named.is_none() => return Ok(held),
        Err(failure) => return Err(failure),
    };
    let mut found = false;
    for file in gathered.of_kind(Kind::Site) {
        let id = file.id.as_ref().map_or("", |(id, _)| id.as_str());
        if named.is_none_or(|named| named == id) {
            found = true;
            of_site(&mut held, file, id, (&tree, sources.path(file.source)));
        }
    }
    match named {
        Some(named) if !found => {
            let sites = gathered.of_kind(Kind::Site);
            let known = sites.filter_map(|file| Some(file.id.as_ref()?.0.as_str()));
            Err(no_site(named, known))
        }
        _ => Ok(held),
    }
}

/// Adds the places of a site, of one too that is not filled in as yet: its marks, and where its shoreline begins.
fn of_site(held: &mut Held, file: &FileOfKind, id: &str, (tree, path): (&dyn Tree, &str)) {
    let root = &file.document.root;
    for (list, what) in [
        ("launch_sites", "launch site"),
        ("stations", "station"),
        ("hazards", "hazard"),
    ] {
        for one in root.get(list).and_then(Node::as_list).unwrap_or_default() {
            let name = one.get("id").and_then(Node::as_text).unwrap_or_default();
            let Some((latitude, longitude)) = one.get("at").and_then(position_degrees) else {
                continue;
            };
            let told = format!(
                "{what} `{}` of site `{}`",
                printable_line(name),
                printable_line(id)
            );
            held.places
                .push((told, Position::from_degrees(latitude, longitude)));
        }
    }
    let shoreline = root
        .get("shoreline")
        .and_then(|one| one.get("file")?.as_text());
    let begins = shoreline.and_then(|named| {
        let path = resolve(path, named).ok()?;
        let text = tree.read(&path, Limit::SHORELINE).ok()?;
        first_position(&text)
    });
    if let Some(at) = begins {
        let told = format!("the shoreline of site `{}`", printable_line(id));
        held.places.push((told, at));
    }
}

/// The first position of a file of GeoJSON.
fn first_position(text: &str) -> Option<Position> {
    let mut sources = Sources::new();
    let source = sources.add("the shoreline", text);
    let document = parse(source, text, &ParseLimits::GEODATA).ok()?;
    let root = &document.root;
    let feature = root.get("features").and_then(Node::as_list);
    let feature = feature.and_then(<[Node]>::first).unwrap_or(root);
    let geometry = feature.get("geometry").unwrap_or(feature);
    let mut at = geometry.get("coordinates")?;
    loop {
        let items = at.as_list()?;
        if let (Some(longitude), Some(latitude)) = (
            items.first().and_then(Node::as_number),
            items.get(1).and_then(Node::as_number),
        ) {
            let fits = latitude.abs() <= 90.0 && longitude.abs() <= 180.0;
            return fits.then(|| Position::from_degrees(latitude, longitude));
        }
        at = items.first()?;
    }
}
