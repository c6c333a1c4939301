"""Recomputes the calibration of the demo's boat on the demo's runs, and records what it gave.

    python calibrate.py [--plans DIR] [--out FILE]

Written from section 26 of docs/reference/models. The least squares are numpy's, Student's distribution is
scipy's, the plane is PROJ's.
"""

from __future__ import annotations

import argparse
import csv
import json
import math
from datetime import datetime
from pathlib import Path

import numpy as np
from scipy import stats

from plane import Plane
from runs import AREA, EFFICIENCY, HEIGHT, POWER, RUNS, SPEED

STATED_DRAG = 0.9
PLANE = Plane(52.3994, -24.3003)  # the plane of a stretch of a few hundred metres: any origin near does


def read(path):
    rows = list(csv.DictReader(path.open(encoding="utf-8")))
    time = np.array([datetime.fromisoformat(r["time"].replace("Z", "+00:00")).timestamp() for r in rows])
    east, north = PLANE.xy([float(r["latitude"]) for r in rows], [float(r["longitude"]) for r in rows])
    volts = np.array([float(r["pack"]) for r in rows])
    amps = np.array([float(r["draw"]) for r in rows])
    return time - time[0], np.column_stack([east, north]), volts, amps


def velocity(time, points):
    if len(time) < 3:
        return None
    t = time - time.mean()
    return t @ (points - points.mean(0)) / (t @ t)


def angle(one, other):
    return math.degrees(abs(math.atan2(one[0] * other[1] - one[1] * other[0], one @ other)))


def stretch(time, points, window):
    """The velocity where it is steady, else None."""
    first, start, end, last = window
    whole = velocity(time[start : end + 1], points[start : end + 1])
    if whole is None:
        return None
    speed, begin = np.hypot(*whole), first
    for part in (1, 2, 3):
        due = time[first] + (time[last] - time[first]) * part / 3
        stop = last if part == 3 else min(last, int(np.searchsorted(time, due)))
        own = velocity(time[begin : stop + 1], points[begin : stop + 1])
        if own is None or abs(np.hypot(*own) - speed) > max(0.1 * speed, 0.1) or angle(own, whole) > 10:
            return None
        begin = stop
    return whole if 0.3 <= speed <= 1.8 else None


def cut(run, number, legs):
    time, points, volts, amps = run
    drawn = np.concatenate([[0], np.cumsum((amps[1:] + amps[:-1]) / 2 * np.diff(time))])
    out, begin, last = [], 0, None
    while begin < len(time):
        start, after, end, over = (int(np.searchsorted(time, time[begin] + s)) for s in (5, 60, 65, 70))
        if over >= len(time):
            break
        v = stretch(time, points, (begin, start, end, over))
        if v is None:
            begin = min(int(np.searchsorted(time, time[begin] + 10)), len(time) - 1)
            continue
        speed = float(np.hypot(*v))
        same = (
            last is not None
            and time[start] - last[0] <= 60
            and angle(last[1], v) <= 20
            and abs(speed / np.hypot(*last[1]) - 1) <= 0.2
        )
        legs[0] += not same
        last = (time[end], v)
        part = slice(start, end + 1)
        out.append(
            dict(
                run=number,
                leg=legs[0],
                speed=speed,
                heading=v / speed,
                power=float((volts[part] * amps[part]).mean()),
                volts=float(volts[part].mean()),
                amps=float(amps[part].mean()),
                drawn=float(drawn[start] + drawn[end]) / 2,
            )
        )
        begin = after
    return out


def fit(columns, values, legs):
    """Estimates, 95 % intervals, condition number and design effect."""
    x, n, p = np.column_stack(columns), len(values), len(columns)
    lengths = np.linalg.norm(x, axis=0)
    estimates, *_ = np.linalg.lstsq(x / lengths, values, rcond=None)
    estimates = estimates / lengths
    residuals = values - x @ estimates
    groups = [residuals[legs == leg] for leg in np.unique(legs)]
    g = len(groups)
    sizes = np.array([len(group) for group in groups])
    between = sum(len(group) * group.mean() ** 2 for group in groups) / (g - p)
    within = sum(((group - group.mean()) ** 2).sum() for group in groups) / (n - g)
    mean_size = (n - (sizes**2).sum() / n) / (g - 1)
    correlation = np.clip((between - within) / (between + (mean_size - 1) * within), 0, 1)
    effect = 1 + (mean_size - 1) * correlation
    freedom = n / effect - p
    variance = residuals @ residuals / (n - p) * effect
    errors = np.sqrt(variance * np.diag(np.linalg.inv(x.T @ x)))
    reach = stats.t.ppf(0.975, freedom)
    singular = np.linalg.svd(x / lengths, compute_uv=False)
    return dict(
        estimates=estimates.tolist(),
        low=(estimates - reach * errors).tolist(),
        high=(estimates + reach * errors).tolist(),
        condition=float(singular[0] / singular[-1]),
        design_effect=float(effect),
        rms=float(np.sqrt((residuals**2).mean())),
    )


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plans", type=Path, default=Path(__file__).parents[2] / "plans")
    parser.add_argument("--out", type=Path, default=Path(__file__).with_suffix(".json"))
    options = parser.parse_args()
    legs, stretches = [0], []
    for number, (name, *_) in enumerate(RUNS):
        stretches += cut(read(options.plans / "tracks" / name), number, legs)
    speed = np.array([s["speed"] for s in stretches])
    heading = np.array([s["heading"] for s in stretches])
    leg = np.array([s["leg"] for s in stretches])
    run = np.array([s["run"] for s in stretches])
    power = np.array([s["power"] for s in stretches])
    share = math.log(HEIGHT / 2e-4) / math.log(2 / 2e-4)
    towards = np.array([math.radians(RUNS[r][2] + 180) for r in run])
    size = np.array([RUNS[r][3] * share for r in run])
    wind = np.column_stack([size * np.sin(towards), size * np.cos(towards)])
    apparent = wind - speed[:, None] * heading
    against = -(apparent * heading).sum(1)
    air = 0.5 * 1.225 * AREA * np.linalg.norm(apparent, axis=1) * against * speed / EFFICIENCY
    columns = [np.ones_like(speed), np.interp(speed, SPEED, POWER), air]
    powers = fit(columns, power, leg)

    over = np.empty_like(power)
    for number in np.unique(run):
        rest = run != number
        found = fit([c[rest] for c in columns], power[rest], leg[rest])
        over[~rest] = np.column_stack(columns)[~rest] @ found["estimates"] - power[~rest]
    held = dict(error=float(np.sqrt((over**2).mean())), bias=float(over.mean()))

    amps = np.array([s["amps"] for s in stretches])
    pack = [-amps]
    for number in np.unique(run):
        here = run == number
        q = np.array([s["drawn"] for s in stretches])
        q = (q - (q[here][0] + q[here][-1]) / 2) / ((q[here][-1] - q[here][0]) / 2)
        pack += [np.where(here, p, 0.0) for p in (np.ones_like(q), q, q**2)]
    volts = np.array([s["volts"] for s in stretches])
    resistance = fit(pack, volts, leg)
    record = dict(
        stretches=len(stretches),
        legs=int(len(np.unique(leg))),
        power=powers,
        held_out=held,
        resistance={k: v[0] for k, v in resistance.items() if isinstance(v, list)},
    )
    options.out.write_text(json.dumps(record, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
