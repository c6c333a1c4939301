//! Wind limits for other programs.

use serde::Serialize;

use super::json::without_controls;
use super::program::{PROGRAM, Program};
use super::{CAUTION, limits, quantity};
use crate::envelope::{
    Alternative, BandWind, Binding, Change, LimitedBy, Limits, Moved, Passing, Room, Sector, Varied,
};
use crate::models::wind::Steady;
use crate::units::{Quantity, Ratio, Typed};

/// What the JSON form calls itself.
pub const LIMITS_FORMAT: &str = "offing-limits";
/// Version of the JSON form.
pub const LIMITS_VERSION: u32 = 1;
/// The JSON Schema of the JSON form.
pub const LIMITS_SCHEMA: &str = include_str!("../../schemas/limits-output.schema.json");

#[derive(Serialize)]
struct Value {
    value: f64,
    unit: String,
    text: String,
}

fn of(quantity: Quantity) -> Value {
    Value {
        value: quantity.value,
        unit: quantity::stored_unit(quantity.dimension),
        text: quantity::text(quantity),
    }
}

fn value<T: Typed>(typed: T) -> Value {
    of(typed.quantity())
}

/// A direction in degrees, as people read it off a compass.
fn degrees(from: crate::units::FromDirection) -> f64 {
    let degrees = from.angle().to_degrees().rem_euclid(360.0);
    (degrees * 1e6).round() / 1e6 % 360.0
}

#[derive(Serialize)]
struct BindingRecord<'a> {
    rule: &'a str,
    verdict: &'static str,
}

fn bindings(all: &[Binding]) -> Vec<BindingRecord<'_>> {
    let records = all.iter().map(|one| BindingRecord {
        rule: &one.rule,
        verdict: one.verdict.name(),
    });
    records.collect()
}

#[derive(Serialize)]
struct SteadyRecord {
    mean: Value,
    gust: Value,
}

fn steady(one: &Steady) -> SteadyRecord {
    SteadyRecord {
        mean: value(one.mean),
        gust: value(one.gust),
    }
}

#[derive(Serialize)]
struct LimitedByRecord<'a> {
    wind: SteadyRecord,
    from_degrees: f64,
    rules: Vec<BindingRecord<'a>>,
}

#[derive(Serialize)]
struct PassingRecord {
    from: Value,
    to: Value,
}

#[derive(Serialize)]
struct SectorRecord<'a> {
    from_degrees: f64,
    strongest: Option<SteadyRecord>,
    as_read: Option<SteadyRecord>,
    limited_by: Option<LimitedByRecord<'a>>,
    again: Vec<PassingRecord>,
}

fn sector(one: &Sector) -> SectorRecord<'_> {
    let limited_by = |limited_by: &'_ LimitedBy| SteadyRecord {
        mean: value(limited_by.wind.mean),
        gust: value(limited_by.wind.gust),
    };
    SectorRecord {
        from_degrees: degrees(one.from),
        strongest: one.strongest.as_ref().map(steady),
        as_read: one.as_read.as_ref().map(steady),
        limited_by: one.limited_by.as_ref().map(|held| LimitedByRecord {
            wind: limited_by(held),
            from_degrees: degrees(held.from),
            rules: bindings(&held.rules),
        }),
        again: one
            .again
            .iter()
            .map(|Passing { from, to }| PassingRecord {
                from: value(*from),
                to: value(*to),
            })
            .collect(),
    }
}

#[derive(Serialize)]
struct WindRecord<'a> {
    from_degrees: f64,
    spread: Value,
    mean: Value,
    gust: Value,
    height: Value,
    planned: bool,
    passed: bool,
    broken: Vec<BindingRecord<'a>>,
}

fn wind(one: &BandWind) -> WindRecord<'_> {
    WindRecord {
        from_degrees: degrees(one.from),
        spread: value(one.spread),
        mean: value(one.mean),
        gust: value(one.gust),
        height: value(one.height),
        planned: one.planned,
        passed: one.broken.is_empty(),
        broken: bindings(&one.broken),
    }
}

#[derive(Serialize)]
struct ChangeRecord {
    kind: &'static str,
    by: Option<f64>,
}

fn change(change: Change) -> ChangeRecord {
    let of = |kind, by: Option<Ratio>| ChangeRecord {
        kind,
        by: by.map(Ratio::get),
    };
    match change {
        Change::None => of("none", None),
        Change::Reversed => of("reversed", None),
        Change::Speed(share) => of("speed", Some(share)),
        Change::Charge(points) => of("charge", Some(points)),
        Change::Nearer(share) => of("nearer", Some(share)),
    }
}

#[derive(Serialize)]
struct RoomRecord<'a> {
    rule: &'a str,
    subject: &'a str,
    measured: Value,
    side: &'static str,
    limit: Value,
    share: Option<f64>,
    counts: bool,
}

fn room(one: &Room) -> RoomRecord<'_> {
    RoomRecord {
        rule: &one.rule,
        subject: &one.subject,
        measured: of(one.measured),
        side: one.side.words(),
        limit: of(one.limit),
        share: one.share.map(Ratio::get),
        counts: one.counts,
    }
}

#[derive(Serialize)]
struct AlternativeRecord<'a> {
    change: ChangeRecord,
    words: &'a str,
    not_to_be_had: Option<&'a str>,
    passed: bool,
    broken: Vec<BindingRecord<'a>>,
    least_room: Option<f64>,
    room: Vec<RoomRecord<'a>>,
}

fn alternative(one: &Alternative) -> AlternativeRecord<'_> {
    AlternativeRecord {
        change: change(one.change),
        words: &one.words,
        not_to_be_had: one.not_to_be_had.as_deref(),
        passed: one.passed(),
        broken: bindings(&one.broken),
        least_room: one.least.map(Ratio::get),
        room: one.room.iter().map(room).collect(),
    }
}

#[derive(Serialize)]
struct VariedRecord<'a> {
    from_degrees: f64,
    strongest: Option<Value>,
    up_to_cap: bool,
    broken: Vec<BindingRecord<'a>>,
}

#[derive(Serialize)]
struct MovedRecord<'a> {
    change: ChangeRecord,
    words: &'a str,
    not_to_be_had: Option<&'a str>,
    regardless: Vec<BindingRecord<'a>>,
    limits: Vec<VariedRecord<'a>>,
}

fn varied(one: &Varied) -> VariedRecord<'_> {
    VariedRecord {
        from_degrees: degrees(one.from),
        strongest: one.strongest.map(value),
        up_to_cap: one.up_to_cap,
        broken: bindings(&one.broken),
    }
}

fn moved(one: &Moved) -> MovedRecord<'_> {
    MovedRecord {
        change: change(one.change),
        words: &one.words,
        not_to_be_had: one.not_to_be_had.as_deref(),
        regardless: bindings(&one.regardless),
        limits: one.limits.iter().map(varied).collect(),
    }
}

#[derive(Serialize)]
struct Record<'a> {
    format: &'static str,
    version: u32,
    program: Program,
    mission: &'a str,
    path: &'a str,
    policy: &'a str,
    step: Value,
    spread: Value,
    height: Value,
    read_at: Value,
    duration: Option<Value>,
    gust_factor: f64,
    grid: Value,
    cap: Value,
    any_wind_passes: bool,
    regardless: Vec<BindingRecord<'a>>,
    as_stated: &'a [String],
    sectors: Vec<SectorRecord<'a>>,
    planned: Option<WindRecord<'a>>,
    sensitivity: Vec<MovedRecord<'a>>,
    today: Option<WindRecord<'a>>,
    alternatives: Vec<AlternativeRecord<'a>>,
    best: Option<usize>,
    notes: &'a [String],
    meant: Vec<String>,
    assumptions: &'a [String],
    caution: String,
}

/// The wind limits as JSON text, as its schema ([`LIMITS_SCHEMA`]) describes it.
///
/// # Errors
/// Those of the serializer; no limits are known to cause one.
pub fn limits_json(found: &Limits) -> Result<String, serde_json::Error> {
    let record = Record {
        format: LIMITS_FORMAT,
        version: LIMITS_VERSION,
        program: PROGRAM,
        mission: &found.mission,
        path: &found.path,
        policy: &found.policy,
        step: value(found.step),
        spread: value(found.spread),
        height: value(found.height),
        read_at: value(found.read_at),
        duration: found.duration.map(value),
        gust_factor: found.gust_factor.get(),
        grid: value(found.grid),
        cap: value(found.cap),
        any_wind_passes: found.any_wind_passes(),
        regardless: bindings(&found.regardless),
        as_stated: &found.as_stated,
        sectors: found.sectors.iter().map(sector).collect(),
        planned: found.planned.as_ref().map(wind),
        sensitivity: found.moved.iter().map(moved).collect(),
        today: found.today.as_ref().map(wind),
        alternatives: found.alternatives.iter().map(alternative).collect(),
        best: found.best,
        notes: &found.notes,
        meant: limits::assumed(found),
        assumptions: &found.assumptions,
        caution: format!("{} {CAUTION}", limits::CAREFUL),
    };
    let mut text = serde_json::to_string_pretty(&record)?;
    text.push('\n');
    Ok(without_controls(text))
}
