//! The rules that are built in: all there, all sound, all explained.

use std::collections::BTreeSet;
use std::path::Path;

use super::builtin_measures::BUILTIN_MEASURES;
use super::testing::builtin_catalogue;
use super::*;
use crate::document::{ParseLimits, parse};
use crate::schema::{Kind, validate};
use crate::source::Sources;

fn files(folder: &Path, found: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, found);
        } else {
            let root = Path::new(env!("CARGO_MANIFEST_DIR"));
            let path = path.strip_prefix(root).expect("inside");
            found.insert(path.to_str().expect("text").replace('\\', "/"));
        }
    }
}

#[test]
fn every_file_of_the_folder_is_built_in() {
    let mut found = BTreeSet::new();
    files(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("rules"),
        &mut found,
    );
    let listed: BTreeSet<String> = BUILTIN_RULES.iter().map(|(p, _)| (*p).to_owned()).collect();
    assert_eq!(found, listed);
    assert_eq!(listed.len(), BUILTIN_RULES.len());
}

#[test]
fn every_built_in_rule_fits_the_schema() {
    let mut sources = Sources::new();
    for (path, text) in BUILTIN_RULES {
        let source = sources.add(*path, *text);
        let document = parse(source, text, &ParseLimits::YAML).expect(path);
        let problems = validate(Kind::Rule, &document);
        let shown = testing::shown(&problems, &sources);
        assert!(shown.is_empty(), "{path}: {shown:?}");
    }
}

fn builtin() -> (Sources, EffectivePolicy) {
    let mut sources = Sources::new();
    let set = RuleSet::builtin(&mut sources, &builtin_catalogue())
        .unwrap_or_else(|problems| panic!("{:?}", testing::shown(&problems, &sources)));
    let (policies, problems) = Policies::load(&[], &[], &set);
    assert_eq!(problems, []);
    (sources, policies.builtin().clone())
}

#[test]
fn every_built_in_rule_is_sound_and_has_its_limit() {
    let (_, effective) = builtin();
    let found: Vec<String> = effective
        .rules
        .iter()
        .map(|r| {
            let measure = r.rule.measure.text();
            format!(
                "{}: {measure} {}, {}",
                r.rule.id.value,
                r.bound.describe(),
                r.severity.value
            )
        })
        .collect();
    assert_eq!(
        found,
        [
            "along-track-spacing: soundings.along_track_coverage at least 100 %, warning",
            "antenna-bearing: link.off_bearing at most 100 %, warning",
            "approach-into-wind: end.approach_off_wind at most 90°, warning",
            "approach-speed: end.approach_speed at most 0.8 m/s, error",
            "beam-sea: mission.beam_sea_time at most 5 min, warning",
            "boat-antenna-beam: link.beam_height_aboard at least 30°, error",
            "boat-antenna-height: link.mast_aboard at most 100 %, error",
            "boat-in-sight: mission.route_in_sight at least 100 %, warning",
            "breaking-wave: mission.highest_wave_share at most 100 %, error",
            "capacity-test-age: mission.capacity_test_age at most 183 d, warning",
            "casts-agree: agreement.cast_error at most 0.5 m, error",
            "clock-matches-longitude: mission.clock_off_sun at most 3.5 h, error",
            "contingencies-consistent: mission.contingencies_consistent true, error",
            "crew-figures: mission.figures_over_floor at least 100 %, warning",
            "cut-off-voltage: mission.cut_off_margin at least 0 V, error",
            "daylight-at-launch: mission.daylight_at_launch at least 0 s, error",
            "daylight-left: mission.daylight_left at least 30 min, error",
            "dedicated-lookout: mission.dedicated_lookout true, warning",
            "deepest-in-range: soundings.deepest_in_range at least 0 m, warning",
            "depth-at-recovery: end.depth_under_keel at least 0.3 m, error",
            "depth-unknown: mission.depth_unknown at most 0.05 %, warning",
            "drift-ashore: end.drift_time_ashore at least 60 s, error",
            "drift-into-keep-out: mission.drift_time_in_hand_keep_out at least 0 s, warning",
            "drift-into-open-water: mission.drift_time_in_hand_open at least 2 min, error",
            "drift-onto-lee-shore: mission.drift_share_ashore at most 60 %, warning",
            "drift-onto-weir: mission.drift_time_in_hand_weir at least 2 min, error",
            "emergency-contact: mission.emergency_contact_stated true, error",
            "end-action: end.comes_to_rest true, error",
            "expected-depths-agree: agreement.expected_depth_ratio at most 200 %, error",
            "flotation: mission.flotation_attested true, warning",
            "forecast-fresh: mission.forecast_age at most 12 h, error",
            "forecast-holds: mission.forecast_left at least 30 min, error",
            "full-coverage: survey.coverage at least 100 %, warning",
            "full-power: mission.full_power_share at least 100 %, error",
            "gauge-matches-battery: mission.gauge_error at most 5 %, error",
            "gust-factor: mission.gust_factor at least 152 %, warning",
            "gust-limit: mission.gust_share at most 100 %, error",
            "hazards: mission.hazard_clearance at least 0 m, error",
            "headway-in-gusts: mission.headway_in_gusts at least 0.3 m/s, error",
            "horizontal-uncertainty: soundings.horizontal_share at most 100 %, warning",
            "hotel-load: mission.hotel_load_in_hand at least 0 W, error",
            "internal-resistance-high: mission.resistance_over_most at most 100 %, warning",
            "internal-resistance-low: mission.resistance_over_least at least 100 %, error",
            "keep-out: mission.keep_out_clearance at least 0 m, error",
            "launch-site: mission.launch_site_clearance at least 0 m, error",
            "launch-site-at-waterline: mission.launch_site_from_waterline at most 25 m, error",
            "launch-site-depth-agrees: agreement.launch_site_depth_excess at most 0 m, error",
            "least-depth-agrees: agreement.least_depth_excess at most 0 m, error",
            "least-expected-depth-agrees: agreement.expected_least_depth_excess at most 0 m, error",
            "lights: mission.lights_enough true, error",
            "line-spacing: survey.spacing_share at most 100 %, warning",
            "link-margin: link.margin at least 15 dB, error",
            "lost-link-action: mission.lost_link_answered true, error",
            "lost-link-delay: mission.lost_link_delay at most 30 s, error",
            "lost-link-holding: mission.lost_link_holding_time at least 30 min, error",
            "lost-position-action: mission.lost_position_answered true, error",
            "lost-position-overrun: mission.lost_position_overrun_clearance at least 0 m, error",
            "lost-propulsion-action: mission.lost_propulsion_answered true, error",
            "low-battery-action: mission.low_battery_answered true, error",
            "low-battery-trigger-early: mission.charge_above_trigger at least 0 %, warning",
            "low-battery-trigger-late: mission.low_battery_margin at least 5 %, error",
            "mean-depth-agrees: agreement.mean_depth_ratio at most 200 %, error",
            "means-of-alarm: mission.alarm_can_be_raised true, error",
            "measured-capacity: mission.capacity_over_nominal at most 105 %, error",
            "minimum-crew: mission.people_at_water at least 2 people, error",
            "minimum-steerageway: mission.steerageway_in_hand at least 0.1 m/s, error",
            "open-water-upwind: mission.straight_shore_upwind at most 300 %, error",
            "operator-at-controls: mission.operator_to_controls at most 100 m, error",
            "operator-at-launch: mission.operator_to_launch at most 150 m, error",
            "operator-in-sight: end.operator_in_sight true, error",
            "operator-near: end.operator_distance at most 150 m, error",
            "other-users-notified: mission.other_users_notified true, warning",
            "overdue-alarm: mission.overdue_after at most 60 min, error",
            "override-overrun: mission.override_overrun_clearance at least 0 m, error",
            "override-time: mission.override_time at most 30 s, error",
            "overrun: end.overrun_clearance at least 5 m, error",
            "permission-in-force: mission.permission_left at least 0 s, error",
            "ping-rate: soundings.ping_rate_share at most 100 %, warning",
            "placed-on-water: mission.off_water at most 25 m, error",
            "propulsion-efficiency: mission.propulsion_efficiency at most 65 %, error",
            "radiated-power: agreement.radiated_power at most 36 dBm, advice",
            "recently-charged: mission.time_since_charge at most 168 h, warning",
            "record-endurance: soundings.record_time_in_hand at least 10 min, warning",
            "reserve-at-turnaround: mission.reserve_at_turnaround at least 30 %, error",
            "return-energy-ratio: mission.return_energy_ratio at least 200 %, error",
            "return-on-time: mission.time_in_hand at least 5 min, error",
            "roles-assigned: mission.roles_assigned true, error",
            "safety-boat-wind: mission.safety_boat_wind at most 100 %, error",
            "shallowest-in-range: soundings.shallowest_in_range at least 0 m, warning",
            "shore-contact: mission.shore_contact true, warning",
            "shoreline: mission.shoreline_clearance at least 10 m, error",
            "shoreline-near-route: mission.route_from_shore at most 2000 m, error",
            "sound-speed: soundings.sound_speed_error at most 1 %, warning",
            "soundings-age: mission.soundings_age at most 1825 d, warning",
            "soundings-deepen-offshore: agreement.deepens_offshore at least −0.5 m, error",
            "soundings-recorded: soundings.recorded true, error",
            "soundings-within-shoreline: mission.soundings_off_water at most 25 m, error",
            "stand-off: end.stand_off at least 5 m, error",
            "state-of-health-agrees: agreement.health_error at most 10 %, warning",
            "station-antenna-beam: link.beam_height_ashore at least 7°, error",
            "station-antenna-height: link.mast_ashore at most 10 m, error",
            "station-manned: mission.station_operator_distance at most 100 m, error",
            "station-near-water: mission.station_from_water at most 1000 m, error",
            "steep-waves: mission.wave_steepness at most 9.5 %, advice",
            "stop-after-return: mission.stops_after_return true, error",
            "straight-approach: end.straight_length at least 30 m, warning",
            "straight-shore: mission.straight_shore at most 300 %, warning",
            "surf-riding: mission.surf_riding_share at most 100 %, warning",
            "survey-order-stated: soundings.order_stated true, error",
            "synchronous-roll: mission.synchronous_roll at most 80 %, advice",
            "trial-age: mission.trial_age at most 400 d, advice",
            "trial-friction: mission.thrust_over_friction at least 100 %, error",
            "trial-power: agreement.trial_over_pack at most 100 %, error",
            "trial-speed: mission.speed_over_hull_speed at most 150 %, error",
            "turn-between-lines: survey.turn_share at most 100 %, warning",
            "under-keel-clearance: mission.under_keel_clearance at least 0.3 m, error",
            "upwind-run-energy: mission.upwind_run_energy at most 35 %, error",
            "upwind-run-length: mission.upwind_run_length at most 1000 m, error",
            "upwind-run-time: mission.upwind_run_time at most 25 min, error",
            "vertical-uncertainty: soundings.vertical_share at most 100 %, warning",
            "visibility: mission.visibility at least 1000 m, error",
            "water-level-above-datum: agreement.level_above_datum at most 2 m, error",
            "water-level-age: mission.water_level_age at most 60 d, warning",
            "wave-groups: mission.wave_group_pace at most 75 %, advice",
            "wave-height: mission.wave_height_share at most 100 %, error",
            "wind-limit: mission.wind_share at most 100 %, error",
            "wind-not-planned: mission.wind_mean at least 1 m/s, advice",
            "wind-spread: mission.wind_spread at least 10°, warning",
        ]
    );
    for rule in &effective.rules {
        let sentences = rule.rule.why.matches(". ").count() + 1;
        assert!(
            (2..=4).contains(&sentences),
            "{}: {sentences}",
            rule.rule.id.value
        );
        assert!(!rule.rule.sources.is_empty(), "{}", rule.rule.id.value);
    }
}

#[test]
fn the_id_of_a_built_in_rule_is_its_file_name() {
    let (sources, effective) = builtin();
    for rule in &effective.rules {
        let path = sources.path(rule.rule.source);
        let stem = Path::new(path).file_stem().and_then(|s| s.to_str());
        assert_eq!(stem, Some(&*rule.rule.id.value));
    }
}

#[test]
fn every_measure_of_the_list_is_spoken_of() {
    let (_, effective) = builtin();
    let spoken: BTreeSet<&str> = effective
        .rules
        .iter()
        .flat_map(|r| r.rule.measures())
        .map(|m| m.name)
        .collect();
    let listed: BTreeSet<&str> = BUILTIN_MEASURES.iter().map(|(name, ..)| *name).collect();
    assert_eq!(spoken, listed);
}

#[test]
fn a_measure_that_the_catalogue_lacks_is_told_of() {
    let mut catalogue = builtin_catalogue();
    catalogue.retain(|measure| measure.name != "end.stand_off");
    let mut sources = Sources::new();
    let problems = RuleSet::builtin(&mut sources, &catalogue).expect_err("a measure is missing");
    assert_eq!(problems.len(), 1);
    assert_eq!(
        problems[0].message,
        "`measure`: unknown measure `end.stand_off`"
    );
    let path = sources.path(problems[0].span.source);
    assert_eq!(path, "builtin:rules/recovery/stand-off.yaml");
}

#[test]
fn a_rule_is_explained() {
    let (sources, effective) = builtin();
    let rule = effective.get("reserve-at-turnaround").expect("there");
    let text = explain(rule, None, &builtin_catalogue(), &sources);
    let start = "reserve-at-turnaround: Energy left over after the return leg, if the boat turns back \
                 at the worst point\n\nWhat is measured\n  \
                 mission.reserve_at_turnaround: An invented measure.\n  It is measured somehow.\n\n\
                 What passes\n  at least 30 % (set by \
                 builtin:rules/energy/reserve-at-turnaround.yaml:7)\n  severity: error (set by \
                 builtin:rules/energy/reserve-at-turnaround.yaml:8)\n\nWhy\n  A boat that runs out";
    assert!(text.starts_with(start), "{text}");
    let end = "What a plan must state for it\n  - something that a plan states\n\nHow it fails\n  It \
               fails where `mission.reserve_at_turnaround` is less than 30 %; a value at its limit \
               passes.\n  If a plan does not state something that it needs, it cannot be evaluated, and \
               that is a finding of the same severity.\n";
    assert!(text.ends_with(end), "{text}");
    let rule = effective.get("end-action").expect("there");
    let text = explain(rule, None, &builtin_catalogue(), &sources);
    assert!(
        text.contains("It fails where `end.comes_to_rest` is false.\n"),
        "{text}"
    );
}

#[test]
fn the_catalogue_has_a_section_a_rule_in_its_folder() {
    let (sources, effective) = builtin();
    let text = catalogue_markdown(&effective.rules, &builtin_catalogue(), &sources);
    let headings: Vec<&str> = text
        .lines()
        .filter(|line| line.starts_with("## "))
        .collect();
    assert_eq!(
        headings,
        [
            "## Clearance",
            "## Configuration",
            "## Contingency",
            "## Depth",
            "## Drift",
            "## Energy",
            "## Link",
            "## People",
            "## Position",
            "## Recovery",
            "## Sea",
            "## Sounding",
            "## Time",
            "## Wind"
        ]
    );
    let sections = text.lines().filter(|line| line.starts_with("### ")).count();
    assert_eq!(sections, BUILTIN_RULES.len());
    assert!(
        text.contains(
            "### `link-margin`\n\nMargin of the radio link over what the receiver needs.\n\nPasses \
             where `link.margin` is **at least 15 dB**. Severity: error.\n"
        ),
        "{text}"
    );
    assert!(text.ends_with(".\n") && !text.contains("\n\n\n"));
}

#[test]
fn the_policy_of_the_demo_tightens_a_built_in_rule() {
    let mut sources = Sources::new();
    let set = RuleSet::builtin(&mut sources, &builtin_catalogue()).expect("sound");
    let text = include_str!("../../plans/policy/team.yaml");
    let (id, document) = testing::add(&mut sources, "plans/policy/team.yaml", Kind::Policy, text);
    let (policies, problems) = Policies::load(&[(id, &document)], &[], &set);
    assert_eq!(problems, []);
    let team = policies.get("team").expect("there");
    let rule = team.get("reserve-at-turnaround").expect("there");
    assert_eq!(rule.bound.describe(), "at least 35 %");
    assert_eq!(rule.set_by(&sources), "plans/policy/team.yaml:11");
    assert!(team.notes().is_empty());
}
