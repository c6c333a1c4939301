//! Things of a site that lie off its water, and a shoreline that lies far off the route.

use crate::finding::Label;
use crate::measures::evidence;
use crate::measures::reading::{Measured, Value};
use crate::passage::{Passage, off_water as off};
use crate::schema::Stated;
use crate::source::Span;
use crate::units::Length;

/// Most things that are reported beside the farthest. Our own choice.
const MOST: usize = 5;

/// A thing of a site with how far it lies off, m.
struct Thing {
    name: String,
    span: Span,
    off: f64,
}

impl Thing {
    fn new(what: &str, id: &Stated<String>, off: f64) -> Self {
        Self {
            name: format!("the {what} `{}`", id.value),
            span: id.span(),
            off,
        }
    }
}

fn length(metres: f64) -> Value {
    evidence::value(Length::metres(metres))
}

fn shore_line(passage: &Passage<'_>) -> Label {
    evidence::label(passage.plan.site.shore_span, "this shoreline")
}

/// The farthest of some things, the others that lie off too beside it. `here` is what the line of a
/// thing says; `none` the sentence where there are none.
fn farthest(
    passage: &Passage<'_>,
    mut things: Vec<Thing>,
    from: &str,
    here: &str,
    none: &str,
) -> Measured {
    things.sort_by(|a, b| b.off.total_cmp(&a.off));
    let mut things = things.into_iter();
    let Some(worst) = things.next() else {
        let primary = evidence::label(passage.plan.site.id.span(), "this site");
        return Measured::new(length(0.0), none, primary);
    };
    let rest: Vec<Thing> = things.filter(|one| one.off > off::ROUNDING).collect();
    let mut known = Measured::new(
        length(worst.off),
        format!("the distance of {} from {from}", worst.name),
        evidence::label(worst.span, here),
    );
    known.because.push(shore_line(passage));
    known.because.extend(rest.iter().take(MOST).map(|one| {
        let text = format!("{}: {} from {from}", one.name, evidence::metres(one.off));
        evidence::label(one.span, text)
    }));
    if rest.len() > MOST {
        let more = rest.len() - MOST;
        known.steps.push(format!("and {more} more"));
    }
    known
}

pub(super) fn off_water(passage: &Passage<'_>) -> Measured {
    let site = &passage.plan.site;
    let shore = &site.shore;
    let hazards = site.hazards.iter().map(|hazard| {
        let what = format!("hazard ({})", hazard.kind.value.word());
        Thing::new(&what, &hazard.id, off::form(shore, &hazard.form))
    });
    let areas = site
        .keep_out
        .iter()
        .map(|area| Thing::new("keep-out area", &area.id, off::area(shore, &area.outline)));
    let currents = site.currents.iter().map(|current| {
        let away = off::area(shore, &current.outline);
        Thing::new("current", &current.id, away)
    });
    farthest(
        passage,
        hazards.chain(areas).chain(currents).collect(),
        "the water",
        "outside the water by the shoreline",
        "the distance from the water of a hazard, keep-out area or current, of which the site states \
         none,",
    )
}

pub(super) fn launch_site(passage: &Passage<'_>) -> Measured {
    let site = &passage.plan.site;
    let sites = site.launch_sites.iter().map(|place| {
        let away = site.shore.distance(place.at);
        Thing::new("launch site", &place.id, away)
    });
    farthest(
        passage,
        sites.collect(),
        "the waterline",
        "launched from here",
        "the distance from the waterline of a launch site, of which the site states none,",
    )
}

pub(super) fn station(passage: &Passage<'_>) -> Measured {
    let site = &passage.plan.site;
    let stations = site.stations.iter().map(|station| {
        let away = off::point(&site.shore, station.at);
        Thing::new("station", &station.id, away)
    });
    farthest(
        passage,
        stations.collect(),
        "the water",
        "stands here",
        "the distance from the water of a station, of which the site states none,",
    )
}

pub(super) fn soundings(passage: &Passage<'_>) -> Measured {
    let plan = passage.plan;
    let Some(soundings) = &plan.site.depths.soundings else {
        let sentence = "the distance from the water of a sounding, of which the site has none,";
        let primary = evidence::label(plan.site.id.span(), "this site");
        return Measured::new(length(0.0), sentence, primary);
    };
    let ashore = passage.soundings_ashore();
    let mut known = Measured::new(
        length(ashore.farthest.map_or(0.0, |(away, _)| away)),
        "the distance of the farthest sounding from the water",
        evidence::label(soundings.file.span(), "these soundings"),
    );
    known.because.push(shore_line(passage));
    if let Some((_, at)) = ashore.farthest {
        let (latitude, longitude) = evidence::degrees(plan, at);
        known.steps.push(format!(
            "{} of {} soundings lie off the water, the farthest at [{latitude:.6}, {longitude:.6}]",
            ashore.count, ashore.all
        ));
    }
    known
}

pub(super) fn shore_away(passage: &Passage<'_>) -> Measured {
    let shore = &passage.plan.site.shore;
    let samples = passage.track.samples.iter().enumerate();
    let farthest = samples
        .map(|(sample, at)| (shore.distance(*at), sample))
        .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
    let (away, sample) = farthest.unwrap_or((0.0, 0));
    let place = evidence::at_sample(passage, sample);
    let mut known = Measured::new(
        length(away),
        format!(
            "the distance from the shoreline, at {},",
            evidence::spot(&place)
        ),
        evidence::label(evidence::leg_span(passage, sample), "farthest from it here"),
    );
    known.because.push(shore_line(passage));
    known.place = Some(place);
    known
}
