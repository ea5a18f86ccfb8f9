"""A shelf of a harness's own, the program run over it, and what must hold of it afterwards."""

import json
import os
import shutil
import subprocess
from pathlib import Path

CLOCK = "2026-03-02T09:00"


class Broken(Exception):
    """Something that must hold does not."""


class Shelf:
    """A directory with stories in it. Times are local to UTC, nothing of the caller's surroundings reaches the program."""

    def __init__(self, program, where):
        self.program, self.dir = str(program), Path(where)
        self.data = self.dir / "data"

    def environment(self):
        return {"PATH": os.environ["PATH"], "HOME": str(self.dir / "home"), "SOTTILE_DATA": str(self.data),
                "TZ": "UTC", "TERM": "xterm-256color"}

    def run(self, *args, through=(), **more):
        """Runs the program, or another that runs it (`through`). Returns what `subprocess` makes of it."""
        return subprocess.run([*through, self.program, *args], env={**self.environment(), **more}, cwd=self.dir,
                              stdin=subprocess.DEVNULL, capture_output=True, timeout=60)

    def must(self, *args):
        done = self.run(*args)
        if done.returncode:
            raise Broken(f"{args}: exit {done.returncode}: {done.stderr.decode()}")
        return done.stdout.decode()

    def copy(self, where):
        shutil.copytree(self.dir, where, symlinks=True)
        return Shelf(self.program, where)

    def journals(self):
        """The whole lines of every journal, by its path below the data directory."""
        found = {}
        for path in sorted(self.data.rglob("*.jsonl")):
            found[str(path.relative_to(self.data))] = path.read_bytes().split(b"\n")[:-1]
        return found

    def problems(self):
        """What `verify` finds: the kinds of its problems."""
        done = self.run("verify", "--json")
        if done.returncode not in (0, 1, 3):
            raise Broken(f"verify: exit {done.returncode}: {done.stderr.decode()}")
        files = json.loads(done.stdout)["files"]
        return {problem["kind"] for file in files for problem in file["problems"]}


def populate(shelf):
    """A panel on its way with a pot, a finished look at the air, and something to look at."""
    shelf.dir.mkdir(parents=True, exist_ok=True)
    shelf.must("new", "Wren", "--size", "300x400x12mm", "--recipe", "gypsum-titanium", "--at", CLOCK)
    shelf.must("pot", "new", "Jar", "--kind", "gesso", "--recipe", "gypsum-titanium", "--at", CLOCK)
    shelf.must("mark", "wren", "start", "--at", "2026-03-02T09:10")
    shelf.must("mark", "wren", "note", "before", "--at", "2026-03-02T09:12")
    shelf.must("air", "18C", "55%", "--at", "2026-03-02T09:00")
    (shelf.dir / "logger.csv").write_text("time,temp_c,rh_pct\n" + "".join(
        f"2026-03-02T10:{minute:02}:00Z,{18 + minute / 60:.1f},{50 + minute / 10:.0f}\n" for minute in range(40)))
    return shelf


def check(before, shelf, acknowledged, wanted, what):
    """Acknowledged is a subset of recovered, and recovered continues what was there before."""
    after = shelf.journals()
    for name, lines in before.items():
        if after.get(name, [])[: len(lines)] != lines:
            raise Broken(f"{what}: {name} lost or changed a line that was there before")
    if acknowledged:
        for name, count in wanted.items():
            if len(after.get(name, [])) < count:
                raise Broken(f"{what}: acknowledged, and {name} has {len(after.get(name, []))} lines of {count}")
    for name, lines in after.items():
        if len(lines) > max(wanted.get(name, 0), len(before.get(name, []))):
            raise Broken(f"{what}: {name} has more lines than were asked for")
    bad = shelf.problems() - {"torn", "empty"}
    if bad:
        raise Broken(f"{what}: verify finds {sorted(bad)}")
