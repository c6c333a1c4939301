//! Reading the vessel profile.

use super::{Battery, CalmForm, Gauge, Hull, Navigation, Propulsion, Vessel, Windage};
use super::{calibration, seaway, together};
use crate::models::battery::Chemistry;
use crate::models::resistance::TrialTable;
use crate::plan::gathered::FileOfKind;
use crate::schema::{Fields, Problem, Stated};
use crate::units::{Charge, Length, Power, Ratio, Speed, Voltage};

const CHEMISTRIES: &[(&str, Chemistry)] = &[
    ("nmc", Chemistry::Nmc),
    ("nca", Chemistry::Nca),
    ("lfp", Chemistry::Lfp),
    ("lead-acid", Chemistry::LeadAcid),
];

/// Reads a vessel from a file that fits its schema.
///
/// # Errors
/// Every [`Problem`] of the file.
pub fn vessel(file: &FileOfKind) -> Result<Vessel, Vec<Problem>> {
    file.parse_with(parse)
}

/// Reads a vessel file; `None` where a needed value is missing or malformed, which the problems
/// then say.
pub(crate) fn parse(file: Fields<'_>) -> Option<Vessel> {
    let id = file.required_text("id");
    let hull = file.required_map("hull").and_then(hull);
    let windage = file
        .required_map("windage")
        .and_then(|fields| windage(fields, hull.as_ref()));
    let propulsion = file.required_map("propulsion").and_then(propulsion);
    let battery = file.required_map("battery").and_then(battery);
    let hotel_load = file.required("hotel_load");
    let radios = crate::plan::radio::aboard(file);
    let sonar = match (file.map("sonar"), &hull) {
        (Some(fields), Some(hull)) => super::sonar::parse(fields, hull),
        _ => None,
    };
    let navigation = file.required_map("navigation").and_then(navigation);
    if let (Some(hull), Some(navigation)) = (&hull, &navigation) {
        together::turn(file, hull, navigation);
    }
    let limits = seaway::limits(file, hull.as_ref().map(|hull: &Hull| &hull.length_overall));
    if let Some(hull) = &hull {
        together::check(file, hull, windage.as_ref(), battery.as_ref());
    }
    let lights = crate::plan::lights::parse(file);
    let calibration = match file.map("calibration") {
        Some(fields) => calibration::parse(fields).map(Some),
        None => Some(None),
    };
    Some(Vessel {
        id: id?,
        boat: file.text("boat"),
        title: file.text("title").map(|title| title.value),
        hull: hull?,
        windage: windage?,
        propulsion: propulsion?,
        battery: battery?,
        hotel_load: hotel_load?,
        radios: radios?,
        sonar,
        navigation: navigation?,
        limits: limits?,
        lights: lights?,
        calibration: calibration?,
    })
}

fn hull(fields: Fields<'_>) -> Option<Hull> {
    let length_overall = fields.required("length_overall");
    let waterline_length: Option<Stated<Length>> = fields.required("waterline_length");
    let beam = fields.required("beam");
    let draft = fields.required("draft");
    let displacement = fields.required("displacement");
    let wetted_surface = fields.quantity("wetted_surface");
    // The bluntest bow there is: the blunter it is, the more the waves hold the boat back.
    let bluntest = waterline_length
        .as_ref()
        .map_or(Length::metres(0.1), |l| l.value * together::BLUNTEST);
    let bow_length = fields.quantity_or_from("bow_length", bluntest);
    let roll = seaway::roll(fields);
    Some(Hull {
        length_overall: length_overall?,
        waterline_length: waterline_length?,
        beam: beam?,
        draft: draft?,
        displacement: displacement?,
        wetted_surface,
        bow_length,
        roll,
    })
}

/// The least height at which the middle of the windage is taken by default.
const WINDAGE_HEIGHT: Length = Length::metres(0.5);

fn windage(fields: Fields<'_>, hull: Option<&Hull>) -> Option<Windage> {
    let frontal_area = fields.required("frontal_area");
    let drag_coefficient = fields.number_or("drag_coefficient");
    // The middle of what stands aboard is no higher than the boat is long, and higher up it blows more.
    let highest = hull.map_or(WINDAGE_HEIGHT, |hull| {
        hull.length_overall.value.max(WINDAGE_HEIGHT)
    });
    let height = fields.quantity_or_from("height", highest);
    if height.value > highest {
        let text = format!(
            "`height` is {}: the centre of the windage is no higher above the water than the boat \
             is long, or {WINDAGE_HEIGHT}",
            height.value
        );
        let problem = Problem::value(height.span(), text);
        fields.problem(match hull {
            Some(hull) => problem.with(hull.length_overall.span(), "the length"),
            None => problem,
        });
    }
    let leeway = fields.quantity_or("leeway");
    Some(Windage {
        frontal_area: frontal_area?,
        drag_coefficient,
        height,
        leeway,
    })
}

fn propulsion(fields: Fields<'_>) -> Option<Propulsion> {
    let maximum_power = fields.required("maximum_power");
    let propulsive_efficiency = fields.quantity_or("propulsive_efficiency");
    let motor_efficiency = fields.quantity_or("motor_efficiency");
    let minimum_steerageway = fields.quantity_to_state("minimum_steerageway");
    let stopping_distance = fields.quantity("stopping_distance");
    let stopping_speed = fields.quantity("stopping_speed");
    let calm = calm_water(fields);
    let tried = fields
        .map("trial")
        .and_then(|trial| crate::plan::time::date(trial, "date"));
    Some(Propulsion {
        maximum_power: maximum_power?,
        propulsive_efficiency,
        motor_efficiency,
        minimum_steerageway,
        stopping_distance,
        stopping_speed,
        calm: calm?,
        tried,
    })
}

fn calm_water(fields: Fields<'_>) -> Option<Stated<CalmForm>> {
    if let Some(trial) = fields.map("trial") {
        let mut points = Vec::new();
        for point in trial.maps("points") {
            let speed: Option<Stated<Speed>> = point.required("speed");
            let power: Option<Stated<Power>> = point.required("power");
            points.push((speed?.value, power?.value));
        }
        return match TrialTable::new(points) {
            Ok(table) => Some(Stated::written(CalmForm::Trial(table), trial.span())),
            Err(error) => {
                let point = error.point().and_then(|at| trial.maps("points").nth(at));
                let span = point.map_or(trial.span(), |point| point.span());
                trial.problem(Problem::value(span, format!("`trial`: {error}")));
                None
            }
        };
    }
    let model = fields.map("resistance")?;
    let form_factor = model.number_or("form_factor").value;
    let residuary = model.number_or("residuary_coefficient").value;
    Some(Stated::written(
        CalmForm::Model {
            form_factor,
            residuary,
        },
        model.span(),
    ))
}

fn battery(fields: Fields<'_>) -> Option<Battery> {
    let chemistry = fields.word("chemistry", CHEMISTRIES);
    let cells = cells(fields);
    let nominal: Option<Stated<Charge>> = fields.required("nominal_capacity");
    let capacity = capacity(fields, nominal.as_ref());
    let lead = chemistry
        .as_ref()
        .is_some_and(|c| c.value == Chemistry::LeadAcid);
    let usable = fields.quantity_to_state_from(
        "usable_fraction",
        Ratio::fraction(if lead { 0.5 } else { 0.8 }),
    );
    let resistance = fields.required("internal_resistance");
    let cut_off: Option<Stated<Voltage>> = fields.required("cut_off_voltage");
    let gauge = fields.map("gauge").and_then(gauge);
    // Of what was not measured no test tells.
    let measured = fields.get("measured_capacity").is_some();
    let tested = crate::plan::time::date(fields, "capacity_tested").filter(|_| measured);
    // Not calculated with beside a measured capacity, but held against it.
    let health_beside = fields
        .get("measured_capacity")
        .and_then(|_| fields.quantity("state_of_health"));
    let battery = Battery {
        chemistry: chemistry?,
        cells: cells?,
        capacity: capacity?,
        nominal: nominal?,
        health_beside,
        tested,
        usable,
        resistance: resistance?,
        cut_off: cut_off?,
        gauge,
    };
    check_cut_off(fields, &battery);
    Some(battery)
}

/// A cut-off that the pack never falls to, or never reaches, is a slip in one of two figures.
fn check_cut_off(fields: Fields<'_>, battery: &Battery) {
    let cells = f64::from(battery.cells.value);
    let full = battery.chemistry.value.open_circuit_voltage(1.0) * cells;
    if battery.cut_off.value >= full {
        fields.problem(
            Problem::value(
                battery.cut_off.span(),
                format!(
                    "`cut_off_voltage` is {}, but {} cells in series are at {full} when full",
                    battery.cut_off.value, battery.cells.value
                ),
            )
            .with(battery.cells.span(), "cells in series"),
        );
    }
}

fn cells(fields: Fields<'_>) -> Option<Stated<u32>> {
    let node = fields.get("cells_in_series")?;
    let cells = node
        .as_number()
        .filter(|n| n.fract().abs() < f64::EPSILON && *n >= 1.0)?;
    // The schema bounds it at 200.
    Some(Stated::written(cells as u32, node.span))
}

fn capacity(fields: Fields<'_>, nominal: Option<&Stated<Charge>>) -> Option<Stated<Charge>> {
    if fields.get("measured_capacity").is_some() {
        return fields.quantity("measured_capacity");
    }
    let health: Stated<Ratio> = fields.quantity_to_state("state_of_health");
    let nominal = nominal?;
    let capacity = nominal.value * health.value.get();
    Some(match health.assumption() {
        Some(text) => Stated::missing(capacity, nominal.span(), text),
        None => Stated::written(capacity, health.span()),
    })
}

fn gauge(fields: Fields<'_>) -> Option<Stated<Gauge>> {
    let counts_charge = match fields.get("counts") {
        Some(_) => fields.word("counts", &[("charge", true), ("voltage", false)])?,
        // What is set in it tells which it is.
        None => {
            let of_voltage = ["empty", "full"]
                .into_iter()
                .find_map(|key| fields.get(key));
            let by = fields.get("capacity_set").map(|node| (true, node));
            let by = by.or_else(|| Some((false, of_voltage?)));
            by.map_or_else(
                || Stated::written(true, fields.span()),
                |(charge, node)| Stated::written(charge, node.span),
            )
        }
    };
    // Figures of the other kind of gauge are those of another gauge.
    let (others, counts): (&[&str], _) = if counts_charge.value {
        (&["empty", "full"], "charge")
    } else {
        (&["capacity_set"], "voltage")
    };
    for key in others {
        if let Some(node) = fields.get(key) {
            let text = format!("`{key}` says nothing about a gauge that counts {counts}");
            fields.problem(Problem::value(node.span, text).with(counts_charge.span(), "counts"));
        }
    }
    let gauge = if counts_charge.value {
        Gauge::Charge(fields.required("capacity_set")?)
    } else {
        let empty: Option<Stated<Voltage>> = fields.required("empty");
        let full: Option<Stated<Voltage>> = fields.required("full");
        let (empty, full) = (empty?, full?);
        if full.value <= empty.value {
            fields.problem(
                Problem::value(full.span(), "`full` must be above `empty`")
                    .with(empty.span(), "empty"),
            );
            return None;
        }
        Gauge::Voltage { empty, full }
    };
    Some(Stated::written(gauge, fields.span()))
}

fn navigation(fields: Fields<'_>) -> Option<Navigation> {
    let position_error = fields.required("position_error");
    let cross_track_error = fields.required("cross_track_error");
    let turning_radius = fields.required("turning_radius");
    let delay = fields.quantity_or("delay");
    Some(Navigation {
        position_error: position_error?,
        cross_track_error: cross_track_error?,
        turning_radius: turning_radius?,
        delay,
    })
}
