//! How station antennas are pointed for a mission.

use super::manned::{Manned, in_use};
use super::radio::Link;
use super::site::Site;
use crate::schema::{Fields, Problem, Stated};
use crate::units::Towards;

/// How one station's antenna is pointed for a mission.
#[derive(Clone, Debug)]
pub struct Pointed {
    /// Id of the station.
    pub station: Stated<String>,
    /// The link.
    pub link: Link,
    /// Bearing of the axis.
    pub azimuth: Stated<Towards>,
}

/// Reads how a mission points antennas; `None` where one is pointed that cannot be, which a
/// problem then says.
pub(super) fn antennas(file: Fields<'_>, site: &Site, stations: &[Manned]) -> Option<Vec<Pointed>> {
    let mut pointed = Vec::new();
    for item in file.maps("antennas") {
        let station = item.required_text("station");
        let link = item.word("link", Link::NAMES);
        let azimuth = item.required_direction("azimuth");
        let (station, link, azimuth) = (station?, link?, azimuth?.map(Towards::new));
        let found = in_use(item, &station, site, stations)?;
        let Some(radio) = found.radios.iter().find(|r| r.link.value == link.value) else {
            let what = format!(
                "station `{}` has no radio for the {} link",
                station.value,
                link.value.name()
            );
            item.problem(
                Problem::new("input-reference", station.span(), what)
                    .with(site.id.span(), "this site"),
            );
            return None;
        };
        if radio.antenna.beamwidth.is_none() {
            item.problem(
                Problem::value(
                    azimuth.span(),
                    format!(
                        "the antenna of station `{}` for the {} link is omnidirectional and needs \
                         no pointing",
                        station.value,
                        link.value.name()
                    ),
                )
                .with(radio.antenna.gain.span(), "no `beamwidth` is stated here"),
            );
            return None;
        }
        let twice = pointed
            .iter()
            .find(|p: &&Pointed| p.station.value == station.value && p.link == link.value);
        if let Some(first) = twice {
            item.problem(
                Problem::value(
                    azimuth.span(),
                    format!(
                        "the antenna of station `{}` for the {} link is pointed twice",
                        station.value,
                        link.value.name()
                    ),
                )
                .with(first.azimuth.span(), "pointed here first"),
            );
            return None;
        }
        pointed.push(Pointed {
            station,
            link: link.value,
            azimuth,
        });
    }
    Some(pointed)
}
