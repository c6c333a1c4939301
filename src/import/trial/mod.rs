//! A speed-power trial out of a table of its runs, as the block of a vessel's propulsion, with the hotel load.
//!
//! Runs at one setting go there and back in turn; their mean of means takes out a current that changes steadily
//! meanwhile (ITTC procedure 7.5-04-01-01.1, from memory). A run that takes no time was none: the motors were off.

mod written;

use jiff::civil::Date;

use super::fault::{Fault, Place, counted, excerpt};
use super::lines::number;
use super::{Wanted, headed};
use crate::source::Limit;
use crate::units::{Length, Power, Speed};

/// The largest file that a trial is read from: 1 MiB.
pub(crate) const LARGEST: Limit = Limit::from_bytes(1 << 20);
/// Most runs at one setting.
const MOST_RUNS: usize = 8;
/// Most points of a trial, as a vessel's file takes them.
const MOST_POINTS: usize = 100;
/// Speeds past this are slips, m/s: 50 knots.
const FASTEST: f64 = 25.0;
/// Runs the same way that differ by more than this share of their mean were no calm trial (common practice, no source).
const MOST_APART: f64 = 0.05;

/// How the speed of a run is told.
#[derive(Clone, PartialEq, Debug)]
pub(crate) enum Ran {
    /// By its speed.
    Speed(Wanted),
    /// By the time that it took over a distance.
    Time(Wanted, Length),
}

/// How a trial is to come in.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct TrialOptions {
    /// Heading of the column that tells the settings apart.
    pub setting: String,
    /// Where the speeds stand, or the times.
    pub ran: Ran,
    /// Where the power stands that everything aboard takes.
    pub power: Wanted,
    /// The day.
    pub date: Date,
}

/// A trial as it came in.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct TrialImport {
    /// The block, as a vessel has it.
    pub text: String,
    /// What people are to look at, a sentence each without its full stop.
    pub notes: Vec<String>,
    /// What came of it, in a sentence.
    pub summary: String,
}

/// All runs at one setting, in their order.
struct Set {
    name: String,
    speeds: Vec<f64>,
    powers: Vec<f64>,
    place: Place,
}

/// A point of the table.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Point {
    speed: Speed,
    power: Power,
}

/// Brings a trial in from the bytes of a CSV file.
///
/// # Errors
/// What is wrong with it.
pub(crate) fn import_trial(
    bytes: Vec<u8>,
    file: &str,
    options: &TrialOptions,
) -> Result<TrialImport, Fault> {
    let text = String::from_utf8(bytes).map_err(|_| Fault::whole("this is no text in UTF-8"))?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let ran = match &options.ran {
        Ran::Speed(wanted) | Ran::Time(wanted, _) => wanted,
    };
    let wanted = [
        options.setting.as_str(),
        ran.place.as_str(),
        options.power.place.as_str(),
    ];
    let rows = headed::rows(text, &wanted)?;
    let (sets, still) = sets(&rows, options)?;
    let Some(hotel) = mean(&still) else {
        return Err(Fault::whole(
            "no row is of the motors off, without a speed; its power is the hotel load, which the others hold too",
        ));
    };
    let runs: usize = sets.iter().map(|set| set.speeds.len()).sum();
    let mut notes = Vec::new();
    let mut points: Vec<(Point, &Set)> = Vec::new();
    for set in &sets {
        notes.extend(apart(set));
        points.push((point(set, hotel)?, set));
    }
    points.sort_by(|(a, _), (b, _)| a.speed.get().total_cmp(&b.speed.get()));
    rising(&points)?;
    let points: Vec<Point> = points.into_iter().map(|(point, _)| point).collect();
    Ok(TrialImport {
        summary: format!(
            "{} of {}, from {} to {}; hotel load {}",
            counted(points.len(), "speed"),
            counted(runs, "run"),
            points[0].speed,
            points[points.len() - 1].speed,
            written::watts(written::up(Power::watts(hotel)))
        ),
        text: written::block(&points, Power::watts(hotel), (file, runs), options),
        notes,
    })
}

/// The runs by their settings, and the power of each row with the motors off.
fn sets(rows: &[headed::Row], options: &TrialOptions) -> Result<(Vec<Set>, Vec<f64>), Fault> {
    let (mut sets, mut still): (Vec<Set>, Vec<f64>) = (Vec::new(), Vec::new());
    for row in rows {
        let [setting, ran, power] = row.as_slice() else {
            return Err(Fault::whole("a run has three values"));
        };
        let power_of = options.power.number(&power.0).filter(|watts| *watts > 0.0);
        let Some(watts) = power_of else {
            let text = format!("`{}` is no power", excerpt(&power.0));
            return Err(Fault::at(power.1, text));
        };
        let Some(speed) = speed(ran, &options.ran)? else {
            still.push(watts);
            continue;
        };
        if setting.0.is_empty() {
            return Err(Fault::at(setting.1, "the run has no setting"));
        }
        match sets.iter_mut().find(|set| set.name == setting.0) {
            Some(set) => {
                set.speeds.push(speed);
                set.powers.push(watts);
            }
            None => sets.push(Set {
                name: setting.0.clone(),
                speeds: vec![speed],
                powers: vec![watts],
                place: setting.1,
            }),
        }
    }
    Ok((sets, still))
}

/// The speed of a run, m/s; none where the cell is empty or zero.
fn speed((cell, place): &(String, Place), ran: &Ran) -> Result<Option<f64>, Fault> {
    let (wanted, what) = match ran {
        Ran::Speed(wanted) => (wanted, "speed"),
        Ran::Time(wanted, _) => (wanted, "time"),
    };
    if cell.is_empty() || number(cell).is_some_and(|number| number.abs() < f64::MIN_POSITIVE) {
        return Ok(None);
    }
    let read = wanted.number(cell).map(|value| match ran {
        Ran::Speed(_) => value,
        Ran::Time(_, distance) => distance.get() / value,
    });
    let sound = read.filter(|speed| *speed > 0.0 && *speed <= FASTEST);
    sound.map(Some).ok_or_else(|| {
        let text = match read {
            Some(speed) => {
                format!(
                    "`{}` makes {speed:.2} m/s, which no such boat runs; check the unit",
                    excerpt(cell)
                )
            }
            None => format!("`{}` is no {what}", excerpt(cell)),
        };
        Fault::at(*place, text)
    })
}

fn mean(all: &[f64]) -> Option<f64> {
    (!all.is_empty()).then(|| all.iter().sum::<f64>() / all.len() as f64)
}

/// The mean of means of runs in turn: of four, (v₁ + 3 v₂ + 3 v₃ + v₄) / 8.
fn mean_of_means(all: &[f64]) -> f64 {
    let mut means = all.to_vec();
    while means.len() > 1 {
        means = means
            .windows(2)
            .map(|two| (two[0] + two[1]) / 2.0)
            .collect();
    }
    means.first().copied().unwrap_or(0.0)
}

/// That runs the same way differ more than they do in a calm.
fn apart(set: &Set) -> Option<String> {
    let same_way = set.speeds.iter().zip(set.speeds.iter().skip(2));
    let far = same_way
        .map(|(one, other)| (one - other).abs() / ((one + other) / 2.0))
        .fold(0.0, f64::max);
    (far > MOST_APART).then(|| {
        format!(
            "two runs the same way at the setting {} differ by {:.0} %: the wind rose, or the boat was not yet steady",
            excerpt(&set.name),
            far * 100.0
        )
    })
}

fn point(set: &Set, hotel: f64) -> Result<Point, Fault> {
    let name = excerpt(&set.name);
    let runs = set.speeds.len();
    if !(2..=MOST_RUNS).contains(&runs) {
        let text = format!(
            "the setting {name} has {}; one is run 2 to {MOST_RUNS} times, there and back in turn",
            counted(runs, "run")
        );
        return Err(Fault::at(set.place, text));
    }
    let power = mean(&set.powers).unwrap_or(0.0) - hotel;
    if power <= 0.0 {
        let text = format!(
            "the setting {name} takes no more than the motors off do, {hotel:.1} W: is its power that of everything \
             aboard?"
        );
        return Err(Fault::at(set.place, text));
    }
    Ok(Point {
        speed: written::down(Speed::metres_per_second(mean_of_means(&set.speeds))),
        power: written::up(Power::watts(power)),
    })
}

/// A table has two points or more, and who runs faster takes more power.
fn rising(points: &[(Point, &Set)]) -> Result<(), Fault> {
    if !(2..=MOST_POINTS).contains(&points.len()) {
        return Err(Fault::whole(format!(
            "a trial has 2 to {MOST_POINTS} settings, and the file has {}",
            points.len()
        )));
    }
    for pair in points.windows(2) {
        let ((slow, of_slow), (fast, of_fast)) = (pair[0], pair[1]);
        if fast.speed <= slow.speed || fast.power <= slow.power {
            let text = format!(
                "the setting {} makes {} at {}, and {} makes {} at {}: the faster takes more power",
                excerpt(&of_slow.name),
                slow.speed,
                slow.power,
                excerpt(&of_fast.name),
                fast.speed,
                fast.power
            );
            return Err(Fault::at(of_fast.place, text));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
