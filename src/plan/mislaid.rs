//! Positions off the site by a lost sign or an exchanged pair, and the shoreline that is so itself.

use super::outline::Placed;
use super::position;
use crate::document::Node;
use crate::models::geodesy::{Plane, Position};
use crate::schema::{Fields, Problem};
use crate::source::Span;

/// What is wrong with a pair of numbers, where it is one of the usual slips.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Slip {
    /// The longitude's sign.
    Longitude,
    /// The latitude's sign.
    Latitude,
    /// Longitude first.
    Swapped,
    /// Both signs.
    Both,
    /// Longitude first, and the sign of the first number.
    SwappedFirst,
    /// Longitude first, and the sign of the second number.
    SwappedSecond,
}

impl Slip {
    const ALL: [Self; 6] = [
        Self::Longitude,
        Self::Latitude,
        Self::Swapped,
        Self::Both,
        Self::SwappedFirst,
        Self::SwappedSecond,
    ];

    /// The pair, latitude first, with the slip put right; `None` where that is not on the earth.
    fn mended(self, (latitude, longitude): (f64, f64)) -> Option<(f64, f64)> {
        let pair = match self {
            Self::Longitude => (latitude, -longitude),
            Self::Latitude => (-latitude, longitude),
            Self::Swapped => (longitude, latitude),
            Self::Both => (-latitude, -longitude),
            Self::SwappedFirst => (longitude, -latitude),
            Self::SwappedSecond => (-longitude, latitude),
        };
        (pair.0.abs() <= 90.0).then_some(pair)
    }

    /// The slip without which a pair lies on the site, with the pair as it would be.
    fn detect(plane: &Plane, pair: (f64, f64)) -> Option<(Self, (f64, f64))> {
        Self::ALL.into_iter().find_map(|slip| {
            let mended = slip.mended(pair)?;
            on_site(plane, mended).then_some((slip, mended))
        })
    }

    /// The question that the slip asks.
    fn question(self, (latitude, longitude): (f64, f64)) -> String {
        let sign = |name: &str, number: f64| match number < 0.0 {
            true => format!("does the {name} have one minus too many?"),
            false => format!("did you lose the minus of the {name}?"),
        };
        match self {
            Self::Longitude => sign("longitude", longitude),
            Self::Latitude => sign("latitude", latitude),
            Self::Swapped => "are latitude and longitude swapped?".to_owned(),
            Self::Both => "are both signs the wrong way round?".to_owned(),
            Self::SwappedFirst | Self::SwappedSecond => {
                "are latitude and longitude swapped, and a sign with them?".to_owned()
            }
        }
    }

    /// What a shoreline with this slip has wrong.
    fn of_shoreline(self) -> &'static str {
        match self {
            Self::Longitude => "its longitudes have the wrong sign",
            Self::Latitude => "its latitudes have the wrong sign",
            Self::Swapped => "it has latitude first",
            Self::Both => "its signs are the wrong way round",
            Self::SwappedFirst | Self::SwappedSecond => "it has latitude first and a wrong sign",
        }
    }
}

fn on_site(plane: &Plane, (latitude, longitude): (f64, f64)) -> bool {
    let point = plane.to_plane(Position::from_degrees(latitude, longitude));
    point.is_finite() && point.length() <= Plane::LIMIT.get()
}

fn degrees(position: Position) -> (f64, f64) {
    (
        position.latitude.to_degrees(),
        position.longitude.to_degrees(),
    )
}

fn shown((first, second): (f64, f64)) -> String {
    // Six decimals are a tenth of a metre; a number that has fewer is shown as it was written.
    let short = |number: f64| {
        let text = format!("{number:.6}");
        let text = text.trim_end_matches('0');
        match text.ends_with('.') {
            true => format!("{text}0"),
            false => text.to_owned(),
        }
    };
    format!("[{}, {}]", short(first), short(second))
}

/// The problem of a position off the site, with the slip that explains it where one does.
pub(super) fn off_the_site(plane: &Plane, position: Position, span: Span) -> Problem {
    let pair = degrees(position);
    let away = crate::models::geodesy::inverse(plane.origin(), position).distance;
    let problem = Problem::value(
        span,
        format!("{} lies {away} from the middle of the site", shown(pair)),
    )
    .labelled("off the site");
    match Slip::detect(plane, pair) {
        None => problem,
        Some((slip, mended)) => problem.help(format!(
            "{} {} lies on the site",
            slip.question(pair),
            shown(mended)
        )),
    }
}

/// What a site's file places, each with its span.
fn placed(site: Fields<'_>) -> Vec<((f64, f64), Span)> {
    const LISTS: [&str; 6] = [
        "launch_sites",
        "stations",
        "hazards",
        "keep_out",
        "currents",
        "casts",
    ];
    let mut all = Vec::new();
    for item in LISTS.into_iter().flat_map(|list| site.maps(list)) {
        let at = item.get("at").into_iter();
        let corners = ["line", "area"].into_iter().flat_map(|key| item.list(key));
        let nodes: Vec<&Node> = at.chain(corners).collect();
        all.extend(
            nodes
                .into_iter()
                .filter_map(|node| Some((position::position_degrees(node)?, node.span))),
        );
    }
    all
}

/// That one slip parts the shoreline from all that its site's file places: it is told once, where the
/// shoreline begins, and not of every position. `None` where something lies where the shoreline does, or
/// no one slip explains it.
pub(super) fn shoreline(site: Fields<'_>, plane: &Plane, first: &Placed) -> Option<Problem> {
    let all = placed(site);
    let (one, one_span) = *all.first()?;
    if all.iter().any(|(pair, _)| on_site(plane, *pair)) {
        return None;
    }
    let (slip, mended) = Slip::detect(plane, one)?;
    let together = |pair: (f64, f64)| {
        slip.mended(pair)
            .is_some_and(|mended| on_site(plane, mended))
    };
    if !all.iter().all(|(pair, _)| together(*pair)) {
        return None;
    }
    let away =
        crate::models::geodesy::inverse(plane.origin(), Position::from_degrees(one.0, one.1));
    let away = away.distance;
    // One place alone may as well be the one that is wrong.
    if all.len() == 1 {
        return Some(
            Problem::value(
                one_span,
                format!(
                    "{} lies {away} from the middle of the shoreline",
                    shown(one)
                ),
            )
            .labelled("far from the shoreline")
            .with(first.1, "the shoreline begins here")
            .help(format!(
                "{} {} lies on the site; or else the shoreline's file is wrong: {}",
                slip.question(one),
                shown(mended),
                slip.of_shoreline()
            )),
        );
    }
    let (latitude, longitude) = degrees(first.0);
    let problem = Problem::new(
        "input-geodata",
        first.1,
        format!(
            "the shoreline lies {away} from all {} positions of the site's file: {}",
            all.len(),
            slip.of_shoreline()
        ),
    )
    .labelled("the shoreline begins here")
    .with(one_span, "one of the positions");
    // The slips that undo themselves are put right by making them once more.
    let swapped_alone = matches!(
        slip,
        Slip::Longitude | Slip::Latitude | Slip::Swapped | Slip::Both
    );
    Some(match slip.mended((latitude, longitude)) {
        Some((latitude, longitude)) if swapped_alone => problem.help(format!(
            "GeoJSON has longitude first: this position would be {}",
            shown((longitude, latitude))
        )),
        _ => problem.help("GeoJSON has longitude first, and west and south are negative"),
    })
}
