//! `offing import forecast`.

use jiff::Timestamp;

use super::{bytes, deliver, distance, name, refused, usage};
use crate::cli::Failure;
use crate::cli::args::ImportForecast;
use crate::import::{ForecastOptions, LARGEST_FORECAST, Times, Wanted, import_forecast};
use crate::units::{Angle, Dimension, parse_quantity};

pub(super) fn run(options: &ImportForecast) -> Result<u8, Failure> {
    let wanted = |option: &str, text: &str, dimension| {
        Wanted::parse_or_stated(text, dimension).map_err(|why| usage(option, &why))
    };
    let spread = parse_quantity(&options.spread, Dimension::ANGLE);
    let spread = spread.map_err(|error| usage("--spread", &error.to_string()))?;
    let spread = Angle::radians(spread.value);
    if !(0.0..=180.0).contains(&spread.to_degrees()) {
        return Err(usage(
            "--spread",
            "a spread is from 0° to 180°, either side",
        ));
    }
    let source = options.source.trim();
    if source.is_empty() || source.chars().count() > 2000 {
        return Err(usage("--source", "a source has 1 to 2000 characters"));
    }
    let wanted = ForecastOptions {
        time: Times::parse(&options.time).map_err(|why| usage("--time", &why))?,
        from: wanted("--from", &options.from, Dimension::ANGLE)?,
        mean: wanted("--mean", &options.mean, Dimension::SPEED)?,
        gust: wanted("--gust", &options.gust, Dimension::SPEED)?,
        source: source.to_owned(),
        issued: moment("--issued", &options.issued)?,
        valid_until: moment("--valid-until", &options.valid_until)?,
        height: distance("--height", &options.height)?,
        spread,
        visibility: options
            .visibility
            .as_deref()
            .map(|text| wanted("--visibility", text, Dimension::LENGTH))
            .transpose()?,
    };
    let read = bytes(&options.file, LARGEST_FORECAST)?;
    let import = import_forecast(read, &name(&options.file), &wanted)
        .map_err(|fault| refused(&options.file, &[fault]))?;
    let told = format!("{}.\n", import.summary);
    deliver(&import.text, &options.output, &import.notes, &told, false)
}

fn moment(option: &str, text: &str) -> Result<Timestamp, Failure> {
    text.parse().map_err(|_| {
        let why = format!(
            "`{text}` is not a point in time; write it with its offset, `2027-06-15T06:00Z`"
        );
        usage(option, &why)
    })
}
