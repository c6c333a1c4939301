#!/usr/bin/env python3
"""Compares the processor time of a check with that of the independent recomputation, run in turn on the same files.

    tests/bench/against_reference.py target/release/offing FOLDER [ROUNDS]

FOLDER holds a lake of the benchmarks (`cargo bench --bench write -- FOLDER unkind 10000 5`). Run it with a Python that has
tests/reference/requirements.txt. Both read the same files. The recomputation makes the sums that tests/reference/passage.rs
compares, a third of the rules; a check judges all of them. Written are the ratio of the whole, and that of one mission more:
FOLDER against the same without its last mission.
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

REFERENCE = Path(__file__).resolve().parents[1] / "reference"


def spent(command, folder):
    """Processor time of a command and what it starts, s."""
    before = os.times()
    ran = subprocess.run(command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False)
    after = os.times()
    if ran.returncode not in (0, 1):
        sys.exit(f"{command}: {ran.stderr}")
    return after.children_user + after.children_system - before.children_user - before.children_system


def main():
    if len(sys.argv) not in (3, 4):
        sys.exit(__doc__)
    program, whole = str(Path(sys.argv[1]).resolve()), Path(sys.argv[2]).resolve()
    rounds = int(sys.argv[3]) if len(sys.argv) == 4 else 5
    with tempfile.TemporaryDirectory() as folder:
        less = Path(folder) / "less"
        shutil.copytree(whole, less)
        missions = sorted((less / "missions").iterdir())
        missions[-1].unlink()
        out = Path(folder) / "out.json"

        def ours(plans):
            return spent([program, "check", str(plans)], plans)

        def theirs(plans):
            command = [sys.executable, "passage.py", "--plans", str(plans), "--out", str(out)]
            return spent(command, REFERENCE)

        pairs = [(ours(whole), theirs(whole), ours(less), theirs(less)) for _ in range(rounds)]

    def tell(name, ratios):
        middle = statistics.median(ratios)
        spread = f" ({min(ratios):.4f} to {max(ratios):.4f})"
        if len(ratios) > 3:
            low, middle, high = statistics.quantiles(ratios, n=4)
            spread = f" (quartiles {low:.4f} and {high:.4f})"
        print(f"{name}: {middle:.4f}{spread}")

    tell(f"check ÷ recomputation, {len(missions)} missions", [a / b for a, b, _, _ in pairs])
    if len(missions) > 1:
        tell("one mission more ÷ one mission more", [(a - c) / (b - d) for a, b, c, d in pairs if b > d])
    print("median processor times, s:", *(f"{statistics.median(one):.3f}" for one in zip(*pairs)))


if __name__ == "__main__":
    main()
