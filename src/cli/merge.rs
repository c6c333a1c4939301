//! `offing merge`.

use std::io::Read as _;
use std::path::Path;

use serde_json::Value;

use super::args::{Format, Merge};
use super::{Failure, output, reports, settings};
use crate::report::merge::{self, NoMerge, Part};
use crate::report::review;
use crate::source::{ReadError, printable_path};

/// The largest report that is read: some thousands of missions.
const MOST: u64 = 256 << 20;

/// What a report is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    Check,
    Review,
    Sarif,
}

impl Sort {
    fn from_value(value: &Value) -> Option<Self> {
        match value["format"].as_str() {
            Some(crate::report::FORMAT) => Some(Self::Check),
            Some(review::FORMAT) => Some(Self::Review),
            _ => value["runs"].is_array().then_some(Self::Sarif),
        }
    }

    fn format(self) -> Format {
        match self {
            Self::Check | Self::Review => Format::Json,
            Self::Sarif => Format::Sarif,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Check => "a check's report as JSON",
            Self::Review => "a review's report as JSON",
            Self::Sarif => "a report as SARIF",
        }
    }
}

pub(super) fn run(options: &Merge) -> Result<u8, Failure> {
    reports::one_to_a_place(&options.format)?;
    for wanted in &options.format {
        if !matches!(wanted.format, Format::Json | Format::Sarif) {
            let text = "merge writes json or sarif; for other formats, check the whole at once";
            return Err(Failure::Usage(text.to_owned()));
        }
    }
    let mut read: Vec<(Sort, Part)> = Vec::new();
    for path in &options.reports {
        read.push(report(path)?);
    }
    for (sort, part) in &read {
        let mut wanted = options.format.iter();
        if !wanted.any(|wanted| wanted.format == sort.format()) {
            let (name, what) = (&part.name, sort.name());
            let text = format!("{name} is {what}, and `--format` does not name that format");
            return Err(Failure::Usage(text));
        }
    }
    let failing = settings::failing(options.fail_on);
    let refused = |error: NoMerge| Failure::Unreadable(error.to_string());
    let mut status = 0;
    let mut texts = Vec::new();
    for wanted in &options.format {
        let of_form = |(sort, _): &&(Sort, Part)| sort.format() == wanted.format;
        let some: Vec<&(Sort, Part)> = read.iter().filter(of_form).collect();
        let Some((sort, first)) = some.first() else {
            let text = "no file holds a report of that format; see `--format`";
            return Err(Failure::Usage(text.to_owned()));
        };
        if let Some((other, part)) = some.iter().find(|(other, _)| other != sort) {
            return Err(Failure::Unreadable(format!(
                "{} is {}, and {} is {}",
                first.name,
                sort.name(),
                part.name,
                other.name()
            )));
        }
        let parts: Vec<Part> = some.iter().map(|(_, part)| part.clone()).collect();
        let (whole, one) = match sort {
            Sort::Check => {
                let whole = merge::check(&parts).map_err(refused)?;
                let status = merge::status(&whole, failing);
                (whole, status)
            }
            Sort::Review => {
                let whole = review::merge::merge(&parts).map_err(refused)?;
                let status = merge::status(&whole["check"], failing);
                (whole, status)
            }
            Sort::Sarif => {
                let whole = merge::sarif(&parts).map_err(refused)?;
                let status = merge::sarif_status(&whole, failing);
                (whole, status)
            }
        };
        status = status.max(one);
        let text = merge::json_text(&whole).map_err(|error| Failure::NotWritten(error.into()))?;
        texts.push((text, wanted));
    }
    // Nothing is written where one of them cannot be joined.
    for (text, wanted) in texts {
        output::deliver(&text, wanted.file.as_deref())?;
    }
    Ok(status)
}

/// Reads a report, bounded.
fn report(path: &Path) -> Result<(Sort, Part), Failure> {
    let name = printable_path(path);
    let refuse = |why: &str| Failure::Unreadable(format!("{name}: {why}"));
    let unreadable =
        |error: std::io::Error| Failure::Unreadable(ReadError::from_io(&name, &error).to_string());
    if !path.metadata().map_err(unreadable)?.is_file() {
        return Err(refuse("it is not a regular file"));
    }
    let file = std::fs::File::open(path).map_err(unreadable)?;
    let mut bytes = Vec::new();
    file.take(MOST + 1)
        .read_to_end(&mut bytes)
        .map_err(unreadable)?;
    if bytes.len() as u64 > MOST {
        let text = format!("it is larger than {} MiB; use more partitions", MOST >> 20);
        return Err(refuse(&text));
    }
    let value: Value = serde_json::from_slice(&bytes)
        .map_err(|error| refuse(&format!("it is not a report: {error}")))?;
    let sort = Sort::from_value(&value).ok_or_else(|| {
        refuse("it is not a report that `--format json` or `--format sarif` writes")
    })?;
    Ok((sort, Part { name, value }))
}
