"""Radio link (docs/reference/models, section 9). f in MHz, distances in m unless said."""

from __future__ import annotations

import math

from quantities import Fields

A_E = 8495e3
C = 299_792_458.0


def free_space(f, d):
    return 32.4478 + 20 * math.log10(f) + 20 * math.log10(d / 1e3)


def two_ray_excess(f, d, h1, h2):
    return max(0.0, 40 * math.log10(d) - 20 * math.log10(h1 * h2) - free_space(f, d))


def knife_edge(nu):
    if nu <= -0.78:
        return 0.0
    return 6.9 + 20 * math.log10(math.sqrt((nu - 0.1) ** 2 + 1) + nu - 0.1)


def _first_term(f, d, h1, h2, radius, eps, sigma, horizontal):
    """P.526-16 §3.1.1: loss by the first term of the residue series."""
    lam = C / (f * 1e6)
    ground = (eps - 1) ** 2 + (60 * lam * sigma) ** 2
    k = (2 * math.pi * radius / lam) ** (-1 / 3) * ground ** (-1 / 4)
    if not horizontal:
        k *= math.sqrt(eps**2 + (60 * lam * sigma) ** 2)
    beta = (1 + 1.6 * k**2 + 0.67 * k**4) / (1 + 4.5 * k**2 + 1.53 * k**4)
    x = beta * (math.pi / (lam * radius**2)) ** (1 / 3) * d
    fx = 11 + 10 * math.log10(x) - 17.6 * x if x >= 1.6 else -20 * math.log10(x) - 5.6488 * x**1.425

    def gain(h):
        b = beta * 2 * beta * (math.pi**2 / (lam**2 * radius)) ** (1 / 3) * h
        if b > 2:
            g = 17.6 * math.sqrt(b - 1.1) - 5 * math.log10(b - 1.1) - 8
        else:
            g = 20 * math.log10(b + 0.1 * b**3)
        return max(g, 2 + 20 * math.log10(k))

    return -(fx + gain(h1) + gain(h2))


def smooth_earth(f, d, h1, h2, eps=80.0, sigma=0.01, horizontal=False, radius=A_E):
    """P.526-16 §3.2: diffraction over a smooth earth at any distance."""
    lam = C / (f * 1e6)
    if d >= math.sqrt(2 * radius) * (math.sqrt(h1) + math.sqrt(h2)):
        return max(0.0, _first_term(f, d, h1, h2, radius, eps, sigma, horizontal))
    c = (h1 - h2) / (h1 + h2)
    m = d**2 / (4 * radius * (h1 + h2))
    b = 2 * math.sqrt((m + 1) / (3 * m)) * math.cos(
        math.pi / 3 + math.acos(max(-1.0, min(1.0, 1.5 * c * math.sqrt(3 * m / (m + 1) ** 3)))) / 3
    )
    d1 = d / 2 * (1 + b)
    d2 = d - d1
    clear = ((h1 - d1**2 / (2 * radius)) * d2 + (h2 - d2**2 / (2 * radius)) * d1) / d
    needed = 0.552 * math.sqrt(max(0.0, d1 * d2 * lam / d))
    if clear > needed or needed == 0:
        return 0.0
    modified = 0.5 * (d / (math.sqrt(h1) + math.sqrt(h2))) ** 2
    loss = _first_term(f, d, h1, h2, modified, eps, sigma, horizontal)
    return max(0.0, (1 - clear / needed) * loss) if loss > 0 else 0.0


def off_axis(phi, width, floor):
    """Gain against that on the axis, dB."""
    return -min(12 * (phi / width) ** 2, floor)


class Link:
    """One link of a mission: the boat's radio against the stations'."""

    def __init__(self, name, mission, vessel, site, shore):
        self.shore = shore
        self.land_height = site.get("land_height", "length", 15.0)
        self.sigma = {"fresh": 0.01, "salt": 5.0}[site.raw("water", "fresh")]
        self.why = None
        boat = [r for r in vessel.raw("radios", []) if r["link"] == name]
        self.pairs = []
        reasons = []
        if not boat:
            self.why = "the vessel has no radio for this link"
            return
        self.boat = Fields(boat[0])
        in_use = {one["station"] for one in mission.raw("stations", [])}
        for station in site.raw("stations", []):
            if station["id"] not in in_use:
                reasons.append(f"{station['id']}: not in use on this mission")
                continue
            for radio in station["radios"]:
                if radio["link"] != name:
                    continue
                fields = Fields(radio)
                azimuth = fields.get("antenna.azimuth", "angle")
                for other in mission.raw("antennas", []):
                    if other["station"] == station["id"] and other["link"] == name:
                        azimuth = Fields(other).get("azimuth", "angle")
                width = fields.get("antenna.beamwidth", "angle")
                if width is not None and azimuth is None:
                    reasons.append(f"{station['id']}: a beamwidth and no azimuth")
                    continue
                f1, f2 = fields.get("frequency", "frequency"), self.boat.get("frequency", "frequency")
                if abs(f1 - f2) > 0.01 * f1:
                    reasons.append(f"{station['id']}: another frequency than the boat's")
                    continue
                at = shore.plane.points([station["at"]])[0]
                self.pairs.append((station["id"], at, fields, azimuth, width))
        if not self.pairs:
            self.why = "; ".join(reasons) or "no station has a radio for this link"

    def margin(self, point):
        """dB, at the best station."""
        return max(self._margin(point, *pair[1:]) for pair in self.pairs)

    def _margin(self, point, at, shore_radio, azimuth, width):
        boat = self.boat
        f = shore_radio.get("frequency", "frequency")
        d = max(1.0, math.dist(at, point))
        h1, h2 = shore_radio.get("antenna.height", "length"), boat.get("antenna.height", "length")
        pol1 = shore_radio.raw("antenna.polarisation", "vertical")
        pol2 = boat.raw("antenna.polarisation", "vertical")
        horizontal = pol1 == pol2 == "horizontal"
        loss = free_space(f, d) + max(
            two_ray_excess(f, d, h1, h2),
            smooth_earth(f, d, h1, h2, 80.0, self.sigma, horizontal),
        )
        loss += self._land(f, at, point, h1, h2)
        if pol1 != pol2:
            loss += 20
        gain = shore_radio.get("antenna.gain", "level") + boat.get("antenna.gain", "level")
        if width is not None:
            bearing = math.degrees(math.atan2(point[0] - at[0], point[1] - at[1]))
            phi = abs((bearing - azimuth + 180) % 360 - 180)
            gain += off_axis(phi, width, shore_radio.get("antenna.front_to_back", "level", 30.0))
        cable = math.sqrt(f / 1000) * h1 + 0.4  # a thin one down the whole mast
        gain -= shore_radio.get("losses", "level", cable) + boat.get("losses", "level", 0.0)
        return min(
            sender.get("transmit_power", "power level") + gain - loss - hearer.get("sensitivity", "power level")
            for sender, hearer in ((shore_radio, boat), (boat, shore_radio))
        )

    def _land(self, f, at, point, h1, h2):
        d = math.dist(at, point)
        if d <= 2:
            return 0.0
        lam = C / (f * 1e6)
        loss = 0.0
        for start, end in self.shore.land_stretches(at, point):
            if start == 0 and end - start <= 50:
                continue
            worst = 0.0
            for d1 in (start, (start + end) / 2, end):
                d1 = min(max(d1, 1.0), d - 1.0)
                d2 = d - d1
                h = self.land_height + d1 * d2 / (2 * A_E) - (h1 + (h2 - h1) * d1 / d)
                worst = max(worst, knife_edge(h * math.sqrt(2 * d / (lam * d1 * d2))))
            loss += worst
        return loss
