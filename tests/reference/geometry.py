"""Records distances, land crossings, plane coordinates and geodesics from shapely and pyproj.

    python geometry.py [--plans DIR] [--out FILE]
"""

from __future__ import annotations

import argparse
import json
import math
from pathlib import Path

import numpy as np
import shapely
from pyproj import Geod
from shapely.geometry import LineString

from passage import read_plans, rounded
from plane import Shore

SEED = 1852
GEOD = Geod(a=6378137.0, rf=298.257223563)
# Pairs that a short route never meets: long, across the date line, to a pole, nearly antipodal.
FAR_PAIRS = [
    (0.0, 0.0, 0.0, 90.0),
    (52.4, 179.9, 52.4, -179.9),
    (-41.0, 20.0, 40.5, -160.5),
    (89.9, 0.0, 89.9, 180.0),
    (-60.0, -45.0, 60.0, 45.0),
]


def box(shore, rng, count, grow):
    """Positions, to 1e-7°, spread over the shoreline's bounding box grown about its middle."""
    lat0, lon0 = shore.plane.origin
    low, high = np.vstack([shore.a, shore.b]).min(0), np.vstack([shore.a, shore.b]).max(0)
    half = (high - low) / 2 * grow
    east, north = rng.uniform(-half[0], half[0], count), rng.uniform(-half[1], half[1], count)
    lon = lon0 + np.degrees(east / (6378137 * math.cos(math.radians(lat0))))
    lat = lat0 + np.degrees(north / 6371000)
    return np.round(np.column_stack([lat, lon]), 7)


def record(shore):
    rng = np.random.default_rng(SEED)
    out = {"origin": list(shore.plane.origin), "seed": SEED}

    positions = box(shore, rng, 60, 1.0)
    xy = shore.plane.points(positions)
    out["points"] = [
        {"position": list(map(float, p)), "signed_distance_m": float(d), "in_water": bool(w)}
        for p, d, w in zip(positions, shore.signed(xy), shore.in_water(xy))
    ]

    ends = box(shore, rng, 60, 0.9)
    out["segments"] = []
    for start, end in zip(ends[:30], ends[30:]):
        p, q = shore.plane.points([start, end])
        line = LineString([p, q])
        on_land = [
            {"from_m": min(a), "to_m": max(a)}
            for piece in shapely.get_parts(line.difference(shore.water))
            if not piece.is_empty
            for a in [[math.dist(p, c) for c in piece.coords]]
        ]
        on_land.sort(key=lambda stretch: stretch["from_m"])
        out["segments"].append(
            {
                "from": list(map(float, start)),
                "to": list(map(float, end)),
                "length_m": line.length,
                "distance_to_edges_m": line.distance(shore.edge_lines),
                "clearance_m": shore.clearance(p, q),
                "land_m": sum(s["to_m"] - s["from_m"] for s in on_land),
                "land_stretches": on_land,
            }
        )

    lat0, lon0 = shore.plane.origin
    bearings = rng.uniform(0, 360, 20)
    distances = np.concatenate([rng.uniform(1, 2000, 10), rng.uniform(2000, 20000, 10)])
    out["plane"] = []
    for bearing, distance in zip(bearings, distances):
        lon, lat, _ = GEOD.fwd(lon0, lat0, bearing, distance)
        lat, lon = round(lat, 7), round(lon, 7)
        x, y = shore.plane.xy(lat, lon)
        out["plane"].append({"position": [lat, lon], "x_m": float(x), "y_m": float(y)})

    near = box(shore, rng, 30, 1.0)
    pairs = [(*a, *b) for a, b in zip(near[:15], near[15:])] + FAR_PAIRS
    out["geodesics"] = []
    for lat1, lon1, lat2, lon2 in pairs:
        ahead, back, length = GEOD.inv(lon1, lat1, lon2, lat2)
        out["geodesics"].append(
            {
                "from": [float(lat1), float(lon1)],
                "to": [float(lat2), float(lon2)],
                "distance_m": length,
                "bearing_deg": ahead % 360,
                "bearing_on_arrival_deg": (back + 180) % 360,
            }
        )
    return out


def main():
    here = Path(__file__).resolve().parent
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plans", type=Path, default=here / "../../plans")
    parser.add_argument("--out", type=Path, default=here / "geometry.json")
    args = parser.parse_args()
    found, home = read_plans(args.plans)
    out = {}
    for name, site in sorted(found["site"].items()):
        out[name] = record(Shore(home["site", name] / site.raw("shoreline.file")))
    # Positions are inputs and stay as they are; results are rounded.
    text = json.dumps(exact(out), indent=1, sort_keys=True, allow_nan=False)
    args.out.write_text(text + "\n", encoding="utf-8")


def exact(value, key=None):
    """`rounded`, but for positions."""
    if key in ("position", "from", "to", "origin"):
        return value
    if isinstance(value, dict):
        return {k: exact(v, k) for k, v in value.items()}
    if isinstance(value, list):
        return [exact(v) for v in value]
    return rounded(value)


if __name__ == "__main__":
    main()
