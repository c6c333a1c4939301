#!/usr/bin/env python3
"""What the largest inputs cost that offing takes, and that larger ones are refused.

    tests/hostile/costs.py target/release/offing            # all of them, as the table of docs/explanation/security.md
    tests/hostile/costs.py target/debug/offing hazard ring  # those whose names hold one of the words

Each case is laid into a folder of its own: the demo with one mission, and one thing made as large as it may
be, or larger. The processor's time is user and system together, of all threads, as the kernel counts it for
the ended process (`wait4`), and so is the most memory that it held. Nothing is asserted here; tests/hostile
holds the bounds.
"""

import json
import math
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

PLANS = Path(__file__).resolve().parents[2] / "plans"
FILES = [
    "missions/north-bay-lines.yaml",
    "vessels/goosander.yaml",
    "site/quenderby.yaml",
    "site/quenderby-shoreline.geojson",
    "site/quenderby-soundings.geojson",
    "policy/team.yaml",
]
MISSION, VESSEL, SITE, SHORE, SOUNDINGS, POLICY = FILES
# The middle of the reservoir, and metres in a degree there (from memory; good to a percent).
LAT, LON = 52.4005, -24.3000
NORTH, EAST = 111_300.0, 67_900.0
CASES = []


def case(name, *arguments):
    """Names a function that makes a folder, and the arguments of the command."""

    def put(make):
        CASES.append((name, list(arguments) or ["check"], make))
        return make

    return put


def at(east, north):
    return round(LON + east / EAST, 7), round(LAT + north / NORTH, 7)


def yaml_at(east, north):
    lon, lat = at(east, north)
    return f"[{lat:.7f}, {lon:.7f}]"


def unmark(folder):
    """The site marks the dam by two vertices of its shoreline; another one has none there."""
    if "[-24.285339, 52.401111]" not in (folder / SHORE).read_text():
        site = (folder / SITE).read_text()
        (folder / SITE).write_text(site.split("\nstraight_shores:")[0])


def edit(folder, path, old, new):
    file = folder / path
    text = file.read_text()
    assert text.count(old) == 1, f"`{old}` in {path}"
    file.write_text(text.replace(old, new))


def circle(east, north, radius, points):
    turn = 2 * math.pi / points
    ring = [list(at(east + radius * math.cos(turn * n), north + radius * math.sin(turn * n))) for n in range(points)]
    return [*ring, ring[0]]


def area(east, north, radius, points=4):
    return "[" + ", ".join(f"[{lat:.7f}, {lon:.7f}]" for lon, lat in circle(east, north, radius, points)[:-1]) + "]"


def geojson(folder, path, geometries):
    features = [{"type": "Feature", "properties": p, "geometry": g} for g, p in geometries]
    (folder / path).write_text(json.dumps({"type": "FeatureCollection", "features": features}))


def spread(count, wide=900.0, high=300.0):
    """Places over the water and its shores, evenly."""
    columns = max(1, round(math.sqrt(count * wide / high)))
    rows = math.ceil(count / columns)
    for n in range(count):
        x, y = n % columns, n // columns
        yield -wide + 2 * wide * (x + 0.5) / columns, -high + 2 * high * (y + 0.5) / rows


@case("the demo with one mission")
def plain(folder):
    pass


@case("survey 0.1 m apart, 4 800 legs, winds from all sides")
def survey(folder):
    edit(folder, MISSION, "spread: 20°", "spread: 180°")
    edit(folder, MISSION, "spacing: 30 m", "spacing: 0.1 m")


@case("survey 0.05 m apart, more legs than there may be")
def survey_yards(folder):
    edit(folder, MISSION, "spacing: 30 m", "spacing: 0.05 m")


@case("survey of the whole water, 1 m apart")
def survey_wide(folder):
    old = "[[52.399192, -24.309213], [52.399960, -24.305761], [52.401987, -24.306968], [52.401218, -24.310419]]"
    edit(folder, MISSION, old, area(0, 0, 1000))
    edit(folder, MISSION, "spacing: 30 m", "spacing: 1 m")


@case("survey of the whole water, 1 m apart, winds from all sides")
def survey_wide_all(folder):
    edit(folder, MISSION, "spread: 20°", "spread: 180°")
    survey_wide(folder)


@case("survey of an outline of 10 000 corners, a comb")
def survey_comb(folder):
    old = "[[52.399192, -24.309213], [52.399960, -24.305761], [52.401987, -24.306968], [52.401218, -24.310419]]"
    teeth = []
    for n in range(4999):
        x = -600 + 1200 * n / 4999
        teeth.append(yaml_at(x, 100 if n % 2 else -100))
    teeth += [yaml_at(600, -150), yaml_at(-600, -150)]
    edit(folder, MISSION, old, "[" + ", ".join(teeth) + "]")
    edit(folder, MISSION, "spacing: 30 m", "spacing: 5 m")


def legs(folder, count):
    points = "".join(
        f"  - {{ id: w{n}, to: {yaml_at(-500 + 7 * (n % 10), 20 + 5 * (n % 7))}, speed: {{ over_ground: 1.1 m/s }} }}\n"
        for n in range(count)
    )
    edit(folder, MISSION, "route:\n", "route:\n" + points)


@case("route of 490 waypoints, winds from all sides")
def waypoints(folder):
    edit(folder, MISSION, "spread: 20°", "spread: 180°")
    legs(folder, 490)


@case("1 000 keep-out areas, 490 legs")
def keep_outs(folder):
    legs(folder, 490)
    made = "".join(f"  - {{ id: k{n}, title: k, area: {area(x, y, 5)} }}\n" for n, (x, y) in enumerate(spread(990)))
    edit(folder, SITE, "keep_out:\n", "keep_out:\n" + made)


@case("1 000 keep-out areas, survey of 2 400 legs")
def keep_outs_survey(folder):
    edit(folder, MISSION, "spacing: 30 m", "spacing: 0.2 m")
    made = "".join(f"  - {{ id: k{n}, title: k, area: {area(x, y, 5)} }}\n" for n, (x, y) in enumerate(spread(990)))
    edit(folder, SITE, "keep_out:\n", "keep_out:\n" + made)


@case("1 000 hazards, 490 legs")
def hazards(folder):
    legs(folder, 490)
    made = "".join(
        f"  - {{ id: h{n}, kind: rock, title: r, at: {yaml_at(x, y)}, clearance: 3 m }}\n"
        for n, (x, y) in enumerate(spread(990))
    )
    edit(folder, SITE, "hazards:\n", "hazards:\n" + made)


@case("three hazards of 5 000 points each, 490 legs")
def hazard_lines(folder):
    legs(folder, 490)
    for n in range(3):
        line = ", ".join(yaml_at(-800 + 0.3 * m, 150 + 30 * n + (m % 2)) for m in range(5000))
        made = f"  - {{ id: h{n}, kind: moorings, title: r, line: [{line}], clearance: 3 m }}\n"
        edit(folder, SITE, "hazards:\n", "hazards:\n" + made)


@case("40 currents, 490 legs")
def currents(folder):
    legs(folder, 490)
    made = "".join(
        f"  - {{ id: c{n}, area: {area(x, y, 5)}, set: 070°, drift: 0.1 m/s }}\n" for n, (x, y) in enumerate(spread(40, 450, 250))
    )
    edit(folder, SITE, "currents:\n", "currents:\n" + made)


@case("100 stations, 490 legs")
def stations(folder):
    legs(folder, 490)
    made = "".join(
        f"""  - id: s{n}
    title: m
    at: {yaml_at(x, y)}
    radios:
      - link: control
        frequency: 868 MHz
        transmit_power: 14 dBm
        sensitivity: -103 dBm
        losses: 1 dB
        antenna: {{ gain: 2 dBi, height: 5 m, polarisation: vertical }}
"""
        for n, (x, y) in enumerate(spread(90))
    )
    edit(folder, SITE, "stations:\n", "stations:\n" + made)


@case("forecast of 240 hours, 490 legs")
def forecast(folder):
    legs(folder, 490)
    hours = "\n".join(
        f"      - {{ time: 2027-06-{6 + n // 24:02d}T{n % 24:02d}:00, from: {(n * 37) % 360:03d}°, mean: 3 m/s, gust: 5 m/s }}"
        for n in range(240)
    )
    text = (folder / MISSION).read_text()
    wind = next(line for line in text.splitlines() if line.startswith("  wind: "))
    new = (
        "  forecast:\n    source: a met office\n    issued: 2027-06-06T00:00\n    valid_until: 2027-06-16T00:00\n"
        f"    spread: 90°\n    height: 10 m\n    hours:\n{hours}"
    )
    edit(folder, MISSION, wind, new)


@case("rules of a team's own: 1 000, each of 60 operators")
def rules(folder):
    many = " + ".join(["mission.reserve_at_turnaround"] * 30)
    for n in range(1000):
        (folder / "rules").mkdir(exist_ok=True)
        (folder / f"rules/r{n}.yaml").write_text(
            f"kind: rule\nformat: 1\nid: r{n}\ntitle: t\nmeasure: {many}\nat_least: 1 %\nseverity: error\n"
            "why: w\nremedy: r\nsources: [s]\n"
        )


@case("waivers: 50 in each of 100 missions")
def waivers(folder):
    text = (folder / MISSION).read_text()
    one = (
        "  - rule: upwind-run-length\n    for: the leg to w{n}\n    no_worse_than: 1400 m\n    reason: r\n"
        "    approved_by: survey lead\n    approved: 2027-06-05\n    expires: 2027-06-18\n"
    )
    all_of_them = "waivers:\n" + "".join(one.replace("{n}", str(n)) for n in range(50))
    for n in range(100):
        (folder / f"missions/m{n}.yaml").write_text(text.replace("id: north-bay-lines", f"id: m{n}") + all_of_them)


def ringed(folder, rings):
    geojson(folder, SHORE, [({"type": "Polygon", "coordinates": rings}, {})])


def shore(folder):
    return json.loads((folder / SHORE).read_text())["features"][0]["geometry"]["coordinates"]


@case("shoreline of 2 000 islands inside one another")
def rings_nested(folder):
    ringed(folder, [circle(0, 0, 2500, 100)] + [circle(0, 0, 2400 - n, 100) for n in range(2000)])


@case("shoreline of 2 000 waters inside one another")
def waters_nested(folder):
    geojson(
        folder,
        SHORE,
        [({"type": "Polygon", "coordinates": [circle(0, 0, 2500 - n, 100)]}, {}) for n in range(2000)],
    )


@case("shoreline of 2 000 islands of 30 points")
def islands(folder):
    rings = shore(folder) + [circle(x, y, 2, 30) for x, y in spread(2000, 300, 60)]
    ringed(folder, rings)


def fine_shore(folder, points):
    rings = shore(folder)
    ring, fine = rings[0], []
    each = points // (len(ring) - 1)
    for (x1, y1), (x2, y2) in zip(ring, ring[1:]):
        for n in range(each):
            share = n / each
            # Bent by some centimetres, so that no point lies on a straight line.
            bend = 0.01 * math.sin(math.pi * share)
            fine.append([round(x1 + share * (x2 - x1) + bend * (y2 - y1), 10), round(y1 + share * (y2 - y1) - bend * (x2 - x1), 10)])
    ringed(folder, [[*fine, fine[0]]])


@case("shoreline of 300 000 points")
def shoreline(folder):
    fine_shore(folder, 300_000)


@case("shoreline of 1 300 000 points")
def shoreline_most(folder):
    fine_shore(folder, 1_300_000)


def sound(folder, count):
    side = math.ceil(math.sqrt(count))
    rows = []
    for n in range(count):
        lon, lat = at(-1000 + 2000 * (n % side) / side, -450 + 900 * (n // side) / side)
        depth = 3 + 5 * (n % side) / side
        rows.append(
            '{"type":"Feature","properties":{"depth":%.2f},"geometry":{"type":"Point","coordinates":[%.7f,%.7f]}}'
            % (depth, lon, lat)
        )
    (folder / SOUNDINGS).write_text('{"type":"FeatureCollection","features":[' + ",\n".join(rows) + "]}")


@case("260 000 soundings")
def soundings(folder):
    sound(folder, 260_000)


@case("400 000 soundings")
def soundings_many(folder):
    sound(folder, 400_000)


@case("2 000 000 soundings")
def soundings_two(folder):
    sound(folder, 2_000_000)


@case("2 600 000 soundings, more than there may be")
def soundings_more(folder):
    sound(folder, 2_600_000)


def track(folder, rate, hours):
    rows = ["utc,lat,lon"]
    seconds = int(3600 * hours)
    for n in range(seconds * rate):
        second = n / rate
        lon, lat = at(-600 + 400 * math.sin(second / 600), 50 * math.cos(second / 600))
        h, m, s = int(second) // 3600, int(second) // 60 % 60, second % 60
        rows.append(f"2027-06-15T{h:02d}:{m:02d}:{s:04.1f}Z,{lat:.7f},{lon:.7f}")
    (folder / "track.csv").write_text("\n".join(rows) + "\n")
    (folder / "columns.yaml").write_text(
        "kind: track-columns\nformat: 1\ntime: { column: utc, written: ISO 8601 }\nlatitude: { column: lat }\n"
        "longitude: { column: lon }\n"
    )


DEBRIEF = ["debrief", "north-bay-lines", "--track", "track.csv", "--columns", "columns.yaml"]


@case("track of a day at 1 Hz, 86 400 fixes", *DEBRIEF)
def track_hertz(folder):
    track(folder, 1, 24)


@case("track of a day at 10 Hz, 864 000 fixes", *DEBRIEF)
def track_day(folder):
    track(folder, 10, 24)


@case("200 waypoints, every 5 min", "window", "north-bay-lines", "--step", "5 min")
def window(folder):
    legs(folder, 200)


@case("limits, 490 legs", "limits", "north-bay-lines", "--step", "30°")
def limits(folder):
    legs(folder, 490)


@case("one mission of 240 000 values")
def values(folder):
    with (folder / MISSION).open("a") as file:
        file.write("extra: [" + "0," * 240_000 + "0]\n")


@case("20 missions of 240 000 values each")
def values_many(folder):
    text = (folder / MISSION).read_text()
    for n in range(20):
        more = "extra: [" + "0," * 240_000 + "0]\n"
        (folder / f"missions/m{n}.yaml").write_text(text.replace("id: north-bay-lines", f"id: m{n}") + more)


@case("25 000 missions with errors")
def broken(folder):
    (folder / "many").mkdir()
    for n in range(24_990):
        (folder / f"many/{n}.yaml").write_text("kind: mission\nformat: 1\n")


def run(program, arguments, folder):
    """Exit status, seconds of processor, MiB, and what it said."""
    with (folder / "out").open("wb") as out, (folder / "err").open("wb") as err:
        child = subprocess.Popen([program, *arguments], cwd=folder, stdout=out, stderr=err, stdin=subprocess.DEVNULL)
        _, status, used = os.wait4(child.pid, 0)
    child.returncode = 0
    code = os.waitstatus_to_exitcode(status)
    said = ""
    if os.environ.get("OFFING_COSTS_TELL"):
        said = (folder / "err").read_text(errors="replace") + (folder / "out").read_text(errors="replace")
    return code, used.ru_utime + used.ru_stime, used.ru_maxrss // 1024, said


def main():
    program = str(Path(sys.argv[1]).resolve())
    words = sys.argv[2:]
    print("| input | exit status | seconds of processor | MiB |")
    print("|---|---|---|---|")
    for name, arguments, make in CASES:
        if words and not any(word in name for word in words):
            continue
        folder = Path(tempfile.mkdtemp())
        try:
            for path in FILES:
                (folder / path).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy(PLANS / path, folder / path)
            # In a process of its own: what a parent holds would count for the child.
            making = os.fork()
            if making == 0:
                make(folder)
                unmark(folder)
                os._exit(0)
            os.waitpid(making, 0)
            code, seconds, mebibytes, said = run(program, arguments, folder)
        finally:
            shutil.rmtree(folder, ignore_errors=True)
        command = "" if arguments[0] == "check" else f"`offing {arguments[0]}`: "
        print(f"| {command}{name} | {code} | {seconds:.1f} | {mebibytes} |", flush=True)
        if os.environ.get("OFFING_COSTS_TELL"):
            print("    " + "\n    ".join(said.splitlines()[:8]), file=sys.stderr)


if __name__ == "__main__":
    main()
