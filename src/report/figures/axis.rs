//! The axes of a chart.

/// An axis.
#[derive(Clone, Debug)]
pub(crate) struct Axis {
    /// What it shows, with its unit: `distance along the route, m`.
    pub label: String,
    /// Its least value.
    pub from: f64,
    /// Its greatest value.
    pub to: f64,
    /// Distance between ticks; a round one where none is given.
    pub step: Option<f64>,
}

impl Axis {
    /// An axis that holds all these values, a little widened; `floor` is always on it.
    #[must_use]
    pub(crate) fn around(label: &str, values: impl IntoIterator<Item = f64>, floor: f64) -> Self {
        let (mut from, mut to) = (floor, floor);
        for value in values {
            if value.is_finite() {
                from = from.min(value);
                to = to.max(value);
            }
        }
        if to - from < 1e-9 {
            to = from + 1.0;
        }
        let more = 0.05 * (to - from);
        Self {
            label: label.to_owned(),
            from: if from < floor { from - more } else { from },
            to: to + more,
            step: None,
        }
    }

    /// Round values on the axis, about so many.
    #[must_use]
    pub(crate) fn ticks(&self, about: usize) -> Vec<f64> {
        let span = self.to - self.from;
        let raw = span / about.max(1) as f64;
        if !(raw.is_finite() && raw > 0.0) {
            return Vec::new();
        }
        let size = 10f64.powf(raw.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0]
            .map(|step| step * size)
            .into_iter()
            .find(|step| *step >= raw)
            .unwrap_or(raw);
        let step = self.step.unwrap_or(step);
        let first = (self.from / step - 1e-9).ceil() as i64;
        let last = (self.to / step + 1e-9).floor() as i64;
        (first..=last.min(first + 100))
            .map(|k| k as f64 * step)
            .collect()
    }
}

/// A value of a tick: as many decimals as tell it from its neighbour.
#[must_use]
pub(crate) fn tick_text(value: f64, step: f64) -> String {
    let decimals = (-step.abs().max(1e-9).log10().floor()).max(0.0) as usize;
    let text = format!("{value:.decimals$}");
    let text = if text
        .trim_start_matches('-')
        .chars()
        .all(|c| c == '0' || c == '.')
    {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    };
    text.replace('-', "−")
}

/// Distance between the first two of some ticks.
pub(super) fn spacing(ticks: &[f64]) -> f64 {
    match ticks {
        [first, second, ..] => second - first,
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::{Axis, tick_text};

    #[test]
    fn ticks_are_round_and_lie_on_the_axis() {
        let axis = Axis {
            label: String::new(),
            from: 0.0,
            to: 1234.0,
            step: None,
        };
        assert_eq!(axis.ticks(5), [0.0, 500.0, 1000.0]);
        assert_eq!(tick_text(-0.5, 0.5), "−0.5");
        assert_eq!(tick_text(500.0, 500.0), "500");
        assert_eq!(tick_text(-0.0, 0.2), "0.0");
    }
}
