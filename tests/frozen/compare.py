#!/usr/bin/env python3
"""Holds two builds of the program against each other: whatever a person or a script sees of them must be the same.

    tests/frozen/compare.py OLD NEW [--only GLOB] [--accept-json-said] [--list]

Both run every command and the same keys on the same shelves, at the same moment of a clock that stands still (clock.c).
What they print, the files they write and their screens are compared byte for byte. Exits 1 where anything differs.

It needs Linux, Python 3.9, tmux 3 and a C compiler, and takes a minute or two. Nothing in it is part of `cargo test`.
Not compared: how fast anything is; what is drawn between two keys; bells and what the desktop is told; the boot clock.
"""

import argparse
import difflib
import fnmatch
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

sys.dont_write_bytecode = True

import commands  # noqa: E402
import screens  # noqa: E402
from side import Case, Side  # noqa: E402

MEMORY = "/dev/shm"
# So many scenarios at a time: most of them wait for a screen.
AT_ONCE = 20
# A screen that differs is looked at again so many times: a busy machine may have been caught between two pictures.
AGAIN = 2
# Of more scenarios than this no chance is to blame.
MANY = 25
# So many lines of a difference are printed.
LINES = 8


def message_for_said(value):
    """JSON with each member `said` called `message`."""
    if isinstance(value, dict):
        return {"message" if k == "said" else k: message_for_said(v) for k, v in value.items()}
    return [message_for_said(v) for v in value] if isinstance(value, list) else value


def as_json(bytes_):
    try:
        return json.loads(bytes_)
    except ValueError:
        return None


def same_but_for_said(old, new):
    """Whether both are the same once each JSON member `said` of the old one is called `message`."""
    if isinstance(old, tuple):
        return old[0] == new[0] and old[2] == new[2] and same_but_for_said(old[1], new[1])
    old, new = as_json(old), as_json(new)
    return isinstance(old, (dict, list)) and message_for_said(old) == new


def words(item):
    """An item as lines."""
    if item is None:
        return ["(not there)"]
    if isinstance(item, tuple):
        code, out, err = item
        return [f"exit {code}", *words(out), *("2> " + line for line in words(err))]
    text = item.decode("utf-8", "backslashreplace").replace("\x1b", "\\e")
    # A change within a long line is told by its neighbourhood.
    return [line[at : at + 160] for line in text.split("\n") for at in range(0, max(len(line), 1), 160)]


def tell(name, old, new):
    uncoloured = [re.sub(rb"\x1b\[[\d;]*m", b"", item) if isinstance(item, bytes) else item for item in (old, new)]
    if uncoloured[0] != uncoloured[1]:
        (old, new) = uncoloured
    lines = [line for line in difflib.unified_diff(words(old), words(new), n=0, lineterm="") if line[:3] not in ("---", "+++", "@@ ")]
    print(f"differs: {name}")
    for line in [line for line in lines if not line.startswith("@@")][:LINES]:
        print("    " + line)


def ran(side, name, scenario):
    case = Case(side, name)
    try:
        scenario(case)
    except Exception as why:  # what cannot be run is told as an item, and the other scenarios go on
        case.keep("stopped", side.same(f"{type(why).__name__}: {why}".encode()))
        print(f"{name}: {type(why).__name__}: {why}", file=sys.stderr)
    return {f"{name}/{key}": item for key, item in case.items.items()}


def wanted(name, glob):
    """Whether a scenario has anything to do with the glob, which may also be that of its items."""
    head = "/".join(glob.split("/")[: name.count("/") + 1])
    return fnmatch.fnmatch(name, glob) or fnmatch.fnmatch(name, head)


def main():
    asked = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    asked.add_argument("old", type=Path)
    asked.add_argument("new", type=Path)
    asked.add_argument("--only", default="*", metavar="GLOB", help="scenarios, or their items, as in 'screen/tour*'")
    asked.add_argument("--accept-json-said", action="store_true", help="JSON members said in OLD are message in NEW")
    asked.add_argument("--list", action="store_true", help="only name the scenarios")
    asked = asked.parse_args()
    scenarios = {n: s for n, s in {**screens.scenarios(), **commands.scenarios()}.items() if wanted(n, asked.only)}
    if asked.list:
        print("\n".join(scenarios))
        return 0
    begun = time.monotonic()
    # In memory, where there is room: each fact waits for its disk.
    roomy = os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > 2 << 30
    root = Path(tempfile.mkdtemp(prefix="frozen-", dir=MEMORY if roomy else "/tmp"))
    bus = socket.socket(socket.AF_UNIX)
    sides = []
    try:
        bus.bind(str(root / "bus"))
        bus.listen(512)
        (root / "tmux.conf").write_text("set -g status off\nset -g history-limit 0\n")
        shim = root / "clock.so"
        source = Path(__file__).with_name("clock.c")
        subprocess.run(["cc", "-shared", "-fPIC", "-O1", "-o", shim, source, "-ldl"], check=True)
        sides += [Side(root / letter, program, shim) for letter, program in (("a", asked.old), ("b", asked.new))]
        return compare(sides, scenarios, asked, begun)
    finally:
        for side in sides:
            side.end()
        bus.close()
        shutil.rmtree(root, ignore_errors=True)


def compare(sides, scenarios, asked, begun):
    whole = {name: fnmatch.fnmatch(name, asked.only) for name in scenarios}

    def differing(names):
        with ThreadPoolExecutor(AT_ONCE) as pool:
            runs = {n: [pool.submit(ran, side, n, scenarios[n]) for side in sides] for n in names}
            old, new = ({k: v for r in runs.values() for k, v in r[i].result().items()} for i in (0, 1))
        keys = [k for k in dict.fromkeys([*old, *new]) if any(whole[n] and k.startswith(n + "/") for n in names) or fnmatch.fnmatch(k, asked.only)]
        differ = {}
        for key in keys:
            (a, b) = (old.get(key), new.get(key))
            said = asked.accept_json_said and None not in (a, b) and same_but_for_said(a, b)
            if a != b and not said:
                differ[key] = (a, b)
        return keys, differ

    keys, differ = differing(scenarios)
    looked_again = set()
    for _ in range(AGAIN):
        again = {n for n in scenarios if n.startswith("screen/") and any(k.startswith(n + "/") for k in differ)}
        if not again or len(again) > MANY:
            break
        looked_again |= again
        _, still = differing(again)
        differ = {k: v for k, v in differ.items() if k in still or not any(k.startswith(n + "/") for n in again)}
    for key, (a, b) in differ.items():
        tell(key, a, b)
    if looked_again:
        print("looked at again:", " ".join(sorted(looked_again)))
    print(f"{len(keys)} items of {len(scenarios)} scenarios compared, {len(differ)} differ, {time.monotonic() - begun:.0f} s")
    return 1 if differ or not keys else 0


if __name__ == "__main__":
    sys.exit(main())
