"""A survey block into sounding lines (docs/reference/models, section 2)."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import LineString


def sounding_lines(ring, direction, spacing, clear, shore, here):
    """Lines in the order they are run, each a pair of points; `here` is where the boat comes from."""
    turn = math.radians(direction)
    v_axis = np.array([math.sin(turn), math.cos(turn)])
    u_axis = np.array([math.cos(turn), -math.sin(turn)])
    u, v = ring @ u_axis, ring @ v_axis
    keep = None
    if clear > 0:
        keep = shore.water.difference(shore.edge_lines.buffer(clear, quad_segs=512))
        shapely.prepare(keep)

    rows = []
    k = 0
    while True:
        at = u.min() + spacing / 2 + k * spacing
        if at >= u.max():
            break
        rows.append(_parts(u, v, at, u_axis, v_axis, keep))
        k += 1
    cells = _cells(rows)

    out = []
    while cells:
        _, cell, first, low = min(
            (
                (math.dist(here, _end(c, first, low, rows, u.min(), spacing, u_axis, v_axis)), c, first, low)
                for c in cells
                for first in (True, False)
                for low in (True, False)
            ),
            # Nearest; ties to the lower line number, then to the lower v.
            key=lambda o: (round(o[0], 6), o[1][0 if o[2] else -1][0], _v(o[1], o[2], o[3])),
        )
        cells.remove(cell)
        for number, (a, b) in cell if first else reversed(cell):
            at = u.min() + spacing / 2 + number * spacing
            ends = [at * u_axis + a * v_axis, at * u_axis + b * v_axis]
            if not low:
                ends.reverse()
            out.append((ends[0], ends[1]))
            here = ends[1]
            low = not low
    return out


def _parts(u, v, at, u_axis, v_axis, keep):
    u2, v2 = np.roll(u, -1), np.roll(v, -1)
    hit = (u <= at) != (u2 <= at)
    crossings = np.sort(v[hit] + (at - u[hit]) / (u2[hit] - u[hit]) * (v2[hit] - v[hit]))
    parts = []
    for a, b in zip(crossings[::2], crossings[1::2]):
        if keep is None:
            parts.append((float(a), float(b)))
            continue
        line = LineString([at * u_axis + a * v_axis, at * u_axis + b * v_axis])
        for piece in shapely.get_parts(line.intersection(keep)):
            if piece.geom_type == "LineString" and not piece.is_empty:
                ends = np.array(piece.coords) @ v_axis
                parts.append((float(ends.min()), float(ends.max())))
    return sorted(p for p in parts if p[1] - p[0] >= 1)


def _cells(rows):
    cells, open_cells = [], {}
    for number, parts in enumerate(rows):
        before = rows[number - 1] if number else []
        overlap = [[i for i, o in enumerate(before) if min(p[1], o[1]) > max(p[0], o[0])] for p in parts]
        back = [[j for j, hits in enumerate(overlap) if i in hits] for i in range(len(before))]
        now = {}
        for j, part in enumerate(parts):
            if len(overlap[j]) == 1 and len(back[overlap[j][0]]) == 1:
                cell = open_cells[overlap[j][0]]
            else:
                cell = []
                cells.append(cell)
            cell.append((number, part))
            now[j] = cell
        open_cells = now
    return cells


def _v(cell, first, low):
    return cell[0 if first else -1][1][0 if low else 1]


def _end(cell, first, low, rows, u_min, spacing, u_axis, v_axis):
    number = cell[0 if first else -1][0]
    return (u_min + spacing / 2 + number * spacing) * u_axis + _v(cell, first, low) * v_axis
