"""Holds this recomputation itself against the check values that docs/reference/models lists."""

import numpy as np

import radio
import waves
import weather
from boat import WAVE_IGNORANCE, Battery, Boat
from quantities import Fields


def near(name, got, want, tolerance):
    ok = abs(got - want) <= tolerance
    print(f"{'ok ' if ok else 'BAD'} {name}: {got:.6g} against {want}")
    return ok


def vessel(**battery):
    return Fields(
        {
            "hull": {"waterline_length": "1 m", "beam": "0.4 m", "draft": "0.1 m", "displacement": "20 kg",
                     "bow_length": "0.5 m"},
            "windage": {"frontal_area": "0.2 m2", "drag_coefficient": "0.8"},
            "propulsion": {"maximum_power": "200 W",
                           "trial": {"points": [{"speed": "1.2 m/s", "power": "138.24 W"},
                                                {"speed": "1.5 m/s", "power": "200 W"}]}},
            "hotel_load": "5 W",
            "battery": {"chemistry": "nmc", "cells_in_series": "4", "nominal_capacity": "20 Ah",
                        "internal_resistance": "60 mohm", "cut_off_voltage": "12 V", **battery},
        }
    )


def main():
    # The published wave figures stem from g = 9.81 m/s²: hence half a thousandth.
    good = []
    check = lambda *a: good.append(near(*a))
    for f, d, u, h, t in ((5000, 5, 10, 0.3378, 2.465), (2000, 5, 10, 0.2201, 1.940), (1000, 2, 8, 0.1238, 1.449)):
        got = waves.young_verhagen(u, np.array([f]), d)
        check("Young & Verhagen height", got[0][0], h, 5e-4 * h)
        check("Young & Verhagen period", got[1][0], t, 1e-3)
    got = waves.coastal_manual(10, np.array([5000.0]), None)
    check("Coastal Engineering Manual height", got[0][0], 0.3550, 2e-4)
    check("Coastal Engineering Manual period", got[1][0], 1.761, 1e-3)
    for method, h, t in ((waves.jonswap, 0.36122, 2.25), (waves.kahma_calkoen, 0.47773, 2.4904), (waves.wilson, 0.47748, 2.3125 / 0.95)):
        got = method(10, np.array([5000.0]), None)
        check(f"{method.__name__} height", got[0][0], h, 5e-4 * h)
        check(f"{method.__name__} period", got[1][0], t, 1e-3 * t)
    check("wind at 0.5 m", weather.to_hull(1, 0.5), 0.723, 5e-4)
    check("wind from 2 m", weather.to_10m(1, 2), 1.2585, 5e-3)
    check("averaging", weather.averaging(5400) / weather.averaging(10800), 1.048, 1e-3)
    check("gust", weather.averaging(3) / weather.averaging(600), 1.437, 1e-3)
    check("free space", radio.free_space(1000, 1000), 92.4478, 1e-4)
    for nu, j in ((0, 6.03), (1, 13.93), (2.4, 20.54)):
        check("J", radio.knife_edge(nu), j, 0.01)
    two = radio.free_space(2400, 2000) + radio.two_ray_excess(2400, 2000, 2, 0.5)
    check("two rays", two, 132.04, 0.01)
    for f, a in ((100, 20.0243), (250, 12.6995), (500, 7.3078), (750, 4.1108), (1000, 1.7516), (2000, 0.0)):
        got = radio.smooth_earth(f, 5000, 10, 10, 22, 0.003, False, 8738167.287)
        check(f"smooth earth {f} MHz", got, a, 0.02)
    boat = Boat(vessel(), "fresh", 20)
    # In waves shorter than 2.2 waterlines, less what is taken for pitching.
    short = boat.wave_resistance(np.array([[0.2, 1e-3]]))[0] / WAVE_IGNORANCE
    check("wave resistance", short, 8.774, 5e-3)
    check("push kept", float(boat.calm_power(1.2) / boat.calm_power(0.5)), 2.4, 1e-9)
    check("air", 0.5 * 1.225 * boat.drag_area * 100, 9.80, 5e-3)
    lead = Battery(vessel(chemistry="lead-acid", cells_in_series="6"), 27)
    check("lead-acid full", float(lead.volts(1)), 12.736, 1e-3)
    check("lead-acid empty", float(lead.volts(0)), 11.847, 1e-3)
    # 100 Ah at 20 h drawn at 10 A lasts 8.706 h.
    lead = Battery(vessel(chemistry="lead-acid", cells_in_series="6", measured_capacity="100 Ah",
                          internal_resistance="0 ohm"), 27)
    left, _ = lead.draw(np.array([1.0]), np.array([10 * float(lead.volts(1))]), np.array([8.706 * 3600]))
    check("Peukert", float(left[0]), 0.0, 1e-3)
    middle, half = weather.smallest_arc([350, 20, 5])
    check("arc across north", middle, 5, 1e-9)
    check("arc's half width", half, 15, 1e-9)
    fine = np.linspace(lead.s_min, 1, 200001)
    volts = lead.volts(fine)
    check("usable energy", lead.usable, float(np.sum((volts[1:] + volts[:-1]) / 2 * np.diff(fine)) * 360000), 1)
    if not all(good):
        raise SystemExit("a check value is not met")


main()
