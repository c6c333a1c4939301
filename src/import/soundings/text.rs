//! Soundings in lines of text: three numbers each, or columns with headings.

use std::io::BufRead;

use super::{Raw, Read, Sink, SoundingColumns, SoundingsOptions, stated, unit};
use crate::import::crs::Crs;
use crate::import::fault::{Fault, Place, excerpt};
use crate::import::lines::{DELIMITERS, Lines, column_of, number, split, the_headings};

/// Most cells of a line.
const MOST_CELLS: usize = 1000;

/// Where in a line everything stands.
struct Layout {
    /// What parts the cells; blanks where there is none.
    delimiter: Option<char>,
    x: usize,
    y: usize,
    z: usize,
    /// How many cells each line has, where headings or the first line say so.
    cells: Option<usize>,
    /// Whether the first line holds headings, and no sounding.
    has_headings: bool,
}

/// Reads the soundings of a text.
pub(super) fn read(reader: impl BufRead, options: &SoundingsOptions) -> Result<Read, Fault> {
    let mut lines = Lines::new(reader);
    let columns = options.columns.as_ref();
    if let Some(why) = columns.and_then(SoundingColumns::exchanged) {
        return Err(Fault::whole(why));
    }
    let degrees = columns.is_some_and(|columns| columns.degrees);
    if degrees && options.crs.as_ref().is_some_and(|crs| !crs.is_wgs84()) {
        return Err(Fault::whole(
            "a file of columns states latitude and longitude on WGS 84; leave `--crs` out",
        ));
    }
    let crs = if degrees {
        &Crs::Wgs84
    } else {
        stated(options)?
    };
    let unit = match columns.and_then(|columns| columns.unit) {
        Some(unit) => unit,
        None => unit(options)?,
    };
    let mut sink = Sink::new(options, crs, unit);
    if columns.is_none() {
        sink.doubt = "a line without headings is x, y and the depth, in that order; ";
    }
    let mut layout: Option<Layout> = None;
    let mut cells: Vec<String> = Vec::new();
    loop {
        let number_of_line = lines.number + 1;
        let Some(line) = lines.read()? else {
            break;
        };
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let Some(layout) = &layout else {
            let found = match columns {
                Some(columns) => headed(line, columns, number_of_line)?,
                None => plain(line, number_of_line)?,
            };
            let has_headings = found.has_headings;
            layout = Some(found);
            if let (false, Some(layout)) = (has_headings, &layout) {
                take(&mut sink, line, layout, &mut cells, number_of_line)?;
            }
            continue;
        };
        take(&mut sink, line, layout, &mut cells, number_of_line)?;
    }
    if sink.read == 0 {
        return Err(Fault::whole("the file holds no sounding"));
    }
    Ok(sink.finish("text"))
}

/// The layout of a text that begins with headings.
fn headed(line: &str, columns: &SoundingColumns, number: usize) -> Result<Layout, Fault> {
    let mut cells = Vec::new();
    let delimiters = columns
        .delimiter
        .map_or(DELIMITERS.to_vec(), |one| vec![one]);
    let due = [&columns.x, &columns.y, &columns.z];
    let mut missing: Option<&String> = None;
    let mut headings = String::new();
    for delimiter in delimiters {
        split(line, Some(delimiter), &mut cells);
        let find = |heading: &&String| {
            let mut found = cells
                .iter()
                .enumerate()
                .filter(|(_, cell)| cell.trim() == **heading);
            (found.next().map(|(index, _)| index), found.next().is_some())
        };
        let found = due.map(|heading| find(&heading));
        if let Some((heading, _)) = due.iter().zip(found).find(|(_, (_, twice))| *twice) {
            let text = format!("two columns are headed `{}`", excerpt(heading));
            return Err(Fault::at(Place::Line(number, 1), text));
        }
        if let [(Some(x), _), (Some(y), _), (Some(z), _)] = found {
            return Ok(Layout {
                delimiter: Some(delimiter),
                x,
                y,
                z,
                cells: Some(cells.len()),
                has_headings: true,
            });
        }
        let lacks = due.iter().zip(found).find(|(_, (at, _))| at.is_none());
        // Of a delimiter that parts nothing, nothing is told.
        if missing.is_none() || cells.len() > 1 {
            missing = lacks.map(|(heading, _)| *heading);
        }
        if cells.len() > 1 {
            headings = the_headings(&cells);
        }
    }
    if let Some(layout) = numbered(line, columns) {
        return Ok(layout);
    }
    let heading = missing.map_or("", String::as_str);
    let text = format!("no column is headed `{}`{headings}", excerpt(heading));
    Err(Fault::at(Place::Line(number, 1), text))
}

/// The layout of a text without headings whose columns are named by their numbers, from 1.
fn numbered(line: &str, columns: &SoundingColumns) -> Option<Layout> {
    let place = |text: &String| text.parse::<usize>().ok()?.checked_sub(1);
    let (x, y, z) = (place(&columns.x)?, place(&columns.y)?, place(&columns.z)?);
    if x == y || y == z || z == x {
        return None;
    }
    let mut cells = Vec::new();
    let delimiters = DELIMITERS.iter().copied().map(Some).chain([None]);
    for delimiter in delimiters {
        split(line, delimiter, &mut cells);
        let is_number = |at: usize| cells.get(at).is_some_and(|cell| number(cell).is_some());
        if cells.len() >= 3 && [x, y, z].into_iter().all(is_number) {
            return Some(Layout {
                delimiter,
                x,
                y,
                z,
                cells: Some(cells.len()),
                has_headings: false,
            });
        }
    }
    None
}

/// The layout of a text without headings: its cells are x, y and z.
fn plain(line: &str, line_number: usize) -> Result<Layout, Fault> {
    let mut cells = Vec::new();
    let delimiters = DELIMITERS.iter().copied().map(Some).chain([None]);
    for delimiter in delimiters {
        split(line, delimiter, &mut cells);
        if cells.len() < 3 {
            continue;
        }
        if cells.iter().take(3).all(|cell| number(cell).is_some()) {
            // A number of the sounding before the rest would be its place.
            if cells.len() > 3 {
                return Err(Fault::at(
                    Place::Line(line_number, 1),
                    format!(
                        "the line has {} cells and no headings; say which of them are x, y and the depth, counted from \
                         1, such as `--x 2 --y 3 --z 4`",
                        cells.len()
                    ),
                ));
            }
            return Ok(Layout {
                delimiter,
                x: 0,
                y: 1,
                z: 2,
                cells: None,
                has_headings: false,
            });
        }
        if cells.iter().take(3).all(|cell| number(cell).is_none()) {
            return Err(Fault::at(
                Place::Line(line_number, 1),
                "this line holds headings; say which columns hold what with `--x`, `--y` and `--z`, or with \
                 `--columns FILE`",
            ));
        }
    }
    Err(Fault::at(
        Place::Line(line_number, 1),
        format!(
            "three numbers are due here, x, y and the depth, decimals with a point, apart by commas, semicolons or \
             blanks; this is `{}`",
            excerpt(line)
        ),
    ))
}

fn take(
    sink: &mut Sink<'_>,
    line: &str,
    layout: &Layout,
    cells: &mut Vec<String>,
    line_number: usize,
) -> Result<(), Fault> {
    let place = Place::Line(line_number, 1);
    let due = [layout.x, layout.y, layout.z];
    let mut picked: [&str; 3] = [""; 3];
    let mut count = 0;
    let mut pick = |cell| {
        if let Some(slot) = due.iter().position(|due| *due == count) {
            picked[slot] = cell;
        }
        count += 1;
    };
    match layout.delimiter {
        None => line.split_ascii_whitespace().for_each(pick),
        // The quick way: without a quote no cell is copied.
        Some(delimiter) if !line.contains('"') => {
            line.split(delimiter).for_each(|cell| pick(cell.trim()));
        }
        delimiter => {
            split(line, delimiter, cells);
            cells.iter().for_each(|cell| pick(cell.trim()));
        }
    }
    let due = layout.cells.unwrap_or(3);
    if count < 3 || layout.cells.is_some_and(|due| count != due) || count > MOST_CELLS {
        return Err(Fault::at(
            place,
            format!("the line has {count} cells, and {due} are due"),
        ));
    }
    // What was not measured is an empty cell.
    if layout.cells.is_some() && picked.iter().any(|cell| cell.is_empty()) {
        return sink.without();
    }
    let read = |cell: &str| {
        number(cell).ok_or_else(|| {
            let column = column_of(line, cell);
            let text = format!(
                "`{}` is not a number; write decimals with a point",
                excerpt(cell)
            );
            Fault::at(Place::Line(line_number, column), text)
        })
    };
    sink.take(Raw {
        x: read(picked[0])?,
        y: read(picked[1])?,
        z: read(picked[2])?,
        place,
    })
}
