use super::*;
use proptest::prelude::*;

fn speed(value: f64) -> Speed {
    Speed::metres_per_second(value)
}
fn metres(value: f64) -> Length {
    Length::metres(value)
}
const FOOT: f64 = 0.3048;

/// Automated Coastal Engineering System, User's Guide §2-1: T = 8 s, d = 20 ft: L = 189.90 ft.
#[test]
fn dispersion_follows_the_published_example() {
    let l = wavelength(Time::seconds(8.0), metres(20.0 * FOOT));
    assert!((l.get() / FOOT - 189.90).abs() < 0.02, "{}", l.get() / FOOT);
    // Deep water, L = g T²/2π.
    let deep = wavelength(Time::seconds(2.0), metres(f64::INFINITY)).get();
    let nearly = wavelength(Time::seconds(2.0), metres(500.0)).get();
    assert!((deep - G * 4.0 / std::f64::consts::TAU).abs() < 1e-9);
    assert!((deep - nearly).abs() < 1e-9);
}

#[test]
fn the_design_sea_takes_in_all_published_periods() {
    let (u, f, d) = (speed(10.0), metres(5000.0), metres(5.0));
    let sea = design_sea(u, f, Some(d));
    for (name, method) in OTHERS {
        let period = method(u, f, d).period;
        assert!(
            sea.shortest <= period && period <= sea.longest,
            "{name}: {period}, {sea:?}"
        );
    }
    assert!(sea.longest.get() > 1.4 * sea.shortest.get(), "{sea:?}");
    assert_eq!(design_sea(speed(0.0), f, None), Sea::CALM);
    assert_eq!(design_sea(u, metres(0.0), None), Sea::CALM);
    assert_eq!(Sea::CALM.envelope(sea), sea);
    let lower = design_sea(speed(7.0), f, Some(d));
    let both = lower.envelope(sea);
    assert_eq!(both.height, sea.height);
    assert_eq!((both.shortest, both.longest), (lower.shortest, sea.longest));
}

/// Of N independent draws from Rayleigh's distribution the highest stays below h with the chance
/// (1 − exp(−2 (h/Hs)²))^N: put back into that, the height leaves the chance that was requested.
/// 2.14 Hs among a thousand waves at one in ten; the most likely, √(½ ln N), is 1.858 Hs
/// (Longuet-Higgins 1952, from memory).
#[test]
fn the_highest_of_a_thousand_waves() {
    let highest = |n: f64, p: f64| highest_exceeded(metres(1.0), n, p).get();
    assert!((highest(1000.0, 0.10) - 2.140).abs() < 5e-4);
    for (n, p) in [(1000.0, 0.10), (5000.0, 0.10), (200.0, 0.01), (1e5, 0.5)] {
        let h = highest(n, p);
        let stays = (n * (-(-2.0 * h * h).exp()).ln_1p()).exp();
        assert!((1.0 - stays - p).abs() < 1e-9, "{n} {p}: {stays}");
    }
    // The likeliest height is exceeded in more than half of all runs.
    let exceeded = 1.0 - (1.0 - 1.0 / 1000.0_f64).powi(1000);
    assert!(exceeded > 0.63);
    assert!((highest(1000.0, exceeded) - (0.5 * 1000.0_f64.ln()).sqrt()).abs() < 1e-9);
    for n in [f64::NAN, -1.0, 0.0, 1.0] {
        assert!(
            (highest(n, 0.10) - (0.5 * 10.0_f64.ln()).sqrt()).abs() < 1e-12,
            "{n}"
        );
    }
    assert!((highest(1.0, 0.9) - 1.0).abs() < 1e-12);
}

proptest! {
    #[test]
    fn waves_grow_with_wind_fetch_and_depth(
        u in 0.5..30.0f64, f in 10.0..50_000.0f64, d in 0.5..100.0f64, more in 1.0..2.0f64,
    ) {
        let height = |u, f, d| design_sea(speed(u), metres(f), d).height.get();
        let base = height(u, f, Some(metres(d)));
        prop_assert!(base > 0.0 && base.is_finite());
        prop_assert!(height(u * more, f, Some(metres(d))) >= base * (1.0 - 1e-12));
        prop_assert!(height(u, f * more, Some(metres(d))) >= base * (1.0 - 1e-12));
        prop_assert!(height(u, f, Some(metres(d * more))) >= base * (1.0 - 1e-12));
        prop_assert!(height(u, f, None) >= base * (1.0 - 1e-12));
    }

    /// Nothing about a sea jumps as the wind, its fetch or the depth is moved by a thousandth.
    #[test]
    fn a_sea_does_not_jump(
        u in 0.5..30.0f64, f in 10.0..50_000.0f64, d in 0.5..100.0f64,
    ) {
        let sea = |u, f, d| design_sea(speed(u), metres(f), Some(metres(d)));
        let base = sea(u, f, d);
        for moved in [sea(u * 1.001, f, d), sea(u, f * 1.001, d), sea(u, f, d * 1.001)] {
            prop_assert!((moved.height / base.height - 1.0).abs() < 3e-3);
            prop_assert!((moved.shortest / base.shortest - 1.0).abs() < 3e-3);
            prop_assert!((moved.longest / base.longest - 1.0).abs() < 3e-3);
        }
    }

    #[test]
    fn the_wavelength_solves_the_dispersion_relation(t in 0.3..20.0f64, d in 0.05..200.0f64) {
        let k = std::f64::consts::TAU / wavelength(Time::seconds(t), metres(d)).get();
        let omega = std::f64::consts::TAU / t;
        prop_assert!((G * k * (k * d).tanh() / (omega * omega) - 1.0).abs() < 1e-9);
    }
}
