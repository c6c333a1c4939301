//! A track along the demo's route, made by hand with noise, breaks and slips of known number, read,
//! cleaned and laid along the route again. What comes out is held against what was put in.

use std::path::Path;

use jiff::{SignedDuration, Timestamp};
use offing::door::check::{asked, on_large_stacks};
use offing::door::models::geodesy::Plane;
use offing::door::models::plane::Point;
use offing::door::source::WorkTree;
use offing::door::track::{
    Cleaned, Cleaning, Columns, LinkQuality, Sample, Track, along, clean, read_csv, read_gpx,
};
use offing::door::units::{Speed, Time};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng as _;
use rand_distr::{Distribution as _, Normal};

/// Speed of the made-up run, m/s.
const SPEED: f64 = 1.1;
/// It keeps this far to the right of its legs, m.
const OFFSET: f64 = 2.0;
/// Standard deviation of its positions, m.
const NOISE: f64 = 0.5;

struct Run {
    plane: Plane,
    legs: Vec<(Point, Point)>,
    /// For each leg whether it is a sounding line.
    sounding: Vec<bool>,
    samples: Vec<Sample>,
    /// The leg of each sample.
    on: Vec<usize>,
}

fn start() -> Timestamp {
    "2027-06-15T11:30:00Z".parse().unwrap()
}

/// One sample a second along the route of the demo.
fn run() -> Run {
    let (plane, legs, sounding) = on_large_stacks(|| {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
        let tree = WorkTree::open(&root).unwrap();
        let plan = asked(&tree, "north-bay-lines", None).unwrap().plan;
        let legs = &plan.mission.legs;
        let ends: Vec<(Point, Point)> = legs.iter().map(|leg| (leg.from, leg.to)).collect();
        let sounding: Vec<bool> = legs.iter().map(|leg| leg.sounding).collect();
        (plan.site.plane, ends, sounding)
    });
    let mut dice = ChaCha8Rng::seed_from_u64(7);
    let noise = Normal::new(0.0, NOISE).unwrap();
    let (mut samples, mut on) = (Vec::new(), Vec::new());
    let mut time = start();
    for (number, (from, to)) in legs.iter().enumerate() {
        let ahead = (*to - *from).unit().unwrap();
        let right = Point::new(ahead.y, -ahead.x);
        let steps = (from.distance(*to) / SPEED).ceil();
        let mut step = 0.0;
        while step < steps {
            let at = from.lerp(*to, step / steps)
                + right.scale(OFFSET)
                + Point::new(noise.sample(&mut dice), noise.sample(&mut dice));
            samples.push(Sample::at(time, plane.to_position(at)));
            on.push(number);
            time += SignedDuration::from_secs(1);
            step += 1.0;
        }
    }
    Run {
        plane,
        legs,
        sounding,
        samples,
        on,
    }
}

fn cleaning() -> Cleaning {
    Cleaning::for_top_speed(Speed::metres_per_second(3.0))
}

fn cleaned(samples: Vec<Sample>) -> Cleaned {
    let track = Track {
        samples,
        without_fix: 0,
        cut_off: false,
    };
    let read = track.samples.len();
    let cleaned = clean(&track, &cleaning());
    let kept: usize = cleaned.pieces.iter().map(Vec::len).sum();
    assert_eq!(
        kept + cleaned.counts.taken_out(),
        read,
        "every fix is accounted for"
    );
    cleaned
}

#[test]
fn leg_times_and_the_distance_off_the_legs_are_recovered() {
    let run = run();
    let points: Vec<Point> = run
        .samples
        .iter()
        .map(|one| run.plane.to_plane(one.position))
        .collect();
    let matched = along(&run.legs, &points).unwrap();
    // Two stretches of the route, and three times the noise, at the speed of the run.
    let tolerance = (2.0 * 5.0 + OFFSET + 3.0 * NOISE) / SPEED;
    for (number, found) in matched.legs.iter().enumerate() {
        let (first, last) = found.unwrap_or_else(|| panic!("no sample on leg {number}"));
        let due_first = run.on.iter().position(|leg| *leg == number).unwrap();
        let due_last = run.on.iter().rposition(|leg| *leg == number).unwrap();
        for (found, due) in [(first, due_first), (last, due_last)] {
            let off = found.abs_diff(due) as f64;
            assert!(off <= tolerance, "leg {number}: sample {found}, not {due}");
        }
    }
    let mut last = 0.0;
    for one in &matched.samples {
        assert!(one.along.get() >= last);
        last = one.along.get();
    }
    // Away from the turns, the mean distance off each line is what was put in, and its scatter too.
    for (number, (_, (from, to))) in run
        .sounding
        .iter()
        .zip(&run.legs)
        .enumerate()
        .filter(|(_, one)| *one.0)
    {
        let cross: Vec<f64> = matched
            .samples
            .iter()
            .zip(&points)
            .filter(|(one, point)| {
                one.leg == number && point.distance(*from) > 20.0 && point.distance(*to) > 20.0
            })
            .map(|(one, _)| one.cross.get())
            .collect();
        let count = cross.len() as f64;
        assert!(count > 100.0, "{count}");
        let mean = cross.iter().sum::<f64>() / count;
        let scatter = (cross.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / count).sqrt();
        // Five standard errors of a mean, and of a standard deviation.
        assert!(
            (mean - OFFSET).abs() < 5.0 * NOISE / count.sqrt(),
            "leg {number}: {mean}"
        );
        assert!(
            (scatter - NOISE).abs() < 5.0 * NOISE / (2.0 * count).sqrt(),
            "{scatter}"
        );
    }
    assert!(
        matched.from_end.get() < 3.0 * NOISE + OFFSET + SPEED,
        "{:?}",
        matched.from_end
    );
}

#[test]
fn a_sound_track_is_left_as_it_is() {
    let run = run();
    let cleaned = cleaned(run.samples.clone());
    assert_eq!(cleaned.pieces, [run.samples]);
    assert_eq!(cleaned.counts, Default::default());
    assert!(cleaned.counts.describe().is_empty());
}

#[test]
fn slips_and_breaks_of_known_number_are_counted() {
    let run = run();
    let mut samples = run.samples.clone();
    let away = |sample: &mut Sample, metres: f64| {
        let at = run.plane.to_plane(sample.position) + Point::new(metres, metres);
        sample.position = run.plane.to_position(at);
    };
    // Three spikes, the second of two fixes; from the end, so that the places stay.
    for index in [1500, 1000, 1001, 200] {
        away(&mut samples[index], 400.0);
    }
    // Two fixes twice, one time at two places, one fix late.
    let mut other = samples[1300];
    away(&mut other, 1.0);
    samples.insert(1301, other);
    let late = samples[1195];
    samples.insert(1200, late);
    samples.insert(801, samples[800]);
    samples.insert(301, samples[300]);
    // Two gaps of a minute.
    samples.drain(600..660);
    samples.drain(400..460);
    let cleaned = cleaned(samples);
    let counts = cleaned.counts;
    assert_eq!(
        (
            counts.spikes,
            counts.duplicates,
            counts.same_time,
            counts.late
        ),
        (4, 2, 1, 1)
    );
    assert_eq!(
        (
            counts.gaps,
            counts.set_back,
            counts.set_forward,
            counts.elsewhere
        ),
        (2, 0, 0, 0)
    );
    assert_eq!(cleaned.pieces.len(), 3);
    assert_eq!(counts.describe().len(), 5);
}

#[test]
fn a_clock_that_is_set_splits_the_track() {
    let run = run();
    let mut samples = run.samples.clone();
    for (index, sample) in samples.iter_mut().enumerate() {
        let by = match index {
            0..500 => 0,
            500..900 => -3600,
            _ => 30 * 86_400,
        };
        sample.time += SignedDuration::from_secs(by);
    }
    let cleaned = cleaned(samples);
    assert_eq!(
        (cleaned.counts.set_back, cleaned.counts.set_forward),
        (1, 1)
    );
    let lengths: Vec<usize> = cleaned.pieces.iter().map(Vec::len).collect();
    assert_eq!(lengths, [500, 400, run.samples.len() - 900]);
}

#[test]
fn a_boat_that_is_carried_elsewhere_is_believed_and_a_lone_fix_is_not() {
    let run = run();
    let mut samples = run.samples.clone();
    for sample in &mut samples[700..] {
        let at = run.plane.to_plane(sample.position) + Point::new(-300.0, 0.0);
        sample.position = run.plane.to_position(at);
    }
    // One fix with a gap on either side.
    samples.drain(101..140);
    samples.drain(60..100);
    let cleaned = cleaned(samples);
    assert_eq!(cleaned.counts.elsewhere, 1);
    assert_eq!(
        (
            cleaned.counts.gaps,
            cleaned.counts.alone,
            cleaned.counts.spikes
        ),
        (2, 1, 0)
    );
    assert_eq!(cleaned.pieces.len(), 3);
}

#[test]
fn a_track_is_the_same_from_csv_and_from_gpx() {
    let run = run();
    let mut csv = String::from("when;lat;lon;v;u;i;d;rssi\n");
    let mut gpx = String::from("<gpx version='1.1' creator='x'><trk><trkseg>");
    for sample in &run.samples {
        let (lat, lon) = (
            sample.position.latitude.to_degrees(),
            sample.position.longitude.to_degrees(),
        );
        csv.push_str(&format!(
            "{};{lat};{lon};3.6;15900;2.5;4.25;-71\n",
            sample.time
        ));
        gpx.push_str(&format!(
            "<trkpt lat='{lat}' lon='{lon}'><time>{}</time></trkpt>",
            sample.time
        ));
    }
    gpx.push_str("<trkpt lat='1' lon='1'/></trkseg></trk></gpx>");
    let columns = Columns::parse(
        "delimiter: ;
time: { column: when, written: ISO 8601 }
latitude: { column: lat }
longitude: { column: lon }
speed: { column: v, unit: km/h }
voltage: { column: u, unit: mV }
current: { column: i, unit: A }
depth: { column: d, unit: m }
link: { column: rssi, unit: dBm }",
    )
    .unwrap();
    let from_csv = read_csv(&csv, &columns).unwrap();
    let from_gpx = read_gpx(&gpx).unwrap();
    assert_eq!((from_csv.without_fix, from_gpx.without_fix), (0, 1));
    assert_eq!(from_csv.samples.len(), run.samples.len());
    assert_eq!(from_gpx.samples.len(), run.samples.len());
    for ((one, other), due) in from_csv
        .samples
        .iter()
        .zip(&from_gpx.samples)
        .zip(&run.samples)
    {
        assert_eq!((one.time, one.position), (other.time, other.position));
        assert_eq!(one.time, due.time);
        let apart = run
            .plane
            .to_plane(one.position)
            .distance(run.plane.to_plane(due.position));
        assert!(apart < 1e-6, "{apart}");
    }
    let first = from_csv.samples[0];
    let near = |value: f64, due: f64| (value - due).abs() < 1e-12;
    assert!(near(first.speed.unwrap().get(), 1.0) && near(first.voltage.unwrap().get(), 15.9));
    assert!(near(first.current.unwrap().get(), 2.5) && near(first.depth.unwrap().get(), 4.25));
    assert!(matches!(first.link, Some(LinkQuality::Received(level)) if near(level.get(), -71.0)));
    assert_eq!(from_gpx.samples[0].speed, None);
    assert!(near(Time::seconds(10.0).get(), cleaning().gap.get()));
}

#[test]
#[ignore = "slow"]
fn files_that_are_no_track_are_refused() {
    let point = "<trkpt lat='1' lon='1'><time>noon</time></trkpt>";
    for (text, due) in [
        ("", "there is no element in the file"),
        ("<kml/>", "the root element is not `gpx`"),
        ("<gpx/>", "the file has no point of a track"),
        (
            &format!("<gpx><trk><trkseg>{point}</trkseg></trk></gpx>"),
            "a time is no moment",
        ),
        (
            "<gpx><trk><trkseg><trkpt lat='NaN' lon='1'/></trkseg></trk></gpx>",
            "no place on the earth",
        ),
        (
            "<gpx><trk><trkseg><trkpt lat='1'/></trkseg></trk></gpx>",
            "no place on the earth",
        ),
        ("<!DOCTYPE gpx><gpx/>", "a document type is not read"),
    ] {
        let told = read_gpx(text).unwrap_err();
        assert!(told.contains(due), "{text}: {told}");
    }
    let many = "<trkpt lat='1' lon='1'/>".repeat(1_000_001);
    let told = read_gpx(&format!("<gpx><trk><trkseg>{many}</trkseg></trk></gpx>")).unwrap_err();
    assert!(told.contains("more than 1000000 points"), "{told}");
}
