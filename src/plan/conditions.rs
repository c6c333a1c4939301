//! The conditions planned for: one wind, or an hourly forecast brought to one.

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::time::moment;
use crate::models::wind::{DEFAULT_GUST_FACTOR, LEAST_GUST_FACTOR};
use crate::schema::{Fields, Problem, Stated};
use crate::units::{Angle, FromDirection, Length, Speed, Time};

/// The wind planned for.
#[derive(Clone, PartialEq, Debug)]
pub struct Wind {
    /// Direction that it comes from.
    pub from: Stated<FromDirection>,
    /// How far either side it may differ.
    pub spread: Stated<Angle>,
    /// Sustained speed.
    pub mean: Stated<Speed>,
    /// Gust speed that counts: as stated, raised to what the wind's own turbulence makes it.
    pub gust: Stated<Speed>,
    /// Gust speed as stated, or as assumed where none is.
    pub stated_gust: Speed,
    /// Height that it is given for.
    pub height: Stated<Length>,
    /// The longest that it will have blown by the end of the run; `None` where waves are taken as
    /// limited by the fetch alone.
    pub duration: Stated<Option<Time>>,
}

/// The time that a plan may take up.
pub(super) struct Period {
    pub start: Timestamp,
    pub delay: Time,
    pub latest_return: Option<Stated<Timestamp>>,
}

fn height(fields: Fields<'_>) -> Stated<Length> {
    fields.quantity_or("height")
}

fn spread_or_default(fields: Fields<'_>) -> Stated<Angle> {
    fields.quantity_or("spread")
}

/// How long the wind will have blown. A wind that is planned for the whole run has blown for that
/// long at its end; `None` where less is stated, which a problem then says.
fn duration(fields: Fields<'_>, period: &Period) -> Option<Stated<Option<Time>>> {
    let Some(stated) = fields.quantity::<Time>("duration") else {
        return Some(Stated::assumed(
            None,
            fields.span(),
            "waves are limited by fetch alone (`duration` of the wind not stated)",
        ));
    };
    if let Some(back) = &period.latest_return {
        let run = back.value.duration_since(period.start).as_secs_f64();
        if stated.value.get() < run {
            let text = format!(
                "the wind has blown for {} at the end of the run, but the run itself may last {}",
                stated.value,
                Time::seconds(run)
            );
            fields.problem(
                Problem::value(stated.span(), text)
                    .with(back.span(), "latest return")
                    .help("state how long the wind will have blown by the latest return"),
            );
            return None;
        }
    }
    Some(stated.map(Some))
}

/// Reads the wind, with the forecast that it comes from where it is one; `None` where none can be
/// told, which a problem then says.
pub(super) fn wind(
    conditions: Fields<'_>,
    period: &Period,
    zone: Option<&TimeZone>,
) -> Option<(Wind, Option<Forecast>)> {
    if let Some(forecast) = conditions.map("forecast") {
        let (wind, forecast) = enveloped(forecast, period, zone)?;
        return Some((wind, Some(forecast)));
    }
    Some((one_wind(conditions, period)?, None))
}

fn one_wind(conditions: Fields<'_>, period: &Period) -> Option<Wind> {
    let fields = conditions.map("wind")?;
    let from = fields.required_direction("from");
    let mean: Option<Stated<Speed>> = fields.required("mean");
    let spread = spread_or_default(fields);
    let height = height(fields);
    let mean = mean?;
    let gust = fields.quantity_to_state_from("gust", mean.value * DEFAULT_GUST_FACTOR);
    let stated_gust = gust.value;
    let gust = gust_above_mean(fields, gust, &mean)?;
    let duration = duration(fields, period);
    Some(Wind {
        from: from?.map(FromDirection::new),
        spread,
        mean,
        gust,
        stated_gust,
        height,
        duration: duration?,
    })
}

/// The gust that counts beside a mean: one that is less above it than the wind's own turbulence
/// off the land makes it is raised to that. A gust below the mean is a slip in one of the two;
/// `None` then.
fn gust_above_mean(
    fields: Fields<'_>,
    gust: Stated<Speed>,
    mean: &Stated<Speed>,
) -> Option<Stated<Speed>> {
    if gust.value >= mean.value {
        let least = mean.value * LEAST_GUST_FACTOR;
        if gust.value.get() >= least.get() * (1.0 - 1e-9) {
            return Some(gust);
        }
        let text = format!(
            "the gust counts as {least}, {LEAST_GUST_FACTOR} times the mean of {}, in place of {}",
            mean.value, gust.value
        );
        return Some(Stated::assumed(least, gust.span(), text));
    }
    let text = format!(
        "the gust, {}, is less than the mean wind, {}",
        gust.value, mean.value
    );
    fields.problem(Problem::value(gust.span(), text).with(mean.span(), "the mean wind"));
    None
}

/// One hour of a forecast.
#[derive(Clone, Debug)]
pub(super) struct Hour {
    time: Stated<Timestamp>,
    from: Stated<Angle>,
    mean: Stated<Speed>,
    gust: Stated<Speed>,
    stated_gust: Speed,
}

/// An hourly forecast.
#[derive(Clone, Debug)]
pub struct Forecast {
    /// When it was issued.
    pub issued: Stated<Timestamp>,
    /// Until when it holds.
    pub valid_until: Stated<Timestamp>,
    spread: Stated<Angle>,
    height: Stated<Length>,
    hours: Vec<Hour>,
}

/// One wind that is at least as bad as every hour the plan may meet.
fn enveloped(
    fields: Fields<'_>,
    period: &Period,
    zone: Option<&TimeZone>,
) -> Option<(Wind, Forecast)> {
    let issued = moment(fields, "issued", zone);
    let valid_until = moment(fields, "valid_until", zone);
    let spread = spread_or_default(fields);
    let height = height(fields);
    let hours = fields
        .maps("hours")
        .map(|hour| {
            let time = moment(hour, "time", zone);
            let from = hour.required_direction("from");
            let mean = hour.required("mean");
            let gust = hour.required("gust");
            let (mean, gust) = (mean?, gust?);
            let stated_gust = gust.value;
            let gust = gust_above_mean(hour, gust, &mean)?;
            Some(Hour {
                time: time?,
                from: from?,
                mean,
                gust,
                stated_gust,
            })
        })
        .collect::<Option<Vec<Hour>>>()?;
    let (issued, valid_until) = (issued?, valid_until?);
    let Some(latest_return) = &period.latest_return else {
        fields.problem(
            Problem::value(
                fields.span(),
                "a forecast can be followed only up to a stated `latest_return`",
            )
            .help("state `latest_return` under `launch`"),
        );
        return None;
    };
    let delay = SignedDuration::from_secs_f64(period.delay.get());
    let until = latest_return
        .value
        .checked_add(delay)
        .unwrap_or(latest_return.value);
    let refuse = |problem: Problem| {
        fields.problem(problem);
        None
    };
    if issued.value > valid_until.value {
        return refuse(
            Problem::value(issued.span(), "the forecast is issued after it expires")
                .with(valid_until.span(), "valid until"),
        );
    }
    if issued.value > period.start {
        return refuse(Problem::value(
            issued.span(),
            "the forecast is issued after the launch, so nobody can have planned by it",
        ));
    }
    if valid_until.value < until {
        return refuse(
            Problem::value(
                valid_until.span(),
                "the forecast expires before the latest return, any launch delay included",
            )
            .with(latest_return.span(), "latest return"),
        );
    }
    for pair in hours.windows(2) {
        let (one, next) = (&pair[0].time, &pair[1].time);
        let problem = |text| Problem::value(next.span(), text).with(one.span(), "the hour before");
        if next.value <= one.value {
            return refuse(problem("the hours are not in order of time"));
        }
        if next.value.duration_since(one.value) > SignedDuration::from_hours(1) {
            let text = "more than an hour lies between this one and the one before";
            return refuse(problem(text).help("give the wind of every hour"));
        }
    }
    let forecast = Forecast {
        issued,
        valid_until,
        spread,
        height,
        hours,
    };
    let wind = forecast.wind(period.start, until);
    if wind.is_none() {
        fields.problem(
            Problem::value(
                fields.span(),
                "the forecast does not cover the time from launch to the latest return",
            )
            .with(latest_return.span(), "latest return"),
        );
    }
    Some((wind?, forecast))
}

impl Forecast {
    /// When its first hour begins.
    #[must_use]
    pub fn begins(&self) -> Option<Timestamp> {
        self.hours.first().map(|hour| hour.time.value)
    }

    /// The line of the hour that holds at a time; `None` before the first.
    #[must_use]
    pub fn line_at(&self, time: Timestamp) -> Option<crate::source::Span> {
        let hour = self.hours.iter().rfind(|hour| hour.time.value <= time)?;
        Some(hour.from.span())
    }

    /// One wind that is at least as bad as every hour from `start` to `end`; `None` where the
    /// hours do not cover that time.
    #[must_use]
    pub fn wind(&self, start: Timestamp, end: Timestamp) -> Option<Wind> {
        let in_force = in_force(&self.hours, start, end);
        let strongest = in_force
            .iter()
            .max_by(|a, b| a.mean.value.get().total_cmp(&b.mean.value.get()))?;
        let gustiest = in_force
            .iter()
            .max_by(|a, b| a.gust.value.get().total_cmp(&b.gust.value.get()))?;
        let bearings: Vec<f64> = in_force
            .iter()
            .map(|hour| hour.from.value.to_degrees())
            .collect();
        let (middle, half) = smallest_arc(&bearings);
        let spread = self.spread.value.get() + half.to_radians();
        let widened = Angle::radians(spread.min(std::f64::consts::PI));
        Some(Wind {
            from: Stated::written(
                FromDirection::new(Angle::degrees(middle)),
                strongest.from.span(),
            ),
            spread: self.spread.clone().map(|_| widened),
            mean: strongest.mean.clone(),
            gust: gustiest.gust.clone(),
            stated_gust: in_force
                .iter()
                .map(|hour| hour.stated_gust)
                .fold(strongest.mean.value, Speed::max),
            height: self.height.clone(),
            // How long the wind blew before the first hour is not known.
            duration: Stated::assumed(
                None,
                self.spread.span(),
                "waves are limited by fetch alone, however long the forecast's wind has blown",
            ),
        })
    }
}

/// The hours that hold at some time of a period, an hour holding until the next one and the last
/// one for an hour; none where the forecast leaves part of the period out.
fn in_force(hours: &[Hour], start: Timestamp, end: Timestamp) -> &[Hour] {
    let Some(first) = hours.iter().rposition(|hour| hour.time.value <= start) else {
        return &[];
    };
    let last = hours
        .iter()
        .rposition(|hour| hour.time.value < end)
        .unwrap_or(first)
        .max(first);
    let held_until = hours.get(last + 1).map(|next| next.time.value).or_else(|| {
        hours[last]
            .time
            .value
            .checked_add(SignedDuration::from_hours(1))
            .ok()
    });
    if held_until.is_none_or(|until| until < end) {
        return &[];
    }
    &hours[first..=last]
}

/// The middle and half the width, in degrees, of the smallest arc that holds every bearing.
fn smallest_arc(bearings: &[f64]) -> (f64, f64) {
    let mut sorted: Vec<f64> = bearings.iter().map(|b| b.rem_euclid(360.0)).collect();
    sorted.sort_by(f64::total_cmp);
    let count = sorted.len();
    // The arc is what is left of the circle when the widest gap is taken out.
    let gap_after = |i: usize| {
        let next = if i + 1 < count {
            sorted[i + 1]
        } else {
            sorted[0] + 360.0
        };
        next - sorted[i]
    };
    let widest = (0..count)
        .max_by(|a, b| gap_after(*a).total_cmp(&gap_after(*b)))
        .expect("there is at least one direction");
    let start = sorted[(widest + 1) % count];
    let half = (360.0 - gap_after(widest)) / 2.0;
    ((start + half).rem_euclid(360.0), half)
}

#[cfg(test)]
mod tests {
    use super::smallest_arc;

    #[test]
    fn an_arc_across_north_is_the_short_way() {
        let (middle, half) = smallest_arc(&[350.0, 20.0, 10.0]);
        assert!((middle - 5.0).abs() < 1e-9 && (half - 15.0).abs() < 1e-9);
        let (middle, half) = smallest_arc(&[240.0]);
        assert!((middle - 240.0).abs() < 1e-9 && half.abs() < 1e-9);
    }
}
