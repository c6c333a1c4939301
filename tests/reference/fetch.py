"""Records straight-line fetches over a real lake from shapely, in the plane of pyproj; fetches past an
edge of it that is marked open; and along which fetch a wind raises the highest waves.

    python fetch.py [--lake FILE] [--out FILE]
"""

from __future__ import annotations

import argparse
import json
import math
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry import LineString

from geometry import box
from passage import rounded
from plane import Shore
from weather import along_and_chief, mean_fetches

SEED = 1852
POINTS = 40
BEARINGS = 15
REACH = 50_000.0
OPEN = 3000.0


def fetch(shore, at, bearing):
    """Distance from a point, along a bearing of the plane, to the first edge."""
    angle = math.radians(bearing)
    end = at + REACH * np.array([math.sin(angle), math.cos(angle)])
    met = shapely.get_coordinates(LineString([at, end]).intersection(shore.edge_lines))
    return min(math.dist(at, p) for p in met)


def met(shore, at, bearing):
    """Distance to the first edge and the number of that edge."""
    angle = math.radians(bearing)
    end = at + REACH * np.array([math.sin(angle), math.cos(angle)])
    ray = LineString([at, end])
    best = (math.inf, None)
    for edge in np.flatnonzero(shapely.intersects(shore.every_edge, ray)):
        for p in shapely.get_coordinates(shore.every_edge[edge].intersection(ray)):
            best = min(best, (math.dist(at, p), int(edge)))
    return best


def open_rows(shore, afloat):
    """Fetches past the longest edge of the lake, as if it were open for 3 km."""
    shore.every_edge = np.array([LineString([a, b]) for a, b in zip(shore.a, shore.b)])
    longest = int(np.argmax(np.hypot(*(shore.b - shore.a).T)))
    ends = [shore.a[longest], shore.b[longest]]
    rows = []
    for position in afloat:
        at = shore.plane.points([position])[0]
        for share in (0.1, 0.5, 0.9):
            aim = ends[0] + share * (ends[1] - ends[0]) - at
            bearing = round(math.degrees(math.atan2(*aim)) % 360, 3)
            distance, edge = met(shore, at, bearing)
            past = OPEN if edge == longest else 0.0
            rows.append(
                {
                    "position": list(map(float, position)),
                    "from_deg": bearing,
                    "fetch_m": rounded(min(distance + past, REACH)),
                    "over_open_edge": edge == longest,
                }
            )
    return longest, rows


def chief_rows(shore, afloat, rng):
    rows = []
    for position in afloat[:12]:
        at = shore.plane.points([position])[0]
        base = float(round(rng.uniform(0, 360), 3))
        radials = np.array([[min(fetch(shore, at, base + 3 * k), REACH) for k in range(120)]])
        means = mean_fetches(radials)
        for off in (-25.0, -10.0, 0.0, 4.0, 31.5):
            along, chief, angle = (float(v[0]) for v in along_and_chief(means, off))
            rows.append(
                {
                    "position": list(map(float, position)),
                    "base_deg": base,
                    "off_base_deg": off,
                    "along_m": rounded(along),
                    "chief_m": rounded(chief),
                    "off_wind_deg": rounded(angle),
                }
            )
    return rows


def main():
    here = Path(__file__).resolve().parent
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lake", type=Path, default=here / "../data/real/lake.geojson")
    parser.add_argument("--out", type=Path, default=here / "fetch.json")
    args = parser.parse_args()
    shore = Shore(args.lake)
    rng = np.random.default_rng(SEED)
    rows = []
    positions = box(shore, rng, 400, 1.0)
    afloat = positions[shore.in_water(shore.plane.points(positions))][:POINTS]
    for position in afloat:
        at = shore.plane.points([position])[0]
        for bearing in np.round(rng.uniform(0, 360, BEARINGS), 3):
            rows.append(
                {
                    "position": list(map(float, position)),
                    "from_deg": float(bearing),
                    "fetch_m": rounded(fetch(shore, at, bearing)),
                }
            )
    longest, past = open_rows(shore, afloat)
    out = {
        "open_edge": longest,
        "open_fetch_m": OPEN,
        "past_open_edge": past,
        "chief": chief_rows(shore, afloat, rng),
        "seed": SEED,
        "origin": list(shore.plane.origin),
        "area_m2": rounded(shore.water.area),
        "fetches": rows,
    }
    args.out.write_text(json.dumps(out, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
