#!/usr/bin/env python3
"""Counts the lines of code in src/ and the files they are in: no blank lines, no comments, no test code.

Test code is what stands in `tests.rs`, `*_tests.rs`, `tests/` and in modules that are `#[cfg(test)]`, in a file of
their own or not. With `--by-room` each directory and file directly under src/ is counted too.
"""

import re
import sys
from collections import Counter
from pathlib import Path

SRC = Path(__file__).resolve().parent.parent / "src"

TOKEN = re.compile(
    r"""(?P<line>//[^\n]*)
    |(?P<block>/\*)
    |(?P<raw>\bb?r(?P<marks>\#*)".*?"(?P=marks))
    |(?P<text>b?"(?:\\.|[^"\\])*")
    |(?P<char>b?'(?:\\[^\n]{1,10}?|[^\\'\n])')""",
    re.X | re.S,
)
TEST_MOD = re.compile(r"#\[cfg\(test\)\]\s*(?:#\[[^\]]*\]\s*)*(?:pub(?:\([^)]*\))?\s+)?mod\s+(\w+)\s*([;{])")


def plain(source):
    """The source with nothing where comments were, and `S` for every sign of a text, so that braces can be counted."""
    out, at = [], 0
    while found := TOKEN.search(source, at):
        out.append(source[at : found.start()])
        at = found.end()
        if found["block"]:
            depth = 1
            while depth and (mark := re.compile(r"/\*|\*/").search(source, at)):
                depth += 1 if mark[0] == "/*" else -1
                at = mark.end()
            out.append("\n" * source.count("\n", found.start(), at))
        elif not found["line"]:
            out.append(re.sub(r"\S", "S", found[0]))
    return "".join(out) + source[at:]


def without_tests(code):
    """Code without its test modules, and the names of those that have files of their own."""
    names = []
    while found := TEST_MOD.search(code):
        end = found.end()
        if found[2] == ";":
            names.append(found[1])
        else:
            depth = 1
            while depth and end < len(code):
                depth += {"{": 1, "}": -1}.get(code[end], 0)
                end += 1
        code = code[: found.start()] + code[end:]
    return code, names


def main():
    counts, tests = {}, set()
    for path in sorted(SRC.rglob("*.rs")):
        code, names = without_tests(plain(path.read_text()))
        counts[path] = sum(1 for line in code.splitlines() if line.strip())
        home = path.parent if path.name in ("mod.rs", "lib.rs", "main.rs") else path.with_suffix("")
        tests.update(home / name for name in names)
    is_test = lambda path: (
        path.name == "tests.rs"
        or path.name.endswith("_tests.rs")
        or "tests" in path.relative_to(SRC).parts[:-1]
        or path.with_suffix("") in tests
        or any(up in tests for up in path.parents)
    )
    counts = {path: lines for path, lines in counts.items() if not is_test(path)}
    print(f"lines of code: {sum(counts.values())}")
    print(f"files: {len(counts)}")
    if "--by-room" in sys.argv[1:]:
        lines, files = Counter(), Counter()
        for path, count in counts.items():
            room = path.relative_to(SRC).parts[0].removesuffix(".rs")
            lines[room] += count
            files[room] += 1
        for room in sorted(lines):
            print(f"{room:12} {lines[room]:6} in {files[room]}")


if __name__ == "__main__":
    main()
