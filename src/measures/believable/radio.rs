//! Antennas and transmitters against what a small boat, a mast and a licence-free band allow.

use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement};
use crate::models::believable::beam_height;
use crate::passage::Passage;
use crate::plan::mission::LinkUse;
use crate::plan::radio::{Link, Radio};
use crate::plan::site::Station;
use crate::units::{Angle, Length, Level, PowerLevel, Ratio};

/// A reading of every link that the mission needs and that has what is read.
pub(super) fn of_links(
    passage: &Passage<'_>,
    read: fn(&Passage<'_>, Link) -> Option<Measured>,
) -> Vec<Measurement> {
    let links = passage.plan.mission.links.iter();
    links
        .filter(|(_, usage)| usage.value == LinkUse::Needed)
        .filter_map(|(link, _)| {
            Some(Measurement {
                subject: format!("{} link", link.name()),
                outcome: Ok(read(passage, *link)?),
            })
        })
        .collect()
}

/// The stations' radios for a link, each with its station.
fn ashore<'p>(
    passage: &'p Passage<'_>,
    link: Link,
) -> impl Iterator<Item = (&'p Station, &'p Radio)> {
    let stations = passage.plan.site.stations.iter();
    stations.flat_map(move |station| {
        let radios = station.radios.iter();
        radios
            .filter(move |radio| radio.link.value == link)
            .map(move |radio| (station, radio))
    })
}

fn beam(radio: &Radio) -> Angle {
    let antenna = &radio.antenna;
    beam_height(
        antenna.gain.value,
        antenna.beamwidth.as_ref().map(|width| width.value),
    )
}

fn of_beam(radio: &Radio, owner: &str, link: Link) -> Measured {
    let antenna = &radio.antenna;
    let height = beam(radio);
    let mut known = Measured::new(
        evidence::value(height),
        format!(
            "the vertical beamwidth {owner} on the {} link, by its gain,",
            link.name()
        ),
        evidence::label(antenna.gain.span(), format!("gain {}", antenna.gain.value)),
    );
    let gain = antenna.gain.value;
    let factor = 10_f64.powf(gain.get() / 10.0);
    match &antenna.beamwidth {
        Some(width) => {
            known.because.push(evidence::label(
                width.span(),
                format!("beam {} wide", width.value),
            ));
            known.steps = vec![format!(
                "{gain} is {factor:.1} times; 41253 / ({factor:.1} × {:.1}) = {height}",
                width.value.get().to_degrees()
            )];
        }
        None => {
            known.steps = vec![format!(
                "{gain} is {factor:.1} times all round: 101.5 / (h − 0.00272 h²) = {factor:.1} gives {height}"
            )];
        }
    }
    known
}

pub(super) fn beam_aboard(passage: &Passage<'_>, link: Link) -> Option<Measured> {
    let radio = passage.plan.vessel.radio(link)?;
    Some(of_beam(radio, "of the antenna aboard", link))
}

pub(super) fn beam_ashore(passage: &Passage<'_>, link: Link) -> Option<Measured> {
    let narrowest = |a: &(&Station, &Radio), b: &(&Station, &Radio)| {
        beam(a.1).get().total_cmp(&beam(b.1).get())
    };
    let (station, radio) = ashore(passage, link).min_by(narrowest)?;
    Some(of_beam(
        radio,
        &format!("of the antenna of {}", station.id.value),
        link,
    ))
}

pub(super) fn mast_aboard(passage: &Passage<'_>, link: Link) -> Option<Measured> {
    let vessel = &passage.plan.vessel;
    let height = &vessel.radio(link)?.antenna.height;
    let length = &vessel.hull.length_overall;
    let share = height.value / length.value;
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        format!(
            "the height of the antenna aboard for the {} link, as a share of the boat's length,",
            link.name()
        ),
        evidence::label(height.span(), format!("{} above the water", height.value)),
    );
    known.because = vec![evidence::label(
        length.span(),
        format!("{} long", length.value),
    )];
    known.steps = vec![format!(
        "{} / {} = {}",
        height.value,
        length.value,
        evidence::share(share)
    )];
    Some(known)
}

pub(super) fn mast_ashore(passage: &Passage<'_>, link: Link) -> Option<Measured> {
    let over = |(station, radio): (&Station, &Radio)| -> Length {
        radio.antenna.height.value - station.ground.value
    };
    let (station, radio) =
        ashore(passage, link).max_by(|a, b| over(*a).get().total_cmp(&over(*b).get()))?;
    let (height, ground) = (&radio.antenna.height, &station.ground);
    let mast = over((station, radio));
    let mut known = Measured::new(
        evidence::value(mast),
        format!(
            "the height of the antenna of {} for the {} link above its ground",
            station.id.value,
            link.name()
        ),
        evidence::label(height.span(), format!("{} above the water", height.value)),
    );
    known.because = vec![evidence::label(
        ground.span(),
        format!("the ground there is {} above the water", ground.value),
    )];
    known.steps = vec![format!("{} − {} = {mast}", height.value, ground.value)];
    known.assumptions = ground.assumption().map(str::to_owned).into_iter().collect();
    Some(known)
}

/// The strongest of all antennas.
pub(super) fn radiated(passage: &Passage<'_>) -> Vec<Measurement> {
    let (vessel, site) = (&passage.plan.vessel, &passage.plan.site);
    let aboard = vessel.radios.iter().map(|radio| ("aboard", radio));
    let stations = site.stations.iter();
    let ashore = stations.flat_map(|station| {
        let radios = station.radios.iter();
        radios.map(|radio| (station.id.value.as_str(), radio))
    });
    // Losses that nobody stated take nothing off what is radiated.
    let lost = |radio: &Radio| match radio.losses.assumption() {
        None => radio.losses.value,
        Some(_) => Level::ZERO,
    };
    let eirp = |radio: &Radio| {
        radio.transmit_power.value.get() - lost(radio).get() + radio.antenna.gain.value.get()
    };
    let strongest = aboard
        .chain(ashore)
        .max_by(|a, b| eirp(a.1).total_cmp(&eirp(b.1)));
    let Some((owner, radio)) = strongest else {
        return Vec::new();
    };
    let level = PowerLevel::dbm(eirp(radio));
    let (power, gain) = (&radio.transmit_power, &radio.antenna.gain);
    let mut known = Measured::new(
        evidence::value(level),
        format!(
            "the power that the {} antenna ({owner}) radiates along its axis",
            radio.link.value.name()
        ),
        evidence::label(power.span(), format!("transmits {}", power.value)),
    );
    known.because = vec![
        evidence::label(gain.span(), format!("gain {}", gain.value)),
        evidence::label(
            radio.frequency.span(),
            format!("at {}", radio.frequency.value),
        ),
    ];
    known.steps = vec![format!(
        "{} − {} + {} = {level}",
        power.value,
        lost(radio),
        gain.value
    )];
    known.assumptions = match radio.losses.assumption() {
        Some(_) => vec!["no cable losses subtracted (`losses` not stated)".to_owned()],
        None => Vec::new(),
    };
    evidence::of_mission(Ok(known))
}
