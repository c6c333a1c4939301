//! A wind as it is typed: `240° 6 m/s gust 9 m/s at 2 m`.

use super::WindRead;
use crate::units::{
    Dimension, FromDirection, Length, Speed, Typed as _, direction, parse_quantity,
};

/// How a wind is written.
pub(crate) const FORM: &str = "write it as `240° 6 m/s gust 9 m/s at 2 m`: the direction it comes from, \
                        the mean, and the gust and the height if known";

/// No wind at the ground is stronger.
const MOST: Speed = Speed::metres_per_second(100.0);
/// Heights between which the wind's change with height is known.
const LOWEST: Length = Length::metres(1.0);
const HIGHEST: Length = Length::metres(30.0);

/// Reads a wind; gust and height may be left out. The direction may be a point of the compass, or magnetic with
/// its declination.
///
/// # Errors
/// What is wrong, and how it is written.
pub(crate) fn wind(text: &str) -> Result<WindRead, String> {
    let off = |why: String| format!("{why}; {FORM}");
    let words = || text.split_whitespace().map(str::to_ascii_lowercase);
    if words().any(|word| word == "calm") {
        let why = format!("`{}` is not a wind to plan with", text.trim());
        return Err(off(format!(
            "{why}; for a calm write `0° 0 m/s`, with any gust"
        )));
    }
    if words().any(|word| matches!(word.as_str(), "gusts" | "gusting")) {
        return Err(off("the word before the gust is `gust`".to_owned()));
    }
    let (rest, height) = match text.rsplit_once(" at ") {
        Some((rest, height)) => (rest.trim(), Some(height.trim())),
        None => (text.trim(), None),
    };
    let (sustained, gust) = match rest.split_once("gust") {
        Some((sustained, gust)) => (sustained.trim(), Some(gust.trim())),
        None => (rest, None),
    };
    // The unit of an angle may stand apart from its number.
    let cuts = sustained.char_indices().filter(|(_, c)| c.is_whitespace());
    let parted = cuts.map(|(at, _)| sustained.split_at(at));
    let read: Vec<_> = parted
        .filter_map(|(from, mean)| Some((direction(from).ok()?, mean.trim())))
        .collect();
    // What follows `240°` may belong to it still, as in `240° M (3°E)`.
    let whole = read.iter().rev();
    let mut whole = whole.filter(|(_, mean)| parse_quantity(mean, Dimension::SPEED).is_ok());
    let Some((from, mean)) = whole.next().or(read.first()) else {
        // The usual slip, on a keyboard without the sign.
        let (first, rest) = sustained
            .split_once(char::is_whitespace)
            .unwrap_or((sustained, ""));
        let a_speed = parse_quantity(rest.trim(), Dimension::SPEED).is_ok();
        return Err(off(match first.parse::<f64>() {
            Ok(_) if a_speed => {
                format!("`{first}`, the direction, has no unit; write `{first}°` or `{first}deg`")
            }
            _ => format!("`{text}` does not begin with a direction and a speed"),
        }));
    };
    let from = from.by_itself().map_err(|why| off(why.to_owned()))?;
    let speed = |text: &str, what: &str| {
        let read = parse_quantity(text, Dimension::SPEED);
        let read = read.map_err(|error| off(format!("the {what}: {error}")))?;
        let speed = Speed::from_stored(read.value);
        if !speed.get().is_finite() || speed < Speed::ZERO || speed > MOST {
            return Err(off(format!("the {what}, {speed}, is not from 0 to {MOST}")));
        }
        Ok(speed)
    };
    let mean = speed(mean, "mean")?;
    let gust = gust.map(|gust| speed(gust, "gust")).transpose()?;
    if let Some(gust) = gust.filter(|gust| *gust < mean) {
        return Err(format!(
            "the gust, {gust}, is less than the mean wind, {mean}"
        ));
    }
    let height = height
        .map(|text| self::height(text).map_err(off))
        .transpose()?;
    Ok(WindRead {
        from: FromDirection::new(from),
        mean,
        gust,
        height,
    })
}

/// Reads the height of an anemometer over the water.
///
/// # Errors
/// What is wrong.
pub(crate) fn height(text: &str) -> Result<Length, String> {
    let read = parse_quantity(text, Dimension::LENGTH);
    let read = read.map_err(|error| format!("the height: {error}"))?;
    let height = Length::from_stored(read.value);
    if !(height >= LOWEST && height <= HIGHEST) {
        return Err(format!(
            "the height, {height}, is not from {LOWEST} to {HIGHEST}"
        ));
    }
    Ok(height)
}

#[cfg(test)]
mod tests {
    use super::wind;
    use crate::units::Speed;

    #[test]
    fn a_wind_is_read_as_people_write_it() {
        for text in [
            "240° 6 m/s gust 9 m/s at 2 m",
            "240 ° 6 m/s gust 9 m/s at 2 m",
            "  240deg  6 m/s   gust   9 m/s  at  2m ",
            "240° 21.6 km/h gust 32.4 km/h at 200 cm",
            "237° M (3°E) 6 m/s gust 9 m/s at 2 m",
        ] {
            let read = wind(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert!(
                (read.from.angle().to_degrees() - 240.0).abs() < 1e-9,
                "{text}"
            );
            assert!((read.mean.get() - 6.0).abs() < 1e-9, "{text}");
            assert!(
                (read.gust.map_or(0.0, Speed::get) - 9.0).abs() < 1e-9,
                "{text}"
            );
            assert!((read.height.map_or(0.0, |height| height.get()) - 2.0).abs() < 1e-9);
        }
        let point = wind("WSW 6 m/s").expect("a point of the compass");
        assert!((point.from.angle().to_degrees() - 247.5).abs() < 1e-9);
        assert_eq!(
            wind("0° 0 m/s").map(|read| (read.gust, read.height)),
            Ok((None, None))
        );
    }

    #[test]
    fn what_is_no_wind_is_refused_with_how_it_is_written() {
        for (text, why) in [
            ("", "does not begin"),
            ("6 m/s", "does not begin"),
            ("240° 6", "the mean"),
            (
                "240 6 m/s",
                "`240`, the direction, has no unit; write `240°`",
            ),
            ("240 6", "does not begin"),
            ("240", "does not begin"),
            ("6m/s 240°", "does not begin"),
            ("calm", "for a calm write `0° 0 m/s`"),
            ("Calm at 2 m", "for a calm write `0° 0 m/s`"),
            (
                "240° 6 m/s gusts 9 m/s",
                "the word before the gust is `gust`",
            ),
            ("240° 6 m/s gusting 9 m/s", "is `gust`; write it as"),
            ("370° 6 m/s", "from 0° to 360°"),
            ("240° M 6 m/s", "needs its declination"),
            ("240° 6 m/s gust 5 m/s", "less than the mean"),
            ("240° 6 m/s gust", "the gust"),
            ("240° 600 m/s", "not from 0"),
            ("240° -1 m/s", "not from 0"),
            ("240° NaN m/s", "the mean"),
            ("240° 6 m/s at 0 m", "the height"),
            ("240° 6 m/s at 2", "the height"),
        ] {
            let error = wind(text).expect_err(text);
            assert!(error.contains(why), "{text}: {error}");
        }
    }
}
