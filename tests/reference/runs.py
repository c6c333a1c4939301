"""Makes the demo's two calibration runs: a boat a little worse than it is stated, in two winds.

    python runs.py [--plans DIR]

The figures that they are made with stand below. Nothing in them was ever measured.
"""

from __future__ import annotations

import argparse
import math
from datetime import datetime, timedelta, timezone
from pathlib import Path

import numpy as np
from pyproj import Geod

from boat import OCV

GEOD = Geod(ellps="WGS84")
HOTEL, TRIAL, DRAG, RESISTANCE = 9.8, 1.06, 0.70, 0.071
AREA, HEIGHT, EFFICIENCY, CAPACITY, CELLS = 0.08, 0.3, 0.45 * 0.70, 9.3 * 3600, 4
SPEED, POWER = [0, 0.4, 0.6, 0.8, 1.0, 1.2, 1.4], [0, 2.1, 6.6, 15, 30, 54, 94]
CENTRE = (52.3987, -24.3073)
STEP = 4.0
RUNS = [
    ("legs-1.csv", "2027-06-15T12:00:00Z", 240.0, 4.5, 11),
    ("legs-2.csv", "2027-06-17T11:30:00Z", 75.0, 6.0, 12),
]
LEGS = [0.7, 0.7, 1.2, 1.2, 0.9, 0.9, 1.2, 1.2, 0.7, 0.7, 0.9, 0.9]


def watts(speed, ahead):
    """Electrical power at a speed through the water with so much wind from ahead at 2 m."""
    ahead = ahead * math.log(HEIGHT / 2e-4) / math.log(2 / 2e-4) + speed
    air = 0.5 * 1.225 * DRAG * AREA * abs(ahead) * ahead
    return HOTEL + TRIAL * float(np.interp(speed, SPEED, POWER)) + air * speed / EFFICIENCY


def record(name, start, wind_from, wind, seed):
    rng = np.random.default_rng(seed)
    time = datetime.fromisoformat(start.replace("Z", "+00:00"))
    lon, lat, _ = GEOD.fwd(CENTRE[1], CENTRE[0], wind_from + 180, 150)
    charge, rows = 0.96, ["time,latitude,longitude,pack,draw"]
    for number, speed in enumerate(LEGS):
        way = 1 if number % 2 == 0 else -1
        course = wind_from if way > 0 else wind_from + 180
        mean = watts(speed, way * wind) + rng.normal(0, 0.5)
        for _ in range(int(270 / STEP)):
            power = mean + rng.normal(0, 2.0)
            rest = CELLS * float(np.interp(charge, np.linspace(0, 1, 11), OCV["nmc"]))
            amps = (rest - math.sqrt(rest * rest - 4 * RESISTANCE * power)) / (2 * RESISTANCE)
            charge -= amps * STEP / CAPACITY
            volts = rest - amps * RESISTANCE + rng.normal(0, 0.005)
            east, north = rng.normal(0, 0.2, 2)
            at = GEOD.fwd(lon, lat, math.degrees(math.atan2(east, north)), math.hypot(east, north))
            stamp = time.astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")
            rows.append(f"{stamp},{at[1]:.7f},{at[0]:.7f},{volts:.3f},{amps:.3f}")
            lon, lat, _ = GEOD.fwd(lon, lat, course, speed * STEP)
            time += timedelta(seconds=STEP)
    return "\n".join(rows) + "\n"


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plans", type=Path, default=Path(__file__).parents[2] / "plans")
    folder = parser.parse_args().plans / "tracks"
    for name, *run in RUNS:
        (folder / name).write_text(record(name, *run), encoding="utf-8")


if __name__ == "__main__":
    main()
