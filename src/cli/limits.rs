//! `offing limits`.

use super::args::{Limits, LimitsFormat};
use super::progress::Progressing;
use super::{Failure, output, place, settings};
use crate::envelope::{Given, Sought, limits};
use crate::launch::wind;
use crate::report::{limits_json, limits_polar, limits_text};
use crate::units::{Angle, Dimension, Typed as _, parse_quantity};

pub(super) fn run(options: &Limits) -> Result<u8, Failure> {
    let step = parse_quantity(&options.step, Dimension::ANGLE)
        .map_err(|error| Failure::Usage(format!("--step: {error}")))?;
    let height = options.height.as_deref().map(wind::height).transpose();
    let height = height.map_err(|why| Failure::Usage(format!("--height: {why}")))?;
    let given = options.wind.as_deref().map(given).transpose();
    let given = given.map_err(|why| Failure::Usage(format!("--wind: {why}")))?;
    let sought = Sought {
        step: Angle::from_stored(step.value),
        wind: given.map(|given| Given {
            height: given.height.or(height),
            ..given
        }),
        height,
        sensitivity: true,
    };
    output::has_its_place(options.figure.as_deref())?;
    let tree = place::repository(&options.plans)?;
    let mission = place::mission(&tree, &options.plans, &options.mission);
    let progress = Progressing::begin("looking for limits");
    let found = limits(
        &tree,
        &mission,
        options.policy.as_deref(),
        &sought,
        &|progressed| progress.tell(progressed),
    );
    drop(progress);
    let found = found?;
    if let Some(file) = &options.figure {
        let of = format!("mission {}", found.mission);
        output::deliver(&limits_polar(&found).file(&of), Some(file))?;
    }
    let text = match options.format {
        LimitsFormat::Terminal => limits_text(&found, &settings::drawing(&options.drawing)),
        LimitsFormat::Json => limits_json(&found).map_err(|e| Failure::NotWritten(e.into()))?,
    };
    output::print(&text)?;
    let kept = match &found.today {
        Some(today) => today.broken.is_empty(),
        None => found.any_wind_passes(),
    };
    Ok(u8::from(!kept))
}

/// Reads a wind, as at a launch.
fn given(text: &str) -> Result<Given, String> {
    let read = wind::wind(text)?;
    Ok(Given {
        from: read.from,
        mean: read.mean,
        gust: read.gust,
        height: read.height,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Speed;

    fn read(text: &str) -> Option<(f64, f64, Option<f64>)> {
        let given = given(text).ok()?;
        let degrees = given.from.angle().to_degrees();
        Some((degrees, given.mean.get(), given.gust.map(Speed::get)))
    }

    #[test]
    fn a_wind_is_read_as_people_write_it() {
        let near = |text: &str, from: f64, mean: f64, gust: Option<f64>| {
            let (f, m, g) = read(text).unwrap_or_else(|| panic!("{text}"));
            let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
            assert!(close(f, from) && close(m, mean), "{text}: {f} {m}");
            assert_eq!(g.is_some(), gust.is_some(), "{text}");
            assert!(
                g.zip(gust).is_none_or(|(a, b)| close(a, b)),
                "{text}: {g:?}"
            );
        };
        near("240° 6 m/s gust 9 m/s", 240.0, 6.0, Some(9.0));
        near(" 240 °  6 m/s ", 240.0, 6.0, None);
        near("5° 0 m/s", 5.0, 0.0, None);
        // 10 kn is 5.144 m/s by the definition of the nautical mile, 1852 m.
        near(
            "090° 10 kn gust 15 kn",
            90.0,
            5.144_444_444,
            Some(7.716_666_667),
        );
    }

    #[test]
    fn what_is_no_wind_is_told_with_an_example() {
        for text in [
            "",
            "240°",
            "6 m/s",
            "strong",
            "400° 6 m/s",
            "240° 6",
            "240° 6 m/s gust",
            "240° -6 m/s",
            "240° 6 m/s gust 9",
            "240° 6 kg",
            "240° NaN m/s",
            "240° 600 m/s",
        ] {
            let why = given(text).expect_err(text);
            assert!(why.contains("240° 6 m/s gust 9 m/s"), "{text}: {why}");
        }
        let less = given("240° 6 m/s gust 5 m/s").expect_err("a gust below the mean");
        assert!(less.contains("less than the mean"), "{less}");
    }
}
