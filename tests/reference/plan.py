"""A mission laid out in the plane: legs, steps, samples, return legs (docs/reference/models, section 2)."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

import clearance
from plane import area
from quantities import Fields, quantity
from survey import sounding_lines

STEP, HOME_STEP, TINY = 25.0, 100.0, 1e-3


@dataclass
class Leg:
    """A straight leg; default: `speed` and its basis as commanded, None."""

    p: np.ndarray
    q: np.ndarray
    speed: float | None
    over_ground: bool

    @property
    def length(self):
        return math.dist(self.p, self.q)

    @property
    def track(self):
        return (self.q - self.p) / self.length


def commanded(fields):
    """(speed, over ground?) of a `speed:` entry."""
    if fields.has("speed.over_ground"):
        return fields.get("speed.over_ground", "speed"), True
    if fields.has("speed.through_water"):
        return fields.get("speed.through_water", "speed"), False
    return None, False


def steps_of(p, q, longest):
    """Equal steps of a line: arrays of starts and ends."""
    n = max(1, math.ceil(math.dist(p, q) / longest - 1e-9))
    marks = p + np.linspace(0, 1, n + 1)[:, None] * (q - p)
    return marks[:-1], marks[1:]


class Plan:
    """A mission with its vessel and site, laid out in the plane."""

    def __init__(self, mission, vessel, site, shore):
        self.mission, self.vessel, self.site, self.shore = mission, vessel, site, shore
        plane = shore.plane
        self.launch = plane.points([mission.raw("launch.at")])[0]
        self.recovery = plane.points([mission.raw("recovery.at")])[0]
        places = {p["id"]: p for p in site.raw("launch_sites")}
        disc = lambda p: (plane.points([p["at"]])[0], quantity(p["zone"], "length"))
        self.recovery_zone = disc(places[mission.raw("recovery.place")])
        self.zones = [disc(places[mission.raw("launch.place")]), self.recovery_zone]
        self.hazards, self.keep_outs = clearance.geometries(site, plane)
        navigation = vessel.get
        self.half_width = (
            math.sqrt(
                navigation("navigation.position_error", "length") ** 2
                + navigation("navigation.cross_track_error", "length") ** 2
                + site.get("shoreline.error", "length") ** 2
            )
            + navigation("hull.beam", "length") / 2
        )
        self.turning_radius = navigation("navigation.turning_radius", "length")
        self.delay = navigation("navigation.delay", "duration", 1.0)
        self.along = mission.raw("return_leg.path", "straight") == "along the route"
        returns = any(
            mission.raw(f"on_{what}.action", "return") == "return"
            for what in ("lost_link", "low_battery", "lost_position")
        )
        self.straight_home = returns
        self._lay_route()
        self._lay_return()
        self._cut()
        self._currents()

    def _lay_route(self):
        own = commanded(self.mission)
        here = self.launch
        self.legs, self.pauses = [], []

        def go(to, speed):
            nonlocal here
            if math.dist(here, to) >= TINY:
                self.legs.append(Leg(here, to, *speed))
                here = to

        for raw in self.mission.raw("route"):
            item = Fields(raw)
            speed = commanded(item) if item.has("speed") else own
            if item.has("to"):
                go(self.shore.plane.points([raw["to"]])[0], speed)
            else:
                lines = sounding_lines(
                    self.shore.plane.points(item.raw("survey.area")),
                    item.get("survey.direction", "angle"),
                    item.get("survey.spacing", "length"),
                    item.get("survey.clear_of_land", "length", 0.0),
                    self.shore,
                    here,
                )
                for start, end in lines:
                    go(start, speed)
                    go(end, speed)
            if item.has("pause"):
                self.pauses.append((len(self.legs), item.get("pause", "duration")))
        recovery = Fields(self.mission.raw("recovery"))
        go(self.recovery, commanded(recovery) if recovery.has("speed") else own)

    def _lay_return(self):
        """The waypoints of the return leg, where it goes by any, and the recovery point behind them."""
        placed = {item["id"]: item["to"] for item in self.mission.raw("route") if "to" in item}
        via = []
        if self.mission.raw("return_leg.path", "straight") == "by waypoints":
            via = [placed[one["waypoint"]] if "waypoint" in one else one["at"] for one in self.mission.raw("return_leg.via")]
        self.via = list(self.shore.plane.points(via)) if via else []
        self.return_points = [*self.via, self.recovery]
        speeds = [leg.speed for leg in self.legs if leg.speed is not None]
        self.home_speed = self.mission.get("return_leg.speed", "speed", max(speeds, default=None))

    def onward(self):
        """The straight lines of a return leg behind its first waypoint."""
        return list(zip(self.return_points, self.return_points[1:]))

    def _cut(self):
        """Steps of the route; sample k is the end of step k − 1."""
        starts, ends, leg_of = [], [], []
        for number, leg in enumerate(self.legs):
            a, b = steps_of(leg.p, leg.q, STEP)
            starts.append(a)
            ends.append(b)
            leg_of += [number] * len(a)
        self.a = np.vstack(starts) if starts else np.zeros((0, 2))
        self.b = np.vstack(ends) if ends else np.zeros((0, 2))
        self.leg_of = np.array(leg_of, int)
        self.samples = np.vstack([self.launch[None], self.b])
        self.step_length = np.hypot(*(self.b - self.a).T)
        self.along_m = np.concatenate([[0], np.cumsum(self.step_length)])
        self.leg_ends = {0} | {int(np.flatnonzero(self.leg_of == n)[-1]) + 1 for n in range(len(self.legs))}
        self.pause_at = {}
        for legs_before, seconds in self.pauses:
            sample = int((self.leg_of < legs_before).sum())
            self.pause_at[sample] = self.pause_at.get(sample, 0.0) + seconds
        self.home_distance = np.hypot(*(self.samples - self.recovery).T)

    def _currents(self):
        self.areas = []
        for raw in self.site.raw("currents", []):
            fields = Fields(raw)
            way, drift = math.radians(fields.get("set", "angle")), fields.get("drift", "speed")
            shape = area(self.shore.plane.points(raw["area"]))
            shapely.prepare(shape)
            self.areas.append((shape, drift * np.array([math.sin(way), math.cos(way)])))

    def current(self, xy):
        """Set and drift at points: that of the first listed area that holds the point."""
        out = np.zeros_like(xy)
        for shape, velocity in reversed(self.areas):
            out[shapely.intersects_xy(shape, xy[:, 0], xy[:, 1])] = velocity
        return out

    def straight_ways(self):
        """The straight lines that a return leg may hold."""
        if self.along:
            ways = [(self.launch, self.recovery)]
        else:
            away = [p for p in self.samples[:-1] if not self.via or math.dist(p, self.recovery) >= TINY]
            ways = [(p, self.return_points[0]) for p in away] + self.onward()
        return [w for w in ways if math.dist(*w) >= TINY]

    def return_legs(self):
        """(starts, ends of all different steps, for each sample the steps in order)."""
        if self.along:
            a, b = self.b, self.a  # reversed
            tail = []
            if math.dist(self.launch, self.recovery) >= TINY:
                p, q = steps_of(self.launch, self.recovery, HOME_STEP)
                tail = list(range(len(a), len(a) + len(p)))
                a, b = np.vstack([a, p]), np.vstack([b, q])
            paths = [list(range(i - 1, -1, -1)) + tail for i in range(len(self.samples))]
        else:
            starts, ends, paths, count = [np.zeros((0, 2))], [np.zeros((0, 2))], [], 0

            def way(p, q):
                nonlocal count
                if math.dist(p, q) < TINY:
                    return []
                p, q = steps_of(p, q, HOME_STEP)
                starts.append(p)
                ends.append(q)
                count += len(p)
                return list(range(count - len(p), count))

            onward = [step for pair in self.onward() for step in way(*pair)]
            paths = [way(sample, self.return_points[0]) + onward for sample in self.samples]
            a, b = np.vstack(starts), np.vstack(ends)
        for i, sample in enumerate(self.samples):
            if math.dist(sample, self.recovery) < TINY:
                paths[i] = []  # home already
        return a, b, paths
