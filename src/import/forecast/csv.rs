//! The hours of a CSV file, by the headings of its columns.

use super::{Cell, MOST_READ, Row};
use crate::import::fault::{Fault, Place, excerpt};
use crate::import::lines::{DELIMITERS, Lines, split};

/// The rows of a text, each with the four values.
pub(super) fn rows(text: &str, wanted: [&str; 4]) -> Result<Vec<Row>, Fault> {
    let mut lines = Lines::new(text.as_bytes());
    let mut layout: Option<(char, usize, [usize; 4])> = None;
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
        let Some((delimiter, count, at)) = layout else {
            layout = Some(headed(line, wanted).map_err(|text| Fault::at(place, text))?);
            continue;
        };
        split(line, Some(delimiter), &mut cells);
        if cells.len() != count {
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
        rows.push(at.map(|at| {
            let text = cells.get(at).map_or("", |cell| cell.trim());
            // Cells that were quoted may stand a character or two farther on.
            let before: usize = cells
                .iter()
                .take(at)
                .map(|cell| cell.chars().count() + 1)
                .sum();
            (Cell::Text(text.to_owned()), Place::Line(number, before + 1))
        }));
    }
    if rows.is_empty() {
        return Err(Fault::whole("the file holds no hour"));
    }
    Ok(rows)
}

/// What parts the cells, how many there are, and where the values stand.
fn headed(line: &str, wanted: [&str; 4]) -> Result<(char, usize, [usize; 4]), String> {
    let mut cells: Vec<String> = Vec::new();
    let mut missing = wanted[0];
    for delimiter in DELIMITERS {
        split(line, Some(delimiter), &mut cells);
        let mut at = [0; 4];
        let mut lacks = None;
        for (slot, heading) in at.iter_mut().zip(wanted) {
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
            Some(heading) if cells.len() > 1 => missing = heading,
            Some(_) => {}
        }
    }
    Err(format!("no column is headed `{}`", excerpt(missing)))
}
