"""Wind, scenarios, fetch and waves (docs/reference/models, sections 3 to 5)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

import waves
from quantities import moment, quantity

G = 9.80665
Z0 = 2e-4
GUST_FACTOR, LEAST_GUST_FACTOR = 1.66, 1.52
SURFACE_DRIFT = 0.03


def to_10m(speed, z):
    if not 1 <= z <= 30:
        raise ValueError(f"wind stated for {z} m: outside 1…30 m")
    return speed * max((10 / z) ** (1 / 7), math.log(10 / Z0) / math.log(z / Z0))


def to_hull(u10, z):
    if not 0.1 <= z <= 10:
        raise ValueError(f"hull's wind height {z} m: outside 0.1…10 m")
    return u10 * math.log(z / Z0) / math.log(10 / Z0)


def gust_to_10m(mean, gust, z):
    """The gust at 10 m, its excess over the mean never less than at the stated height."""
    return max(to_10m(gust, z), to_10m(mean, z) + gust - mean)


def averaging(t):
    """U_t / U_3600."""
    if t <= 3600:
        return 1.277 + 0.296 * math.tanh(0.9 * math.log10(45 / t))
    return 1.5334 - 0.15 * math.log10(t)


@dataclass
class Wind:
    """Direction from and spread in degrees; mean and gust at 10 m in m/s."""

    origin: float
    spread: float
    mean: float
    gust: float

    def directions(self):
        n = math.ceil(self.spread / 5 - 1e-9)
        if n == 0:
            return [self.origin % 360]
        return [(self.origin - self.spread + k * self.spread / n) % 360 for k in range(2 * n + 1)]


def planned_wind(mission, zone):
    """The mission's wind, an hourly forecast enveloped; None where no conditions are stated."""
    if mission.has("conditions.wind"):
        mean = mission.get("conditions.wind.mean", "speed")
        gust = mission.get("conditions.wind.gust", "speed", GUST_FACTOR * mean)
        gust = max(gust, LEAST_GUST_FACTOR * mean)
        z = mission.get("conditions.wind.height", "length", 10.0)
        return Wind(
            mission.get("conditions.wind.from", "angle"),
            mission.get("conditions.wind.spread", "angle", 30.0),
            to_10m(mean, z),
            gust_to_10m(mean, gust, z),
        )
    if not mission.has("conditions.forecast"):
        return None
    hours = mission.raw("conditions.forecast.hours")
    begins = [moment(h["time"], zone) for h in hours]
    ends = begins[1:] + [begins[-1] + timedelta(hours=1)]
    first = moment(mission.raw("launch.time"), zone)
    last = None
    if mission.has("launch.latest_return"):
        last = moment(mission.raw("launch.latest_return"), zone)
        last += timedelta(seconds=mission.get("launch.delay", "duration", 0.0))
    held = [h for h, a, b in zip(hours, begins, ends) if b > first and (last is None or a <= last)]
    if not held:
        raise ValueError("the forecast has no hour within the mission's time")
    middle, half = smallest_arc([quantity(h["from"], "angle") for h in held])
    z = mission.get("conditions.forecast.height", "length", 10.0)
    means = [quantity(h["mean"], "speed") for h in held]
    gusts = [max(quantity(h["gust"], "speed"), LEAST_GUST_FACTOR * m) for h, m in zip(held, means)]
    return Wind(
        middle,
        min(180.0, mission.get("conditions.forecast.spread", "angle") + half),
        to_10m(max(means), z),
        gust_to_10m(max(means), max(gusts), z),
    )


def carried(track, current, downwind, mean, wind, leeway):
    """What carries a boat off: the current, and against it what the wind blows along, as arrays of vectors.

    `mean` is the sustained wind, which moves the water; `wind` the one that moves the boat.
    """
    side = np.column_stack([track[:, 1], -track[:, 0]])
    part = lambda vectors, axis: (vectors * axis).sum(1)
    along = part(current, track) + np.minimum(SURFACE_DRIFT * mean * part(downwind, track), 0)
    across = part(current, side)
    blown = max(SURFACE_DRIFT * mean, leeway * wind) * part(downwind, side)
    together = np.where(
        across * blown >= 0,
        across + blown,
        np.where(np.abs(across) >= np.abs(blown), across, blown),
    )
    return along[:, None] * track + together[:, None] * side


def steepened(h, t, against):
    """Height of waves on a current that sets against them by so much, 0 or less where it does not.

    The demo's currents are too weak for waves to break on them, so that their greatest height is left out.
    """
    calm = G * t / (2 * math.pi)
    some = (h > 0) & np.isfinite(t) & (against > 0)
    c0, u = np.where(some, calm, 1.0), np.where(some, against, 0.0)
    ratio = 0.5 * (1 + np.sqrt(np.maximum(1 - 4 * u / c0, 0)))
    c = ratio * c0
    group = np.maximum(c * (c - 2 * u), 0)
    grown = np.where(group > 0, h * c0 / np.sqrt(np.where(group > 0, group, 1)), np.inf)
    return np.where(some, np.maximum(h, grown), h)


def smallest_arc(directions):
    """Middle and half width, in degrees, of the smallest arc that holds all directions."""
    around = sorted({d % 360 for d in directions})
    gaps = [(around[(i + 1) % len(around)] - d) % 360 or 360 for i, d in enumerate(around)]
    widest = max(range(len(gaps)), key=gaps.__getitem__)
    width = 360 - gaps[widest]
    return (around[(widest + 1) % len(around)] + width / 2) % 360, width / 2


def growth(u, fetch, depth):
    """Height, shortest and longest period for arrays of winds and fetches; no waves: 0, ∞, 0."""
    u, fetch = np.broadcast_arrays(np.asarray(u, float), np.asarray(fetch, float))
    h, short, long = np.zeros(fetch.shape), np.full(fetch.shape, np.inf), np.zeros(fetch.shape)
    some = (fetch > 0) & (u > 0)
    if some.any():
        h[some] = waves.breugem_holthuijsen(u[some], fetch[some], depth)[0]
        periods = np.array([method(u[some], fetch[some], depth)[1] for method in waves.METHODS.values()])
        short[some], long[some] = periods.min(0), periods.max(0)
    return h, short, long


def mean_fetches(radials):
    """Means over 15° about each of 120 radials 3° apart (last axis)."""
    weights = {0: 9, 1: 9, 2: 8, 3: 1}
    return sum(weights[abs(k)] * np.roll(radials, -k, axis=-1) for k in range(-3, 4)) / 45


def along_and_chief(means, off):
    """Of a wind `off` degrees from the first of the radials: its own fetch, the chief one, and its angle."""
    place = off / 3
    low = math.floor(place)
    a, b = means[..., low % 120], means[..., (low + 1) % 120]
    along = a + (place - low) * (b - a)
    with np.errstate(divide="ignore"):
        best, chief, angle = np.log(along), along.copy(), np.zeros(along.shape)
        reach = 78 / 3 + 1e-9
        for k in range(math.ceil(place - reach), math.floor(place + reach) + 1):
            phi = (k - place) * 3
            effect = np.log(means[..., k % 120]) + 22 / 9 * math.log(math.cos(math.radians(phi)))
            better = effect > best + 1e-6
            best = np.where(better, effect, best)
            chief = np.where(better, means[..., k % 120], chief)
            angle = np.where(better, phi, angle)
    return along, chief, angle


class Sea:
    """Waves on the lattice, for each direction at the mean and at the gust."""

    SPACING, FAR = 50.0, 50e3

    def __init__(self, shore, depth, wind, launch):
        self.shore, self.depth, self.wind = shore, depth, wind
        turn = math.radians(wind.origin)
        self.axes = np.array([[math.sin(turn), math.cos(turn)], [math.cos(turn), -math.sin(turn)]])
        # The launch point is the middle of a cell.
        self.anchor = np.asarray(launch, float) - self.SPACING / 2 * self.axes.sum(axis=0)
        self.directions = wind.directions()
        self._known = {}

    def at(self, points):
        """Height, shortest period and degrees that waves come from, at the mean; height and shortest
        period at the gust; each points × directions. The greatest height, the shortest period, and the
        direction of the highest node. No waves: height 0, period ∞."""
        cell = np.floor((np.asarray(points) - self.anchor) @ self.axes.T / self.SPACING).astype(int)
        corners = cell[:, None, :] + np.array([[0, 0], [0, 1], [1, 0], [1, 1]])
        wanted = {tuple(n) for n in corners.reshape(-1, 2)}
        self._reckon(sorted(wanted - self._known.keys()))
        table = np.array([[self._known[tuple(n)] for n in four] for four in corners.tolist()])
        if len(table) == 0:
            return (np.zeros((0, len(self.directions))),) * 5
        # table: points × corners × 5 × directions
        highest = table[:, :, 0].argmax(1)[:, None]
        origin = np.take_along_axis(table[:, :, 2], highest, 1)[:, 0]
        return table[:, :, 0].max(1), table[:, :, 1].min(1), origin, table[:, :, 3].max(1), table[:, :, 4].min(1)

    def _reckon(self, nodes):
        if not nodes:
            return
        xy = self.anchor + np.array(nodes) * self.SPACING @ self.axes
        radials = [self.fetch(xy, (self.wind.origin + 3 * k) % 360) for k in range(120)]
        means = mean_fetches(np.array(radials).T)
        rows = []
        for direction in self.directions:
            off = (direction - self.wind.origin + 180) % 360 - 180
            along, chief, angle = along_and_chief(means, off)
            row = []
            for u in (self.wind.mean, self.wind.gust):
                height = growth(u, along, self.depth)[0]
                chief_height, shortest, _ = growth(u * np.cos(np.radians(angle)), chief, self.depth)
                row += [np.maximum(height, chief_height), shortest]
            # Where the fetch is nothing there are no waves, and they come from where the wind does.
            rows.append([*row[:2], (direction + angle) % 360, *row[2:]])
        values = np.array(rows).transpose(2, 1, 0)  # nodes × 5 × directions
        for node, value in zip(nodes, values):
            self._known[node] = value

    def fetch(self, xy, bearing):
        """Distance from points to the first shoreline edge towards `bearing`; 0 on land."""
        turn = math.radians(bearing)
        ahead = np.array([math.sin(turn), math.cos(turn)])
        aside = np.array([math.cos(turn), -math.sin(turn)])
        px, py = xy @ ahead, xy @ aside
        order = np.argsort(py)
        py = py[order]
        ax, ay = self.shore.a @ ahead, self.shore.a @ aside
        bx, by = self.shore.b @ ahead, self.shore.b @ aside
        low = np.searchsorted(py, np.minimum(ay, by), "left")
        high = np.searchsorted(py, np.maximum(ay, by), "left")
        count = high - low
        edge = np.repeat(np.arange(len(ax)), count)
        which = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + low[edge]
        share = (py[which] - ay[edge]) / (by[edge] - ay[edge])
        away = ax[edge] + share * (bx[edge] - ax[edge]) - px[order][which]
        best = np.full(len(xy), self.FAR)
        good = away >= 0
        np.minimum.at(best, which[good], away[good])
        out = np.empty(len(xy))
        out[order] = best
        out[~self.shore.in_water(xy)] = 0
        return out
