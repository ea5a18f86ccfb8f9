"""What lies around the program: clocks, disks, and files that are none."""

import json
import os
import shutil
import socket
import subprocess
import tempfile
import time
from pathlib import Path

from shelf import Broken

CLOCKS = ["2026-03-01 09:00:00", "2026-03-29 01:30:00", "2026-10-25 01:30:00", "2031-01-01 00:00:00", "1969-12-31 23:00:00",
          "2038-01-19 03:14:08", "9999-12-31 23:59:59", "1970-01-01 00:00:01"]
ZONES = ["UTC", "Europe/London", "Australia/Lord_Howe", "Pacific/Apia"]


def clocks(base):
    """Every command bears every clock: it records, or it says in words why not, and nothing that stood there is lost."""
    if not shutil.which("faketime"):
        return None
    tried = 0
    for clock in CLOCKS:
        for zone in ZONES:
            with tempfile.TemporaryDirectory() as scratch:
                shelf = base.copy(Path(scratch) / "shelf")
                before = shelf.journals()
                for args in (["mark", "wren", "note", "then"], ["show", "wren"], ["panels", "--json"], ["pots"], ["air", "18C", "50%"],
                             ["mark", "wren", "done"], ["compare"], ["pot", "mark", "jar", "soak"]):
                    done = shelf.run(*args, through=["faketime", "-f", clock], TZ=zone)
                    if done.returncode not in (0, 1, 2) or (done.returncode and not done.stderr.strip()):
                        raise Broken(f"{args} at {clock} in {zone}: exit {done.returncode}: {done.stderr.decode(errors='replace')}")
                    tried += 1
                after = shelf.journals()
                for name, lines in before.items():
                    if after[name][: len(lines)] != lines:
                        raise Broken(f"a clock at {clock} in {zone}: {name} lost a line")
                if shelf.problems():
                    raise Broken(f"a clock at {clock} in {zone}: verify finds {shelf.problems()}")
                shelf.must("mark", "wren", "note", "and on")
    return tried


def countdowns(base):
    """Within a boot a countdown is right to a second, whatever the clock on the wall was put to meanwhile."""
    if not shutil.which("faketime"):
        return None
    tried = 0
    with tempfile.TemporaryDirectory() as scratch:
        shelf = base.copy(Path(scratch) / "shelf")
        shelf.must("new", "Tit", "--size", "200x200x12mm")
        begun = time.monotonic()
        for _ in range(3):
            shelf.must("mark", "tit", "done")
        took = time.monotonic() - begun
        for jump in ["+1h", "-1h", "+3d", "-3d", "+400d", "-2000d"]:
            earliest = 1800 - (time.monotonic() - begun)
            told = shelf.run("show", "tit", "--json", through=["faketime", "-f", jump])
            latest = 1800 - (time.monotonic() - begun) + took
            left = json.loads(told.stdout)["left_s"]
            if not latest - took - 1 <= left <= earliest + took + 1:
                raise Broken(f"a clock put {jump}: {left} s are left, not {latest - took:.1f} to {earliest + took:.1f}")
            tried += 1
    return tried


def special_files(base):
    """Pipes, sockets, devices, directories and links among the stories are named and passed over, and never waited for."""
    tried = 0
    with tempfile.TemporaryDirectory() as scratch:
        for drawer in ("panels", "pots"):
            for kind in ("pipe", "socket", "directory", "link to a device", "link to itself", "link to a story"):
                shelf = base.copy(Path(scratch) / f"{drawer}-{tried}")
                odd = shelf.data / drawer / "odd.jsonl"
                story = next(path for path in (shelf.data / drawer).glob("*.jsonl"))
                if kind == "pipe":
                    os.mkfifo(odd)
                elif kind == "socket":
                    with socket.socket(socket.AF_UNIX) as made:
                        here = os.getcwd()
                        os.chdir(odd.parent)
                        made.bind(odd.name)
                        os.chdir(here)
                elif kind == "directory":
                    odd.mkdir()
                else:
                    odd.symlink_to({"link to a device": "/dev/zero", "link to itself": odd, "link to a story": story}[kind])
                for args in (["panels"], ["pots"], ["show", "wren"], ["verify"], ["compare"], ["mark", "wren", "note", "on"],
                             ["report", "-o", "page.html"]):
                    try:
                        done = shelf.run(*args)
                    except subprocess.TimeoutExpired:
                        raise Broken(f"{args} waits for a {kind} among the {drawer}") from None
                    if done.returncode not in (0, 1, 3):
                        raise Broken(f"{args} with a {kind}: exit {done.returncode}: {done.stderr.decode(errors='replace')}")
                    tried += 1
    return tried


def small_disk(base, deadline):
    """A disk of a few pages fills up: what was acknowledged stands there, and once there is room it goes on."""
    with tempfile.TemporaryDirectory() as scratch:
        disk = Path(scratch) / "disk"
        disk.mkdir()
        mount = ["mount", "-t", "tmpfs", "-o", "size=96k", "tmpfs", str(disk)]
        if os.geteuid() != 0 or subprocess.run(mount, capture_output=True).returncode:
            return None
        try:
            shelf = base.copy(disk / "shelf")
            acknowledged = []
            for number in range(400):
                if deadline():
                    break
                if shelf.run("mark", "wren", "note", f"{number} " + "x" * 300).returncode == 0:
                    acknowledged.append(str(number))
                elif number > len(acknowledged) + 5:
                    break
            subprocess.run(["mount", "-o", "remount,size=4m", str(disk)], check=True)
            if shelf.problems() - {"torn"}:
                raise Broken(f"a full disk: verify finds {shelf.problems()}")
            text = shelf.must("show", "wren", "--json")
            lost = [number for number in acknowledged if f'"{number} xxx' not in text]
            if lost:
                raise Broken(f"a full disk lost {lost}")
            shelf.must("mark", "wren", "note", "room again")
            return len(acknowledged)
        finally:
            subprocess.run(["umount", "-l", str(disk)], check=True)
