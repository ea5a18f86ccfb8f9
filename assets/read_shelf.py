"""Reads a shelf: python3 read_shelf.py DIR. Checks every line and prints what stands, a fact a line, as it happened."""
import json, sys, zlib
from pathlib import Path
HEAD = "v seq prev at written_at offset_min boot boot_ms raw_wall replaces fact format program crc".split()


def checked_lines(path):
    prev, seq = "00000000", 0
    for raw in path.read_bytes().splitlines():
        fact, body = json.loads(raw), raw.rpartition(b',"crc":"')[0]
        if (fact["crc"], fact["prev"], fact["seq"]) != ("%08x" % zlib.crc32(body), prev, seq):
            sys.exit(f"{path}: entry {seq} is damaged, or an entry before it is lost")
        prev, seq = fact["crc"], seq + 1
        yield fact


def standing_facts(facts):
    facts = [f for f in facts if f["fact"] != "opened_copy"]
    for filed in (f for f in facts if f["fact"] == "filed"):  # from here on pots go by other names
        for before in facts[: facts.index(filed)]:
            for key in {"pot", "parent"} & before.keys():
                before[key] = filed["pots"].get(before[key], before[key])
    gone = {f.get("replaces", f.get("takes_back")) for f in facts}  # taken back by a later fact, or moved to another time
    facts = [f for f in facts if f["seq"] not in gone and f["fact"] != "undone"]
    return sorted(facts, key=lambda f: (f["seq"] != 0, f["at"], f["seq"]))


for path in sorted(Path(sys.argv[1]).glob("p*s/*.jsonl")):  # panels/ and pots/
    for fact in standing_facts(checked_lines(path)):
        print(path.stem, fact["at"], fact["fact"], json.dumps({k: v for k, v in fact.items() if k not in HEAD}))
