use super::*;
use proptest::prelude::*;

fn degrees(direction: Towards) -> f64 {
    direction.angle().to_degrees()
}

/// A row of GeographicLib's own test set (Karney, GeodTest, CC0).
#[test]
fn a_published_geodesic() {
    let line = inverse(
        Position::from_degrees(35.60777, -139.44815),
        Position::from_degrees(-11.17491, -69.95921),
    );
    assert!((line.distance.get() - 8_935_244.560_481_83).abs() < 1e-5);
    assert!((degrees(line.azimuth_start) - 111.098_748_429_560_33).abs() < 1e-9);
    assert!((degrees(line.azimuth_end) - 129.289_270_889_708_76).abs() < 1e-9);
}

/// Wellington to Salamanca and from New York, examples in GeographicLib's documentation.
#[test]
fn documented_geodesics() {
    let line = inverse(
        Position::from_degrees(-41.32, 174.81),
        Position::from_degrees(40.96, -5.50),
    );
    assert!((line.distance.get() - 19_959_679.267).abs() < 1e-3);
    assert!((degrees(line.azimuth_start) - 161.067_670).abs() < 1e-6);
    assert!((degrees(line.azimuth_end) - 18.825_195).abs() < 1e-6);
    let end = direct(
        Position::from_degrees(40.6, -73.8),
        Towards::new(Angle::degrees(45.0)),
        Length::metres(1e7),
    );
    assert!((end.latitude.to_degrees() - 32.642_844_3).abs() < 1e-6);
    assert!((end.longitude.to_degrees() - 49.011_040).abs() < 1e-6);
}

/// Held against Karney's geodesics: the error from the origin outwards.
#[test]
fn the_plane_keeps_distances() {
    for latitude in [0.0, 45.0, 60.0, 70.0, -45.0] {
        let origin = Position::from_degrees(latitude, 179.99);
        let plane = Plane::about(origin);
        for (distance, error) in [(5000.0, 6e-4), (10_000.0, 4.5e-3), (20_000.0, 0.034)] {
            for azimuth in (0..360).step_by(15) {
                let azimuth = Towards::new(Angle::degrees(f64::from(azimuth)));
                let there = direct(origin, azimuth, Length::metres(distance));
                let point = plane.to_plane(there);
                let off = (point.length() - distance).abs();
                assert!(off < error, "{latitude} {azimuth} {distance}: {off}");
                let turn = azimuth.turn_to(Point::ZERO.bearing_to(point)).get().abs();
                assert!(turn * distance < error, "{latitude} {azimuth}: {turn}");
            }
        }
    }
}

#[test]
fn a_position_too_far_off_is_refused() {
    let plane = Plane::about(Position::from_degrees(54.0, 10.0));
    assert!(
        plane
            .within_limit(Position::from_degrees(54.1, 10.0))
            .is_ok()
    );
    assert!(
        plane
            .within_limit(Position::from_degrees(54.2, 10.0))
            .is_err()
    );
    assert!(
        plane
            .within_limit(Position::from_degrees(-54.0, -170.0))
            .is_err()
    );
    assert!(
        plane
            .within_limit(Position::from_degrees(f64::NAN, 10.0))
            .is_err()
    );
}

proptest! {
    #[test]
    fn a_point_comes_back(
        latitude in -80.0..80.0f64, longitude in -180.0..180.0f64,
        x in -20_000.0..20_000.0f64, y in -20_000.0..20_000.0f64,
    ) {
        let plane = Plane::about(Position::from_degrees(latitude, longitude));
        let point = Point::new(x, y);
        let back = plane.to_plane(plane.to_position(point));
        // An angle of 180° is only known to 3 nm, and several such roundings add up.
        prop_assert!(back.distance(point) < 1e-7, "{back:?}");
    }
}
