use super::*;
use crate::models::geometry::Polygon;
use crate::models::waves::restricted::Radials;
use proptest::prelude::*;

fn from(degrees: f64) -> FromDirection {
    FromDirection::new(Angle::degrees(degrees))
}

fn shore(ring: &[(f64, f64)]) -> Shore {
    let ring = ring.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Shore::new(vec![Polygon::new(ring, Vec::new()).unwrap()]).unwrap()
}

/// Four kilometres from west to east, 400 m across.
fn narrow() -> Shore {
    shore(&[
        (-2000.0, -200.0),
        (2000.0, -200.0),
        (2000.0, 200.0),
        (-2000.0, 200.0),
    ])
}

fn at(shore: &Shore, point: (f64, f64), base: f64, winds: &[f64]) -> Vec<Fetches> {
    let winds: Vec<FromDirection> = winds.iter().map(|&wind| from(wind)).collect();
    Fan::new(from(base), &winds)
        .fetches(shore, Point::new(point.0, point.1))
        .collect()
}

/// Smith (1991), CERC-91-2: waves on a narrow lake run along it. A wind from the north-west at the
/// eastern end raises them over most of its length, and a wind from the east at the same place over
/// nothing but what is left to the shore.
#[test]
fn waves_run_along_a_narrow_lake() {
    let lake = narrow();
    let found = at(&lake, (1900.0, 0.0), 315.0, &[315.0, 90.0]);
    let west = found[0];
    let off = west.off_wind.to_degrees();
    assert!((-45.0..-25.0).contains(&off), "{west:?}");
    assert!(
        west.chief.get() > 1500.0 && west.along.get() < 400.0,
        "{west:?}"
    );
    assert!(found[1].along.get() < 200.0, "{found:?}");
    // Across it, with nothing to choose between, they run with the wind.
    let across = at(&lake, (0.0, 0.0), 0.0, &[0.0])[0];
    assert!(across.chief >= across.along, "{across:?}");
}

/// The mean over 15° of whole degrees between radials 3° apart is the one that the held check
/// against the published example of a restricted fetch takes, at every third degree.
#[test]
fn means_are_those_of_the_published_example() {
    let lake = narrow();
    let point = Point::new(700.0, 50.0);
    let lengths: Vec<Length> = (0..120)
        .map(|k| Radial::new(from(3.0 * f64::from(k))).fetch(&lake, point))
        .collect();
    let radials = Radials::new(from(0.0), Angle::degrees(3.0), &lengths).unwrap();
    let winds: Vec<f64> = (0..120).map(|k| 3.0 * f64::from(k)).collect();
    for (wind, found) in winds.iter().zip(at(&lake, (700.0, 50.0), 0.0, &winds)) {
        let theirs = radials.mean_at(from(*wind)).unwrap();
        assert!(
            (found.along / theirs - 1.0).abs() < 1e-9,
            "{wind}: {found:?}"
        );
    }
}

#[test]
fn a_wind_between_two_radials_lies_between_their_fetches() {
    let lake = narrow();
    let found = at(&lake, (0.0, 0.0), 240.0, &[240.0, 241.5, 243.0]);
    let middle = 0.5 * (found[0].along.get() + found[2].along.get());
    assert!((found[1].along.get() - middle).abs() < 1e-9);
}

proptest! {
    /// However many winds share a fan, each has the fetches that it has by itself, and a turn of
    /// everything changes nothing.
    #[test]
    fn a_wind_has_its_own_fetches_in_any_company(
        base in 0.0..360.0f64, spread in 0.0..180.0f64, x in -1500.0..1500.0f64, y in -150.0..150.0f64,
    ) {
        let lake = narrow();
        let winds = [base - spread, base, base + spread];
        let together = at(&lake, (x, y), base, &winds);
        for (wind, found) in winds.iter().zip(&together) {
            let alone = at(&lake, (x, y), base, &[*wind])[0];
            prop_assert!((alone.along / found.along - 1.0).abs() < 1e-9);
            prop_assert!((alone.chief / found.chief - 1.0).abs() < 1e-9);
            prop_assert!((alone.off_wind.get() - found.off_wind.get()).abs() < 1e-9);
            // The chief fetch is never worth less than that along the wind.
            let worth = found.chief.get().powf(0.45) * found.off_wind.get().cos().powf(1.1);
            prop_assert!(worth >= found.along.get().powf(0.45) * (1.0 - 1e-9));
        }
        let (sin, cos) = 0.7_f64.sin_cos();
        let turned = shore(&[
            (-2000.0, -200.0), (2000.0, -200.0), (2000.0, 200.0), (-2000.0, 200.0),
        ].map(|(x, y): (f64, f64)| (x * cos + y * sin, y * cos - x * sin)));
        let there = (x * cos + y * sin, y * cos - x * sin);
        let again = at(&turned, there, base + 0.7_f64.to_degrees(), &[winds[1] + 0.7_f64.to_degrees()])[0];
        prop_assert!((again.along / together[1].along - 1.0).abs() < 1e-6);
        prop_assert!((again.chief / together[1].chief - 1.0).abs() < 1e-6);
    }

    #[test]
    fn on_round_water_waves_run_with_the_wind(base in 0.0..360.0f64, off in -90.0..90.0f64) {
        let round: Vec<(f64, f64)> = (0..720)
            .map(|k| (f64::from(k) * 0.5).to_radians().sin_cos())
            .map(|(x, y)| (1000.0 * x, 1000.0 * y))
            .collect();
        let found = at(&shore(&round), (0.0, 0.0), base, &[base + off])[0];
        prop_assert!(found.off_wind.get().abs() < 1e-6, "{:?}", found);
        prop_assert!((found.along.get() - 1000.0).abs() < 0.5);
    }
}
