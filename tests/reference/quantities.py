"""Quantities as the plan files write them: a number and a unit in one string, to SI units."""

from __future__ import annotations

import math
import re
from datetime import datetime
from zoneinfo import ZoneInfo

DEGREE = math.pi / 180

UNITS = {
    "length": {"m": 1, "km": 1e3, "cm": 1e-2, "mm": 1e-3, "nmi": 1852, "NM": 1852, "ft": 0.3048},
    "speed": {"m/s": 1, "km/h": 1 / 3.6, "kn": 1852 / 3600, "kt": 1852 / 3600, "cm/s": 1e-2},
    "duration": {"s": 1, "min": 60, "h": 3600, "d": 86400, "day": 86400, "days": 86400},
    "angle": {"°": 1, "deg": 1, "rad": 1 / DEGREE},  # kept in degrees
    "share": {"%": 1e-2, "": 1},
    "power": {"W": 1, "kW": 1e3, "mW": 1e-3},
    "mass": {"kg": 1, "g": 1e-3, "t": 1e3},
    "area": {"m2": 1, "m²": 1, "cm2": 1e-4, "cm²": 1e-4},
    "voltage": {"V": 1, "mV": 1e-3, "kV": 1e3},
    "charge": {"Ah": 3600, "mAh": 3.6, "C": 1},  # in coulombs
    "resistance": {"ohm": 1, "mohm": 1e-3, "Ω": 1, "mΩ": 1e-3, "Ohm": 1, "mOhm": 1e-3},
    "frequency": {"Hz": 1e-6, "kHz": 1e-3, "MHz": 1, "GHz": 1e3},  # in MHz
    "level": {"dB": 1, "dBi": 1},
    "temperature": {"°C": 1, "degC": 1, "C": 1},
}

_SHAPE = re.compile(r"\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*")


def quantity(text: str, kind: str) -> float:
    """The value of `text` in the unit that this module keeps for `kind`."""
    shape = _SHAPE.fullmatch(text)
    if not shape:
        raise ValueError(f"not a quantity: {text!r}")
    number, unit = float(shape[1]), shape[2]
    if kind == "power level":  # dBm
        if unit == "dBm":
            return number
        if unit == "dBW":
            return number + 30
        return 10 * math.log10(number * UNITS["power"][unit] * 1e3)
    if kind == "temperature" and unit == "K":
        return number - 273.15
    if unit not in UNITS[kind]:
        raise ValueError(f"not a {kind}: {text!r}")
    return number * UNITS[kind][unit]


class Fields:
    """A mapping of a plan file, read by dotted paths with a default for what is not said."""

    def __init__(self, data):
        self.data = data

    def has(self, path):
        return self.raw(path) is not None

    def raw(self, path, default=None):
        here = self.data
        for key in path.split("."):
            if not isinstance(here, dict) or key not in here:
                return default
            here = here[key]
        return here

    def get(self, path, kind, default=None):
        """The quantity at `path`; `default` is already in this module's unit."""
        text = self.raw(path)
        return default if text is None else quantity(text, kind)

    def number(self, path, default=None):
        text = self.raw(path)
        return default if text is None else float(text)


def moment(text, zone):
    """A point in time; one without an offset is in the site's time zone."""
    when = datetime.fromisoformat(text)
    return when if when.tzinfo else when.replace(tzinfo=ZoneInfo(zone))
