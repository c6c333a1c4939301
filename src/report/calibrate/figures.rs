//! What a fit leaves unexplained, as figures: against the speed, and against the wind that the boat met.

use crate::calibrate::{Calibration, Residual};
use crate::report::counted;
use crate::report::figures::axis::Axis;
use crate::report::figures::chart::Chart;
use crate::report::figures::style::Figure;

/// Classes of the runs' rings, which differ by dash and fill.
const CLASSES: [&str; 4] = ["one", "two", "three", "four"];

/// What residuals are drawn against.
struct Against {
    id: &'static str,
    title: &'static str,
    label: &'static str,
    of: fn(&Residual) -> f64,
    /// The whole of the axis, where it has one.
    whole: Option<(f64, f64, f64)>,
    /// What a slope in it would mean.
    means: &'static str,
}

/// Against the speed; none where nothing was fitted.
#[must_use]
pub(crate) fn by_speed(found: &Calibration) -> Option<Figure> {
    Against {
        id: "residuals",
        title: "Residuals of the fit, by speed",
        label: "speed through the water, m/s",
        of: |one| one.speed.get(),
        whole: None,
        means: "A bend in them shows a hull that does not follow the vessel's curve.",
    }
    .drawn(found)
}

/// Against how far off the bow the wind came; none where nothing was fitted.
#[must_use]
pub(crate) fn by_angle(found: &Calibration) -> Option<Figure> {
    Against {
        id: "residuals-angle",
        title: "Residuals of the fit, by the wind off the bow",
        label: "apparent wind off the bow, degrees (0 is ahead)",
        of: |one| one.met.angle.to_degrees(),
        whole: Some((-6.0, 186.0, 45.0)),
        means: "More at one end than at the other shows a wind that was misread, or a current.",
    }
    .drawn(found)
}

/// Against the wind past the boat; none where nothing was fitted.
#[must_use]
pub(crate) fn by_wind(found: &Calibration) -> Option<Figure> {
    Against {
        id: "residuals-wind",
        title: "Residuals of the fit, by the wind past the boat",
        label: "apparent wind at the hull, m/s",
        of: |one| one.met.speed.get(),
        whole: None,
        means: "A bend in them shows a drag that does not grow as the square of the wind.",
    }
    .drawn(found)
}

impl Against {
    fn drawn(&self, found: &Calibration) -> Option<Figure> {
        let fitted = found.fitted?;
        let values = found.residuals.iter().map(self.of);
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| {
            (low.min(one), high.max(one))
        });
        if low > high {
            return None;
        }
        let room = 0.1 * (high - low).max(0.1);
        let (from, to, step) = match self.whole {
            Some((from, to, step)) => (from, to, Some(step)),
            None => (low - room, high + room, None),
        };
        let x = Axis {
            label: self.label.to_owned(),
            from,
            to,
            step,
        };
        // As far below nothing as above it, so that no ring lies on the frame and both have a tick.
        let over = found.residuals.iter().map(|one| one.over.get().abs());
        let most = 1.2 * over.fold(0.05, f64::max);
        let y = Axis {
            label: "drawn less fitted, W".to_owned(),
            from: -most,
            to: most,
            step: None,
        };
        let rows = found.runs.len().div_ceil(3);
        let mut chart = Chart::new(self.id, self.title, (x, y), rows);
        chart.line(&[(from, 0.0), (to, 0.0)], "axis", "");
        // The first run last: what is on top is named first.
        for run in (0..found.runs.len()).rev() {
            let class = CLASSES[run % CLASSES.len()];
            let of_run = found.residuals.iter().filter(|one| one.run == run);
            let rings: Vec<(f64, f64)> =
                of_run.map(|one| ((self.of)(one), one.over.get())).collect();
            chart.rings(&rings, class, &format!("run {}", run + 1));
        }
        let words = format!(
            "Each ring is a steady stretch: {}, at {low:.2} to {high:.2}. Above the line the boat \
             drew more than fitted. Root mean square: {}. {}",
            counted(found.residuals.len(), "one", "of them"),
            fitted.error,
            self.means
        );
        Some(chart.finish(&words))
    }
}
