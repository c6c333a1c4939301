"""Recomputes the passage of every mission from the plan files and docs/reference/models alone.

    python passage.py [--plans DIR] [--out FILE]
"""

from __future__ import annotations

import argparse
import json
import math
from pathlib import Path

import numpy as np
import yaml
from shapely.geometry import Point

import adrift
import clearance
import depth
from boat import NO_HEADWAY, OK, OUTSIDE, Boat
from plan import HOME_STEP, TINY, Plan, steps_of
from plane import Shore
from quantities import Fields
from radio import Link
from run import Run
from weather import moment, planned_wind, steepened


def put(out, key, value, why=None, scenario=None):
    """A value, or null with the reason beside it."""
    if value is None or not np.isfinite(value):
        out[key], out[key + "_why"] = None, why or "unbounded"
    else:
        out[key] = float(value)
        if scenario is not None:
            out[key + "_scenario"] = scenario


def energy_measures(run, out):
    plan, battery, names = run.plan, run.battery, run.names
    wh = 3600.0
    put(out, "usable_energy_wh", battery.usable / wh)
    put(out, "capacity_ah", battery.capacity / 3600)
    end = run.code[-1:]
    gone = (end != OK).any()
    why = run.scenario_why(run.code, "on the route") if gone else None
    worst = int(np.argmax(run.time[-1]))
    put(out, "duration_s", None if gone else run.time[-1, worst], why, names[worst])
    launch = plan.mission.raw("launch.time")
    back = plan.mission.raw("launch.latest_return") if plan.mission.has("launch.latest_return") else None
    if not gone and back:
        window = (moment(back, plan.zone) - moment(launch, plan.zone)).total_seconds()
        delay = plan.mission.get("launch.delay", "duration", 0.0)
        put(out, "time_in_hand_s", window - delay - float(run.time[-1].max()))
    stored = battery.energy(run.s)
    spent = battery.energy(run.s0) - stored[-1]
    worst = int(np.argmax(spent))
    put(out, "energy_wh", None if gone else spent[worst] / wh, why, names[worst])
    left = stored[-1] / battery.usable
    worst = int(np.argmin(left))
    put(out, "reserve_at_end", None if gone else left[worst], why, names[worst])

    home = run.home
    reserve = (stored - home["energy"]) / battery.usable
    told = home["code"] == OK
    unknown = (~told).any()
    why = run.scenario_why(home["code"], "on the route or the return leg") if unknown else None
    i, k = np.unravel_index(np.argmin(np.where(told, reserve, np.inf)), reserve.shape)
    put(out, "reserve_at_turnaround", None if unknown else reserve[i, k], why, names[k])
    out["reserve_at_turnaround_at_m"] = float(plan.along_m[i])
    out["reserve_least_known"] = float(reserve[i, k]) if told.any() else None
    worst_scenario = int(k)

    negative = np.where(told, reserve < 0, home["code"] == NO_HEADWAY)
    outside = home["code"] == OUTSIDE
    first = np.flatnonzero(negative.any(1))
    doubt = np.flatnonzero(outside.any(1))
    if len(doubt) and (not len(first) or doubt[0] < first[0]):
        put(out, "point_of_no_return_m", None, "outside a model's validity before it")
    elif len(first):
        at = int(first[0])
        put(out, "point_of_no_return_m", plan.along_m[at], None, names[int(np.argmax(negative[at]))])
    else:
        put(out, "point_of_no_return_m", None, "the reserve is nowhere below zero")

    far = int(np.argmax(plan.home_distance))
    put(out, "turnaround_m", plan.along_m[far])
    put(out, "turnaround_from_recovery_m", plan.home_distance[far])

    apart = (plan.home_distance >= 100) & np.array([len(p) > 0 for p in run.paths])
    if not apart.any():
        put(out, "energy_ratio_at_turnaround", None, "no sample is 100 m from the recovery point")
    else:
        codes = np.where(apart[:, None], home["code"], OK)
        ratio = np.where(
            apart[:, None] & told, stored / np.where(home["energy"] > 0, home["energy"], np.inf), np.inf
        )
        i, k = np.unravel_index(np.argmin(ratio), ratio.shape)
        bad = (codes != OK).any()
        why = run.scenario_why(codes, "on the route or the return leg") if bad else None
        put(out, "energy_ratio_at_turnaround", None if bad else ratio[i, k], why, names[k])

    if not plan.mission.has("on_low_battery"):
        put(out, "low_battery_margin", None, "no low-battery response is stated")
    else:
        s = battery.trigger(plan.mission, run.s0)
        again = run.return_leg(np.full_like(run.s, s))
        out["low_battery_trigger_charge"] = s
        margin = (float(battery.energy(s)) - again["energy"]) / battery.usable
        bad = (again["code"] != OK).any()
        why = run.scenario_why(again["code"], "on the return leg begun at the trigger") if bad else None
        i, k = np.unravel_index(np.argmin(margin), margin.shape)
        put(out, "low_battery_margin", None if bad else margin[i, k], why, names[k])

    runs = run.upwind_runs()
    for key, name, scale in (
        ("length", "upwind_run_m", 1),
        ("time", "upwind_run_s", 1),
        ("energy", "upwind_run_energy_share", battery.usable),
    ):
        table = runs[key] / scale
        if np.isnan(table).any():
            put(out, name, None, "no headway, or outside a model's validity, on an upwind run")
        else:
            i, k = np.unravel_index(np.argmax(table), table.shape)
            put(out, name, table[i, k], None, names[k])

    home_headway = np.where(run.code == OK, home["headway"], np.inf)
    tables = {"_route": run.route_headway, "_return_leg": home_headway}
    least = {}
    for part, table in tables.items():
        if np.isnan(table).any():
            least[part] = (None, "waves in the gust outside the wave model's validity", None)
        else:
            i, k = np.unravel_index(np.argmin(table), table.shape)
            least[part] = (float(table[i, k]), None, names[k])
        put(out, "headway" + part + "_m_s", *least[part])
    unknown = [v for v in least.values() if v[0] is None]
    put(out, "headway_m_s", *(unknown[0] if unknown else min(least.values(), key=lambda v: v[0])))

    for when, h, t in (("mean", run.steps.h_mean, run.steps.t_mean), ("gust", run.steps.h_gust, run.steps.t_gust)):
        out[f"wave_height_{when}_m"] = float(h.max())
        out[f"wave_period_{when}_s"] = float(t.min()) if np.isfinite(t.min()) else None

    excerpt = []
    for i in range(0, len(plan.samples), 10):
        row = {"along_m": plan.along_m[i], "x_m": plan.samples[i, 0], "y_m": plan.samples[i, 1]}
        k = worst_scenario
        reached = run.code[i, k] == OK
        row["time_s"] = run.time[i, k] if reached else None
        row["charge"] = run.s[i, k] if reached else None
        row["reserve"] = reserve[i, k] if told[i, k] else None
        excerpt.append(row)
    out["samples"] = excerpt
    out["samples_scenario"] = names[worst_scenario]


def link_measures(plan, out):
    route = list(plan.samples)
    home = []
    for i in range(len(plan.samples)):
        if i % 4 and i not in plan.leg_ends:
            continue
        if plan.along:
            continue
        if plan.via and math.dist(plan.samples[i], plan.recovery) < TINY:
            continue
        a, b = steps_of(plan.samples[i], plan.return_points[0], HOME_STEP)
        home += [a[0], *b]
    for p, q in plan.onward():
        a, b = steps_of(p, q, HOME_STEP)
        home += [a[0], *b]
    if plan.along:
        a, b = steps_of(plan.launch, plan.recovery, HOME_STEP)
        home = route + [a[0], *b]
    out["links"], out["links_route"], out["links_return_leg"] = {}, {}, {}
    for name, use in plan.mission.raw("links").items():
        if use == "not used":
            continue
        link = Link(name, plan.mission, plan.vessel, plan.site, plan.shore)
        if link.why:
            for part in ("links", "links_route", "links_return_leg"):
                put(out[part], name, None, link.why)
            continue
        out["links_route"][name] = min(link.margin(p) for p in route)
        out["links_return_leg"][name] = min(link.margin(p) for p in home)
        out["links"][name] = min(out["links_route"][name], out["links_return_leg"][name])


def end_measures(plan, boat, wind, out):
    here = Point(plan.recovery)
    away = [here.distance(shape) for _, shape, _ in plan.hazards]
    put(out, "stand_off_m", min([float(plan.shore.signed(plan.recovery)[0]), *away]))
    if plan.mission.has("operator.at"):
        at = plan.shore.plane.points([plan.mission.raw("operator.at")])[0]
        put(out, "operator_distance_m", math.dist(at, plan.recovery))
    else:
        put(out, "operator_distance_m", None, "no operator's place is stated")
    waiting = (
        "approach_speed_m_s", "stopping_distance_m", "overrun_m", "overrun_clearance_m",
        "overrun_hazard_clearance_m", "drift_to_shore_s", "approach_heading_off_wind_deg",
    )
    if not plan.legs:
        for key in ("last_leg_m", *waiting):
            put(out, key, None, "the route has no leg")
        return
    leg = plan.legs[-1]
    put(out, "last_leg_m", leg.length)
    mine = np.flatnonzero(plan.leg_of == len(plan.legs) - 1)
    middle = (plan.a[mine[-1]] + plan.b[mine[-1]])[None] / 2
    cases = [plan.current(middle)[0]] * bool(plan.areas) + [np.zeros(2)]
    if leg.speed is None:
        for key in waiting[:5]:
            put(out, key, None, "no speed is stated")
    else:
        over, through = 0.0, 0.0
        for c in cases:
            if leg.over_ground:
                v, speed = leg.speed, float(np.hypot(*(leg.speed * leg.track - c)))
            else:
                v, speed = float(boat.made_good(np.array([leg.speed]), leg.track[None], c[None])[0]), leg.speed
            over, through = max(over, v), max(through, speed)
        stopping = boat.stopping_distance(over, through)
        put(out, "approach_speed_m_s", over)
        if stopping is None:
            for key in waiting[1:5]:
                put(out, key, None, "outside the calm-water model's validity")
        else:
            put(out, "stopping_distance_m", stopping)
            reaction = plan.mission.get("operator.reaction_time", "duration", 15.0)
            out.update(clearance.extension(plan, over, reaction, stopping))
    if wind is None:
        for key in waiting[5:]:
            put(out, key, None, "no conditions are stated")
        return
    track = math.degrees(math.atan2(*leg.track))
    directions = wind.directions()
    put(
        out,
        "approach_heading_off_wind_deg",
        max(abs((track - d + 180) % 360 - 180) for d in directions),
    )
    points = plan.samples[[mine[0], *(mine + 1)]]
    currents = [plan.current(points)] * bool(plan.areas) + [np.zeros_like(points)]
    seconds, where = clearance.drift(plan, points, directions, currents, [boat.leeway * w for w in (0.0, wind.mean, wind.gust)])
    if where is None:
        put(out, "drift_to_shore_s", None, "no land or hazard lies in the way of a drifting boat")
    else:
        name = "set" if plan.areas and where[1] == 0 else "no set"
        reaction = plan.mission.get("operator.reaction_time", "duration", 15.0)
        put(out, "drift_to_shore_s", seconds - reaction, None, f"{where[0] % 360:.6g}°/{name}")


def highest_sea(run):
    """Greatest significant height at the mean wind at the samples and on the return legs."""
    points = [run.plan.samples]
    if run.plan.straight_home:
        for start, end in run.plan.straight_ways():
            a, b = steps_of(start, end, HOME_STEP)
            points.append((a + b) / 2)
    points = np.vstack(points)
    height, period, origin = run.sea.at(points)[:3]
    current, turn = run.plan.current(points), np.radians(origin)
    against = current[:, :1] * np.sin(turn) + current[:, 1:] * np.cos(turn)
    return max(
        float(steepened(height[:, d], period[:, d], against[:, d] * case).max()) for d, case in run.scenarios
    )


ENERGY_KEYS = (
    "duration_s", "energy_wh", "reserve_at_turnaround", "reserve_at_end", "point_of_no_return_m",
    "turnaround_m", "energy_ratio_at_turnaround", "low_battery_margin", "upwind_run_m", "upwind_run_s",
    "upwind_run_energy_share", "headway_m_s",
)


def recompute(mission, vessel, site, shore, folder):
    plan = Plan(mission, vessel, site, shore)
    out = {"length_m": float(plan.along_m[-1]), "samples_count": len(plan.samples), "legs_count": len(plan.legs)}
    out["half_width_m"] = plan.half_width
    plan.zone = site.raw("time_zone", "UTC")
    wind = planned_wind(mission, plan.zone)
    why = None
    if wind is None:
        why = "no conditions are stated"
    elif not plan.legs:
        why = "the route has no leg"
    elif any(leg.speed is None for leg in plan.legs):
        why = "no speed is stated"
    if wind:
        out["wind"] = {
            "from_deg": wind.origin, "spread_deg": wind.spread, "mean_10m_m_s": wind.mean,
            "gust_10m_m_s": wind.gust, "directions": len(wind.directions()),
        }
    if why:
        for key in ENERGY_KEYS:
            put(out, key, None, why)
        celsius = mission.get("conditions.water_temperature", "temperature", 5.0)
        boat = Boat(vessel, site.raw("water", "fresh"), celsius)
        put(out, "usable_energy_wh", boat.battery.usable / 3600)
    else:
        run = Run(plan, wind)
        boat = run.boat
        energy_measures(run, out)
        out.update(adrift.measures(plan, wind, boat.leeway))
        out.update(depth.measures(plan, highest_sea(run), folder))
    if boat.battery.counts == "charge":
        put(out, "gauge_error", boat.battery.set_to / boat.battery.stated - 1)
    else:
        put(out, "gauge_error", None, "the gauge calculates from voltage")
    link_measures(plan, out)
    out.update(clearance.clearances(plan))
    end_measures(plan, boat, wind, out)
    return out


def rounded(value):
    """Nine significant figures throughout."""
    if isinstance(value, dict):
        return {k: rounded(v) for k, v in value.items()}
    if isinstance(value, list):
        return [rounded(v) for v in value]
    if isinstance(value, (float, np.floating)):
        return float(f"{value:.9g}") + 0.0
    return value


# How standing orders go under a mission (docs/how-to/orders.md): field by field, or item by item of the same name.
BY_FIELD = ("team", "operator", "safety_boat", "alarm", "links", "return_leg")
BY_ITEM = {"stations": "station", "other_users_notified": "users", "checklist": "item"}
INSTEAD = {"place": "at", "at": "place", "path": "via", "via": "path"}
OF_ORDERS = (
    "speed", "at_end", "on_lost_link", "on_low_battery", "on_lost_position", "on_lost_propulsion", "manual_override"
)


def under(mission, orders):
    """A mission with its orders laid under it."""
    laid = dict(mission)
    for field in (*OF_ORDERS, *BY_FIELD, *BY_ITEM):
        own, theirs = mission.get(field), orders.get(field)
        if theirs is None:
            continue
        if own is None:
            laid[field] = theirs
        elif field in BY_FIELD:
            kept = {k: v for k, v in theirs.items() if k not in own and INSTEAD.get(k) not in own}
            laid[field] = {**kept, **own}
        elif field in BY_ITEM:
            names = {one[BY_ITEM[field]] for one in own}
            laid[field] = [one for one in theirs if one[BY_ITEM[field]] not in names] + own
    return laid


def read_plans(folder):
    """{kind: {id: Fields}} of all YAML files below a folder, and the folder of each site."""
    found = {"mission": {}, "vessel": {}, "site": {}, "orders": {}}
    home = {}
    for path in sorted([*Path(folder).rglob("*.yaml"), *Path(folder).rglob("*.yml")]):
        with open(path, encoding="utf-8") as file:
            # The base loader leaves every scalar a string: no `no` becomes a boolean.
            data = yaml.load(file, Loader=yaml.BaseLoader)
        if isinstance(data, dict) and data.get("kind") in found:
            found[data["kind"]][data["id"]] = Fields(data)
            home[(data["kind"], data["id"])] = path.parent
    for mission in found["mission"].values():
        orders = found["orders"].get(mission.raw("orders"))
        if orders is not None:
            mission.data = under(mission.data, orders.data)
    return found, home


def main():
    here = Path(__file__).resolve().parent
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plans", type=Path, default=here / "../../plans")
    parser.add_argument("--out", type=Path, default=here / "passage.json")
    args = parser.parse_args()
    found, home = read_plans(args.plans)
    shores, out = {}, {}
    for name, mission in sorted(found["mission"].items()):
        site_id = mission.raw("site")
        vessel, site = found["vessel"].get(mission.raw("vessel")), found["site"].get(site_id)
        if vessel is None or site is None:
            out[name] = {"why": "its vessel or its site is not among the files"}
            continue
        if site_id not in shores:
            shores[site_id] = Shore(home["site", site_id] / site.raw("shoreline.file"))
        out[name] = recompute(mission, vessel, site, shores[site_id], home["site", site_id])
    text = json.dumps(rounded(out), indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False)
    args.out.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
