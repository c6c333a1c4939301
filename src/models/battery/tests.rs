use super::*;
use proptest::prelude::*;

const ALL: [Chemistry; 4] = [
    Chemistry::Nmc,
    Chemistry::Nca,
    Chemistry::Lfp,
    Chemistry::LeadAcid,
];

fn pack(chemistry: Chemistry) -> Pack {
    Pack {
        chemistry,
        cells_in_series: 4,
        capacity: Charge::ampere_hours(20.0),
        resistance: Resistance::ohms(0.05),
        cut_off: Voltage::volts(12.0),
        usable: Ratio::fraction(0.8),
    }
}

/// Bode (1977) as quoted by Sulzer et al. (2019): six cells at 6 and at 2 mol/kg.
#[test]
fn lead_acid_voltages() {
    // Of a cell by the molality of its acid, mol/kg: from 2 to 6 as it is charged.
    let bode = |molality: f64| {
        let l = molality.log10();
        Voltage::volts(1.922 + l * (0.148 + l * (0.063 + l * (0.074 + l * 0.034))))
    };
    assert!((6.0 * bode(6.0).get() - 12.736).abs() < 5e-4);
    assert!((6.0 * bode(2.0).get() - 11.847).abs() < 5e-4);
    for i in 0..=10 {
        let s = f64::from(i) / 10.0;
        let table = Chemistry::LeadAcid.open_circuit_voltage(s).get();
        let formula = bode(2.0 + 4.0 * s).get();
        assert!((table - formula).abs() < 1e-12, "{s}");
    }
}

/// The parameter sets Chen 2020, Kim 2011 and Prada 2013 as evaluated with PyBaMM 26.10.1.1.
#[test]
fn cell_voltages_follow_the_published_sets() {
    let volts = |c: Chemistry, s: f64| c.open_circuit_voltage(s).get();
    assert!((volts(Chemistry::Nmc, 0.5) - 3.7509).abs() < 1e-12);
    assert!((volts(Chemistry::Nca, 0.3) - 3.4918).abs() < 1e-12);
    assert!((volts(Chemistry::Lfp, 0.9) - 3.3142).abs() < 1e-12);
    // 21 mV from 40 % to 70 %: a voltage says nothing of the charge there.
    let flat = volts(Chemistry::Lfp, 0.7) - volts(Chemistry::Lfp, 0.4);
    assert!((flat - 0.0215).abs() < 1e-9);
    assert!((volts(Chemistry::Nmc, 0.55) - (3.7509 + 3.8406) / 2.0).abs() < 1e-9);
    assert!((volts(Chemistry::Nmc, -0.3) - 2.5).abs() < 1e-12);
    assert!((volts(Chemistry::Nmc, 1.0) - 4.2).abs() < 1e-12);
}

/// Common practice, no source: four cells on a linear scale from 3.5 V to 4.2 V.
#[test]
fn a_linear_gauge_shows_sixty_eight_percent() {
    let (empty, full) = (Voltage::volts(3.5), Voltage::volts(4.2));
    let shown = linear_gauge(Voltage::volts(15.9 / 4.0), empty, full);
    assert!((shown.get() - 0.68).abs() < 0.005);
    let back = gauge_voltage(shown, empty, full);
    assert!((back.get() * 4.0 - 15.9).abs() < 1e-9);
}

/// Computed from Peukert's equation: 100 Ah at 20 h, 10 A, k = 1.2.
#[test]
fn peukert_shortens_a_high_current() {
    let battery = Peukert::lead_acid(Charge::ampere_hours(100.0));
    // It lasts 8.706 h.
    let factor = battery.factor(Current::amperes(10.0));
    let hours = 100.0 / 10.0 / factor;
    assert!((hours - 8.706).abs() < 5e-4, "{hours}");
    assert!((battery.factor(Current::amperes(3.0)) - 1.0).abs() < 1e-12);
}

/// Weakly sourced guidance for cold packs: half at −18 °C, a fifth less at 0 °C.
#[test]
fn cold_takes_capacity() {
    let factor = |t: f64| temperature_factor(Temperature::celsius(t)).get();
    for (t, share) in [
        (40.0, 1.0),
        (27.0, 1.0),
        (13.5, 0.9),
        (0.0, 0.8),
        (-9.0, 0.65),
        (-18.0, 0.5),
        (-40.0, 0.5),
        (f64::NAN, 0.5),
    ] {
        assert!((factor(t) - share).abs() < 1e-12, "{t}");
    }
}

#[test]
fn a_power_past_the_greatest_is_a_brown_out() {
    let pack = pack(Chemistry::Nmc);
    let u = pack.open_circuit_voltage(0.5).get();
    let most = u * u / (4.0 * 0.05);
    let just = pack.current(Power::watts(most * 0.999_999), 0.5).unwrap();
    assert!((just.get() - u / 0.1).abs() < 0.01 * u / 0.1);
    assert!(pack.current(Power::watts(most * 1.000_001), 0.5).is_none());
    assert!(pack.current(Power::watts(f64::NAN), 0.5).is_none());
    assert!(
        pack.draw(0.5, Power::watts(1e9), Time::seconds(1.0))
            .is_none()
    );
    assert_eq!(pack.current(Power::ZERO, 0.5), Some(Current::ZERO));
}

#[test]
fn what_can_be_had_keeps_the_terminals_at_the_cut_off() {
    let mut pack = pack(Chemistry::Nmc);
    let most = pack.available_power(0.5);
    let current = pack.current(most, 0.5).unwrap();
    let terminal = pack.open_circuit_voltage(0.5) - pack.resistance * current;
    assert!((terminal.get() - 12.0).abs() < 1e-9);
    pack.cut_off = Voltage::ZERO;
    let u = pack.open_circuit_voltage(0.5).get();
    assert!((pack.available_power(0.5).get() - u * u / 0.2).abs() < 1e-6);
    pack.cut_off = Voltage::volts(20.0);
    assert_eq!(pack.available_power(0.5), Power::ZERO);
    pack.cut_off = Voltage::volts(12.0);
    pack.resistance = Resistance::ZERO;
    assert!(pack.available_power(0.5).get().is_infinite());
    let current = pack.current(Power::watts(100.0), 0.5).unwrap();
    assert!((current.get() - 100.0 / u).abs() < 1e-9);
}

#[test]
fn a_counter_set_too_high_hides_a_lower_charge() {
    let (set, real) = (Charge::ampere_hours(25.0), Charge::ampere_hours(20.0));
    let s = state_at_counter(Ratio::fraction(0.4), 1.0, set, real);
    assert!((s - 0.25).abs() < 1e-12);
}

proptest! {
    #[test]
    fn energy_is_the_integral_of_the_voltage(s in -0.5..1.0f64, ds in 0.0001..0.3f64) {
        for chemistry in ALL {
            let pack = pack(chemistry);
            let energy = |s| pack.energy_above_empty(s).get();
            prop_assert!(energy(s + ds) > energy(s));
            let n = 4000;
            let mut sum = 0.0;
            for i in 0..n {
                let at = s + ds * (f64::from(i) + 0.5) / f64::from(n);
                // Above full the curve keeps its end value, as the integral does.
                sum += pack.open_circuit_voltage(at).get() * ds / f64::from(n);
            }
            let got = (energy(s + ds) - energy(s)) / pack.capacity.get();
            prop_assert!((got / sum - 1.0).abs() < 1e-5, "{got} {sum}");
        }
    }

    #[test]
    fn a_voltage_leads_back_to_its_charge(s in 0.0..1.0f64) {
        for chemistry in ALL {
            let pack = pack(chemistry);
            let back = pack.state_at_voltage(pack.open_circuit_voltage(s));
            prop_assert!((back - s).abs() < 1e-9);
        }
    }

    #[test]
    fn the_current_gives_the_power(s in -0.1..1.0f64, p in 0.1..700.0f64) {
        let pack = pack(Chemistry::Nmc);
        if let Some(i) = pack.current(Power::watts(p), s) {
            let terminal = pack.open_circuit_voltage(s) - pack.resistance * i;
            prop_assert!(((terminal * i).get() / p - 1.0).abs() < 1e-9);
            let after = pack.draw(s, Power::watts(p), Time::seconds(60.0)).unwrap();
            let expected = s - i.get() * 60.0 / pack.capacity.get();
            prop_assert!((after - expected).abs() < 1e-12);
        }
    }
}

/// The lower ends of the parameter sets Chen 2020, Kim 2011 and Prada 2013; 1.75 V for lead–acid is
/// common practice, no source.
#[test]
fn the_least_voltage_of_a_cell() {
    for (chemistry, volts) in [
        (Chemistry::Nmc, 2.5),
        (Chemistry::Nca, 2.7),
        (Chemistry::Lfp, 2.0),
        (Chemistry::LeadAcid, 1.75),
    ] {
        assert!((chemistry.least_voltage().get() - volts).abs() < 1e-12);
    }
}

/// Chen 2020 as PyBaMM ships it: the reactions at its electrodes slow with 17.8 and 35 kJ/mol.
/// Computed from Arrhenius's law: 1.23 times at 20 °C, 1.90 at 10 °C, 3.03 at 0 °C and 8.6 at −20 °C.
#[test]
fn a_cold_pack_has_more_resistance() {
    let growth =
        |celsius: f64| resistance_growth(Chemistry::Nmc, Temperature::celsius(celsius)).get();
    for (celsius, times) in [
        (25.0, 1.0),
        (20.0, 1.229),
        (10.0, 1.898),
        (0.0, 3.027),
        (-20.0, 8.594),
    ] {
        assert!(
            (growth(celsius) - times).abs() < 2e-3 * times,
            "{celsius}: {}",
            growth(celsius)
        );
    }
    let between =
        |activation: f64| (activation / 8.314_462_618 * (1.0 / 273.15 - 1.0 / 298.15)).exp();
    assert!(growth(0.0) > 0.5 * (between(17_800.0) + between(35_000.0)));
    assert!(growth(0.0) < between(35_000.0));
}

#[test]
fn a_warm_pack_is_not_credited_and_a_colder_one_never_better() {
    for chemistry in [
        Chemistry::Nmc,
        Chemistry::Nca,
        Chemistry::Lfp,
        Chemistry::LeadAcid,
    ] {
        let growth =
            |celsius: f64| resistance_growth(chemistry, Temperature::celsius(celsius)).get();
        assert!((growth(40.0) - 1.0).abs() < 1e-12);
        for step in -30..40 {
            let celsius = f64::from(step);
            assert!(
                growth(celsius) >= growth(celsius + 1.0),
                "{chemistry:?} {celsius}"
            );
        }
        assert!(growth(f64::NAN).is_nan());
    }
    let cold = Temperature::celsius(0.0);
    let lead = resistance_growth(Chemistry::LeadAcid, cold).get();
    assert!((lead - 1.740).abs() < 2e-3, "{lead}");
}
