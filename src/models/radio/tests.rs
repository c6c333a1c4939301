use super::*;
use proptest::prelude::*;

fn mhz(value: f64) -> Frequency {
    Frequency::megahertz(value)
}
fn m(value: f64) -> Length {
    Length::metres(value)
}
const TWO_AND_HALF: (Length, Length) = (Length::metres(2.0), Length::metres(0.5));

/// Land of medium dryness (ITU-R P.527).
const LAND: Ground = Ground {
    permittivity: 22.0,
    conductivity: 0.003,
};

/// ITU-R P.525.
#[test]
fn free_space_loss() {
    let loss = |f: f64, d: f64| free_space(mhz(f), m(d)).get();
    assert!((loss(1000.0, 1000.0) - 92.4478).abs() < 5e-5);
    assert!((loss(10_000.0, 10_000.0) - 132.4478).abs() < 5e-5);
    assert!((loss(2400.0, 2000.0) - 106.07).abs() < 5e-3);
}

/// Computed from ITU-R P.526-16 §4.1 with an independent program.
#[test]
fn knife_edges() {
    for (nu, loss) in [
        (0.0, 6.03),
        (1.0, 13.93),
        (2.4, 20.54),
        (-0.78, 0.0),
        (-3.0, 0.0),
    ] {
        assert!((knife_edge(nu).get() - loss).abs() < 6e-3, "{nu}");
    }
    // An edge as high as the first Fresnel zone is at ν = √2.
    let wave = wavelength(mhz(2400.0)).get();
    let radius = m((wave * 300.0 * 700.0 / 1000.0).sqrt());
    let nu = knife_edge_parameter(mhz(2400.0), radius, m(300.0), m(700.0));
    assert!((nu - std::f64::consts::SQRT_2).abs() < 1e-9);
}

/// Computed from the formula: antennas at 2 m and 0.5 m see 8.75 km over a standard atmosphere.
#[test]
fn the_horizon() {
    let d = horizon(TWO_AND_HALF, EFFECTIVE_RADIUS).get();
    assert!((d - 8750.0).abs() < 10.0, "{d}");
}

/// Computed from the formulas with an independent program.
#[test]
fn two_rays_over_water() {
    let far = two_ray_far(m(2000.0), TWO_AND_HALF).get();
    assert!((far - 132.04).abs() < 5e-3, "{far}");
    // Past the asymptotes' crossing at 4π h1 h2/λ (100.6 m) free space is the smaller loss.
    let crossing = 4.0 * PI * 1.0 / wavelength(mhz(2400.0)).get();
    assert!((crossing - 100.6).abs() < 0.05);
    let there = two_ray_far(m(crossing), TWO_AND_HALF) - free_space(mhz(2400.0), m(crossing));
    assert!(there.get().abs() < 1e-9);
}

/// The flat-land results at 5 km that accompany the open reference implementation of
/// ITU-R P.452, which takes P.526's smooth earth.
#[test]
fn smooth_earth_within_the_horizon() {
    for (ghz, loss) in [
        (0.1, 20.0243),
        (0.25, 12.6995),
        (0.5, 7.3078),
        (0.75, 4.1108),
        (1.0, 1.7516),
        (2.0, 0.0),
    ] {
        let got = smooth_earth(
            mhz(ghz * 1000.0),
            m(5000.0),
            (m(10.0), m(10.0)),
            m(8_738_167.287),
            LAND,
            Polarisation::Vertical,
        );
        assert!(
            (got.get() - loss).abs() < 1e-3,
            "{ghz} GHz: {got} for {loss}"
        );
    }
}

/// Low antennas by an independent program of ITU-R P.526-16 §3.
#[test]
fn smooth_earth_with_low_antennas() {
    for (f, d, loss) in [(2400.0, 2000.0, 24.610), (868.0, 10_000.0, 50.889)] {
        let got = smooth_earth(
            mhz(f),
            m(d),
            TWO_AND_HALF,
            m(8_500_000.0),
            LAND,
            Polarisation::Horizontal,
        );
        assert!((got.get() - loss).abs() < 5e-3, "{f} MHz: {got} for {loss}");
    }
}

/// The form of ITU-R M.2412: −3 dB at half the width, −12 dB at the whole; a 30° beam covers
/// 268 m to either side at 1 km.
#[test]
fn antennas_off_their_axis() {
    let loss = |degrees: f64| {
        antenna_pattern(
            Angle::degrees(degrees),
            Angle::degrees(30.0),
            Level::decibels(20.0),
        )
        .get()
    };
    assert!((loss(15.0) - 3.0).abs() < 1e-9);
    assert!((loss(-30.0) - 12.0).abs() < 1e-9);
    assert!((loss(180.0) - 20.0).abs() < 1e-9);
    assert!((loss(345.0) - 3.0).abs() < 1e-9);
    assert!((1000.0 * 15f64.to_radians().tan() - 268.0).abs() < 0.5);
}

proptest! {
    #[test]
    fn smooth_earth_loss_is_finite_and_grows_with_distance(
        f in 100.0..6000.0f64, d in 10.0..20_000.0f64, h in 0.2..10.0f64,
    ) {
        for ground in [Ground::FRESH_WATER, Ground::SEA_WATER] {
            let loss = |d: f64| {
                smooth_earth(
                    mhz(f), m(d), (m(3.0), m(h)), EFFECTIVE_RADIUS, ground,
                    Polarisation::Vertical,
                ).get()
            };
            let near = loss(d);
            prop_assert!(near.is_finite() && near >= 0.0);
            prop_assert!(loss(d * 1.2) >= near - 1e-6, "{} {}", near, loss(d * 1.2));
        }
    }
}

/// Common practice, no source: the radio of a small castable sonar reaches about 100 m. Its budget
/// is from memory: 2.4 GHz, 15 dBm and −92 dBm, antennas of 0 and −3 dBi, held 1.5 m above the
/// water and floating 5 cm above it.
#[test]
fn a_castable_sonar_reaches_about_a_hundred_metres() {
    let heights = (m(1.5), m(0.05));
    let may_lose = 15.0 + 0.0 - 3.0 + 92.0;
    let loss = |d: f64| {
        two_ray_far(m(d), heights)
            .max(free_space(mhz(2400.0), m(d)))
            .get()
    };
    let reach = (1..1000)
        .map(f64::from)
        .take_while(|d| loss(*d) <= may_lose)
        .last()
        .unwrap();
    assert!((70.0..140.0).contains(&reach), "{reach} m");
}
