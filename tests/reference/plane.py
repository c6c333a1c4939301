"""The plan's plane and the shoreline in it (docs/reference/models, sections 1 and 10)."""

from __future__ import annotations

import json
import math

import numpy as np
import shapely
from pyproj import Transformer
from shapely.geometry import LineString, MultiLineString, Polygon


class Plane:
    """East and north, in metres, of the horizontal plane that touches WGS 84 at the origin."""

    def __init__(self, lat, lon):
        # numpy's own floats print as `np.float64(…)`, which PROJ would silently read as 0.
        lat, lon = float(lat), float(lon)
        self.origin = (lat, lon)
        self._pipeline = Transformer.from_pipeline(
            "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
            "+step +proj=cart +ellps=WGS84 "
            f"+step +proj=topocentric +ellps=WGS84 +lat_0={lat!r} +lon_0={lon!r} +h_0=0"
        )

    def xy(self, lat, lon):
        """Plane coordinates of positions in degrees at ellipsoidal height 0."""
        lat, lon = np.asarray(lat, float), np.asarray(lon, float)
        east, north, _ = self._pipeline.transform(lon, lat, np.zeros_like(lat))
        return east, north

    def points(self, positions):
        """An (n, 2) array of plane coordinates of [latitude, longitude] pairs."""
        pairs = np.array([[float(p[0]), float(p[1])] for p in positions], float)
        return np.column_stack(self.xy(pairs[:, 0], pairs[:, 1]))


def rings_of(path):
    """All rings of a GeoJSON file, grouped by polygon, as lists of [longitude, latitude]."""
    polygons = []

    def walk(node):
        kind = node["type"]
        if kind == "FeatureCollection":
            for feature in node["features"]:
                walk(feature)
        elif kind == "Feature":
            walk(node["geometry"])
        elif kind == "GeometryCollection":
            for part in node["geometries"]:
                walk(part)
        elif kind == "Polygon":
            polygons.append(node["coordinates"])
        elif kind == "MultiPolygon":
            polygons.extend(node["coordinates"])

    with open(path, encoding="utf-8") as file:
        walk(json.load(file))
    return polygons


class Shore:
    """Water polygons with islands as holes; everything else is land."""

    def __init__(self, path):
        polygons = rings_of(path)
        lonlat = np.array([p[:2] for polygon in polygons for ring in polygon for p in ring], float)
        low, high = lonlat.min(axis=0), lonlat.max(axis=0)
        self.plane = Plane((low[1] + high[1]) / 2, (low[0] + high[0]) / 2)
        flat = []
        self.rings = []
        for polygon in polygons:
            rings = []
            for ring in polygon:
                pairs = np.array([p[:2] for p in ring], float)
                xy = np.column_stack(self.plane.xy(pairs[:, 1], pairs[:, 0]))
                if not np.array_equal(xy[0], xy[-1]):
                    xy = np.vstack([xy, xy[:1]])
                rings.append(xy)
            self.rings.extend(rings)
            flat.append(Polygon(rings[0], rings[1:]))
        self.water = shapely.union_all(flat)
        self.edge_lines = MultiLineString([LineString(r) for r in self.rings])
        self.a = np.vstack([r[:-1] for r in self.rings])
        self.b = np.vstack([r[1:] for r in self.rings])
        shapely.prepare(self.water)
        shapely.prepare(self.edge_lines)

    def in_water(self, xy):
        xy = np.atleast_2d(xy)
        return shapely.intersects_xy(self.water, xy[:, 0], xy[:, 1])

    def signed(self, xy):
        """Signed distance of points to land, negative on land."""
        xy = np.atleast_2d(xy)
        away = shapely.distance(shapely.points(xy), self.edge_lines)
        return np.where(self.in_water(xy), away, -away)

    def clearance(self, p, q):
        """The least signed distance along a segment (deepest inland where it crosses land)."""
        p, q = np.asarray(p, float), np.asarray(q, float)
        line = LineString([p, q])
        if self.in_water(p)[0] and not shapely.intersects(self.edge_lines, line):
            return float(line.distance(self.edge_lines))
        count = max(1, math.ceil(math.dist(p, q)))
        at = self.signed(p + np.linspace(0, 1, count + 1)[:, None] * (q - p))
        if (at < 0).any():
            return float(at.min())
        return float(line.distance(self.edge_lines))

    def crossings(self, p, q):
        """Sorted parameters in (0, 1) at which the segment p–q crosses shoreline edges."""
        p, q = np.asarray(p, float), np.asarray(q, float)
        d = q - p
        side_a = d[0] * (self.a[:, 1] - p[1]) - d[1] * (self.a[:, 0] - p[0])
        side_b = d[0] * (self.b[:, 1] - p[1]) - d[1] * (self.b[:, 0] - p[0])
        hit = (side_a < 0) != (side_b < 0)
        a, b, sa, sb = self.a[hit], self.b[hit], side_a[hit], side_b[hit]
        at = a + (sa / (sa - sb))[:, None] * (b - a)
        t = ((at - p) @ d) / (d @ d)
        return np.sort(t[(t > 0) & (t < 1)])

    def land_stretches(self, p, q):
        """Stretches of land on p–q as (start, end) in metres from p."""
        length = math.dist(p, q)
        if length == 0:
            return []
        marks = [0.0, *self.crossings(p, q), 1.0]
        land = not self.in_water(p)[0]
        out = []
        for low, high in zip(marks, marks[1:]):
            if land:
                out.append((low * length, high * length))
            land = not land
        return out


def outside_discs(p, q, discs):
    """The parts of p–q outside all discs (centre, radius), as (t0, t1) in 0…1, and those inside."""
    p, q = np.asarray(p, float), np.asarray(q, float)
    d = q - p
    cuts = {0.0, 1.0}
    aa = float(d @ d)
    for centre, radius in discs:
        if aa == 0:
            continue
        f = p - centre
        bb, cc = 2 * float(f @ d), float(f @ f) - radius**2
        root = bb * bb - 4 * aa * cc
        if root > 0:
            for sign in (-1, 1):
                t = (-bb + sign * math.sqrt(root)) / (2 * aa)
                if 0 < t < 1:
                    cuts.add(t)
    marks = sorted(cuts)
    outside, inside = [], []
    for low, high in zip(marks, marks[1:]):
        middle = p + (low + high) / 2 * d
        held = any(math.dist(middle, c) <= r for c, r in discs)
        (inside if held else outside).append((low, high))
    return outside, inside


def area(points):
    """A polygon by the even-odd rule, also where its ring crosses itself."""
    shape = Polygon(points)
    return shape if shape.is_valid else shapely.make_valid(shape)
