#!/usr/bin/env python3
"""Makes the demo's season: a repository in which a team ran eight plans, as git writes it out.

What it wrote is kept. It is run again only where the fields or the rules of the plans have changed so that
the launches of the season would no longer be decided as its story tells. The clock of the program is put
forward by `faketime`, since the season is an invented one.

It needs `faketime`, of the Debian package of that name.

usage: tests/program/history/season_2027.py target/debug/offing
"""
import json
import math
import os
import re
import shutil
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta, timezone
from pathlib import Path

OFFING = Path(sys.argv[1]).resolve()
DEMO = Path(__file__).resolve().parents[3]
SEASON = DEMO / "plans/season-2027.fast-export"
TAMPERED = DEMO / "tests/data/season-2027-tampered.fast-export"
FILES = [
    "missions/north-bay-lines.yaml", "missions/dam-to-bay-transects.yaml", "missions/headwind-return.yaml",
    "orders/from-the-slip.yaml", "orders/from-the-dam.yaml", "policy/team.yaml", "rules/second-try.yaml", "vessels/goosander.yaml", "site/quenderby.yaml",
    "site/quenderby-shoreline.geojson", "site/quenderby-soundings.geojson",
]
LOCAL = timezone(timedelta(hours=-2))  # the reservoir's own time
root = Path(tempfile.mkdtemp())
TICKED = "gauge-set,end-action-seen,stop-tried,logging-on"


def run(command, when=None, good=(0,)):
    environment = dict(os.environ)
    if when:
        stamp = when.strftime("%Y-%m-%dT%H:%M:%S+00:00")
        environment |= {"GIT_AUTHOR_DATE": stamp, "GIT_COMMITTER_DATE": stamp}
        if str(command[0]) == str(OFFING):
            command = ["faketime", "-f", when.strftime("%Y-%m-%d %H:%M:%S"), *command]
            environment["TZ"] = "UTC"
    done = subprocess.run([str(c) for c in command], cwd=root, env=environment, capture_output=True, text=True)
    if done.returncode not in good:
        sys.exit(f"{command}: {done.returncode}\n{done.stdout}{done.stderr}")
    return done.stdout


def commit(message, when):
    run(["git", "add", "--all"])
    if not run(["git", "status", "--porcelain"]):
        return
    run(["git", "-c", "user.name=survey lead", "-c", "user.email=survey-lead@example.com", "-c",
         "commit.gpgsign=false", "commit", "--quiet", "--message", message], when)


def move(mission, day):
    """The mission moved to a day; its file has one day and the day before it."""
    path = root / "missions" / f"{mission}.yaml"
    text = path.read_text()
    old = re.search(r"time: (\d{4}-\d\d-\d\d)T", text).group(1)
    before = lambda d: (datetime.fromisoformat(d) - timedelta(days=1)).date().isoformat()
    text = text.replace(old, "THE-DAY").replace(before(old), before(day)).replace("THE-DAY", day)
    path.write_text(text)


def track(mission, name, start, speed, share, draw):
    """A run along the route as it is written out: a sample every 30 s, so far as the run went."""
    out = run([OFFING, "export", mission, "--to", "geojson", "--despite-findings"])
    points = next(f["geometry"]["coordinates"] for f in json.loads(out)["features"]
                  if f["geometry"]["type"] == "LineString")
    metres = lambda a, b: math.hypot((b[0] - a[0]) * 111320 * math.cos(math.radians(a[1])), (b[1] - a[1]) * 111320)
    length = sum(metres(a, b) for a, b in zip(points, points[1:])) * share
    rows, gone, time, used = ["time,lat,lon,volts,amps"], 0.0, start, 0.0
    while True:
        left, at = min(gone, length), points[-1]
        for a, b in zip(points, points[1:]):
            m = metres(a, b)
            if left <= m and m > 0:
                at = [a[i] + (b[i] - a[i]) * left / m for i in (0, 1)]
                break
            left -= m
        amps = draw * (1 + 0.15 * math.sin(gone / 70.0))
        volts = 16.3 - used / 60.0 - amps * 0.06
        rows.append(f"{time:%Y-%m-%dT%H:%M:%SZ},{at[1]:.6f},{at[0]:.6f},{volts:.2f},{amps:.2f}")
        used += amps * volts * 30 / 3600
        if gone >= length:
            break
        gone += speed * 30
        time += timedelta(seconds=30)
    (root / "tracks").mkdir(exist_ok=True)
    (root / "tracks" / f"{name}.csv").write_text("\n".join(rows) + "\n")
    return time, used


def day(mission, when, wind, battery, conditions, outcome="completed", share=1.0, draw=2.1, near=(), by="survey lead"):
    launched = datetime.fromisoformat(when).replace(tzinfo=LOCAL).astimezone(timezone.utc)
    date = when[:10]
    move(mission, date)
    commit(f"Plan {mission} for {date}", launched - timedelta(hours=16))
    run([OFFING, "launch", mission, "--plans", ".", "--wind", wind, "--battery", battery, "--by", by, "--ticked", TICKED], launched)
    commit(f"Launch {mission}", launched + timedelta(minutes=2))
    name = f"{mission}-{date}"
    ended, used = track(mission, name, launched, 0.95, share, draw)
    recorded = ended + timedelta(hours=3)
    command = [OFFING, "record", mission, "--plans", ".", "--track", f"tracks/{name}.csv", "--kept", f"tracks/{name}.csv",
               "--columns", "tracks/columns.yaml", "--outcome", outcome, "--ended", ended.strftime("%Y-%m-%dT%H:%M:%SZ"), "--by", by,
               "--energy", f"{used:.1f} Wh", "--conditions", conditions]
    for one in near:
        command += ["--near-miss", one]
    run(command, recorded)
    commit(f"Record {mission} of {date}", recorded + timedelta(minutes=5))


for path in FILES:
    (root / path).parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(DEMO / "plans" / path, root / path)
(root / "tracks").mkdir()
(root / "tracks/columns.yaml").write_text(
    "kind: track-columns\nformat: 1\ntime: { column: time, written: ISO 8601 }\nlatitude: { column: lat }\nlongitude: { column: lon }\n"
    "voltage: { column: volts, unit: V }\ncurrent: { column: amps, unit: A }\n")
path = root / "missions/headwind-return.yaml"
path.write_text(path.read_text() + """
waivers:
  - rule: upwind-run-length
    for: the leg to profile-end
    no_worse_than: 1400 m
    reason: The recovery crew lies off the far end for the whole run.
    approved_by: survey lead
    approved: 2027-07-05
    expires: 2027-07-13
""")
run(["git", "init", "--quiet", "--initial-branch=main"])
commit("Plans of the summer", datetime(2027, 6, 14, 9, tzinfo=timezone.utc))

day("north-bay-lines", "2027-06-15T09:35", "240° 2.5 m/s gust 4 m/s at 2 m", "16.4 V",
    "Light wind from the south-west, sun, no chop.")
day("north-bay-lines", "2027-06-16T09:35", "245° 2.5 m/s gust 3.5 m/s at 2 m", "16.4 V",
    "Broken off after the fourth line: gusts from the west, whitecaps beyond the bay.", outcome="aborted", share=0.55,
    draw=2.6)
day("north-bay-lines", "2027-06-17T09:35", "240° 2 m/s gust 3 m/s at 2 m", "16.4 V", "Hardly any wind.",
    near=["A swimmer came within 20 m of the boat off the slip, unseen from the operator's place."])
day("dam-to-bay-transects", "2027-06-22T08:45", "250° 3 m/s gust 4.5 m/s at 2 m", "16.5 V",
    "Westerly as forecast, small chop.")
day("headwind-return", "2027-07-13T10:05", "250° 3 m/s gust 4.5 m/s at 2 m", "16.5 V",
    "Westerly; the inflatable lay off the far end.", draw=2.5)
# Two people record on branches of their own, and the next record joins them.
run(["git", "branch", "dam"])
day("north-bay-lines", "2027-07-20T09:35", "235° 2 m/s gust 3.5 m/s at 2 m", "16.4 V", "Light wind, overcast.")
run(["git", "checkout", "--quiet", "dam"])
day("dam-to-bay-transects", "2027-07-21T08:45", "255° 2.7 m/s gust 4.5 m/s at 2 m", "16.5 V",
    "Weed in the port propeller at the narrows; fetched with the inflatable.", outcome="recovered", share=0.6)
run(["git", "checkout", "--quiet", "main"])
run(["git", "-c", "user.name=survey lead", "-c", "user.email=survey-lead@example.com", "merge", "--quiet", "--no-edit",
     "-m", "Take in the transects of the 21st", "dam"], datetime(2027, 7, 22, 9, tzinfo=timezone.utc))
day("north-bay-lines", "2027-07-27T09:35", "240° 2.5 m/s gust 4 m/s at 2 m", "16.4 V", "Light wind from the south-west.")
print(run([OFFING, "history", "--plans", "."]))
print(run([OFFING, "history", "verify", "--plans", ".", "--judge"]))
stream = run(["git", "fast-export", "--all", "--reencode=yes"])
SEASON.write_text(stream)
# The same with the near miss taken out of its record wherever git has it, as if it had never been told.
told = re.search(r"near_misses:\n  - .*\n", stream).group(0)
start = stream.rindex("\ndata ", 0, stream.index(told)) + 1
length = int(re.match(r"data (\d+)", stream[start:]).group(1))
body = start + len(f"data {length}\n")
record = stream[body:].encode()[:length].decode()
assert told in record
changed = record.replace(told, "near_misses: []\n")
TAMPERED.write_text(stream[:start] + f"data {len(changed.encode())}\n{changed}" + stream[body + len(record):])
shutil.rmtree(root)
