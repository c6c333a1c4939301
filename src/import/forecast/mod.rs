//! An hourly forecast of the wind out of CSV or JSON, as the block of a mission's conditions.

mod json;
mod stated;
mod wanted;
mod written;

pub(crate) use wanted::{Times, Wanted};

use jiff::{SignedDuration, Timestamp};
use stated::Stated;

use super::fault::{Fault, Place, counted, shown_number};
use super::headed;
use crate::source::Limit;
use crate::units::{Angle, Length, Speed};

/// The largest file that a forecast is read from: 8 MiB.
pub(crate) const LARGEST: Limit = Limit::from_bytes(8 << 20);
/// Most hours of a file, and of a mission's forecast.
const MOST_READ: usize = 20_000;
const MOST_HOURS: usize = 240;
/// Winds past this are slips, m/s: no gust was ever measured as strong at the ground (from memory).
const STRONGEST: f64 = 120.0;

/// Visibilities past this are slips, m: over the clearest air nobody sees as far (our own choice).
const FARTHEST: f64 = 300_000.0;

/// How a forecast is to come in.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct ForecastOptions {
    /// Where the times stand, and how they are written.
    pub time: (String, Times),
    /// Where the direction stands from which the wind comes.
    pub from: Wanted,
    /// Where the mean wind stands.
    pub mean: Wanted,
    /// Where the gust stands.
    pub gust: Wanted,
    /// Where the forecast comes from.
    pub source: String,
    /// When it was issued.
    pub issued: Timestamp,
    /// Until when it holds.
    pub valid_until: Timestamp,
    /// Height that its wind is given for.
    pub height: Length,
    /// How far either side the direction may differ.
    pub spread: Angle,
    /// Where the visibility stands, where the file has it.
    pub visibility: Option<Wanted>,
}

/// A forecast as it came in.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct ForecastImport {
    /// The block, as a mission has it.
    pub text: String,
    /// What people are to look at, a sentence each without its full stop.
    pub notes: Vec<String>,
    /// What came of it, in a sentence.
    pub summary: String,
}

/// A value as a file has it.
#[derive(Clone, PartialEq, Debug)]
enum Cell {
    Text(String),
    Number(f64),
}

/// The values of one hour, each with its place: time, direction, mean wind and gust, and the visibility where the
/// file has it.
type Row = Vec<(Cell, Place)>;

/// One hour.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Hour {
    time: Timestamp,
    from: Angle,
    mean: Speed,
    gust: Speed,
    visibility: Option<Length>,
    place: Place,
}

/// Brings a forecast in from the bytes of a file; the form is recognised by what it holds.
///
/// # Errors
/// What is wrong with it.
pub(crate) fn import_forecast(
    bytes: Vec<u8>,
    file: &str,
    options: &ForecastOptions,
) -> Result<ForecastImport, Fault> {
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let good =
            String::from_utf8_lossy(error.as_bytes().get(..at).unwrap_or_default()).into_owned();
        Fault::at(Place::in_text(&good, at), "this is no text in UTF-8")
    })?;
    let first = text
        .trim_start_matches('\u{feff}')
        .trim_start()
        .chars()
        .next();
    let mut wanted = vec![
        options.time.0.as_str(),
        &options.from.place,
        &options.mean.place,
        &options.gust.place,
    ];
    wanted.extend(options.visibility.iter().map(|one| one.place.as_str()));
    let (form, rows, stated) = match first {
        None => return Err(Fault::whole("the file is empty")),
        Some('{' | '[') => {
            let (rows, stated) = json::rows(&text, &wanted)?;
            ("JSON", rows, stated)
        }
        Some(_) => {
            let cell = |(text, place): (String, Place)| (Cell::Text(text), place);
            let table = headed::table(&text, &wanted)?;
            let headings = wanted.iter().zip(&table.headings);
            let units = headings.map(|(heading, place)| stated::in_heading(heading, *place));
            let stated = Stated {
                units: units.collect(),
                ahead: None,
            };
            let rows = table.rows.into_iter();
            let rows: Vec<Row> = rows
                .map(|row| row.into_iter().map(cell).collect())
                .collect();
            ("CSV", rows, stated)
        }
    };
    let (settled, mut notes) = stated::settled(options, &stated, &rows)?;
    let options = &settled;
    let hours: Result<Vec<Hour>, Fault> = rows.iter().map(|row| hour(row, options)).collect();
    let hours = hours?;
    let count = hours.len();
    let kept = within(&hours, options)?;
    if kept.len() < count {
        notes.push(format!(
            "{} before the issue of the forecast or after its end left out",
            counted(count - kept.len(), "hour")
        ));
    }
    let strongest = kept
        .iter()
        .map(|hour| hour.gust)
        .fold(Speed::ZERO, Speed::max);
    Ok(ForecastImport {
        summary: format!(
            "{} from {} to {}, gusts to {}",
            counted(kept.len(), "hour"),
            written::moment(kept[0].time),
            written::moment(kept[kept.len() - 1].time),
            written::up(strongest)
        ),
        text: written::block(&kept, file, form, options),
        notes,
    })
}

/// The hour of a row.
fn hour(row: &Row, options: &ForecastOptions) -> Result<Hour, Fault> {
    let [time, from, mean, gust, rest @ ..] = row.as_slice() else {
        return Err(Fault::whole("an hour has four values"));
    };
    let at = |cell: &(Cell, Place), why: String| Fault::at(cell.1, why);
    let moment = options
        .time
        .1
        .moment(&time.0)
        .map_err(|why| at(time, why))?;
    let value =
        |cell: &(Cell, Place), wanted: &Wanted| wanted.value(&cell.0).map_err(|why| at(cell, why));
    let degrees = Angle::radians(value(from, &options.from)?).to_degrees();
    if !(0.0..=360.0 + 1e-9).contains(&degrees) {
        let degrees = (degrees * 1e6).round() / 1e6;
        let why = format!(
            "{}° is no direction; one is from 0° to 360°",
            shown_number(degrees)
        );
        return Err(at(from, why));
    }
    let speed = |cell: &(Cell, Place), wanted: &Wanted| {
        let speed = value(cell, wanted)?;
        if !(0.0..=STRONGEST).contains(&speed) {
            let speed = shown_number((speed * 10.0).round() / 10.0);
            let why = format!("{speed} m/s is no wind; check the unit");
            return Err(at(cell, why));
        }
        Ok(Speed::metres_per_second(speed))
    };
    let (mean_speed, gust_speed) = (speed(mean, &options.mean)?, speed(gust, &options.gust)?);
    if gust_speed < mean_speed {
        let why = format!("the gust, {gust_speed}, is less than the mean wind, {mean_speed}");
        return Err(at(gust, why));
    }
    let visibility = match (&options.visibility, rest.first()) {
        (Some(wanted), Some(cell)) => {
            let metres = value(cell, wanted)?;
            if !(0.0..=FARTHEST).contains(&metres) {
                let metres = shown_number(metres.round());
                let why = format!("{metres} m is no visibility; check the unit");
                return Err(at(cell, why));
            }
            Some(Length::metres(metres))
        }
        _ => None,
    };
    Ok(Hour {
        time: moment,
        from: Angle::degrees(degrees.rem_euclid(360.0)),
        mean: mean_speed,
        gust: gust_speed,
        visibility,
        place: time.1,
    })
}

/// The hours from the last one before the issue to the end, in order and no more than an hour apart.
fn within(hours: &[Hour], options: &ForecastOptions) -> Result<Vec<Hour>, Fault> {
    if options.valid_until < options.issued {
        return Err(Fault::whole("the forecast expires before it is issued"));
    }
    for pair in hours.windows(2) {
        if pair[1].time <= pair[0].time {
            let text =
                "this time is no later than the one before it; an hour stands once, in order";
            return Err(Fault::at(pair[1].place, text));
        }
    }
    let first = hours
        .iter()
        .rposition(|hour| hour.time <= options.issued)
        .unwrap_or(0);
    let kept: Vec<Hour> = hours
        .iter()
        .skip(first)
        .take_while(|hour| hour.time <= options.valid_until)
        .copied()
        .collect();
    // The hour before the issue is there to lead up to the next; long before it, it says nothing of today.
    let begins = options.issued - SignedDuration::from_hours(1);
    if kept.last().is_none_or(|last| last.time < begins) {
        return Err(Fault::whole(
            "no hour of the file lies between the issue of the forecast and its end",
        ));
    }
    for pair in kept.windows(2) {
        let apart = pair[1].time.duration_since(pair[0].time);
        if apart > SignedDuration::from_hours(1) {
            let text = format!(
                "{:.1} h lie between this time and the one before it; a mission needs the wind of every hour",
                apart.as_secs_f64() / 3600.0
            );
            return Err(Fault::at(pair[1].place, text));
        }
    }
    if kept.len() > MOST_HOURS {
        return Err(Fault::whole(format!(
            "the forecast has {} hours, and a mission takes {MOST_HOURS} at most; end it sooner with `--valid-until`",
            kept.len()
        )));
    }
    Ok(kept)
}

#[cfg(test)]
mod tests;
