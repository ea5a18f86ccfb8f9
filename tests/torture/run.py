#!/usr/bin/env python3
"""Attacks the real program from outside, and says what it tried.

    tests/torture/run.py [PROGRAM] [--seconds N] [--seed N] [--all]

It needs Linux, Python and strace; with faketime and as root it tries clocks and a small disk too, and says so where it
cannot. An order drawn by lot is the same for the same seed. What must hold: acknowledged is a subset of recovered, recovered
continues what was there, and whatever fails says so in words. Exit 1 where something does not hold.
"""

import argparse
import random
import sys
import tempfile
import time
from pathlib import Path

import faults
import storms
import surroundings
from shelf import Broken, Shelf, populate


def main():
    parser = argparse.ArgumentParser(description="attacks the program from outside")
    parser.add_argument("program", nargs="?", type=Path, default=Path(__file__).parents[2] / "target/debug/sottile")
    parser.add_argument("--seconds", type=float, default=150)
    parser.add_argument("--seed", type=int, default=random.randrange(1 << 32))
    parser.add_argument("--all", action="store_true", help="every fault at every call, however long it takes")
    asked = parser.parse_args()
    dice = random.Random(asked.seed)
    print(f"seed {asked.seed}")

    def within(share):
        until = time.monotonic() + asked.seconds * share
        return lambda: time.monotonic() > until

    with tempfile.TemporaryDirectory() as scratch:
        scratch = Path(scratch)
        base = populate(Shelf(asked.program.resolve(), scratch / "base"))
        attacks = [
            ("calls that fail or kill", lambda: faults.attack(base, (lambda: False) if asked.all else within(0.5), dice)
             if faults.possible() else None),
            ("notes in a storm of markers", lambda: storms.markers(base.copy(scratch / "storm"), within(0.1), dice)),
            ("rounds of two benches", lambda: storms.benches(base.copy(scratch / "benches"), within(0.15), dice)),
            ("pages ended by a signal", lambda: storms.cut_off(base.copy(scratch / "cut"), within(0.05), dice)),
            ("commands at odd clocks", lambda: surroundings.clocks(base)),
            ("countdowns under a clock that jumps", lambda: surroundings.countdowns(base)),
            ("commands among special files", lambda: surroundings.special_files(base)),
            ("notes onto a small disk", lambda: surroundings.small_disk(base, within(0.1))),
        ]
        failed = 0
        for name, attack in attacks:
            try:
                tried = attack()
            except Broken as broken:
                failed += 1
                print(f"BROKEN   {name}: {broken}", flush=True)
                continue
            if tried is None:
                print(f"passed over: {name} (what it needs is not here)", flush=True)
            elif isinstance(tried, tuple):
                print(f"{tried[0]:>8} {name}, of {tried[1]} there are", flush=True)
            else:
                print(f"{tried:>8} {name}", flush=True)
        return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
