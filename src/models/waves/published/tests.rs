use super::super::design_sea;
use super::*;

fn speed(value: f64) -> Speed {
    Speed::metres_per_second(value)
}
fn metres(value: f64) -> Length {
    Length::metres(value)
}
const DEEP: Length = Length::metres(f64::INFINITY);
const FOOT: f64 = 0.3048;
const MILE: f64 = 1609.344;
const MILE_AN_HOUR: f64 = 0.447_04;

/// The packages and manuals that the checks come from take g as 9.81 m/s², which alone moves
/// heights and periods by up to 0.05 %.
fn close(sea: Growth, height: f64, period: f64) -> bool {
    (sea.height.get() / height - 1.0).abs() < 6e-4 && (sea.period.get() / period - 1.0).abs() < 6e-4
}

/// Young & Verhagen (1996), as computed by the open Python package scientimate.
#[test]
fn young_and_verhagen_on_a_small_lake() {
    for (u, f, d, height, period) in [
        (10.0, 5000.0, 5.0, 0.3378, 2.465),
        (10.0, 2000.0, 5.0, 0.2201, 1.940),
        (8.0, 1000.0, 2.0, 0.1238, 1.449),
    ] {
        let sea = young_verhagen(speed(u), metres(f), metres(d));
        assert!(close(sea, height, period), "{sea:?}");
    }
}

/// Coastal Engineering Manual II-2-36 to 38, as computed by the open Python package scientimate.
#[test]
fn the_coastal_engineering_manual_in_deep_water() {
    let sea = coastal_engineering_manual(speed(10.0), metres(5000.0), DEEP);
    assert!(close(sea, 0.3550, 1.761), "{sea:?}");
}

/// Hasselmann et al. (1973), Kahma & Calkoen (1992) and Wilson (1965), as computed by the open
/// Python package scientimate 2.0; of Wilson's waves it gives the significant period.
#[test]
fn three_deep_water_methods_by_another_program() {
    for (u, f, height, period) in [
        (5.0, 500.0, 0.057_114, 0.831_43),
        (10.0, 5000.0, 0.361_22, 2.250),
        (15.0, 20_000.0, 1.0837, 4.0806),
    ] {
        let sea = jonswap(speed(u), metres(f), DEEP);
        assert!(close(sea, height, period), "{sea:?}");
    }
    for (u, f, height, period) in [
        (5.0, 500.0, 0.079_076, 0.972_27),
        (10.0, 5000.0, 0.477_73, 2.4904),
        (15.0, 20_000.0, 1.3925, 4.3634),
    ] {
        let sea = kahma_calkoen(speed(u), metres(f), DEEP);
        assert!(close(sea, height, period), "{sea:?}");
    }
    for (u, f, height, period) in [
        (5.0, 500.0, 0.078_973, 0.891_64),
        (10.0, 5000.0, 0.477_48, 2.3125),
        (15.0, 20_000.0, 1.377, 4.0546),
    ] {
        let sea = wilson(speed(u), metres(f), DEEP);
        assert!(close(sea, height, period / 0.95), "{sea:?}");
    }
}

/// The method that heights are taken from goes over into Kahma & Calkoen (1992) in deep water, and
/// into Young & Verhagen's limit of depth, H = 0.13 (U²/g) δ^0.65 and f = 0.20 (g/U) δ^−0.375, where
/// the fetch no longer counts: two sources that it was joined from, and that hold its coefficients.
#[test]
fn the_lake_method_joins_its_two_limits() {
    for u in [3.0, 6.0, 10.0, 15.0] {
        for f in [200.0, 500.0, 1000.0, 2000.0, 5000.0] {
            let ours = breugem_holthuijsen(speed(u), metres(f), DEEP);
            let deep = kahma_calkoen(speed(u), metres(f), DEEP);
            let off = (ours.height / deep.height, ours.period / deep.period);
            assert!((off.0 - 1.0).abs() < 0.02, "{u} {f}: {off:?}");
            assert!((off.1 - 1.0).abs() < 0.01, "{u} {f}: {off:?}");
        }
    }
    for (u, d) in [(8.0, 0.3), (12.0, 0.5), (20.0, 1.0)] {
        let ours = breugem_holthuijsen(speed(u), metres(1e6), metres(d));
        let delta = G * d / (u * u);
        let height = 0.13 * u * u / G * delta.powf(0.65);
        let period = u / G * delta.powf(0.375) / 0.20;
        assert!(
            (ours.height.get() / height - 1.0).abs() < 0.01,
            "{ours:?} {height}"
        );
        assert!(
            (ours.period.get() / period - 1.0).abs() < 0.01,
            "{ours:?} {period}"
        );
    }
}

/// Over the fetches and winds of a lake the height is never below the middle of the other methods,
/// and never above all of them by more than a tenth.
#[test]
fn the_lake_method_is_not_below_the_middle_of_the_published_ones() {
    for tenths in (30..=150).step_by(5) {
        let u = speed(f64::from(tenths) / 10.0);
        for step in 0..=40 {
            let f = metres(200.0 * 100.0_f64.powf(f64::from(step) / 40.0));
            let ours = breugem_holthuijsen(u, f, DEEP).height;
            let mut heights: Vec<f64> = OTHERS
                .iter()
                .map(|(_, m)| m(u, f, DEEP).height.get())
                .collect();
            heights.sort_by(f64::total_cmp);
            assert_eq!(heights.len(), 8);
            let middle = 0.5 * (heights[3] + heights[4]);
            assert!(ours.get() >= middle, "{u} {f}: {ours}, middle {middle}");
            assert!(
                ours.get() <= 1.1 * heights[7],
                "{u} {f}: {ours}, {heights:?}"
            );
        }
    }
}

/// Values that others published, against the design sea: it is not below them by more than
/// 8 %, nor above them by more than half, and its periods take in theirs. The Shore Protection
/// Manual (1984) by the ACES User's Guide §1-1, example 1; its shallow form, Wilson (1965), Young &
/// Verhagen (1996), Kahma & Calkoen (1992), Hasselmann et al. (1973) and the Coastal Engineering
/// Manual by scientimate 2.0.
#[test]
fn the_design_sea_against_values_of_seven_sources() {
    let manual = |mph: f64| mph * MILE_AN_HOUR;
    for (source, u, f, depth, height, period) in [
        (
            "ACES",
            manual(46.42),
            26.0 * MILE,
            Some(13.0 * FOOT),
            4.23 * FOOT,
            4.77,
        ),
        ("SPM", 10.0, 5000.0, Some(5.0), 0.4080, 2.2436 / 0.95),
        ("SPM", 8.0, 1000.0, Some(2.0), 0.142_28, 1.2354 / 0.95),
        ("Wilson", 7.0, 1000.0, None, 0.156_23, 1.2556 / 0.95),
        ("Wilson", 10.0, 5000.0, None, 0.477_48, 2.3125 / 0.95),
        ("Young & Verhagen", 8.0, 1000.0, Some(2.0), 0.1238, 1.449),
        ("Kahma & Calkoen", 7.0, 1000.0, None, 0.156_41, 1.3686),
        ("Kahma & Calkoen", 15.0, 20_000.0, None, 1.3925, 4.3634),
        ("JONSWAP", 10.0, 2000.0, None, 0.228_45, 1.6629),
        (
            "Coastal Engineering Manual",
            10.0,
            5000.0,
            None,
            0.355_05,
            1.7607,
        ),
    ] {
        let sea = design_sea(speed(u), metres(f), depth.map(metres));
        let share = sea.height.get() / height;
        assert!((0.92..1.5).contains(&share), "{source} {u} {f}: {share}");
        let (low, high) = (sea.shortest.get() * 0.999, sea.longest.get() * 1.001);
        assert!(
            (low..high).contains(&period),
            "{source} {u} {f}: {low} {period} {high}"
        );
    }
}
