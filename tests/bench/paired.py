#!/usr/bin/env python3
"""Compares processor times of two commands run in turn, and writes their ratio with its quartiles.

    tests/bench/paired.py target/release/offing [ROUNDS]

Each round runs one command and then the other, so that a machine that is busy slows both. What is compared:

- `offing check docs/start` with `python3 -c pass`, the start of an interpreter;
- `offing check` of the demo with one mission more, and without it.
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def spent(command, folder):
    """Processor time of a command and what it starts, s."""
    before = os.times()
    subprocess.run(command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def cpu(command, folder):
    """The same of twenty runs, as the system counts in hundredths of a second."""
    return sum(spent(command, folder) for _ in range(20)) / 20


def compare(name, one, other, rounds):
    """Writes how the processor times of two commands, each with its folder, compare."""
    pairs = [(cpu(*one), cpu(*other)) for _ in range(rounds)]
    ratios = [first / second for first, second in pairs if second > 0]
    low, middle, high = statistics.quantiles(ratios, n=4)
    first, second = (1000 * statistics.median(times) for times in zip(*pairs))
    print(f"{name}: {first:.1f} ms ÷ {second:.1f} ms = {middle:.3f} ({low:.3f} to {high:.3f})", flush=True)


def main():
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    program = str(Path(sys.argv[1]).resolve())
    rounds = int(sys.argv[2]) if len(sys.argv) == 3 else 9
    start = ROOT / "docs" / "start"
    compare("check ÷ python3 -c pass", ([program, "check", "."], start), (["python3", "-c", "pass"], start), rounds)
    with tempfile.TemporaryDirectory() as folder:
        less, more = Path(folder) / "less", Path(folder) / "more"
        shutil.copytree(start, less)
        shutil.copytree(start, more)
        text = (start / "first-lines.yaml").read_text()
        text = text.replace("id: first-lines", "id: second-lines").replace("2027-05-0", "2027-06-0")
        (more / "second-lines.yaml").write_text(text)
        compare("two missions ÷ one", ([program, "check", "."], more), ([program, "check", "."], less), rounds)


if __name__ == "__main__":
    main()
