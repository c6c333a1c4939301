"""Records straight-line fetches over a real lake from shapely, in the plane of pyproj.

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

SEED = 1852
POINTS = 40
BEARINGS = 15
REACH = 50_000.0


def fetch(shore, at, bearing):
    """Distance from a point, along a bearing of the plane, to the first edge."""
    angle = math.radians(bearing)
    end = at + REACH * np.array([math.sin(angle), math.cos(angle)])
    met = shapely.get_coordinates(LineString([at, end]).intersection(shore.edge_lines))
    return min(math.dist(at, p) for p in met)


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
    out = {
        "seed": SEED,
        "origin": list(shore.plane.origin),
        "area_m2": rounded(shore.water.area),
        "fetches": rows,
    }
    args.out.write_text(json.dumps(out, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
