"""A command is killed, or fails, at its n-th call to the system, for every n."""

import shutil
import signal
import subprocess
import tempfile
from pathlib import Path

from shelf import Broken, check

CALLS = "openat,write,pwrite64,fsync,fdatasync,rename,renameat,renameat2,ftruncate,unlink,unlinkat,flock,mkdir,mkdirat,link,linkat"
FAULTS = [("kill", "signal=KILL"), ("EIO", "error=EIO"), ("ENOSPC", "error=ENOSPC")]

COMMANDS = [
    ("mark note", ["mark", "wren", "note", "more"]),
    ("mark done", ["mark", "wren", "done"]),
    ("mark undo", ["mark", "wren", "undo"]),
    ("new", ["new", "Robin", "--size", "200x200x9mm", "--count", "3"]),
    ("pot new", ["pot", "new", "Other", "--kind", "size"]),
    ("pot soak", ["pot", "mark", "jar", "soak"]),
    ("air", ["air", "19C", "50%"]),
    ("air from", ["air", "--from", "logger.csv"]),
    ("verify mend", ["verify", "--mend"]),
    ("export", ["export", "--table", "panels", "--as", "csv", "-o", "out.csv"]),
    ("report", ["report", "wren", "-o", "out.html"]),
    ("card", ["card", "wren", "-o", "out.html"]),
    ("panels", ["panels", "--json"]),
    ("show", ["show", "wren", "--json"]),
    ("demo", ["demo", "--into", "other", "--panels", "2"]),
]


def possible():
    """Whether strace is here and may look at other processes."""
    try:
        return subprocess.run(["strace", "-o", "/dev/null", "true"], capture_output=True).returncode == 0
    except OSError:
        return False


def count_calls(base, args, scratch):
    """How many of the calls a command makes when all goes well, and the lines of every journal then."""
    shelf = base.copy(scratch / "count")
    log = scratch / "calls"
    done = shelf.run(*args, through=["strace", "-f", "--seccomp-bpf", "-qq", "-o", str(log), "-e", f"trace={CALLS}"])
    if done.returncode:
        raise Broken(f"{args}: exit {done.returncode} with nothing put in its way: {done.stderr.decode()}")
    made = sum(1 for line in log.read_text(errors="replace").splitlines() if "(" in line)
    wanted = {name: len(lines) for name, lines in shelf.journals().items()}
    shutil.rmtree(shelf.dir)
    return made, wanted


def try_one(base, name, args, wanted, fault, when, scratch):
    """One command with one fault at one call. Raises `Broken`."""
    kind, inject = fault
    what = f"{name}, {kind} at call {when}"
    before = base.journals()
    shelf = base.copy(scratch / "one")
    through = ["strace", "-f", "--seccomp-bpf", "-qq", "-o", "/dev/null", "-e", f"trace={CALLS}", "-e", f"inject={CALLS}:{inject}:when={when}"]
    done = shelf.run(*args, through=through)
    killed = done.returncode in (-signal.SIGKILL, 128 + signal.SIGKILL)
    # A loader that cannot read a library says 127; nothing of the program has run then.
    if not killed and done.returncode not in (0, 1, 2, 3, 127):
        raise Broken(f"{what}: exit {done.returncode}: {done.stderr.decode(errors='replace')}")
    if done.returncode == 1 and not done.stderr.strip():
        raise Broken(f"{what}: failed without a word")
    check(before, shelf, done.returncode == 0, wanted, what)
    again = shelf.run(*args)
    if again.returncode not in (0, 1, 2):
        raise Broken(f"{what}: run again: exit {again.returncode}: {again.stderr.decode(errors='replace')}")
    if again.returncode and not again.stderr.strip():
        raise Broken(f"{what}: run again, it failed without a word")
    for out in ("out.csv", "out.html"):
        if out in args and not (shelf.dir / out).read_bytes():
            raise Broken(f"{what}: run again, {out} is empty")
    shutil.rmtree(shelf.dir)


def attack(base, deadline, dice):
    """Every command, every fault, every call, in an order drawn by lot, until the time is over. Returns what was tried of what."""
    with tempfile.TemporaryDirectory() as scratch:
        scratch = Path(scratch)
        cases = []
        for name, args in COMMANDS:
            made, wanted = count_calls(base, args, scratch)
            cases += [(name, args, wanted, fault, when) for fault in FAULTS for when in range(1, made + 1)]
        dice.shuffle(cases)
        tried = 0
        for case in cases:
            if deadline():
                break
            try_one(base, *case, scratch)
            tried += 1
        return tried, len(cases)
