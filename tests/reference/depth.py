"""Water under the keel by soundings (docs/reference/models, sections 16 and 22)."""

from __future__ import annotations

import json
import math

import numpy as np
import shapely
from shapely.geometry import MultiPoint, Polygon

from plane import outside_discs
from quantities import quantity

WAVES = 1000.0
EXCEEDANCE = 0.10


class Bed:
    """Flat triangles between soundings."""

    def __init__(self, path, plane, longest):
        with open(path, encoding="utf-8") as file:
            features = json.load(file)["features"]
        lonlat = np.array([f["geometry"]["coordinates"] for f in features], float)
        self.at = np.column_stack(plane.xy(lonlat[:, 1], lonlat[:, 0]))
        self.depth = np.array([f["properties"]["depth"] for f in features], float)
        known = {tuple(p): d for p, d in zip(self.at, self.depth)}
        self.triangles, self.planes = [], []
        for shape in shapely.delaunay_triangles(MultiPoint(self.at)).geoms:
            corners = np.array(shape.exterior.coords)[:3]
            if max(math.dist(corners[i], corners[i - 1]) for i in range(3)) > longest:
                continue
            depths = [known[tuple(c)] for c in corners]
            self.triangles.append(shape)
            self.planes.append(np.linalg.solve(np.column_stack([corners, np.ones(3)]), depths))
        self.tree = shapely.STRtree(self.triangles)

    def under(self, p, q, half):
        """Least depth and known share of the rectangle that reaches half past the sides and ends."""
        p, q = np.asarray(p, float), np.asarray(q, float)
        unit = (q - p) / math.dist(p, q)
        side = np.array([-unit[1], unit[0]])
        a, b = p - half * unit, q + half * unit
        strip = Polygon([a + half * side, b + half * side, b - half * side, a - half * side])
        least, known = math.inf, 0.0
        for i in self.tree.query(strip):
            part = self.triangles[i].intersection(strip)
            if part.is_empty:
                continue
            known += part.area
            xy = shapely.get_coordinates(part)
            least = min(least, float((np.column_stack([xy, np.ones(len(xy))]) @ self.planes[i]).min()))
        return least, known / strip.area


def measures(plan, significant, folder):
    """The least water under the keel, and the unknown share."""
    site = plan.site
    bed = Bed(folder / site.raw("soundings.file"), plan.shore.plane, site.get("soundings.longest_edge", "length"))
    level = site.get("water_level.above_datum", "length")
    error = math.hypot(site.get("soundings.error", "length"), site.get("water_level.error", "length"))
    lowered = max(0.0, site.get("water_level.error", "length") - level)
    off = plan.vessel.get("hull.draft", "length")
    each = 1 - (1 - EXCEEDANCE) ** (1 / WAVES)
    off += 0.5 * significant * max(1.0, math.sqrt(-0.5 * math.log(each)))
    places = {p["id"]: p for p in site.raw("launch_sites")}
    ends = [places[plan.mission.raw("launch.place")], places[plan.mission.raw("recovery.place")]]
    stated = min(quantity(place["depth"], "length") for place in ends)
    lines = list(zip(plan.a, plan.b))
    if plan.straight_home:
        lines += plan.straight_ways()
    least, unknown = math.inf, [0.0, 0.0]
    total = [0.0, 0.0]
    for number, (p, q) in enumerate(lines):
        home = int(number >= len(plan.a))
        outside, inside = outside_discs(p, q, plan.zones)
        total[home] += math.dist(p, q)
        if inside:
            least = min(least, stated - lowered - off)
        for low, high in outside:
            a, b = p + low * (q - p), p + high * (q - p)
            if math.dist(a, b) < 1e-9:
                continue
            depth, known = bed.under(a, b, plan.half_width)
            least = min(least, depth + level - error - off)
            if known < 1 - 1e-6:
                unknown[home] += (1 - known) * math.dist(a, b)
    shares = [u / t if t else 0.0 for u, t in zip(unknown, total)]
    return {"under_keel": least, "depth_unknown": max(shares)}
