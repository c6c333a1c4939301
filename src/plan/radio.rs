//! Radios and antennas, aboard and ashore.

use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::{Angle, Frequency, Length, Level, PowerLevel, Towards};

/// The links that a radio may serve.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Hash)]
pub enum Link {
    /// Commands to the boat.
    Control,
    /// Its state to the shore.
    Telemetry,
    /// Soundings to the shore.
    SonarData,
}

impl Link {
    /// Every link with its name in files.
    pub const NAMES: &[(&'static str, Self)] = &[
        ("control", Self::Control),
        ("telemetry", Self::Telemetry),
        ("sonar-data", Self::SonarData),
    ];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Control => "control",
            Self::Telemetry => "telemetry",
            Self::SonarData => "sonar-data",
        }
    }
}

/// An antenna, aboard or ashore.
#[derive(Clone, Debug)]
pub struct Antenna {
    /// Gain on its axis.
    pub gain: Stated<Level>,
    /// Height above the water.
    pub height: Stated<Length>,
    /// Bearing of the axis, where it has one.
    pub azimuth: Option<Stated<Towards>>,
    /// Full width at half power, where it is directional.
    pub beamwidth: Option<Stated<Angle>>,
    /// How far the gain falls at most.
    pub front_to_back: Stated<Level>,
    /// Whether it is polarised horizontally.
    pub horizontal: Stated<bool>,
}

/// A radio, aboard or ashore.
#[derive(Clone, Debug)]
pub struct Radio {
    /// The link that it serves.
    pub link: Stated<Link>,
    /// Carrier frequency.
    pub frequency: Stated<Frequency>,
    /// Transmit power.
    pub transmit_power: Stated<PowerLevel>,
    /// Weakest usable signal.
    pub sensitivity: Stated<PowerLevel>,
    /// Cable losses.
    pub losses: Stated<Level>,
    /// Its antenna.
    pub antenna: Antenna,
}

/// Loss of a thin coaxial cable at 1 GHz, dB a metre; it goes with the root of the frequency (common
/// practice, no source).
const CABLE_LOSS: f64 = 1.0;
/// Loss of the two connectors of a cable, dB (common practice, no source).
const CONNECTORS: f64 = 0.4;
/// The most that an antenna concentrates in the vertical alone, dBi: one that radiates all round and has
/// more is a rod of some ten wavelengths (common practice, no source).
const MOST_ALL_ROUND: f64 = 9.0;

/// What a thin cable from the antenna to the ground or the waterline takes, with its connectors.
fn cable(frequency: Frequency, height: Length) -> Level {
    let root = (frequency.get() / 1e9).sqrt();
    Level::decibels(CABLE_LOSS * root * height.get() + CONNECTORS)
}

/// The losses of a cable that nobody states: those of a thin one as long as the antenna is high.
pub(super) fn unstated_losses(frequency: Frequency, height: Length, near: Span) -> Stated<Level> {
    let losses = cable(frequency, height);
    let text = format!(
        "cable losses {losses}, those of a thin cable as long as the antenna is high \
         (`losses` not stated)"
    );
    Stated::assumed(losses, near, text)
}

/// Reads the `radios` of a vessel or a station, each by `one`; `None` where one of them is malformed.
pub(super) fn read_each<T>(
    fields: Fields<'_>,
    one: impl Fn(Fields<'_>) -> Option<T>,
    link: impl Fn(&T) -> &Stated<Link>,
) -> Option<Vec<T>> {
    let mut radios: Vec<T> = Vec::new();
    let mut sound = true;
    for item in fields.maps("radios") {
        let Some(radio) = one(item) else {
            sound = false;
            continue;
        };
        let serves = link(&radio);
        let first = radios.iter().map(&link).find(|r| r.value == serves.value);
        if let Some(first) = first {
            item.problem(
                Problem::value(
                    serves.span(),
                    format!("a second radio serves the {} link", serves.value.name()),
                )
                .with(first.span(), "the first one"),
            );
            sound = false;
        }
        radios.push(radio);
    }
    sound.then_some(radios)
}

/// Reads the `radios` of a vessel.
pub(super) fn aboard(fields: Fields<'_>) -> Option<Vec<Radio>> {
    read_each(fields, radio, |radio| &radio.link)
}

/// A radio of which everything is stated that has no default.
pub(super) fn radio(fields: Fields<'_>) -> Option<Radio> {
    let link = fields.word("link", Link::NAMES);
    let frequency: Option<Stated<Frequency>> = fields.required("frequency");
    let transmit_power = fields.required("transmit_power");
    let sensitivity = fields.required("sensitivity");
    let antenna = fields.required_map("antenna").and_then(antenna);
    let losses = match (fields.get("losses"), &frequency, &antenna) {
        (None, Some(frequency), Some(antenna)) => {
            unstated_losses(frequency.value, antenna.height.value, fields.span())
        }
        // The radio is not read without the two of them.
        (None, ..) => return None,
        (Some(_), ..) => fields.quantity("losses")?,
    };
    Some(Radio {
        link: link?,
        frequency: frequency?,
        transmit_power: transmit_power?,
        sensitivity: sensitivity?,
        losses,
        antenna: antenna?,
    })
}

/// What looks to more than one side gets its gain from the vertical alone, and not much of it.
fn all_round(
    fields: Fields<'_>,
    gain: &Stated<Level>,
    beamwidth: Option<&Stated<Angle>>,
) -> Option<()> {
    let wide = beamwidth.is_none_or(|width| width.value > Angle::degrees(180.0));
    if !wide || gain.value <= Level::decibels(MOST_ALL_ROUND) {
        return Some(());
    }
    let most = Level::decibels(MOST_ALL_ROUND);
    let text = match beamwidth {
        Some(width) => format!(
            "`gain` is {} over a beam of {}: no antenna with that beam has more than {most}",
            gain.value, width.value
        ),
        None => format!(
            "`gain` is {} all round, but no omnidirectional antenna has more than {most}",
            gain.value
        ),
    };
    fields.problem(
        Problem::value(gain.span(), text).help(
            "state the `azimuth` and `beamwidth` of a directional antenna, from one data sheet",
        ),
    );
    None
}

/// An antenna.
pub(super) fn antenna(fields: Fields<'_>) -> Option<Antenna> {
    let gain: Option<Stated<Level>> = fields.required("gain");
    let height = fields.required("height");
    let azimuth = fields.direction("azimuth").map(|a| a.map(Towards::new));
    let beamwidth = fields.quantity::<Angle>("beamwidth");
    // An antenna aboard looks to every side alike, and its schema knows nothing of a back.
    let front_to_back = if fields.knows("front_to_back") {
        fields.quantity_or("front_to_back")
    } else {
        Stated::written(Level::decibels(0.0), fields.span())
    };
    let horizontal = fields
        .word("polarisation", &[("vertical", false), ("horizontal", true)])
        .unwrap_or_else(|| {
            let text = "the antenna's polarisation is across the other one's (`polarisation` not \
                        stated)";
            Stated::assumed(false, fields.span(), text)
        });
    match (fields.get("beamwidth"), fields.get("azimuth")) {
        (Some(width), None) => {
            let text = "an antenna with a beamwidth needs an `azimuth`";
            fields.problem(Problem::value(width.span, text).labelled("pointed where?"));
            return None;
        }
        // Without its beamwidth a directional antenna would count with its whole gain all round.
        (None, Some(node)) => {
            let text = "an antenna with an azimuth needs a `beamwidth`";
            fields.problem(Problem::value(node.span, text).labelled("how wide is the beam?"));
            return None;
        }
        (None, None) => {
            if let Some(node) = fields.get("front_to_back") {
                let text = "an omnidirectional antenna has no `front_to_back`";
                fields.problem(
                    Problem::value(node.span, text)
                        .help("state `azimuth` and `beamwidth`, or leave it out"),
                );
                return None;
            }
        }
        (Some(_), Some(_)) => {}
    }
    // A width that is malformed is reported already.
    let told = fields.get("beamwidth").is_some() && beamwidth.is_none();
    if let Some(gain) = gain.as_ref().filter(|_| !told) {
        all_round(fields, gain, beamwidth.as_ref())?;
    }
    Some(Antenna {
        gain: gain?,
        height: height?,
        azimuth,
        beamwidth,
        front_to_back,
        horizontal,
    })
}
