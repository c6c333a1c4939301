//! Radios and antennas, aboard and ashore.

use super::vessel::{Antenna, Link, Radio};
use crate::schema::{Bounds, Fields, Problem};
use crate::units::{Angle, Level, Towards};

/// Reads the `radios` of a vessel or a station; `None` where one of them is malformed.
pub(super) fn read_all(fields: Fields<'_>) -> Option<Vec<Radio>> {
    let mut radios: Vec<Radio> = Vec::new();
    let mut sound = true;
    for item in fields.maps("radios") {
        let Some(radio) = radio(item) else {
            sound = false;
            continue;
        };
        if let Some(first) = radios.iter().find(|r| r.link.value == radio.link.value) {
            item.problem(
                Problem::value(
                    radio.link.span(),
                    format!("a second radio serves the {} link", radio.link.value.name()),
                )
                .with(first.link.span(), "the first one"),
            );
            sound = false;
        }
        radios.push(radio);
    }
    sound.then_some(radios)
}

fn radio(fields: Fields<'_>) -> Option<Radio> {
    let link = fields.word("link", Link::NAMES);
    let frequency = fields.required("frequency", Bounds::POSITIVE);
    let transmit_power = fields.required("transmit_power", Bounds::TRANSMIT_POWER);
    let sensitivity = fields.required("sensitivity", Bounds::SENSITIVITY);
    let losses = if fields.get("losses").is_some() {
        fields.quantity("losses", Bounds::NOT_NEGATIVE)?
    } else {
        crate::schema::Stated::assumed(
            Level::decibels(0.0),
            fields.span(),
            "cable losses are taken as 0 dB, `losses` not being stated",
        )
    };
    let antenna = fields.required_map("antenna").and_then(antenna);
    Some(Radio {
        link: link?,
        frequency: frequency?,
        transmit_power: transmit_power?,
        sensitivity: sensitivity?,
        losses,
        antenna: antenna?,
    })
}

fn antenna(fields: Fields<'_>) -> Option<Antenna> {
    let gain = fields.required("gain", Bounds::ANY);
    let height = fields.required("height", Bounds::ANTENNA_HEIGHT);
    let azimuth = fields
        .quantity::<Angle>("azimuth", Bounds::BEARING)
        .map(|a| a.map(Towards::new));
    let beamwidth = fields.quantity::<Angle>("beamwidth", Bounds::BEAM);
    let front_to_back = fields.quantity_or(
        "front_to_back",
        Bounds::NOT_NEGATIVE,
        Level::decibels(20.0),
        "fall of the gain behind the antenna",
    );
    let horizontal = fields
        .word("polarisation", &[("vertical", false), ("horizontal", true)])
        .unwrap_or_else(|| {
            let text = "the antenna is taken to lie across the other one's polarisation, `polarisation` not \
                        being stated";
            crate::schema::Stated::assumed(false, fields.span(), text)
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
                let text = "an antenna that radiates all round has no `front_to_back`";
                fields.problem(
                    Problem::value(node.span, text)
                        .help("state `azimuth` and `beamwidth`, or leave it out"),
                );
                return None;
            }
        }
        (Some(_), Some(_)) => {}
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
