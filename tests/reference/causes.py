"""Which cause is named on each shelf, reckoned another way than the program does.

Reads shelves, one JSON object a line, from standard input, and prints for each the fields it names, joined by commas.
The family, the units and the shuffles are those of the program; the curve, the scores, the spread (over the draws
themselves, not by formula) and the greatest of all are reckoned here anew, with Python's own generator.
"""

import json
import math
import random
import sys

DRAWS = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
NIGHT_H = 6.0
TRIFLE = 0.02
BY_PRODUCT_OF = {"water_lost_pct": ["pot_max_c"]}


def interval(looks):
    cracked = [max(math.floor(age), 0) for age, c in looks if c]
    until = max(min(cracked), 0.5) if cracked else math.inf
    clear = [max(math.floor(age), 0) for age, c in looks if not c]
    return max([d for d in clear if d < until], default=0), until


def scores(spans):
    """Self-consistency over all end points, then the log-rank score of each span."""
    ends = sorted({r for _, r in spans})
    mass = {e: 1 / len(ends) for e in ends}
    for _ in range(1500):
        new = dict.fromkeys(ends, 0.0)
        for left, right in spans:
            inside = [e for e in ends if left < e <= right]
            total = sum(mass[e] for e in inside)
            if total > 0:
                for e in inside:
                    new[e] += mass[e] / total / len(spans)
        change = max(abs(new[e] - mass[e]) for e in ends)
        mass = new
        if change < 1e-8:
            break

    def after(t):
        return min(1.0, sum(m for e, m in mass.items() if e > t))

    def term(s):
        return s * math.log(s) if s > 0 else 0.0

    out = []
    for left, right in spans:
        a, b = after(left), 0.0 if right == math.inf else after(right)
        out.append((term(a) - term(b)) / (a - b) if a - b > 1e-6 else 0.0)
    mean = sum(out) / len(out)
    return [s - mean for s in out]


def days(panels):
    order = sorted(range(len(panels)), key=lambda i: panels[i]["began_h"])
    day, out, last = 0, [0] * len(panels), None
    for i in order:
        if last is not None and panels[i]["began_h"] - last >= NIGHT_H:
            day += 1
        last = panels[i]["began_h"]
        out[i] = day
    return out


def alike(units, values):
    groups = {}
    for u, v in zip(units, values):
        if v is not None:
            groups.setdefault(u, []).append(v)
    known = [v for v in values if v is not None]
    mean = sum(known) / len(known)
    within = sum((v - sum(g) / len(g)) ** 2 for g in groups.values() for v in g)
    return within <= TRIFLE * sum((v - mean) ** 2 for v in known)


def name(shelf):
    panels = shelf["panels"]
    spans = [interval(p["looks"]) for p in panels]
    if all(r == math.inf for _, r in spans) or all(r != math.inf for _, r in spans):
        return []
    score = scores(spans)
    pots, day = [p["pot"] for p in panels], days(panels)
    rows = []
    for field in shelf["fields"]:
        key, usual = field["name"], field["unit"]
        raw = [p["values"][key] for p in panels]
        kinds = sorted({v for v in raw if isinstance(v, str)})
        columns = [[None if v is None else float(v == k) for v in raw] for k in kinds] if kinds else [raw]
        for values in columns:
            known = [v for v in values if v is not None]
            if not known or max(known) - min(known) <= 1e-6 * (1 + abs(max(known))):
                continue
            cracked = [v for v, s in zip(values, spans) if v is not None and s[1] != math.inf]
            if not cracked or len(cracked) == len(known):
                continue
            if usual == "day":
                level, units = "day", day
            elif usual == "panel" and not alike(pots, values):
                level, units = "panel", list(range(len(panels)))
            elif len(set(day)) < len(set(pots)) and alike(day, values):
                level, units = "day", day
            elif usual == "lot":
                level, units = "lot", pots
            else:
                level, units = "pot", pots
            rows.append((key, level, units, values))
    # Values by unit, the means of their panels; within pots the pot's own mean is taken off.
    held = []
    for key, level, units, values in rows:
        sums = {}
        for u, v in zip(units, values):
            if v is not None:
                sums.setdefault(u, []).append(v)
        means = {u: sum(v) / len(v) for u, v in sums.items()}
        if level == "panel":
            for pot in set(pots):
                here = [u for u in means if pots[u] == pot]
                centre = sum(means[u] for u in here) / max(len(here), 1)
                for u in here:
                    means[u] -= centre
        else:
            centre = sum(means.values()) / len(means)
            means = {u: v - centre for u, v in means.items()}
        held.append((key, level, units, means))

    def statistics(order):
        out = []
        for _, level, units, means in held:
            to = order[level]
            out.append(sum(s * means.get(to.get(u, u), 0.0) for s, u in zip(score, units)))
        return out

    rng = random.Random(shelf["seed"])
    pot_names, day_names = sorted(set(pots)), sorted(set(day))
    drawn = []
    for _ in range(DRAWS):
        order = {}
        for level, names in (("pot", pot_names), ("lot", pot_names), ("day", day_names)):
            mixed = names[:]
            rng.shuffle(mixed)
            order[level] = dict(zip(names, mixed))
        order["panel"] = {}
        for pot in pot_names:
            here = [i for i, p in enumerate(pots) if p == pot]
            mixed = here[:]
            rng.shuffle(mixed)
            order["panel"].update(zip(here, mixed))
        drawn.append(statistics(order))
    seen = statistics({"pot": {}, "lot": {}, "day": {}, "panel": {}})
    far = []
    spread = []
    for i in range(len(held)):
        column = [d[i] for d in drawn]
        mean = sum(column) / DRAWS
        sd = math.sqrt(sum((x - mean) ** 2 for x in column) / (DRAWS - 1))
        spread.append(sd)
        far.append(abs(seen[i]) / sd if sd > 1e-9 else 0.0)
    greatest = [max((abs(x) / s for x, s in zip(d, spread) if s > 1e-9), default=0.0) for d in drawn]
    clear = {}
    for (key, *_), z in zip(held, far):
        if z <= 0.0:
            continue
        p = (1 + sum(g >= z - 1e-9 for g in greatest)) / (DRAWS + 1)
        if p <= 0.05:
            clear[key] = max(clear.get(key, 0.0), z)
    return [k for k in clear if not any(of in clear for of in BY_PRODUCT_OF.get(k, []))]


for line in sys.stdin:
    print(",".join(name(json.loads(line))), flush=True)
