//! A track from CSV (RFC 4180), by its columns.

mod rows;

use jiff::Timestamp;
use jiff::civil::DateTime;

use super::columns::{Column, Columns, Times};
use super::{LinkQuality, MOST_SAMPLES, Sample, Track, WindSample, placed};
use crate::source::printable_line;
use crate::units::{Angle, Current, Dimension, Length, PowerLevel, Ratio, Speed, Typed, Voltage};
use rows::Rows;

/// Reads a track from the text of a CSV file whose first row holds headings. A row whose time or
/// position is empty is counted and left out; any other cell may be empty. So is a last row that breaks off without
/// the end of its line.
///
/// # Errors
/// What is wrong with the file, with its line: a heading that is not there or twice, a number or a
/// time that is none, a row of another length than the first.
pub fn read_csv(text: &str, columns: &Columns) -> Result<Track, String> {
    let mut rows = Rows::new(text, columns.delimiter);
    let Some((_, headings)) = rows.next_row()? else {
        return Err("the file is empty".to_owned());
    };
    let of = |heading: &str| -> Result<usize, String> {
        let mut found = headings
            .iter()
            .enumerate()
            .filter(|(_, cell)| cell.trim() == heading)
            .map(|(index, _)| index);
        match (found.next(), found.next()) {
            (Some(index), None) => Ok(index),
            (Some(_), Some(_)) => Err(format!(
                "two columns are headed `{}`",
                printable_line(heading)
            )),
            _ => Err(format!(
                "no column is headed `{}`{}",
                printable_line(heading),
                other_delimiter(&headings, columns.delimiter)
            )),
        }
    };
    let quantity = |column: &Option<Column>| -> Result<Option<(usize, Column)>, String> {
        match column {
            Some(column) => Ok(Some((of(&column.heading)?, column.clone()))),
            None => Ok(None),
        }
    };
    let layout = Layout {
        time: of(&columns.time.0)?,
        times: columns.time.1,
        latitude: of(&columns.latitude)?,
        longitude: of(&columns.longitude)?,
        speed: quantity(&columns.speed)?,
        voltage: quantity(&columns.voltage)?,
        current: quantity(&columns.current)?,
        depth: quantity(&columns.depth)?,
        link: quantity(&columns.link)?,
        wind: match &columns.wind {
            None => None,
            Some(wind) => Some((
                (of(&wind.from.heading)?, wind.from.clone()),
                (of(&wind.speed.heading)?, wind.speed.clone()),
            )),
        },
    };
    let mut track = Track::default();
    let mut count = 0;
    loop {
        let next = rows.next_row();
        // A row that breaks off is the last one, and no line ends behind it.
        let broken_off = rows.is_last_unended();
        let (line, row) = match next {
            Ok(Some(next)) => next,
            Ok(None) => break,
            Err(_) if broken_off && count > 0 => {
                track.cut_off = true;
                break;
            }
            Err(text) => return Err(text),
        };
        count += 1;
        if count > MOST_SAMPLES {
            return Err(format!("there are more than {MOST_SAMPLES} rows"));
        }
        let broken_off = broken_off && count > 1;
        if row.len() < headings.len() && broken_off {
            track.cut_off = true;
            break;
        }
        if row.len() != headings.len() {
            return Err(format!(
                "line {line}: the row has {}, and there are {}",
                counted(row.len(), "cell"),
                counted(headings.len(), "heading")
            ));
        }
        match layout.sample(&row) {
            Ok(Some(sample)) => track.samples.push(Sample {
                begins: u32::try_from(rows.begins()).unwrap_or(u32::MAX),
                ..sample
            }),
            Ok(None) => track.without_fix += 1,
            Err(_) if broken_off => track.cut_off = true,
            Err(text) => return Err(format!("line {line}: {text}")),
        }
    }
    Ok(track)
}

fn counted(count: usize, one: &str) -> String {
    let more = if count == 1 { "" } else { "s" };
    format!("{count} {one}{more}")
}

/// What to look at where a first row is one cell, and would be more by another delimiter.
fn other_delimiter(headings: &[String], delimiter: char) -> String {
    let ([only], others) = (headings, [';', '\t', ',']) else {
        return String::new();
    };
    let found = others
        .into_iter()
        .find(|other| *other != delimiter && only.contains(*other));
    found.map_or_else(String::new, |other| {
        format!(
            "; {} seems to separate its cells; say so in the columns file with `delimiter: \"{}\"`",
            if other == '\t' {
                "tabs".to_owned()
            } else {
                format!("`{other}`")
            },
            other.escape_default()
        )
    })
}

/// Where in a row everything stands.
struct Layout {
    time: usize,
    times: Times,
    latitude: usize,
    longitude: usize,
    speed: Option<(usize, Column)>,
    voltage: Option<(usize, Column)>,
    current: Option<(usize, Column)>,
    depth: Option<(usize, Column)>,
    link: Option<(usize, Column)>,
    wind: Option<((usize, Column), (usize, Column))>,
}

impl Layout {
    fn sample(&self, row: &[String]) -> Result<Option<Sample>, String> {
        let cell = |index: usize| row.get(index).map_or("", |cell| cell.trim());
        let (time, latitude, longitude) =
            (cell(self.time), cell(self.latitude), cell(self.longitude));
        if time.is_empty() || latitude.is_empty() || longitude.is_empty() {
            return Ok(None);
        }
        let position = placed(number(latitude)?, number(longitude)?);
        let position = position.ok_or_else(|| {
            format!(
                "latitude {}, longitude {} is not on the earth",
                printable_line(latitude),
                printable_line(longitude)
            )
        })?;
        let link = match &self.link {
            Some((index, column)) if column.dimension == Dimension::POWER_LEVEL => {
                let level: Option<PowerLevel> = parse_cell(cell(*index), column)?;
                level.map(LinkQuality::Received)
            }
            Some((index, column)) => {
                let share: Option<Ratio> = parse_cell(cell(*index), column)?;
                share.map(LinkQuality::Share)
            }
            None => None,
        };
        let wind = match &self.wind {
            Some((from, speed)) => {
                let from: Option<Angle> = optional(row, Some(from))?;
                let speed: Option<Speed> = optional(row, Some(speed))?;
                from.zip(speed)
                    .map(|(from, speed)| WindSample { from, speed })
            }
            None => None,
        };
        Ok(Some(Sample {
            speed: optional::<Speed>(row, self.speed.as_ref())?,
            voltage: optional::<Voltage>(row, self.voltage.as_ref())?,
            current: optional::<Current>(row, self.current.as_ref())?,
            depth: optional::<Length>(row, self.depth.as_ref())?,
            link,
            wind,
            ..Sample::at(moment(time, self.times)?, position)
        }))
    }
}

fn optional<T: Typed>(
    row: &[String],
    column: Option<&(usize, Column)>,
) -> Result<Option<T>, String> {
    match column {
        Some((index, column)) => parse_cell(row.get(*index).map_or("", |cell| cell.trim()), column),
        None => Ok(None),
    }
}

fn parse_cell<T: Typed>(cell: &str, column: &Column) -> Result<Option<T>, String> {
    if cell.is_empty() {
        return Ok(None);
    }
    Ok(Some(T::from_stored(number(cell)? * column.factor)))
}

fn number(cell: &str) -> Result<f64, String> {
    let digits =
        |byte: u8| byte.is_ascii_digit() || matches!(byte, b'+' | b'-' | b'.' | b'e' | b'E');
    let read: Option<f64> = cell.parse().ok().filter(|_| cell.bytes().all(digits));
    read.filter(|value| value.is_finite()).ok_or_else(|| {
        let shown: String = cell.chars().take(40).collect();
        let hint = if cell.contains(',') {
            "; write decimals after a point"
        } else {
            ""
        };
        format!("`{}` is not a number{hint}", printable_line(&shown))
    })
}

/// What times may look like.
const FORMS: &str = "; times are read as `2027-06-15T09:30:00Z` or `2027-06-15 09:30:00`, or with `written: seconds` or \
                     `written: milliseconds` as numbers since 1970";

fn moment(cell: &str, times: Times) -> Result<Timestamp, String> {
    let refusal = |hint: &str| {
        let shown: String = cell.chars().take(40).collect();
        format!("`{}` is not a point in time{hint}", printable_line(&shown))
    };
    let since = |scale: f64| -> Result<Timestamp, String> {
        let milliseconds = number(cell)? * scale;
        if milliseconds.abs() > 1e14 {
            return Err(refusal(""));
        }
        #[expect(
            clippy::cast_possible_truncation,
            reason = "within the range looked at"
        )]
        let whole = milliseconds.round() as i64;
        Timestamp::from_millisecond(whole).map_err(|_| refusal(""))
    };
    match times {
        Times::Seconds => since(1000.0),
        Times::Milliseconds => since(1.0),
        Times::Written { offset } => {
            if let Ok(time) = cell.parse::<Timestamp>() {
                return Ok(time);
            }
            let civil: DateTime = cell.parse().map_err(|_| refusal(FORMS))?;
            let offset = offset.ok_or_else(|| refusal(": it has no offset, and none is stated"))?;
            offset.to_timestamp(civil).map_err(|_| refusal(""))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn columns() -> Columns {
        let text = "time: { column: t, written: ISO 8601, offset: '-02:00' }
latitude: { column: lat }
longitude: { column: lon }
speed: { column: v, unit: kn }
link: { column: q, unit: '%' }";
        Columns::parse(text).unwrap()
    }

    #[test]
    fn rows_become_samples_in_their_units() {
        let text = "\u{feff}\"t\",note,lat,lon,v,q\r\n\
                    2027-06-15T09:30:00,\"a, \"\"b\"\"\nc\",52.1,-24.3,2,75\r\n\
                    \r\n\
                    2027-06-15T11:30:01.5Z,,52.2,-24.4,,\r\n\
                    ,,,,,\r\n\
                    2027-06-15T11:30:02Z,no fix,,,1,\r\n";
        let track = read_csv(text, &columns()).unwrap();
        assert_eq!((track.samples.len(), track.without_fix), (2, 1));
        let first = track.samples[0];
        let begins = |sample: &Sample| &text[sample.begins as usize..];
        assert!(begins(&first).starts_with("2027-06-15T09:30:00,"));
        assert!(begins(&track.samples[1]).starts_with("2027-06-15T11:30:01.5Z,"));
        assert_eq!(first.time, "2027-06-15T11:30:00Z".parse().unwrap());
        assert!((first.speed.unwrap().get() - 2.0 * 1852.0 / 3600.0).abs() < 1e-12);
        let Some(LinkQuality::Share(share)) = first.link else {
            panic!()
        };
        assert!((share.get() - 0.75).abs() < 1e-12);
        let second = track.samples[1];
        assert_eq!(second.time, "2027-06-15T11:30:01.5Z".parse().unwrap());
        assert_eq!((second.speed, second.link), (None, None));
        assert!((second.position.longitude.to_degrees() + 24.4).abs() < 1e-12);
    }

    #[test]
    fn times_since_1970_are_read() {
        let at = |cell: &str, times| moment(cell, times).unwrap().to_string();
        // A billion seconds, as is well known (from memory).
        assert_eq!(at("1000000000", Times::Seconds), "2001-09-09T01:46:40Z");
        assert_eq!(
            at("1000000000250", Times::Milliseconds),
            "2001-09-09T01:46:40.25Z"
        );
        assert_eq!(
            at("1000000000.25", Times::Seconds),
            "2001-09-09T01:46:40.25Z"
        );
    }

    #[test]
    fn a_last_row_that_breaks_off_is_left_out_and_said() {
        let head = "t,lat,lon,v,q\n";
        let whole = "2027-06-15T09:30:00,52.1,-24.3,2,75\n";
        let next = "2027-06-15T09:30:05,52.1,-24.3,2,75";
        // Wherever it breaks off before its last cell.
        for cut in 1..next.rfind(',').unwrap() {
            let text = format!("{head}{whole}{}", &next[..cut]);
            let track = read_csv(&text, &columns()).unwrap();
            assert_eq!((track.samples.len(), track.cut_off), (1, true), "{cut}");
            assert!(read_csv(&(text + "\n"), &columns()).is_err(), "{cut}");
        }
        let whole_without_end = format!("{head}{whole}{next}");
        let track = read_csv(&whole_without_end, &columns()).unwrap();
        assert_eq!((track.samples.len(), track.cut_off), (2, false));
        // A quote that was open when the recorder stopped; and the same in the middle.
        let quoted = format!("{head}{whole}\"2027-06");
        assert!(read_csv(&quoted, &columns()).unwrap().cut_off);
        // A first row that is no more than a part is an error: nothing is known of the file.
        assert!(read_csv(&format!("{head}2027-06-15T09"), &columns()).is_err());
        let middle = format!("{head}{whole}2027-06-15T09\n{next}");
        assert!(read_csv(&middle, &columns()).is_err());
    }

    #[test]
    fn what_was_meant_is_asked() {
        let semicolons = "t;lat;lon;v;q\n1;2;3;4;5\n";
        let told = read_csv(semicolons, &columns()).unwrap_err();
        assert!(told.contains("`delimiter: \";\"`"), "{told}");
        let tabs = read_csv(&semicolons.replace(';', "\t"), &columns()).unwrap_err();
        assert!(tabs.contains("`delimiter: \"\\t\"`"), "{tabs}");
        let slashes = "t,lat,lon,v,q\n22/06/2027 10:30,1,1,,\n";
        let told = read_csv(slashes, &columns()).unwrap_err();
        assert!(
            told.contains("is not a point in time; times are read as `2027-06"),
            "{told}"
        );
    }

    #[test]
    fn what_is_off_is_refused_on_its_line() {
        let head = "t,lat,lon,v,q\n";
        for (text, due) in [
            ("", "the file is empty"),
            ("t,lat,lon,v\n", "no column is headed `q`"),
            ("t,lat,lon,v,q,v\n", "two columns are headed `v`"),
            (
                "t,lat,lon,v,q\n1\n",
                "line 2: the row has 1 cell, and there are 5 headings",
            ),
            (
                "t,lat,lon,v,q\n\n2027-06-15T09:30,NaN,1,,\n",
                "line 3: `NaN` is not a number",
            ),
            (
                "t,lat,lon,v,q\n2027-06-15T09:30,91,1,,\n",
                "line 2: latitude 91",
            ),
            (
                "t,lat,lon,v,q\nnoon,1,1,,\n",
                "line 2: `noon` is not a point in time",
            ),
            (
                "t,lat,lon,v,q\n2027-06-15T09:30,1,1,\"1,5\",\n",
                "line 2: `1,5` is not a number; write decimals",
            ),
            ("t,lat,lon,v,q\n\"2027\n", "line 2: a quote is not closed"),
        ] {
            let told = read_csv(text, &columns()).unwrap_err();
            assert!(told.starts_with(due), "{text}: {told}");
        }
        let mut no_offset = columns();
        no_offset.time.1 = Times::Written { offset: None };
        let told = read_csv(&format!("{head}2027-06-15T09:30,1,1,,\n"), &no_offset).unwrap_err();
        assert!(told.contains("it has no offset"), "{told}");
        let wide = ",".repeat(2000);
        assert!(
            read_csv(&wide, &columns())
                .unwrap_err()
                .contains("1000 cells")
        );
    }
}
