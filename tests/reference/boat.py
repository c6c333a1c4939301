"""The boat: resistance, speed reached, power, battery (docs/reference/models, sections 6 and 7)."""

from __future__ import annotations

import math

import numpy as np

from quantities import quantity
from weather import G, to_hull

AIR = 1.225
WATER = {"fresh": (1000.0, 1.139e-6), "salt": (1025.0, 1.188e-6)}
OK, NO_HEADWAY, OUTSIDE = 0, 1, 2
WAVE_IGNORANCE = 2.5
GAS = 8.314462618

OCV = {
    "nmc": [2.5, 3.2959, 3.4852, 3.5814, 3.6670, 3.7509, 3.8406, 3.9479, 4.0421, 4.0967, 4.2],
    "nca": [2.7, 3.2471, 3.3721, 3.4918, 3.5978, 3.6846, 3.7678, 3.8742, 3.9803, 4.0803, 4.2],
    "lfp": [2.0, 2.9781, 3.1685, 3.2058, 3.2525, 3.2660, 3.2688, 3.2740, 3.3097, 3.3142, 3.6],
}
_STEPS = np.linspace(0, 1, 11)
_L = np.log10(2 + 4 * _STEPS)
OCV["lead-acid"] = list(1.922 + 0.148 * _L + 0.063 * _L**2 + 0.074 * _L**3 + 0.034 * _L**4)


class Battery:
    """The pack, in SI units (coulombs, joules)."""

    def __init__(self, vessel, temperature):
        f = lambda path, kind, default=None: vessel.get("battery." + path, kind, default)
        self.lead = vessel.raw("battery.chemistry") == "lead-acid"
        self.n = int(vessel.raw("battery.cells_in_series"))
        self.ocv = np.array(OCV[vessel.raw("battery.chemistry")])
        nominal = f("nominal_capacity", "charge")
        self.stated = f("measured_capacity", "charge", nominal * f("state_of_health", "share", 0.8))
        self.capacity = self.stated * float(np.interp(temperature, [-18, 0, 27], [0.5, 0.8, 1.0]))
        energy = 15e3 if self.lead else 30e3
        colder = 1 / (temperature + 273.15) - 1 / 298.15
        self.r = f("internal_resistance", "resistance") * max(1.0, math.exp(energy / GAS * colder))
        self.cut_off = f("cut_off_voltage", "voltage")
        self.s_min = 1 - f("usable_fraction", "share", 0.5 if self.lead else 0.8)
        self.usable = float(self.energy(1.0))
        self.counts = vessel.raw("battery.gauge.counts", "charge")
        self.set_to = f("gauge.capacity_set", "charge", nominal)
        self.empty = f("gauge.empty", "voltage", float(self.ocv[0]))
        self.full = f("gauge.full", "voltage", float(self.ocv[-1]))

    def volts(self, s):
        return self.n * np.interp(s, _STEPS, self.ocv)

    def energy(self, s):
        """Joules above empty."""
        return self.n * self.capacity * (self._integral(s) - self._integral(self.s_min))

    def _integral(self, s):
        s = np.asarray(s, float)
        whole = np.concatenate([[0], np.cumsum((self.ocv[1:] + self.ocv[:-1]) / 2 * 0.1)])
        k = np.clip(np.floor(s * 10).astype(int), 0, 9)
        part = s - k * 0.1
        slope = (self.ocv[k + 1] - self.ocv[k]) / 0.1
        inside = whole[k] + self.ocv[k] * part + slope * part**2 / 2
        return np.where(s < 0, self.ocv[0] * s, inside)

    def can_give(self, s):
        """Watts above the cut-off voltage."""
        u = self.volts(s)
        if self.r == 0:
            return np.where(u > self.cut_off, np.inf, 0.0)
        above = np.maximum(u - self.cut_off, 0) / self.r * self.cut_off
        return np.minimum(above, u**2 / (4 * self.r))

    def draw(self, s, power, seconds):
        """State of charge after `power` for `seconds`, and whether the pack could give it."""
        u = self.volts(s)
        if self.r == 0:
            amps, held = power / u, np.ones_like(u, bool)
        else:
            root = u**2 - 4 * self.r * power
            held = root >= 0
            amps = (u - np.sqrt(np.maximum(root, 0))) / (2 * self.r)
        rate = amps
        if self.lead:
            rated = self.capacity / (20 * 3600)
            rate = np.where(amps > rated, amps * np.maximum(amps / rated, 1) ** 0.2, amps)
        return s - rate * seconds / self.capacity, held

    def charge_at_volts(self, cell):
        """State of charge at a resting cell voltage, kept within 0 to 1."""
        return float(np.interp(cell, self.ocv, _STEPS))

    def trigger(self, mission, s0):
        """State of charge at which the low-battery response fires at the latest."""
        if mission.has("on_low_battery.below_voltage"):
            s = self.charge_at_volts(mission.get("on_low_battery.below_voltage", "voltage") / self.n)
        else:
            x = mission.get("on_low_battery.below_charge", "share")
            if self.counts == "voltage":
                s = self.charge_at_volts(self.empty + x * (self.full - self.empty))
            else:
                s = s0 - (s0 - x) * self.set_to / self.capacity
        return min(s, s0)


class Boat:
    """Everything that asks for power."""

    def __init__(self, vessel, water, temperature):
        self.rho, self.viscosity = WATER[water]
        f = vessel.get
        self.length = f("hull.waterline_length", "length")
        self.beam = f("hull.beam", "length")
        self.draft = f("hull.draft", "length")
        self.mass = f("hull.displacement", "mass")
        self.wetted = f(
            "hull.wetted_surface", "area", 1.7 * self.length * self.draft + self.mass / self.rho / self.draft
        )
        self.bow = f("hull.bow_length", "length", self.length / 2)
        self.wave_limit = 2.25 * math.sqrt(self.length / 100)
        self.drag_area = f("windage.frontal_area", "area") * vessel.number("windage.drag_coefficient", 1.0)
        self.wind_height = f("windage.height", "length", max(0.5, f("hull.length_overall", "length", 0.5)))
        self.leeway = f("windage.leeway", "share", 0.15)
        self.max_power = f("propulsion.maximum_power", "power")
        self.eta = f("propulsion.propulsive_efficiency", "share", 0.25) * f(
            "propulsion.motor_efficiency", "share", 0.5
        )
        self.steerageway = f("propulsion.minimum_steerageway", "speed", 0.0)
        self.stopping = f("propulsion.stopping_distance", "length")
        self.stopping_from = f("propulsion.stopping_speed", "speed")
        self.hotel = f("hotel_load", "power")
        self.trial = None
        if vessel.has("propulsion.trial"):
            points = vessel.raw("propulsion.trial.points")
            self.trial = np.array(
                [[quantity(p["speed"], "speed"), quantity(p["power"], "power")] for p in points]
            )
            self.top = float(self.trial[-1, 0])
        else:
            self.form = vessel.number("propulsion.resistance.form_factor")
            self.residuary = vessel.number("propulsion.resistance.residuary_coefficient")
            self.top = 0.5 * math.sqrt(G * self.length)
        self.battery = Battery(vessel, temperature)

    def hull_wind(self, mean, gust=None):
        """The mean at the hull, or the gust with all of its excess over the mean."""
        return to_hull(mean, self.wind_height) + (0.0 if gust is None else gust - mean)

    def calm_power(self, v):
        """Electrical watts in calm water; meaningful up to `top`."""
        v = np.asarray(v, float)
        if self.trial is not None:
            v0, p0 = self.trial[0]
            first = p0 * v / v0 if v0 > 0 else np.full_like(v, p0)
            return np.where(v < v0, first, np.interp(v, self.trial[:, 0], self.trial[:, 1]))
        return self._resistance(v) * v / self.eta

    def _resistance(self, v):
        reynolds = np.maximum(v * self.length / self.viscosity, 5e4)
        friction = 0.075 / (np.log10(reynolds) - 2) ** 2
        return 0.5 * self.rho * v**2 * self.wetted * (friction * (1 + self.form) + self.residuary)

    def calm_resistance(self, v):
        v = np.asarray(v, float)
        if self.trial is None:
            return self._resistance(v)
        return np.where(v > 0, self.eta * self.calm_power(v) / np.where(v > 0, v, 1), 0.0)

    def power_for(self, thrust):
        """Electrical watts for a thrust, those of the speed in calm water with that resistance; ∞ past `top`."""
        thrust = np.asarray(thrust, float)
        most = float(self.calm_resistance(self.top))
        if self.trial is None:
            v = self.top * np.sqrt(np.maximum(thrust, 0) / most)
            for _ in range(40):
                v = v * np.sqrt(thrust / np.where(v > 0, self._resistance(v), 1))
            power = thrust * v / self.eta
        else:
            push = np.maximum(thrust, 0) / self.eta  # watts for each m/s of the way
            v, p = self.trial.T
            power = np.full_like(push, p[0])
            for v0, p0, v1, p1 in zip(v, p, v[1:], p[1:]):
                slope = (p1 - p0) / (v1 - v0)
                inside = push > p0 / v0
                speed = (p0 - slope * v0) / np.where(inside & (push != slope), push - slope, 1)
                power = np.where(inside, push * np.clip(speed, v0, v1), power)
        return np.where(thrust > most * (1 + 1e-12), np.inf, np.where(thrust > 0, power, 0.0))

    def wave_resistance(self, sea):
        """Head-on, N; of rows of significant height and shortest peak period."""
        long = math.sqrt(2.2 * self.length * 2 * math.pi / G)
        ignorance = WAVE_IGNORANCE * np.minimum(1, long / sea[:, 1]) ** 3
        return ignorance * self.rho * G * sea[:, 0] ** 2 * self.beam * math.sqrt(self.beam / self.bow) / 16

    def _air(self, a, heading):
        """Drag of an apparent wind along the heading, N."""
        against = np.maximum(0, -(a * heading).sum(1))
        return 0.5 * AIR * self.drag_area * np.hypot(a[:, 0], a[:, 1]) * against

    def power(self, speed, made_good, t, c, w, sea, wave_from):
        """Electrical propulsion power at a speed through the water and one over ground."""
        u = made_good[:, None] * t - c
        moving = speed > 0
        heading = u / np.where(moving, speed, 1)[:, None]
        still = -made_good[:, None] * t
        air = np.maximum(self._air(w + still, heading), self._air(still, heading))
        mu = np.degrees(np.arccos(np.clip((heading * wave_from).sum(1), -1, 1)))
        share = np.where(
            mu <= 45, 1.0, np.where(mu <= 135, np.cos(np.radians(np.minimum(mu, 135) - 45)), 0.0)
        )
        wave = self.wave_resistance(sea) * share
        return np.where(moving, self.power_for(self.calm_resistance(speed) + air + wave), 0.0)

    def made_good(self, speed, t, c):
        """Speed over ground while crabbing at `speed`; ≤ 0 where the track cannot be kept."""
        along = (c * t).sum(1)
        across2 = np.maximum((c * c).sum(1) - along**2, 0)
        room = speed**2 - across2
        return np.where(room >= 0, np.sqrt(np.maximum(room, 0)) + along, -1.0)

    def available(self, s):
        """Watts that the motors can have."""
        return np.minimum(self.max_power, self.battery.can_give(s) - self.hotel)

    def run(self, s, t, c, w, sea, wave_from, over_ground, commanded):
        """(speed through the water, over ground, propulsion watts, code) for arrays of steps."""
        wanted = np.full(len(s), commanded, float)
        if over_ground:
            v = wanted.copy()
            u = v[:, None] * t - c
            speed = np.hypot(u[:, 0], u[:, 1])
        else:
            speed = wanted.copy()
            v = self.made_good(speed, t, c)
        code = np.zeros(len(s), int)
        code[(speed > self.top) | (sea[:, 0] > self.wave_limit)] = OUTSIDE
        code[(code == OK) & (v <= 0)] = NO_HEADWAY
        power = self.power(speed, np.maximum(v, 0), t, c, w, sea, wave_from)
        have = self.available(s)
        slow = (code == OK) & (power > have)
        if slow.any():
            k = np.flatnonzero(slow)
            speed[k], v[k], power[k] = self._most(speed[k], have[k], t[k], c[k], w[k], sea[k], wave_from[k])
            code[k[(speed[k] < self.steerageway) | (have[k] <= 0)]] = NO_HEADWAY
        code[(code == OK) & (v < 0.05)] = NO_HEADWAY
        return speed, v, power, code

    def _most(self, top, have, t, c, w, sea, wave_from):
        """The greatest speed up to `top` whose power is within `have`."""
        low, high = np.zeros(len(have)), np.asarray(top, float).copy()
        for _ in range(60):
            middle = (low + high) / 2
            v = self.made_good(middle, t, c)
            fits = (v <= 0) | (self.power(middle, v, t, c, w, sea, wave_from) <= have)
            low, high = np.where(fits, middle, low), np.where(fits, high, middle)
        v = self.made_good(low, t, c)
        return low, v, self.power(low, np.maximum(v, 0), t, c, w, sea, wave_from)

    def headway(self, s, t, c, w, sea, wave_from):
        """Speed over ground at full power, 0 where none, NaN outside validity."""
        have = self.available(s)
        top = np.full(len(s), self.top)
        v = self.made_good(top, t, c)
        over = (v <= 0) | (self.power(top, np.maximum(v, 0), t, c, w, sea, wave_from) > have)
        if over.any():
            k = np.flatnonzero(over)
            v[k] = self._most(top[k], have[k], t[k], c[k], w[k], sea[k], wave_from[k])[1]
        v = np.where(have <= 0, 0.0, np.maximum(v, 0))
        return np.where(sea[:, 0] > self.wave_limit, np.nan, v)

    def hold_power(self, c, w, sea, surface):
        """(watts, code) to hold a place, the wind driving the surface at a speed."""
        drift, air = np.hypot(c[:, 0], c[:, 1]) + surface, np.hypot(w[:, 0], w[:, 1])
        asked = self.calm_resistance(drift) + 0.5 * AIR * self.drag_area * air**2 + self.wave_resistance(sea)
        code = np.zeros(len(asked), int)
        beyond = (sea[:, 0] > self.wave_limit) | (drift > self.top) | (self.calm_resistance(self.top) < asked)
        code[beyond] = OUTSIDE
        return self.power_for(asked), code

    def stopping_distance(self, over, speed):
        """From a speed over ground and one through the water; None where it cannot be told."""
        if self.stopping is None:
            return self._coasting(speed)
        if self.stopping_from is not None:
            return self.stopping * max(1.0, max(over, speed) / self.stopping_from) ** 2
        coasted = self._coasting(speed)
        return None if coasted is None else max(self.stopping, coasted)

    def _coasting(self, speed):
        if speed > self.top:
            return None
        if speed <= 0.1:
            return 0.0
        return 1.1 * self.mass * speed**2 / float(self.calm_resistance(speed)) * math.log(speed / 0.1)
