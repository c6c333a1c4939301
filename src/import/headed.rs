//! The rows of a CSV file, by the headings of its columns.

use super::fault::{Fault, Place, excerpt};
use super::lines::{DELIMITERS, Lines, split};

/// Most rows of a file.
const MOST_READ: usize = 20_000;

/// The cells of a row that are wanted, each with its place.
pub(super) type Row = Vec<(String, Place)>;

/// The rows of a text, each with the values that are wanted.
pub(super) fn rows(text: &str, wanted: &[&str]) -> Result<Vec<Row>, Fault> {
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
            layout = Some(headed(line, wanted).map_err(|text| Fault::at(place, text))?);
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
            // Cells that were quoted may stand a character or two farther on.
            let before: usize = cells
                .iter()
                .take(at)
                .map(|cell| cell.chars().count() + 1)
                .sum();
            (text.to_owned(), Place::Line(number, before + 1))
        };
        rows.push(at.iter().map(value).collect());
    }
    if rows.is_empty() {
        return Err(Fault::whole("the file holds no row below its headings"));
    }
    Ok(rows)
}

/// What parts the cells, how many there are, and where the values stand.
fn headed(line: &str, wanted: &[&str]) -> Result<(char, usize, Vec<usize>), String> {
    let mut cells: Vec<String> = Vec::new();
    let mut missing = wanted.first().copied().unwrap_or_default();
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
            Some(heading) if cells.len() > 1 => missing = heading,
            Some(_) => {}
        }
    }
    Err(format!("no column is headed `{}`", excerpt(missing)))
}
