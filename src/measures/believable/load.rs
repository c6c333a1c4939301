//! The hotel load against what the parts aboard draw.

use crate::measures::evidence;
use crate::measures::reading::Measured;
use crate::passage::Passage;
use crate::units::Power;

/// What a small computer that steers draws with its receivers. Common practice, no source.
const COMPUTER: f64 = 1.0;
/// What a small echo sounder draws. Common practice, no source.
const SOUNDER: f64 = 0.5;

pub(super) fn in_hand(passage: &Passage<'_>) -> Measured {
    let vessel = &passage.plan.vessel;
    let stated = &vessel.hotel_load;
    let mut because = Vec::new();
    let mut parts = vec![format!("{} for the computer", Power::watts(COMPUTER))];
    let mut least = COMPUTER;
    if let Some(sonar) = &vessel.sonar {
        least += SOUNDER;
        parts.push(format!("{} for the sounder", Power::watts(SOUNDER)));
        because.push(evidence::label(sonar.span, "an echo sounder aboard"));
    }
    for radio in &vessel.radios {
        let level = &radio.transmit_power;
        let watts = 10_f64.powf((level.value.get() - 30.0) / 10.0);
        least += watts;
        let name = radio.link.value.name();
        parts.push(format!("{} for the {name} radio", Power::watts(watts)));
        because.push(evidence::label(
            level.span(),
            format!("the {name} radio transmits {}", level.value),
        ));
    }
    let least = Power::watts(least);
    let over = stated.value - least;
    let mut known = Measured::new(
        evidence::value(over),
        "the hotel load beyond the least that the parts aboard draw",
        evidence::label(stated.span(), format!("hotel load {}", stated.value)),
    );
    known.because = because;
    known.steps = vec![
        format!("at least {} = {least}", parts.join(" + ")),
        format!("{} − {least} = {over}", stated.value),
    ];
    known
}
