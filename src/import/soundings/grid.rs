//! Soundings of an ESRI ASCII grid: a head of names and numbers, then rows from north to south.

use std::io::BufRead;

use super::{MOST_READ, Raw, Read, Sink, SoundingsOptions, stated, unit};
use crate::import::fault::{Fault, Place, excerpt};
use crate::import::lines::{Lines, number};

/// Whether bytes begin as such a grid does.
pub(super) fn is_grid(head: &[u8]) -> bool {
    let text = String::from_utf8_lossy(head);
    let first = text
        .trim_start_matches('\u{feff}')
        .split_whitespace()
        .next();
    first.is_some_and(|word| word.eq_ignore_ascii_case("ncols"))
}

/// The head of a grid.
#[derive(Default)]
struct Head {
    columns: Option<f64>,
    rows: Option<f64>,
    x: Option<(f64, bool)>,
    y: Option<(f64, bool)>,
    cell: Option<f64>,
    no_data: Option<f64>,
}

impl Head {
    /// Takes a line of the head; false where it is none.
    fn take(&mut self, line: &str, line_number: usize) -> Result<bool, Fault> {
        let mut words = line.split_ascii_whitespace();
        let Some(name) = words.next().filter(|word| number(word).is_none()) else {
            return Ok(false);
        };
        let off = |text: String| Err(Fault::at(Place::Line(line_number, 1), text));
        let (Some(value), None) = (words.next().and_then(number), words.next()) else {
            return off(format!(
                "`{}` takes one number in the head of a grid",
                excerpt(name)
            ));
        };
        match name.to_ascii_lowercase().as_str() {
            "ncols" => self.columns = Some(value),
            "nrows" => self.rows = Some(value),
            "xllcorner" => self.x = Some((value, false)),
            "yllcorner" => self.y = Some((value, false)),
            "xllcenter" | "xllcentre" => self.x = Some((value, true)),
            "yllcenter" | "yllcentre" => self.y = Some((value, true)),
            "cellsize" => self.cell = Some(value),
            "nodata_value" => self.no_data = Some(value),
            _ => {
                return off(format!(
                    "`{}` is not known in the head of a grid: ncols, nrows, xllcorner or xllcenter, yllcorner or \
                     yllcenter, cellsize, NODATA_value",
                    excerpt(name)
                ));
            }
        }
        Ok(true)
    }
}

/// Reads the cells of a grid.
pub(super) fn read(reader: impl BufRead, options: &SoundingsOptions) -> Result<Read, Fault> {
    let mut sink = Sink::new(options, stated(options)?, unit(options)?);
    if options.columns.is_some() {
        return Err(Fault::whole(
            "a grid has no columns with headings; leave the columns out",
        ));
    }
    let mut lines = Lines::new(reader);
    let mut head = Head::default();
    let mut laid_out: Option<Grid> = None;
    let mut index = 0_u64;
    loop {
        let line_number = lines.number + 1;
        let Some(line) = lines.read()? else {
            break;
        };
        if laid_out.is_none() {
            if line.trim().is_empty() || head.take(line, line_number)? {
                continue;
            }
            let grid = Grid::from_head(&head, line_number)?;
            if options.no_data.is_none() {
                sink.no_data = head.no_data;
            }
            laid_out = Some(grid);
        }
        let Some(grid) = &laid_out else {
            continue;
        };
        for word in line.split_ascii_whitespace() {
            let place = || {
                let before = (word.as_ptr() as usize).saturating_sub(line.as_ptr() as usize);
                Place::Line(line_number, before + 1)
            };
            if index >= grid.columns * grid.rows {
                let text = format!("the grid has more cells than the {} of its head", index);
                return Err(Fault::at(place(), text));
            }
            let Some(z) = number(word) else {
                let text = format!("`{}` is not a number", excerpt(word));
                return Err(Fault::at(place(), text));
            };
            let (x, y) = grid.centre(index);
            index += 1;
            if sink.is_none(z) {
                sink.without()?;
            } else {
                let place = place();
                sink.take(Raw { x, y, z, place })?;
            }
        }
    }
    match laid_out {
        Some(grid) if index == grid.columns * grid.rows => Ok(sink.finish("ESRI ASCII grid")),
        Some(grid) => Err(Fault::whole(format!(
            "the grid is cut off: it has {index} cells, and {} are due",
            grid.columns * grid.rows
        ))),
        None => Err(Fault::whole("the grid has a head and no cells")),
    }
}

/// Where the cells of a grid lie.
struct Grid {
    columns: u64,
    rows: u64,
    /// Centre of the cell in the south-west.
    first: (f64, f64),
    cell: f64,
}

impl Grid {
    fn from_head(head: &Head, line_number: usize) -> Result<Self, Fault> {
        let off = |text: &str| Fault::at(Place::Line(line_number, 1), text);
        let lacks = |name: &str| off(&format!("the head of the grid lacks `{name}`"));
        let count = |value: Option<f64>, name: &str| {
            let value = value.ok_or_else(|| lacks(name))?;
            let whole = value.fract().abs() <= 0.0 && (1.0..=1e9).contains(&value);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a whole number within the range looked at"
            )]
            let counted = value as u64;
            whole.then_some(counted).ok_or_else(|| {
                off(&format!(
                    "`{name}` is a whole number, 1 or more and below a billion"
                ))
            })
        };
        let (columns, rows) = (count(head.columns, "ncols")?, count(head.rows, "nrows")?);
        if columns.saturating_mul(rows) > MOST_READ {
            return Err(off(&format!("the grid has more than {MOST_READ} cells")));
        }
        let cell = head.cell.ok_or_else(|| lacks("cellsize"))?;
        if !(cell.is_finite() && cell > 0.0) {
            return Err(off("`cellsize` is above 0"));
        }
        let centre = |stated: Option<(f64, bool)>, name: &str| {
            let (at, centre) = stated.ok_or_else(|| lacks(name))?;
            Ok::<f64, Fault>(if centre { at } else { at + cell / 2.0 })
        };
        Ok(Self {
            columns,
            rows,
            first: (centre(head.x, "xllcorner")?, centre(head.y, "yllcorner")?),
            cell,
        })
    }

    /// The centre of a cell, counted by rows from the north-west.
    fn centre(&self, index: u64) -> (f64, f64) {
        let (row, column) = (index / self.columns, index % self.columns);
        let north = self.rows - 1 - row;
        (
            self.first.0 + column as f64 * self.cell,
            self.first.1 + north as f64 * self.cell,
        )
    }
}
