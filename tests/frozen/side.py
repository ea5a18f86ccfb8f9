"""One of the two programs compared, with a place, a clock and a terminal of its own."""

import json
import os
import re
import shutil
import signal
import subprocess
import threading
import time
from datetime import datetime, timezone
from pathlib import Path

TREE = Path(__file__).resolve().parents[2]
TZ = "CET-1CEST,M3.5.0,M10.5.0/3"
# Seconds that a program may take before it is given up.
PATIENCE = 60


def millis(when):
    """RFC 3339 as milliseconds since 1970."""
    return round(datetime.fromisoformat(when.replace("Z", "+00:00")).timestamp() * 1000)


def rfc3339(ms):
    return datetime.fromtimestamp(ms / 1000, timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")


class Clock:
    """A wall clock in a file, as clock.c reads it."""

    def __init__(self, path, when):
        self.file = os.open(path, os.O_RDWR | os.O_CREAT)
        self.path = path
        self.ms = 0
        self.set(when)

    def set(self, when):
        self.ms = when if isinstance(when, int) else millis(when)
        os.pwrite(self.file, f"{self.ms:<31}\n".encode(), 0)

    def on(self, seconds):
        self.set(self.ms + round(seconds * 1000))

    def __del__(self):
        os.close(self.file)


def quoted(word):
    """A word as tmux reads it."""
    return "'" + word.replace("'", "'\\''") + "'"


class Side:
    """A program and the directory in which everything of its own happens."""

    def __init__(self, root, program, shim):
        self.root = root
        self.shim = shim
        (root / "bin").mkdir(parents=True)
        # Help names the program as it was called.
        self.program = root / "bin" / "sottile"
        self.program.symlink_to(Path(program).resolve())
        self.lock = threading.RLock()
        self.shelves = {}
        self.terminals = None

    def tmux(self, *words):
        """One command to the terminals of this side, by a client that stays: to start one for each would take longer
        than all the rest. Returns what it answers."""
        with self.lock:
            if self.terminals is None:
                server = ["tmux", "-S", str(self.root / "tmux"), "-f", str(self.root.parent / "tmux.conf")]
                env = {"PATH": os.environ["PATH"], "HOME": str(self.root), "LANG": "C.UTF-8", "TERM": "xterm-256color"}
                keeper = [*server, "-C", "new-session", "-s", "keeper", "exec sleep 3600"]
                pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.STDOUT}
                self.terminals = subprocess.Popen(keeper, env=env, **pipes)
                self.answer()
            self.terminals.stdin.write(" ".join(map(quoted, words)).encode() + b"\n")
            self.terminals.stdin.flush()
            return self.answer()

    def answer(self):
        """What stands between the next beginning of an answer and its end."""
        lines, number = [], None
        for line in self.terminals.stdout:
            word, *rest = line.split()[:3] or [b""]
            if number is None:
                number = rest[1] if word.endswith(b"%begin") else None
            elif word in (b"%end", b"%error") and rest[1:] == [number]:
                text = b"".join(lines).decode()
                if word == b"%error":
                    raise RuntimeError("tmux: " + text)
                return text
            else:
                lines.append(line)
        raise RuntimeError("tmux has ended")

    def end(self):
        if self.terminals is not None:
            subprocess.run(["tmux", "-S", str(self.root / "tmux"), "kill-server"], capture_output=True, check=False)
            self.terminals.communicate()

    def same(self, text):
        """A text without what only says which side it is of."""
        return text.replace(str(self.root).encode(), str(self.root.parent / "*").encode())

    def shelf(self, name, make):
        """A data directory that several scenarios begin with, made once."""
        with self.lock:
            if name not in self.shelves:
                case = Case(self, "shelf/" + name)
                make(case)
                case.rest()
                self.shelves[name] = case
            return self.shelves[name]


class Case:
    """One scenario on one side: a fresh directory, and the items to be compared, by name."""

    def __init__(self, side, name, when="2026-03-04T10:57:00+01:00"):
        self.side = side
        self.name = name
        self.items = {}
        self.dir = side.root / "run" / name.replace("/", "-")
        shutil.rmtree(self.dir, ignore_errors=True)
        self.dir.mkdir(parents=True)
        self.data = self.dir / "data"
        self.clock = Clock(self.dir / ".clock", when)
        self.count = 0

    def env(self, **more):
        env = {
            "PATH": "/usr/bin:/bin",
            "HOME": str(self.dir / "home"),
            "TZ": TZ,
            "LANG": "C.UTF-8",
            "SOTTILE_DATA": str(self.data),
            "LD_PRELOAD": str(self.side.shim),
            "FROZEN_CLOCK": str(self.clock.path),
            # Nobody answers there, so that what the desktop says never comes in between.
            "DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={self.side.root.parent}/bus",
            "DBUS_SESSION_BUS_ADDRESS": f"unix:path={self.side.root.parent}/bus",
        }
        env.update(more)
        return {name: value for name, value in env.items() if value is not None}

    def call(self, *args, text=None, env=None):
        """Runs the program to its end: exit code, what it wrote to stdout and to stderr."""
        done = subprocess.run(
            [self.side.program, *map(str, args)],
            cwd=self.dir,
            env=self.env(**(env or {})),
            input=text.encode() if text is not None else b"",
            capture_output=True,
            timeout=PATIENCE,
            check=False,
        )
        return done.returncode, done.stdout, done.stderr

    def keep(self, name, what):
        self.count += 1
        self.items[f"{self.count:03} {name}"] = what

    def run(self, *args, text=None, env=None):
        """Runs the program and keeps what came of it. Returns what it wrote to stdout."""
        code, out, err = self.call(*args, text=text, env=env)
        name = " ".join(map(str, args)).replace(str(self.dir), ".")
        self.keep(name + "".join(f" {k}={v}" for k, v in (env or {}).items()), (code, self.side.same(out), self.side.same(err)))
        return out

    def file(self, name, text):
        """A file beside the data."""
        path = self.dir / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def files(self, what="data"):
        """Keeps every file under a directory, and forgets nothing of its bytes."""
        root = self.dir / what
        for path in sorted(root.rglob("*")):
            name = str(path.relative_to(self.dir))
            if path.is_symlink() or path.is_dir():
                self.keep("file " + name, b"link" if path.is_symlink() else b"directory")
            elif path.is_file():
                text = self.side.same(path.read_bytes())
                # Who held the lock last is said there.
                self.keep("file " + name, re.sub(rb"process \d+", b"process *", text) if path.name == "lock" else text)

    def rest(self):
        """Every journal was last written when its last line says, whenever this runs."""
        newest = 0
        for path in sorted(path for path in self.data.rglob("*.jsonl") if path.is_file()):
            last = re.findall(rb'"written_at":"([^"]+)"', path.read_bytes())
            when = millis(last[-1].decode()) / 1000 if last else 0
            newest = max(newest, when)
            os.utime(path, (when, when))
        for path in (self.data / "panels", self.data / "pots", self.data):
            if path.exists():
                os.utime(path, (newest, newest))
        for path in self.data.glob("rack.json"):
            os.utime(path, (newest + 1, newest + 1))

    def copy(self, shelf):
        """The data of another case, or a directory, as a beginning."""
        shutil.copytree(shelf.data if isinstance(shelf, Case) else shelf, self.data, dirs_exist_ok=True)
        if not isinstance(shelf, Case):
            for name in ("README.md",):
                (self.data / name).unlink(missing_ok=True)
        self.rest()

    def stored(self):
        """The journals stored since version 1 of the format, in their places."""
        for path in sorted((TREE / "tests/fixtures/journal-v1").glob("*.jsonl")):
            opens = json.loads(path.read_bytes().splitlines()[0])["format"]
            place = {"sottile-panel": "panels/", "sottile-pot": "pots/", "sottile-air": ""}[opens] + path.name
            (self.data / place).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(path, self.data / place)
        self.rest()


# How often the program is looked at, in seconds; so many times it must be asleep before its screen is believed.
LOOK = 0.02
ASLEEP = 3
# For how long it may go on changing.
RESTLESS = 8

# What tmux calls the keys.
KEYS = {
    "Space": "Space", "Enter": "Enter", "Esc": "Escape", "Tab": "Tab", "BTab": "BTab", "Up": "Up", "Down": "Down",
    "Left": "Left", "Right": "Right", "Home": "Home", "End": "End", "PgUp": "PageUp", "PgDn": "PageDown",
    "Back": "BSpace", "Del": "DC", "F1": "F1", "F2": "F2", "C-s": "C-s", "C-c": "C-c", "C-z": "C-z",
}


class Screen:
    """The program in a terminal of a certain size, under tmux."""

    number = 0

    def __init__(self, case, size, *args, env=None, blur=None):
        self.case = case
        self.blur = blur
        self.size = size
        with case.side.lock:
            Screen.number += 1
            self.name = f"s{Screen.number}"
        env = case.env(TERM="xterm-256color", **(env or {}))
        assigned = [f"{name}={value}" for name, value in env.items()]
        # What it says on leaving stays to be read.
        shell = 'program=$1; shift; "$program" "$@"; echo "[exit $?]"; exec sleep 600'
        shown = ["env", "-i", *assigned, "/bin/sh", "-c", shell, "sh", str(case.side.program), *args]
        self.tmux("new-session", "-d", "-s", self.name, "-x", str(size[0]), "-y", str(size[1]), "-c", str(case.dir), *shown)
        self.pid = int(self.tmux("display-message", "-p", "-t", self.name, "#{pane_pid}"))
        self.until(lambda text: text.partition("cursor")[0].strip())
        # What stands beside the panels is read after the first picture.
        self.still()
        self.wake()
        self.take("at first")

    def tmux(self, *words):
        return self.case.side.tmux(*words)

    def look(self):
        """The screen with its colours, and where its cursor is."""
        # Where a hidden cursor is depends on what was painted last, and nobody sees it.
        at = "#{?cursor_flag,cursor #{cursor_x} #{cursor_y},no cursor}#{?alternate_on,, - the program has left}"
        screen = self.tmux("capture-pane", "-p", "-e", "-t", self.name)
        return screen + self.tmux("display-message", "-p", "-t", self.name, at)

    def sleeps(self):
        """Whether nothing of the program is at work."""
        todo, all_sleep = [self.pid], True
        while todo:
            for task in Path(f"/proc/{todo.pop()}/task").glob("*"):
                try:
                    all_sleep &= task.joinpath("stat").read_text().rpartition(")")[2].split()[0] not in "RD"
                    todo += map(int, task.joinpath("children").read_text().split())
                except OSError:
                    pass
        return all_sleep

    def still(self):
        """The screen once nothing of the program is at work, and it stays as it is."""
        end = time.monotonic() + RESTLESS
        seen, asleep = None, 0
        time.sleep(2 * LOOK)
        while time.monotonic() < end:
            asleep = asleep + 1 if self.sleeps() else 0
            if asleep >= ASLEEP:
                now = self.look()
                if now == seen:
                    break
                seen, asleep = now, 0
            time.sleep(LOOK)
        return seen

    def until(self, holds):
        """Waits until the screen is so, or gives up."""
        begun = time.monotonic()
        while not holds(self.look()) and time.monotonic() - begun < RESTLESS:
            time.sleep(LOOK)

    def take(self, name):
        text = self.still()
        for pattern, instead in self.blur or []:
            text = re.sub(pattern, instead, text)
        self.case.keep(name, self.case.side.same(text.encode()))

    def wake(self):
        """Makes the program look at its clock, without a key: it hears that its window changed."""
        for child in Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text().split():
            os.kill(int(child), signal.SIGWINCH)

    def resize(self, x, y):
        self.tmux("resize-window", "-t", self.name, "-x", str(x), "-y", str(y))
        # tmux tells the program a quarter of a second later.
        time.sleep(0.4)

    def keys(self, script):
        """Keys apart by blanks, each two seconds after the one before, a picture after each. `+90` lets so many seconds
        pass and no key; `"words"` are typed at once, `_` for a blank."""
        for step in script.split():
            if step.startswith("+") and len(step) > 1:
                self.case.clock.on(float(step[1:]))
                self.wake()
            else:
                self.case.clock.on(2)
                if step.startswith('"') and len(step) > 1:
                    self.tmux("send-keys", "-t", self.name, "-l", step.strip('"').replace("_", " "))
                elif step in KEYS:
                    self.tmux("send-keys", "-t", self.name, KEYS[step])
                else:
                    self.tmux("send-keys", "-t", self.name, "-l", step)
            self.take(step)
        return self

    def close(self):
        self.tmux("kill-session", "-t", self.name)
