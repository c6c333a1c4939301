#!/usr/bin/env python3
"""Counts the instructions of commands on the demo and on docs/start by valgrind's callgrind, on one thread.

    tests/bench/instructions.py target/release/offing [OTHER] [-- COMMAND…]

With a second program it writes both counts and their ratio. Unlike times, counts do not depend on what else a
machine does.
"""

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COMMANDS = [
    ["--version"],
    ["check", "docs/start"],
    ["check", "plans/missions/north-bay-lines.yaml"],
    ["check", "plans"],
    ["window", "north-bay-lines", "--plans", "plans"],
]


def count(program, command):
    """Instructions of one run."""
    with tempfile.TemporaryDirectory() as folder:
        ran = subprocess.run(
            ["valgrind", "--tool=callgrind", f"--callgrind-out-file={folder}/out", program, *command],
            cwd=ROOT,
            env={**os.environ, "RAYON_NUM_THREADS": "1"},
            capture_output=True,
            text=True,
        )
    found = re.search(r"Collected : (\d+)", ran.stderr)
    if not found:
        sys.exit(f"{program} {' '.join(command)}: {ran.stderr[-500:]}")
    return int(found[1])


def main():
    arguments = sys.argv[1:]
    commands = COMMANDS
    if "--" in arguments:
        at = arguments.index("--")
        arguments, commands = arguments[:at], [arguments[at + 1 :]]
    programs = [str(Path(program).resolve()) for program in arguments]
    if len(programs) not in (1, 2):
        sys.exit(__doc__)
    for command in commands:
        counts = [count(program, command) for program in programs]
        cells = [f"{number / 1e6:10.1f} million" for number in counts]
        if len(counts) == 2:
            cells.append(f"{counts[1] / counts[0]:6.3f}")
        print(" | ".join([*cells, "offing " + " ".join(command)]), flush=True)


if __name__ == "__main__":
    main()
