//! The rules that are built in.

macro_rules! rules {
    ($($path:literal),* $(,)?) => {
        /// Every built-in rule: its path in the repository and its text.
        pub const BUILTIN_RULES: &[(&str, &str)] =
            &[$(($path, include_str!(concat!("../../", $path)))),*];
    };
}

rules![
    "rules/clearance/hazards.yaml",
    "rules/clearance/keep-out.yaml",
    "rules/clearance/launch-site.yaml",
    "rules/clearance/shoreline.yaml",
    "rules/configuration/capacity-test-age.yaml",
    "rules/configuration/cut-off-voltage.yaml",
    "rules/configuration/full-power.yaml",
    "rules/configuration/hotel-load.yaml",
    "rules/configuration/internal-resistance-high.yaml",
    "rules/configuration/internal-resistance-low.yaml",
    "rules/configuration/measured-capacity.yaml",
    "rules/configuration/minimum-steerageway.yaml",
    "rules/configuration/propulsion-efficiency.yaml",
    "rules/configuration/state-of-health-agrees.yaml",
    "rules/configuration/trial-age.yaml",
    "rules/configuration/trial-friction.yaml",
    "rules/configuration/trial-power.yaml",
    "rules/configuration/trial-speed.yaml",
    "rules/contingency/contingencies-consistent.yaml",
    "rules/contingency/crew-figures.yaml",
    "rules/contingency/lost-link-action.yaml",
    "rules/contingency/lost-link-delay.yaml",
    "rules/contingency/lost-link-holding.yaml",
    "rules/contingency/lost-position-action.yaml",
    "rules/contingency/lost-position-overrun.yaml",
    "rules/contingency/lost-propulsion-action.yaml",
    "rules/contingency/low-battery-action.yaml",
    "rules/contingency/override-overrun.yaml",
    "rules/contingency/override-time.yaml",
    "rules/contingency/stop-after-return.yaml",
    "rules/depth/casts-agree.yaml",
    "rules/depth/depth-unknown.yaml",
    "rules/depth/expected-depths-agree.yaml",
    "rules/depth/launch-site-depth-agrees.yaml",
    "rules/depth/least-depth-agrees.yaml",
    "rules/depth/least-expected-depth-agrees.yaml",
    "rules/depth/mean-depth-agrees.yaml",
    "rules/depth/soundings-age.yaml",
    "rules/depth/soundings-deepen-offshore.yaml",
    "rules/depth/under-keel-clearance.yaml",
    "rules/depth/water-level-above-datum.yaml",
    "rules/depth/water-level-age.yaml",
    "rules/drift/drift-into-keep-out.yaml",
    "rules/drift/drift-into-open-water.yaml",
    "rules/drift/drift-onto-lee-shore.yaml",
    "rules/drift/drift-onto-weir.yaml",
    "rules/drift/safety-boat-wind.yaml",
    "rules/energy/gauge-matches-battery.yaml",
    "rules/energy/low-battery-trigger-early.yaml",
    "rules/energy/low-battery-trigger-late.yaml",
    "rules/energy/reserve-at-turnaround.yaml",
    "rules/energy/return-energy-ratio.yaml",
    "rules/link/antenna-bearing.yaml",
    "rules/link/boat-antenna-beam.yaml",
    "rules/link/boat-antenna-height.yaml",
    "rules/link/link-margin.yaml",
    "rules/link/radiated-power.yaml",
    "rules/link/station-antenna-beam.yaml",
    "rules/link/station-antenna-height.yaml",
    "rules/people/dedicated-lookout.yaml",
    "rules/people/emergency-contact.yaml",
    "rules/people/flotation.yaml",
    "rules/people/means-of-alarm.yaml",
    "rules/people/minimum-crew.yaml",
    "rules/people/other-users-notified.yaml",
    "rules/people/overdue-alarm.yaml",
    "rules/people/roles-assigned.yaml",
    "rules/people/shore-contact.yaml",
    "rules/position/boat-in-sight.yaml",
    "rules/position/clock-matches-longitude.yaml",
    "rules/position/launch-site-at-waterline.yaml",
    "rules/position/operator-at-controls.yaml",
    "rules/position/operator-at-launch.yaml",
    "rules/position/placed-on-water.yaml",
    "rules/position/shoreline-near-route.yaml",
    "rules/position/soundings-within-shoreline.yaml",
    "rules/position/station-manned.yaml",
    "rules/position/station-near-water.yaml",
    "rules/recovery/approach-into-wind.yaml",
    "rules/recovery/approach-speed.yaml",
    "rules/recovery/depth-at-recovery.yaml",
    "rules/recovery/drift-ashore.yaml",
    "rules/recovery/end-action.yaml",
    "rules/recovery/operator-in-sight.yaml",
    "rules/recovery/operator-near.yaml",
    "rules/recovery/overrun.yaml",
    "rules/recovery/stand-off.yaml",
    "rules/recovery/straight-approach.yaml",
    "rules/sea/beam-sea.yaml",
    "rules/sea/breaking-wave.yaml",
    "rules/sea/gust-limit.yaml",
    "rules/sea/open-water-upwind.yaml",
    "rules/sea/steep-waves.yaml",
    "rules/sea/straight-shore.yaml",
    "rules/sea/surf-riding.yaml",
    "rules/sea/synchronous-roll.yaml",
    "rules/sea/wave-groups.yaml",
    "rules/sea/wave-height.yaml",
    "rules/sea/wind-limit.yaml",
    "rules/sounding/along-track-spacing.yaml",
    "rules/sounding/deepest-in-range.yaml",
    "rules/sounding/full-coverage.yaml",
    "rules/sounding/horizontal-uncertainty.yaml",
    "rules/sounding/line-spacing.yaml",
    "rules/sounding/ping-rate.yaml",
    "rules/sounding/record-endurance.yaml",
    "rules/sounding/shallowest-in-range.yaml",
    "rules/sounding/sound-speed.yaml",
    "rules/sounding/soundings-recorded.yaml",
    "rules/sounding/survey-order-stated.yaml",
    "rules/sounding/turn-between-lines.yaml",
    "rules/sounding/vertical-uncertainty.yaml",
    "rules/time/daylight-at-launch.yaml",
    "rules/time/daylight-left.yaml",
    "rules/time/forecast-fresh.yaml",
    "rules/time/forecast-holds.yaml",
    "rules/time/lights.yaml",
    "rules/time/permission-in-force.yaml",
    "rules/time/recently-charged.yaml",
    "rules/time/return-on-time.yaml",
    "rules/time/visibility.yaml",
    "rules/wind/gust-factor.yaml",
    "rules/wind/headway-in-gusts.yaml",
    "rules/wind/upwind-run-energy.yaml",
    "rules/wind/upwind-run-length.yaml",
    "rules/wind/upwind-run-time.yaml",
    "rules/wind/wind-not-planned.yaml",
    "rules/wind/wind-spread.yaml",
];

/// What parsing them gives, each after a line with its path.
const TABLES: &str = include_str!("builtin.table");

/// Each path with the table of its document.
pub(super) fn tables() -> impl Iterator<Item = (&'static str, &'static str)> {
    let all = TABLES.strip_prefix(MARK).unwrap_or_default();
    let all = all.split(BETWEEN);
    all.map(|one| one.split_once('\n').unwrap_or((one, "")))
}

/// What comes before the path of the first table, and of each further one.
const MARK: &str = "= ";
const BETWEEN: &str = "\n= ";

#[cfg(test)]
#[allow(clippy::unwrap_used)] // a test that cannot go on ends here
mod tests {
    use std::path::Path;

    use super::*;
    use crate::document::{ParseLimits, parse, table};
    use crate::source::Sources;

    #[test]
    fn the_tables_are_what_parsing_gives() {
        let mut all = String::new();
        for (path, text) in BUILTIN_RULES {
            let source = Sources::new().add(*path, *text);
            let document = parse(source, text, &ParseLimits::YAML).expect(path);
            let lines = table::table(&document, text);
            let lines =
                lines.unwrap_or_else(|| panic!("{path}: written in a way that no table holds"));
            all.push_str(&format!("{MARK}{path}\n{lines}"));
        }
        if std::env::var_os("OFFING_UPDATE_DOCS").is_some() {
            let at = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules/builtin.table");
            return std::fs::write(at, &all).unwrap();
        }
        let stale = all != TABLES;
        assert!(
            !stale,
            "src/rules/builtin.table is stale: OFFING_UPDATE_DOCS=1 writes it again"
        );
    }

    #[test]
    fn each_rule_has_its_table() {
        let paths = BUILTIN_RULES.iter().map(|(path, _)| *path);
        assert!(paths.eq(tables().map(|(path, _)| path)));
    }
}
