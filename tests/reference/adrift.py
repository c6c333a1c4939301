"""A disabled boat, from every sample (docs/reference/models, section 21)."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import LineString, Point

from plane import area
from quantities import quantity

DAY, FAR, GRAIN, OWN_GROUND = 86400.0, 3000.0, 1.0, 50.0
WEIR, CLOSED, SHORE = ("weir", "intake"), ("swimming",), ("rock", "moorings", "other")


def within_a_day(time):
    """A time that is left; none where nothing is met within the day that a boat is followed for."""
    return time if time < DAY else None


def drives(plan, wind, leeway):
    """(velocity through the water, whether currents run), each once."""
    out = []
    for running in (False, True) if plan.areas else (False,):
        for speed in (wind.gust, wind.mean, 0.0) if running else (wind.gust,):
            seen = set()
            for origin in wind.directions():
                for aside in (-30, -15, 0, 15, 30):
                    heading = round((origin + 180 + aside) % 360, 6)
                    if heading in seen or (speed == 0 and seen):
                        continue
                    seen.add(heading)
                    way = math.radians(heading)
                    out.append((leeway * speed * np.array([math.sin(way), math.cos(way)]), running))
    return out


def track(plan, start, blown, running):
    """Corners of the way with the time at each: a corner wherever the current changes."""
    at, time, corners = np.asarray(start, float), 0.0, [(np.asarray(start, float), 0.0)]
    gone = 0.0
    while gone < FAR:
        current = plan.current(at[None])[0] if running else np.zeros(2)
        velocity = blown + current
        speed = float(np.hypot(*velocity))
        if speed < 1e-9:
            break
        unit = velocity / speed
        length = FAR - gone
        if running:
            marks = np.arange(GRAIN, length, GRAIN)
            ahead = plan.current(at + marks[:, None] * unit)
            changed = np.flatnonzero(np.abs(ahead - current).max(1) > 1e-12)
            if len(changed):
                length = float(marks[changed[0]])
        end = at + length * unit
        land = plan.shore.land_stretches(at, end)
        if land:
            length = land[0][0]
            end = at + length * unit
        time += length / speed
        gone += length
        at = end
        corners.append((end, time))
        if land:
            return corners, True
    return corners, False


def first_inside(corners, shapes):
    """Place, time and way at which the way first meets one of the shapes."""
    way = 0.0
    for (p, t), (q, u) in zip(corners, corners[1:]):
        line, length = LineString([p, q]), math.dist(p, q)
        hits = [Point(p).distance(line.intersection(s)) for s in shapes if shapely.intersects(line, s)]
        if hits:
            along = min(hits)
            share = along / length if length else 0.0
            return p + share * (q - p), t + share * (u - t), way + along
        way += length
    return None


class Craft:
    """The safety boat and its way over water to every sample."""

    def __init__(self, plan, reaction):
        m = plan.mission
        if m.has("safety_boat.place"):
            places = {p["id"]: p for p in plan.site.raw("launch_sites")}
            self.at = plan.shore.plane.points([places[m.raw("safety_boat.place")]["at"]])[0]
        else:
            self.at = plan.shore.plane.points([m.raw("safety_boat.at")])[0]
        self.plan = plan
        self.speed = m.get("safety_boat.speed", "speed")
        self.under_way = reaction + m.get("safety_boat.ready_within", "duration")
        ways = [math.dist(self.at, s) if self.sees(s) else math.inf for s in plan.samples]
        for order in (range(1, len(ways)), range(len(ways) - 2, -1, -1)):
            for i in order:
                j = i - 1 if order.step > 0 else i + 1
                ways[i] = min(ways[i], ways[j] + float(plan.step_length[min(i, j)]))
        self.ways = ways

    def sees(self, to):
        stretches = self.plan.shore.land_stretches(self.at, to)
        return all((a <= 1e-6 and b <= OWN_GROUND) or b - a <= 0.5 for a, b in stretches)

    def there(self, sample, place, drifted):
        way = self.ways[sample] + drifted
        if self.sees(place):
            way = min(way, math.dist(self.at, place))
        return self.under_way + way / self.speed


def measures(plan, wind, leeway):
    """Least time in hand before weirs and keep-out areas, and the share of the route above a lee shore."""
    reaction = plan.mission.get("operator.reaction_time", "duration", 15.0)
    craft = Craft(plan, reaction)
    kinds = {h["id"]: h.get("kind", "weir") for h in plan.site.raw("hazards", [])}
    around = {name: s.buffer(off, quad_segs=256) if off > 0 else s for name, s, off in plan.hazards}
    of = lambda which: [shape for name, shape in around.items() if kinds[name] in which]
    closed = [area(plan.shore.plane.points(raw["area"])) for raw in plan.site.raw("keep_out", [])]
    launch_sites = list(plan.zones)
    for raw in plan.site.raw("launch_sites"):
        if raw.get("accessible") == "yes":
            launch_sites.append((plan.shore.plane.points([raw["at"]])[0], quantity(raw["zone"], "length")))
    ways = drives(plan, wind, leeway)
    least = {"weir": DAY, "closed": DAY}
    late = np.zeros(len(plan.samples), bool)
    for i, start in enumerate(plan.samples):
        for blown, running in ways:
            corners, ashore = track(plan, start, blown, running)
            if len(corners) < 2:
                continue
            for key, shapes in (("weir", of(WEIR)), ("closed", of(CLOSED) + closed)):
                met = first_inside(corners, shapes)
                if met and met[1] < DAY:
                    least[key] = min(least[key], met[1] - craft.there(i, met[0], met[2]))
            met = first_inside(corners, of(SHORE))
            end, time = corners[-1]
            if met is None and ashore and not any(math.dist(end, c) <= r for c, r in launch_sites):
                met = (end, time, sum(math.dist(a[0], b[0]) for a, b in zip(corners, corners[1:])))
            if met and met[1] < DAY and met[1] < craft.there(i, met[0], met[2]):
                late[i] = True
    struck = (late[:-1] | late[1:]) * plan.step_length
    return {
        "drift_weir_in_hand_s": within_a_day(least["weir"]),
        "drift_closed_in_hand_s": within_a_day(least["closed"]),
        "drift_ashore_share": float(struck.sum() / plan.step_length.sum()),
    }
