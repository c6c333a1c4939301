"""The passage of a plan under every scenario: time, charge, return legs (docs/reference/models, sections 6 to 8)."""

from __future__ import annotations

import math

import numpy as np

from boat import NO_HEADWAY, OK, OUTSIDE, Boat
from weather import SURFACE_DRIFT, Sea, carried, steepened

WHY = {NO_HEADWAY: "no headway", OUTSIDE: "outside a model's validity"}


class Steps:
    """What acts on a set of steps, ready for every scenario."""

    def __init__(self, run, a, b):
        self.run = run
        self.length = np.hypot(*(b - a).T)
        self.track = (b - a) / np.maximum(self.length, 1e-300)[:, None]
        middle = (a + b) / 2
        self.h_mean, self.t_mean, self.origin, self.h_gust, self.t_gust = run.sea.at(middle)
        self.c = run.plan.current(middle)

    def select(self, steps, scenarios, gust):
        """Flat arrays for pairs of (step, scenario): track, current, wind, waves, where they come from."""
        r = self.run
        d = r.direction_of[scenarios]
        c = self.c[steps] * r.with_set[scenarios][:, None]
        # A gust is over before it has raised waves or moved the water.
        w = -(r.hull_gust if gust else r.hull_mean) * r.from_vector[d]
        blowing = r.wind.gust if gust else r.wind.mean
        off = carried(self.track[steps], c, -r.from_vector[d], r.wind.mean, blowing, r.boat.leeway)
        turn = np.radians(self.origin[steps, d])
        seaward = np.column_stack([np.sin(turn), np.cos(turn)])
        h = steepened(self.h_mean[steps, d], self.t_mean[steps, d], (c * seaward).sum(1))
        return self.track[steps], off, w, np.column_stack([h, self.t_mean[steps, d]]), seaward


class Run:
    """The passage of a plan under every scenario."""

    def __init__(self, plan, wind):
        self.plan, self.wind = plan, wind
        mission = plan.mission
        self.boat = Boat(
            plan.vessel,
            plan.site.raw("water", "fresh"),
            mission.get("conditions.water_temperature", "temperature", 5.0),
        )
        self.battery = self.boat.battery
        self.s0 = mission.get("charge_at_launch", "share", 0.9)
        self.sea = Sea(plan.shore, plan.site.get("mean_depth", "length"), wind, plan.launch)
        directions = wind.directions()
        cases = [1.0, 0.0] if plan.areas else [0.0]
        self.scenarios = [(d, case) for d in range(len(directions)) for case in cases]
        self.direction_of = np.array([d for d, _ in self.scenarios])
        self.with_set = np.array([case for _, case in self.scenarios])
        turn = np.radians(directions)
        self.from_vector = np.column_stack([np.sin(turn), np.cos(turn)])
        self.names = [f"{directions[d]:.6g}°/{'set' if case else 'no set'}" for d, case in self.scenarios]
        self.directions = directions
        self.hull_mean = self.boat.hull_wind(wind.mean)
        self.hull_gust = self.boat.hull_wind(wind.mean, wind.gust)
        self.home_speed = mission.get("return_leg.speed", "speed", max(leg.speed for leg in plan.legs))
        self._go()
        self._go_home()

    def _go(self):
        """The route, step by step, for all scenarios together."""
        plan, boat, battery = self.plan, self.boat, self.battery
        n, m = len(plan.samples), len(self.scenarios)
        every = np.arange(m)
        steps = self.steps = Steps(self, plan.a, plan.b)
        self.s = np.full((n, m), self.s0)
        self.time = np.zeros((n, m))
        self.code = np.zeros((n, m), int)
        self.step_time = np.zeros((n - 1, m))
        self.step_energy = np.zeros((n - 1, m))
        self.route_headway = np.zeros((n - 1, m))
        s, code, clock = np.full(m, self.s0), np.zeros(m, int), np.zeros(m)
        s, clock, code = self._hold(0, s, clock, code)
        self.s[0], self.time[0], self.code[0] = s, clock, code
        for k in range(n - 1):
            leg = plan.legs[plan.leg_of[k]]
            pick = np.full(m, k)
            self.route_headway[k] = boat.headway(s, *steps.select(pick, every, True))
            _, v, power, bad = boat.run(
                s, *steps.select(pick, every, False), leg.over_ground, leg.speed
            )
            seconds = steps.length[k] / np.where(bad == OK, v, 1)
            after, held = battery.draw(s, power + boat.hotel, seconds)
            bad = np.where((bad == OK) & ~held, NO_HEADWAY, bad)
            code = np.where(code == OK, bad, code)
            on = code == OK
            self.step_time[k] = np.where(on, seconds, np.nan)
            self.step_energy[k] = np.where(on, battery.energy(s) - battery.energy(after), np.nan)
            s, clock = np.where(on, after, s), clock + np.where(on, seconds, 0)
            s, clock, code = self._hold(k + 1, s, clock, code)
            self.s[k + 1], self.time[k + 1], self.code[k + 1] = s, clock, code

    def _hold(self, sample, s, clock, code):
        seconds = self.plan.pause_at.get(sample, 0.0)
        if seconds <= 0:
            return s, clock, code
        at = self.plan.samples[sample][None]
        h, t, origin = (part[0][self.direction_of] for part in self.sea.at(at)[:3])
        c = self.plan.current(at)[0] * self.with_set[:, None]
        turn = np.radians(origin)
        h = steepened(h, t, c[:, 0] * np.sin(turn) + c[:, 1] * np.cos(turn))
        w = -self.hull_mean * self.from_vector[self.direction_of]
        power, bad = self.boat.hold_power(c, w, np.column_stack([h, t]), SURFACE_DRIFT * self.wind.mean)
        pieces = max(1, math.ceil(seconds / 60 - 1e-9))
        for _ in range(pieces):
            bad = np.where((bad == OK) & (power > self.boat.available(s)), NO_HEADWAY, bad)
            after, held = self.battery.draw(s, power + self.boat.hotel, seconds / pieces)
            bad = np.where((bad == OK) & ~held, NO_HEADWAY, bad)
            s = np.where(bad == OK, after, s)
        code = np.where(code == OK, bad, code)
        return s, clock + np.where(code == OK, seconds, 0), code

    def _go_home(self):
        a, b, self.paths = self.plan.return_legs()
        self.home_steps = Steps(self, a, b)
        start = self.s.copy()
        self.home = self.return_leg(start)
        # What is left at its end is the safe figure for the headway on all of a return leg.
        self.home["headway"] = self.return_leg(start, np.minimum(self.home["charge_after"], start))["headway"]
        # Where the boat never came to, nothing can be told of its return leg.
        self.home["code"] = np.where(self.code != OK, self.code, self.home["code"])

    def return_leg(self, start, headway_charge=None):
        """Energy, time and code of the return leg of every sample begun at `start` (samples × scenarios)."""
        boat, battery, steps = self.boat, self.battery, self.home_steps
        n, m = start.shape
        s = start.copy()
        out = {
            "energy": np.zeros((n, m)),
            "time": np.zeros((n, m)),
            "code": np.zeros((n, m), int),
            "headway": np.full((n, m), np.inf),
        }
        flags = self._upwind(steps.track)  # steps × scenarios
        upwind = {k: np.zeros((n, m)) for k in ("length", "time", "energy")}
        best = {k: np.zeros((n, m)) for k in upwind}
        for j in range(max((len(p) for p in self.paths), default=0)):
            rows = np.array([i for i, p in enumerate(self.paths) if len(p) > j])
            pick = np.repeat([self.paths[i][j] for i in rows], m)
            scenario = np.tile(np.arange(m), len(rows))
            charge = s[rows].ravel()
            if headway_charge is not None:
                full = headway_charge[rows].ravel()
                speed = boat.headway(full, *steps.select(pick, scenario, True)).reshape(len(rows), m)
                out["headway"][rows] = np.minimum(out["headway"][rows], speed)  # NaN stays
            _, v, power, bad = boat.run(
                charge, *steps.select(pick, scenario, False), False, self.home_speed
            )
            seconds = steps.length[pick] / np.where(bad == OK, v, 1)
            after, held = battery.draw(charge, power + boat.hotel, seconds)
            bad = np.where((bad == OK) & ~held, NO_HEADWAY, bad).reshape(len(rows), m)
            code = np.where(out["code"][rows] == OK, bad, out["code"][rows])
            out["code"][rows] = code
            on = code == OK
            seconds, after, charge = (x.reshape(len(rows), m) for x in (seconds, after, charge))
            spent = np.where(on, battery.energy(charge) - battery.energy(after), 0)
            out["energy"][rows] += spent
            out["time"][rows] += np.where(on, seconds, 0)
            s[rows] = np.where(on, after, charge)
            here = pick[::m]
            up = flags[here]
            length = np.repeat(steps.length[here][:, None], m, 1)
            for key, value in (("length", length), ("time", np.where(on, seconds, np.nan)),
                               ("energy", np.where(on, spent, np.nan))):
                upwind[key][rows] = np.where(up, upwind[key][rows] + value, 0)
                best[key][rows] = np.maximum(best[key][rows], upwind[key][rows])  # NaN stays
        out["charge_after"] = s
        out["upwind"] = best
        return out

    def _upwind(self, track):
        """Whether a track is within 45° of where the wind comes from: steps × scenarios."""
        along = track @ self.from_vector.T
        return (along >= math.cos(math.radians(45)) - 1e-12)[:, self.direction_of]

    def upwind_runs(self):
        """Longest upwind runs over route and return legs: (value or NaN) by length, time, energy."""
        m = len(self.scenarios)
        flags = self._upwind(self.steps.track)
        length = np.repeat(self.steps.length[:, None], m, 1)
        out = {}
        for key, values in (("length", length), ("time", self.step_time), ("energy", self.step_energy)):
            run, best = np.zeros(m), np.zeros(m)
            for k in range(len(flags)):
                run = np.where(flags[k], run + values[k], 0)
                best = np.maximum(best, run)
            home = self.home["upwind"][key].copy()
            if key != "length":
                # A return leg that was never begun holds no run to be told.
                home[(self.code != OK) & (self.home["upwind"]["length"] > 0)] = np.nan
            out[key] = np.concatenate([best[None], home])
        return out

    def scenario_why(self, mask_code, what):
        """Why a value is unknown: the first (sample, scenario) with a code."""
        i, k = np.argwhere(mask_code != OK)[0]
        return (
            f"{WHY[int(mask_code[i, k])]} {what} at {self.plan.along_m[i]:.0f} m in {self.names[k]}"
        )
