//! The rows of a CSV file, by the headings of its columns.

use super::fault::{Fault, Place, excerpt};
use super::lines::{DELIMITERS, Lines, split, the_headings};

/// Most rows of a file.
const MOST_READ: usize = 20_000;

/// The cells of a row that are wanted, each with its place.
pub(super) type Row = Vec<(String, Place)>;

/// What was read of a text.
pub(super) struct Table {
    /// Each with the values that are wanted.
    pub rows: Vec<Row>,
    /// Where each of the headings that are wanted stands.
    pub headings: Vec<Place>,
}

/// The rows of a text, each with the values that are wanted.
pub(super) fn rows(text: &str, wanted: &[&str]) -> Result<Vec<Row>, Fault> {
    table(text, wanted).map(|table| table.rows)
}

/// The same with where the headings stand.
pub(super) fn table(text: &str, wanted: &[&str]) -> Result<Table, Fault> {
    let mut headings: Vec<Place> = Vec::new();
    let mut lines = Lines::new(text.as_bytes());
    let mut layout: Option<(char, usize, Vec<usize>)> = None;
    let mut rows = Vec::new();
    let mut cells = Vec::new();
    loop {
        let number = lines.number + 1;
        let Some(line) = lines.read()? else {
            break;
        };
        if line.trim().is_empty() || line.starts_with('#') {
            continue;
        }
        let place = Place::Line(number, 1);
        let Some((delimiter, count, at)) = &layout else {
            let found = headed(line, wanted).map_err(|text| Fault::at(place, text))?;
            split(line, Some(found.0), &mut cells);
            headings.extend(found.2.iter().map(|at| place_of(&cells, *at, number)));
            layout = Some(found);
            continue;
        };
        split(line, Some(*delimiter), &mut cells);
        if cells.len() != *count {
            let text = format!(
                "the row has {} cells, and there are {count} headings",
                cells.len()
            );
            return Err(Fault::at(place, text));
        }
        if rows.len() >= MOST_READ {
            return Err(Fault::at(
                place,
                format!("there are more than {MOST_READ} rows"),
            ));
        }
        let value = |at: &usize| {
            let at = *at;
            let text = cells.get(at).map_or("", |cell| cell.trim());
            (text.to_owned(), place_of(&cells, at, number))
        };
        rows.push(at.iter().map(value).collect());
    }
    if rows.is_empty() {
        return Err(Fault::whole("the file holds no row below its headings"));
    }
    Ok(Table { rows, headings })
}

/// Where a cell of a line stands. One that was quoted, or is behind one, may stand a character or two farther on.
fn place_of(cells: &[String], at: usize, line: usize) -> Place {
    let before = cells.iter().take(at).map(|cell| cell.chars().count() + 1);
    Place::Line(line, before.sum::<usize>() + 1)
}

/// What parts the cells, how many there are, and where the values stand.
fn headed(line: &str, wanted: &[&str]) -> Result<(char, usize, Vec<usize>), String> {
    let mut cells: Vec<String> = Vec::new();
    let mut missing = wanted.first().copied().unwrap_or_default();
    let mut headings = String::new();
    for delimiter in DELIMITERS {
        split(line, Some(delimiter), &mut cells);
        let mut at = vec![0; wanted.len()];
        let mut lacks = None;
        for (slot, heading) in at.iter_mut().zip(wanted.iter().copied()) {
            let mut found = cells
                .iter()
                .enumerate()
                .filter(|(_, cell)| cell.trim() == heading);
            match (found.next(), found.next()) {
                (Some((index, _)), None) => *slot = index,
                (Some(_), Some(_)) => {
                    return Err(format!("two columns are headed `{}`", excerpt(heading)));
                }
                _ => lacks = lacks.or(Some(heading)),
            }
        }
        match lacks {
            None => return Ok((delimiter, cells.len(), at)),
            Some(heading) if cells.len() > 1 => {
                missing = heading;
                headings = the_headings(&cells);
            }
            Some(_) => {}
        }
    }
    Err(format!(
        "no column is headed `{}`{headings}",
        excerpt(missing)
    ))
}
