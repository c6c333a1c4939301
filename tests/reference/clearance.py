"""Clearances and the end of the run (docs/reference/models, sections 10 and 11)."""

from __future__ import annotations

import itertools
import math
from types import SimpleNamespace

import numpy as np
import shapely
from shapely.geometry import LineString, Point

from plane import area, outside_discs
from quantities import Fields

FAR, TINY = 50e3, 1e-3


def geometries(site, plane):
    """(hazards as (id, geometry, stand-off), keep-outs as (id, geometry))."""
    hazards = []
    for raw in site.raw("hazards", []):
        if "at" in raw:
            shape = Point(plane.points([raw["at"]])[0])
        elif "line" in raw:
            shape = LineString(plane.points(raw["line"]))
        else:
            shape = area(plane.points(raw["area"]))
        hazards.append((raw["id"], shape, Fields(raw).get("clearance", "length")))
    keep_outs = [(raw["id"], area(plane.points(raw["area"]))) for raw in site.raw("keep_out", [])]
    return hazards, keep_outs


def turns(legs):
    """(point, angle in rad, leg that ends there) at every joint of two legs."""
    out = []
    for before, after in zip(legs, legs[1:]):
        a = math.atan2(*(before.q - before.p))
        b = math.atan2(*(after.q - after.p))
        out.append((before.q, abs((b - a + math.pi) % (2 * math.pi) - math.pi), before))
    return out


def turns_for_home(plan):
    """The same for every sample from which a contingency turns the boat straight home."""
    out = []
    for k, number in enumerate(plan.leg_of):
        point = plan.samples[k + 1]
        way = plan.return_points[0] - point
        if math.hypot(*way) <= 0 or plan.via and math.dist(point, plan.recovery) < TINY:
            continue
        track = plan.b[k] - plan.a[k]
        angle = abs((math.atan2(*way) - math.atan2(*track) + math.pi) % (2 * math.pi) - math.pi)
        out.append((point, angle, plan.legs[number]))
    # Past a waypoint of the return leg at the return speed; past the first by the sharpest turn there.
    for k, (p, q) in enumerate(plan.onward()):
        before = [plan.return_points[k - 1]] if k else list(plan.samples)
        bearings = [math.atan2(*(p - b)) for b in before if math.dist(b, p) > 0]
        turn = math.atan2(*(q - p))
        angles = [abs((turn - b + math.pi) % (2 * math.pi) - math.pi) for b in bearings]
        out.append((p, max(angles, default=0.0), SimpleNamespace(speed=plan.home_speed)))
    return out


def overrun(angle, speed, delay, radius):
    return speed * delay + min(radius * math.tan(min(angle, math.pi - 1e-12) / 2), 2 * radius)


def clearances(plan):
    """The clearance measures of a plan's route and, where asked for, its return legs."""
    shore, half = plan.shore, plan.half_width
    land, zone, hazard, keep = [], [], [], []
    lines = [("leg", leg.p, leg.q) for leg in plan.legs]
    if plan.straight_home:
        lines += [("return leg", p, q) for p, q in plan.straight_ways()]
    for kind, p, q in lines:
        outside, inside = outside_discs(p, q, plan.zones)
        for low, high in outside:
            value = shore.clearance(p + low * (q - p), p + high * (q - p)) - half
            land.append((value, kind))
        for low, high in inside:
            zone.append((shore.clearance(p + low * (q - p), p + high * (q - p)), kind))
        line = LineString([p, q])
        for name, shape, off in plan.hazards:
            hazard.append((line.distance(shape) - off - half, f"{name}, {kind}"))
        for name, shape in plan.keep_outs:
            keep.append((line.distance(shape) - half, f"{name}, {kind}"))
    for point, angle, leg in turns(plan.legs) + (turns_for_home(plan) if plan.straight_home else []):
        if leg.speed is None:
            continue
        past = overrun(angle, leg.speed, plan.delay, plan.turning_radius)
        if all(math.dist(point, c) > r for c, r in plan.zones):
            land.append((float(shore.signed(point)[0]) - half - past, "waypoint"))
        else:
            zone.append((float(shore.signed(point)[0]) - past, "waypoint"))
        for name, shape, off in plan.hazards:
            hazard.append((Point(point).distance(shape) - off - half - past, f"{name}, waypoint"))
        for name, shape in plan.keep_outs:
            keep.append((Point(point).distance(shape) - half - past, f"{name}, waypoint"))
    out = {}
    for name, values, why in (
        ("route_clearance_m", land, "no part of the route is outside the launch sites"),
        ("zone_clearance_m", zone, "no part of the route is inside a launch site"),
        ("hazard_clearance_m", hazard, "the site has no hazards"),
        ("keep_out_clearance_m", keep, "the site has no keep-outs"),
    ):
        if values:
            out[name], out[name + "_of"] = min(values)
        else:
            out[name], out[name + "_why"] = None, why
    parts = ("leg", "waypoint", "return leg")
    out["route_clearance_by"] = {p: min((v for v, k in land if k == p), default=None) for p in parts}
    return out


def extension(plan, approach, reaction, stopping):
    """Overrun past the recovery point: clearance from land and from hazards."""
    leg = plan.legs[-1]
    length = approach * reaction + stopping
    p = plan.recovery
    q = p + length * leg.track
    out = {"overrun_m": length, "overrun_clearance_m": plan.shore.clearance(p, q) - plan.half_width}
    line = LineString([p, q])
    near = [line.distance(shape) - off - plan.half_width for _, shape, off in plan.hazards]
    out["overrun_hazard_clearance_m"] = min(near) if near else None
    if not near:
        out["overrun_hazard_clearance_m_why"] = "the site has no hazards"
    return out


def drift(plan, points, directions, currents, leeway_speeds):
    """Least time of a disabled boat to land or a hazard's stand-off, over points, directions, currents.

    `currents` is a list of arrays (points × 2), one a current case.
    """
    ashore = [(s, s.buffer(off, quad_segs=256) if off > 0 else s) for _, s, off in plan.hazards]
    best = (math.inf, None)
    for case, current in enumerate(currents):
        for origin in directions:
            for aside, leeway_speed in itertools.product((-30, -15, 0, 15, 30), leeway_speeds):
                way = math.radians(origin + 180 + aside)
                blown = leeway_speed * np.array([math.sin(way), math.cos(way)])
                for point, c in zip(points, current):
                    velocity = blown + c
                    speed = float(np.hypot(*velocity))
                    if speed < 1e-9:
                        continue
                    far = point + velocity / speed * FAR
                    away, ashore_at = _first_land(plan, point, far)
                    ray = LineString([point, point + velocity / speed * ashore_at])
                    for _, shape in ashore:
                        if shapely.intersects(ray, shape):
                            away = min(away, Point(point).distance(ray.intersection(shape)))
                    if away / speed < best[0]:
                        best = (away / speed, (origin, case))
    return best


def _first_land(plan, p, q):
    """Distances along p–q to the first land, infinite inside the recovery's launch site, and to where
    the boat is followed."""
    length = math.dist(p, q)
    for start, _ in plan.shore.land_stretches(p, q):
        at = p + start / length * (q - p)
        centre, radius = plan.recovery_zone
        return (math.inf if math.dist(at, centre) <= radius else start), start
    return math.inf, FAR
