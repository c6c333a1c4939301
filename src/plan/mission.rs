//! The mission, typed, with its route laid out on the site.

use jiff::Timestamp;
use jiff::tz::Offset;

use super::actions;
use super::antennas::antennas;
use super::conditions::{self, Forecast, Period};
use super::contingencies::{self, Contingencies};
use super::day::{self, Day};
use super::laid_out::point_or;
use super::manned::{self, Manned};
use super::operator::{self, Operator, unstated_reaction};
use super::people::{self, People};
use super::places::launch_site;
use super::radio::Link;
use super::return_leg;
use super::route::{self, Leg};
use super::safety_boat::{self, SafetyBoat};
use super::site::Site;
use super::soundings::{self, Block, Soundings};
use super::time::{moment, written_offset};
use super::waivers::{self, Waiver};
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::{Length, Ratio, Temperature, Time};

pub(crate) use super::actions::{Action, LostLink, LowBattery, Threshold};
pub(crate) use super::antennas::Pointed;
pub(crate) use super::conditions::Wind;
pub(crate) use super::return_leg::ReturnLeg;

/// A plan of one run.
#[derive(Clone, Debug)]
pub struct Mission {
    /// Its id.
    pub id: Stated<String>,
    /// What people call it, where stated.
    pub title: Option<String>,
    /// What it is for, where stated.
    pub purpose: Option<String>,
    /// Where it launches.
    pub launch: Launch,
    /// Where it ends.
    pub recovery: Recovery,
    /// The remote operator, where stated.
    pub operator: Option<Operator>,
    /// What fetches the disabled boat, where stated.
    pub safety_boat: Option<SafetyBoat>,
    /// State of charge at launch.
    pub charge_at_launch: Stated<Ratio>,
    /// Wind planned for; `None` where no conditions are stated.
    pub wind: Option<Wind>,
    /// Forecast, visibility, and when the battery was charged.
    pub day: Day,
    /// Temperature of the water and the battery.
    pub water_temperature: Stated<Temperature>,
    /// The straight legs, survey blocks expanded, launch point to recovery point.
    pub legs: Vec<Leg>,
    /// The return leg when the boat breaks off.
    pub return_leg: ReturnLeg,
    /// What each link is for.
    pub links: Vec<(Link, Stated<LinkUse>)>,
    /// The shore stations in use, in the order of the file.
    pub stations: Vec<Manned>,
    /// How station antennas are pointed for this mission.
    pub antennas: Vec<Pointed>,
    /// What the boat does at the recovery point.
    pub at_end: Option<Stated<Action>>,
    /// What it does when the control link is lost.
    pub on_lost_link: Option<LostLink>,
    /// What it does when the battery runs low.
    pub on_low_battery: Option<LowBattery>,
    /// What it does when it loses its position.
    pub on_lost_position: Option<Stated<Action>>,
    /// The survey blocks of the route.
    pub blocks: Vec<Block>,
    /// What the soundings are to be good for, where stated.
    pub soundings: Option<Soundings>,
    /// What else happens when something fails.
    pub contingencies: Contingencies,
    /// Who does what, and what they see to beforehand.
    pub people: People,
    /// Findings that are accepted for this mission.
    pub waivers: Vec<Waiver>,
    /// The `route` key, a line to show for the route as a whole.
    pub route_span: Span,
}

/// Where and when the boat goes in.
#[derive(Clone, Debug)]
pub struct Launch {
    /// Launch point.
    pub at: Stated<Point>,
    /// Its launch site, as the centre and radius of the launch site.
    pub zone: Zone,
    /// Planned time.
    pub time: Stated<Timestamp>,
    /// The offset from UTC that the time is written with; `None` where it is written in UTC or in the
    /// site's own time.
    pub offset: Option<Offset>,
    /// How much later it may be.
    pub delay: Stated<Time>,
    /// Time by which the boat is to be back, where stated.
    pub latest_return: Option<Stated<Timestamp>>,
}

/// A launch site: where the boat may be near the shore.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Id of the launch site, on the line that names it.
    pub place: Stated<String>,
    /// Centre.
    pub centre: Point,
    /// Radius, with its line.
    pub radius: Stated<Length>,
    /// Least depth of water, where stated.
    pub depth: Option<Stated<Length>>,
}

/// Where the run ends.
#[derive(Clone, Debug)]
pub struct Recovery {
    /// Recovery point.
    pub at: Stated<Point>,
    /// Its launch site.
    pub zone: Zone,
}

/// What a link is for on a mission.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum LinkUse {
    /// The mission depends on it.
    Needed,
    /// What it would carry is recorded aboard.
    LoggedAboard,
    /// It is not used.
    NotUsed,
}

const LINK_USES: &[(&str, LinkUse)] = &[
    ("needed", LinkUse::Needed),
    ("logged aboard", LinkUse::LoggedAboard),
    ("not used", LinkUse::NotUsed),
];

/// Reads a mission file against its site; `None` where a needed value is missing or malformed.
pub(crate) fn parse(file: Fields<'_>, site: &Site) -> Option<Mission> {
    let file = file.with_declination(site.declination);
    let id = file.required_text("id");
    let zone = site.time_zone.as_ref();
    let launch_fields = file.required_map("launch");
    let launch = launch_fields.and_then(|fields| launch(fields, site));
    let recovery_fields = file.required_map("recovery");
    let recovery = recovery_fields.and_then(|fields| {
        let (at, zone) = at_launch_site(fields, site)?;
        Some(Recovery { at, zone })
    });
    let operator = operator::parse(file, site);
    let safety_boat = safety_boat::parse(file, site);
    let charge_at_launch = file.quantity_to_state("charge_at_launch");
    let (wind, water_temperature) = conditions(file, launch.as_ref(), zone);
    let (wind, forecast) = wind.unzip();
    let day = day::parse(file, zone, forecast.flatten());
    let speed = file.map("speed").and_then(|fields| route::command(fields));
    let legs = match (&launch, &recovery) {
        (Some(launch), Some(recovery)) => {
            let last = recovery_fields
                .and_then(|f| f.map("speed"))
                .map_or_else(|| speed.clone(), |f| route::command(f));
            let ends = route::Ends {
                launch: &launch.at,
                recovery: &recovery.at,
            };
            route::parse(file, site, &ends, speed.as_ref(), last.as_ref())
        }
        _ => None,
    };
    let return_leg = return_leg::parse(file, site, legs.as_deref());
    let links = file.map("links").map(|fields| {
        Link::NAMES
            .iter()
            .filter_map(|(name, link)| Some((*link, fields.word(name, LINK_USES)?)))
            .collect()
    });
    let stations = manned::parse(file, site, operator.as_ref().and_then(Option::as_ref));
    let antennas = stations
        .as_deref()
        .and_then(|stations| antennas(file, site, stations));
    let at_end = file
        .map("at_end")
        .and_then(|f| f.word("action", actions::ENDS));
    let on_lost_link = file.map("on_lost_link").and_then(actions::lost_link);
    let on_low_battery = file.map("on_low_battery").and_then(actions::low_battery);
    let on_lost_position = file
        .map("on_lost_position")
        .and_then(|f| f.word("action", actions::ACTIONS));
    let soundings = file.map("soundings").and_then(soundings::parse);
    let contingencies = contingencies::parse(file);
    let people = people::parse(file, site);
    let waivers = waivers::parse(file);
    let route_span = file
        .node()
        .entry("route")
        .map_or(file.span(), |entry| entry.key_span);
    Some(Mission {
        id: id?,
        title: file.text("title").map(|title| title.value),
        purpose: file.text("purpose").map(|purpose| purpose.value),
        launch: launch?,
        recovery: recovery?,
        operator: operator?,
        safety_boat: safety_boat?,
        charge_at_launch,
        wind,
        day,
        water_temperature,
        legs: legs?,
        return_leg: return_leg?,
        links: links?,
        stations: stations?,
        antennas: antennas?,
        at_end,
        on_lost_link,
        on_low_battery,
        on_lost_position,
        blocks: soundings::blocks(file),
        soundings,
        contingencies: contingencies?,
        people: people?,
        waivers: waivers?,
        route_span,
    })
}

fn launch_site_zone(fields: Fields<'_>, site: &Site) -> Option<Zone> {
    let (place, found) = launch_site(fields, site)?;
    Some(Zone {
        place,
        centre: found.at,
        radius: found.zone.clone(),
        depth: found.depth.clone(),
    })
}

/// A point with the launch site that it belongs to, whose own point it is where none is stated. One that lies
/// outside the place's zone belongs to another place, or is a slip in one of the two.
fn at_launch_site(fields: Fields<'_>, site: &Site) -> Option<(Stated<Point>, Zone)> {
    let zone = launch_site_zone(fields, site);
    let at = point_or(&site.plane, fields, "at", || {
        zone.as_ref()
            .map(|zone| zone.place.clone().map(|_| zone.centre))
    });
    let (at, zone) = (at?, zone?);
    let away = Length::metres(at.value.distance(zone.centre));
    if away > zone.radius.value {
        fields.problem(
            Problem::value(
                at.span(),
                format!(
                    "this point is {away} from launch site `{}`, whose zone reaches {}",
                    zone.place.value, zone.radius.value
                ),
            )
            .labelled("outside the launch site")
            .with(zone.radius.span(), "the zone"),
        );
        return None;
    }
    Some((at, zone))
}

fn launch(fields: Fields<'_>, site: &Site) -> Option<Launch> {
    let place = at_launch_site(fields, site);
    let time = moment(fields, "time", site.time_zone.as_ref());
    let latest_return = moment(fields, "latest_return", site.time_zone.as_ref());
    let delay = fields.quantity_to_state("delay");
    let time = time?;
    if let Some(back) = &latest_return
        && back.value <= time.value
    {
        fields.problem(
            Problem::value(back.span(), "the latest return is not after the launch")
                .with(time.span(), "launch"),
        );
        return None;
    }
    let (at, zone) = place?;
    Some(Launch {
        at,
        zone,
        offset: fields
            .text("time")
            .and_then(|text| written_offset(&text.value, time.value)),
        time,
        delay,
        latest_return,
    })
}

fn conditions(
    file: Fields<'_>,
    launch: Option<&Launch>,
    zone: Option<&jiff::tz::TimeZone>,
) -> (Option<(Wind, Option<Forecast>)>, Stated<Temperature>) {
    // As cold as sea water is: a colder pack holds less, so nothing is gained by leaving it out.
    let Some(fields) = file.map("conditions") else {
        return (
            None,
            file.quantity_or_within(&["conditions", "water_temperature"]),
        );
    };
    let temperature = fields.quantity_or("water_temperature");
    let wind = launch.and_then(|launch| {
        let period = Period {
            start: launch.time.value,
            delay: launch.delay.value,
            latest_return: launch.latest_return.clone(),
        };
        conditions::wind(fields, &period, zone)
    });
    (wind, temperature)
}

impl Mission {
    /// Time from seeing to acting; that of the schema where no operator is stated.
    #[must_use]
    pub fn reaction_time(&self) -> Time {
        self.operator
            .as_ref()
            .map_or_else(unstated_reaction, |operator| operator.reaction_time.value)
    }

    /// What a link is for; default: not used.
    #[must_use]
    pub fn link_use(&self, link: Link) -> Option<&Stated<LinkUse>> {
        self.links
            .iter()
            .find(|(l, _)| *l == link)
            .map(|(_, stated)| stated)
    }

    /// Whether a station, by its index at the site, is in use.
    #[must_use]
    pub fn uses_station(&self, index: usize) -> bool {
        self.stations.iter().any(|one| one.index == index)
    }

    /// The places that a straight return leg, or one by waypoints, leads through after the one where it
    /// begins: its waypoints, and the recovery point. One back along the route leads so from the launch point.
    #[must_use]
    pub fn return_points(&self) -> Vec<Point> {
        let via = self.return_leg.via().iter().map(|via| via.at.value);
        via.chain([self.recovery.at.value]).collect()
    }

    /// The speed of a command, whichever way it is meant, for the last leg.
    #[must_use]
    pub fn approach(&self) -> Option<(&Leg, Command)> {
        self.legs.last().map(|leg| (leg, leg.command.value))
    }
}
