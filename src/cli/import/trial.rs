//! `offing import trial`.

use jiff::civil::Date;

use super::{bytes, deliver, distance, name, refused, usage};
use crate::cli::Failure;
use crate::cli::args::ImportTrial;
use crate::import::{LARGEST_TRIAL, Ran, TrialOptions, Wanted, import_trial};
use crate::units::{Dimension, Length};

pub(super) fn run(options: &ImportTrial) -> Result<u8, Failure> {
    let wanted = |option: &str, text: &str, dimension| {
        Wanted::parse(text, dimension).map_err(|why| usage(option, &why))
    };
    let ran = match (&options.speed, &options.time, &options.distance) {
        (Some(speed), None, None) => Ran::Speed(wanted("--speed", speed, Dimension::SPEED)?),
        (None, Some(time), Some(length)) => {
            let length = distance("--distance", length)?;
            if length <= Length::ZERO {
                return Err(usage("--distance", "runs are over more than nothing"));
            }
            Ran::Time(wanted("--time", time, Dimension::TIME)?, length)
        }
        _ => {
            return Err(Failure::Usage(
                "say how fast the runs were: `--speed \"HEADING in m/s\"`, or `--time \"HEADING in s\"` with \
                 `--distance`"
                    .to_owned(),
            ));
        }
    };
    let date: Date = options.date.parse().map_err(|_| {
        let why = format!("`{}` is no day; write it as `2027-04-24`", options.date);
        usage("--date", &why)
    })?;
    let wanted = TrialOptions {
        setting: options.setting.trim().to_owned(),
        ran,
        power: wanted("--power", &options.power, Dimension::POWER)?,
        date,
    };
    let read = bytes(&options.file, LARGEST_TRIAL)?;
    let import = import_trial(read, &name(&options.file), &wanted)
        .map_err(|fault| refused(&options.file, &[fault]))?;
    let told = format!("{}.\n", import.summary);
    deliver(&import.text, &options.output, &import.notes, &told, false)
}
