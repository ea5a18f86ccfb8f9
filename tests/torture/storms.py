"""Many at once: markers and a killer, benches in terminals with scripts beside them, readers cut off."""

import json
import os
import pty
import select
import signal
import subprocess
import time

from shelf import Broken


def notes(shelf):
    facts = json.loads(shelf.must("show", "wren", "--json"))["facts"]
    return [fact["text"] for fact in facts if fact["fact"] == "noted"]


def check_notes(shelf, acknowledged, attempted, what):
    there = notes(shelf)
    if len(there) != len(set(there)):
        raise Broken(f"{what}: a note stands there twice")
    lost = acknowledged - set(there)
    if lost:
        raise Broken(f"{what}: acknowledged and lost: {sorted(lost)}")
    made_up = set(there) - attempted - {"before"}
    if made_up:
        raise Broken(f"{what}: nobody wrote {sorted(made_up)}")
    bad = shelf.problems() - {"torn"}
    if bad:
        raise Broken(f"{what}: verify finds {sorted(bad)}")


def markers(shelf, deadline, dice):
    """Four processes mark the same panel at once, and one in three is killed on its way."""
    acknowledged, attempted, number = set(), set(), 0
    while not deadline():
        running = []
        for _ in range(4):
            text = f"note {number}"
            number += 1
            attempted.add(text)
            child = subprocess.Popen([shelf.program, "mark", "wren", "note", text], env=shelf.environment(), cwd=shelf.dir,
                                     stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            running.append((text, child))
        for _, child in running:
            if dice.random() < 1 / 3:
                time.sleep(dice.random() * 0.01)
                child.kill()
        acknowledged |= {text for text, child in running if child.wait() == 0}
        check_notes(shelf, acknowledged, attempted, f"storm of markers, {number} written")
    return number


class Terminal:
    """The bench in a terminal of its own."""

    def __init__(self, shelf):
        self.child, self.master = pty.fork()
        if self.child == 0:
            os.chdir(shelf.dir)
            os.execve(shelf.program, [shelf.program], shelf.environment())

    def press(self, keys):
        os.write(self.master, keys)
        self.drain(0.02)

    def drain(self, patience):
        """Takes in what is drawn, for so many seconds at most."""
        until = time.monotonic() + patience
        while (left := until - time.monotonic()) > 0:
            if not select.select([self.master], [], [], left)[0]:
                return
            try:
                if not os.read(self.master, 65536):
                    return
            except OSError:
                return

    def end(self, how):
        """Sends a signal and waits for the end, taking in what is still drawn. Returns the status it ended with."""
        os.kill(self.child, how)
        while not (ended := os.waitpid(self.child, os.WNOHANG))[0]:
            self.drain(0.05)
        os.close(self.master)
        return ended[1]


def benches(shelf, deadline, dice):
    """Two benches take keys drawn by lot while a script marks beside them; then both are ended by a signal drawn by lot."""
    keys = [b" ", b"u", b"d", b"t", b"?", b"\x1b", b"i", b"p", b"c", b"\t", b"1", b"\x1b[A", b"\x1b[B", b"wA note\r", b"f", b"m"]
    ends = [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGQUIT]
    rounds, acknowledged, before = 0, set(), shelf.journals()
    while not deadline():
        windows = [Terminal(shelf), Terminal(shelf)]
        for window in windows:
            window.drain(0.3)
        for step in range(12):
            dice.choice(windows).press(dice.choice(keys))
            if step % 4 == 0:
                text = f"script {rounds} {step}"
                if shelf.run("mark", "wren", "note", text).returncode == 0:
                    acknowledged.add(text)
        for window in windows:
            how = dice.choice(ends)
            status = window.end(how)
            ok = (os.WIFSIGNALED(status) and os.WTERMSIG(status) == how) or os.WIFEXITED(status) and os.WEXITSTATUS(status) == 128 + how
            if not ok and not (os.WIFEXITED(status) and os.WEXITSTATUS(status) == 0):
                raise Broken(f"bench ended by {how.name}: status {status}")
        after = shelf.journals()
        for name, lines in before.items():
            if after[name][: len(lines)] != lines:
                raise Broken(f"two benches, round {rounds}: {name} lost a line that was there")
        before = after
        text = b"".join(line for lines in after.values() for line in lines).decode()
        lost = [note for note in acknowledged if f'"{note}"' not in text]
        if lost:
            raise Broken(f"two benches, round {rounds}: acknowledged and lost: {lost}")
        bad = shelf.problems() - {"torn"}
        if bad:
            raise Broken(f"two benches, round {rounds}: verify finds {sorted(bad)}")
        rounds += 1
    return rounds


def cut_off(shelf, deadline, dice):
    """Pages are ended by a signal half way: the file is whole or not there, and nothing lies beside it."""
    shelf.must("report", "-o", "whole.html")
    whole, rounds = (shelf.dir / "whole.html").read_bytes(), 0
    while not deadline():
        child = subprocess.Popen([shelf.program, "report", "-o", "cut.html"], env=shelf.environment(), cwd=shelf.dir,
                                 stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(dice.random() * 0.03)
        child.send_signal(dice.choice([signal.SIGTERM, signal.SIGINT, signal.SIGHUP]))
        child.wait()
        page = shelf.dir / "cut.html"
        if page.exists():
            if len(page.read_bytes()) < len(whole) // 2 or not page.read_bytes().rstrip().endswith(b"</html>"):
                raise Broken("a page was cut in two by a signal")
            page.unlink()
        left = [p.name for p in shelf.dir.iterdir() if p.name.startswith(".") or "tmp" in p.name.lower()]
        if left:
            raise Broken(f"a signal left {left} beside the page")
        rounds += 1
    return rounds
