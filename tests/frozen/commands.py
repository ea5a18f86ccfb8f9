"""What is run without a screen: every command, the ways it is told, and what it refuses."""

import json
import re
import shutil
from functools import partial

from side import TREE, millis, rfc3339

SUPPORTS = (
    "birch-plywood poplar-plywood mdf hardboard oak-white oak-red yellow-poplar lime birch beech maple-sugar walnut-black "
    "cherry-black pine-white mahogany other"
).split()
RECIPES = "gypsum-zinc gypsum-titanium whiting-tempera balanced-ply chalk-gilding".split()
SIZES = ("300x400x12mm", "12x16x1/2in", "50x70cm", "120x90x9mm")
GROUPS = ("recipe", "pot", "support", "air", "outcome")


# Shelves that several scenarios begin with.


def at(case, when):
    """A time of the days of the prepared shelves, as in `04 10:57`."""
    case.clock.set(f"2026-03-{when[:2]}T{when[3:]}:00+01:00")


def must(case, *args):
    code, out, err = case.call(*args)
    if code:
        raise RuntimeError(f"{args}: exit {code}: {err.decode()}")
    return out


def bench_shelf(case):
    """A morning in the middle of the work: panels at every stage, two pots, the air of some days."""

    def on(when, *args):
        at(case, when)
        must(case, *args)

    def many(*lines):
        for when, line in (line.split(": ", 1) for line in lines):
            on(when, *(word.replace("_", " ") for word in line.split()))

    many("02 08:00: air 18.5C 47%", "02 20:00: air 19C 50%")
    # Robin was finished long ago, and looked at once.
    at(case, "02 08:05")
    must(case, "new", "Robin", "--size", "200x250x10mm", "--recipe", "gypsum-titanium", "--at", "2026-01-10T09:00:00+01:00")
    through(case, "robin", partial(must, case), "2026-01-10T09:10:00+01:00")
    at(case, "02 08:06")
    must(case, "inspect", "robin", "--at", "2026-02-02T09:00:00+01:00", "--pinholes", "3", "--crack", "edge:1:along", "--bow", "1", "--span", "200")
    must(case, "new", "Great tit", "--size", "200x250x10mm", "--recipe", "whiting-tempera", "--paint", "tempera", "--at", "2026-02-01T09:00:00+01:00")
    through(case, "great-tit", partial(must, case), "2026-02-01T09:10:00+01:00")
    many(
        "02 20:00: pot new Size_1 --kind size --recipe gypsum-titanium --size-ml 1000 --lot B_12",
        "02 20:05: pot mark size-1 soak",
        "03 06:00: new Wren --size 300x400x12mm --recipe gypsum-titanium",
        "03 06:01: new Blackbird --size 300x400x12mm --recipe gypsum-zinc",
        "03 06:02: new Nuthatch --size 12x16x1/4in --recipe balanced-ply --support mdf",
        "03 06:40: pot mark size-1 melt",
        "03 06:50: pot mark size-1 liquid",
        "03 06:51: pot mark size-1 temp 58C",
        "03 06:55: pot mark size-1 out",
        "03 06:57: pot mark size-1 made",
        "03 07:00: air 17.5C 52%",
    )
    for minute, panel in enumerate(("wren", "blackbird")):
        on(f"03 07:0{minute}", "mark", panel, "done")
        for when in ("03 07:15", "03 07:20", "03 07:55", "03 08:00"):
            on(when[:-1] + str(int(when[-1]) + minute), "mark", panel, "done", "--pot", "size-1")
    many(
        "03 08:05: mark nuthatch start",
        "03 08:10: mark nuthatch done",
        "03 08:12: mark wren weigh 1012g",
        "03 08:30: pot mark size-1 gelled",
        "03 20:00: air 19.4C 49%",
        "04 08:00: pot mark size-1 melt",
        "04 08:12: pot mark size-1 liquid",
        "04 08:14: pot mark size-1 out",
        "04 08:20: air 18.1C 55%",
        "04 08:21: pot new gesso --kind gesso --from size-1 --size-ml 500",
        "04 08:35: pot mark gesso made",
        "04 08:36: pot mark gesso weigh 1180g",
        "04 08:38: pot mark gesso temp 47C",
        "04 08:40: mark wren done --pot gesso",
        "04 08:41: mark blackbird skip --why warm_room",
        "04 08:42: mark blackbird done --pot gesso",
        "04 08:52: mark wren dull",
        "04 08:57: mark wren done --pot gesso",
        "04 09:00: mark blackbird done --pot gesso",
        "04 09:14: mark wren done --pot gesso",
        "04 09:15: mark wren note a_hair_from_the_brush,_taken_out",
        "04 09:20: pot mark gesso melt",
        "04 09:36: pot mark gesso out",
        "04 09:40: mark wren done --pot gesso",
        "04 10:30: pot mark gesso weigh 1131g",
        "04 10:50: mark wren done --pot gesso",
        "04 10:52: mark wren undo",
        "04 10:53: mark wren done --pot gesso --at -1m",
    )
    at(case, "04 10:57")


def through(case, panel, run, when):
    """Takes a panel through every stage of its recipe from that time on; nothing early, some acts late."""
    now = millis(when)
    for step in range(80):
        state = json.loads(must(case, "show", panel, "--json", "--at", rfc3339(now)))
        if state["finished"]:
            return
        hand = state["stage"]
        if state["phase"] == "waiting":
            now += round(1000 * max(state["left_s"], 0)) + 1000 * (20, 65, 400)[step % 3]
            hand = state["next"] or hand
        words = []
        if hand["kind"] == "check":
            words = ["--map", "000/012/000" if hand["number"] == 1 else "000/000/000"]
        run("mark", panel, "done", *words, "--at", rfc3339(now))
        now += 1000 * 60 * 4
    raise RuntimeError(f"{panel} is never finished")


def demo(case, when="2025-01-20T10:00:00+01:00"):
    case.clock.set(when)
    case.copy(TREE / "demo-sessions")


# The scenarios.


def helps(case):
    todo = [[]]
    while todo:
        path = todo.pop(0)
        case.run(*path, "-h")
        told = case.run(*path, "--help").decode()
        listed = re.search(r"^Commands:\n(.*?)(?:\n\n|\Z)", told, re.S | re.M)
        for name in re.findall(r"^  ([a-z][a-z-]*)", listed.group(1) if listed else "", re.M):
            todo.append([*path, name])
    case.run("-V")
    case.run("--version")
    case.run("help")


def pages(case):
    case.run("man")
    case.run("man", "-o", "pages")
    case.run("man", "-o", "pages")
    case.run("man", "-o", "pages", "--force")
    case.files("pages")
    for shell in ("bash", "elvish", "fish", "powershell", "zsh"):
        case.run("completions", shell)
    case.run("completions", "tcsh")
    case.run("completions")


def everything(case, also=()):
    """Every way in which a shelf can be told. How words are shown is nothing to JSON and CSV."""
    run = partial(case.run, *also)
    data = "--ascii" not in also and "--color" not in also
    panels = sorted(p.stem for p in (case.data / "panels").glob("*.jsonl"))
    pots = sorted(p.stem for p in (case.data / "pots").glob("*.jsonl"))
    for form in ([], ["--json"])[: 1 + data]:
        run("panels", *form)
        run("pots", *form)
        run("verify", *form)
        run("compare", *form)
        for panel in panels:
            run("show", panel, *form)
        for pot in pots:
            run("pot", "show", pot, *form)
        for by in GROUPS:
            run("compare", "--by", by, *form)
        run("compare", *panels[:3], *form)
        run("compare", panels[0], *form)
    for panel in panels:
        run("card", panel, "-o", "-")
        run("recipe", "from", panel)
    run("report", "-o", "-")
    run("report", *panels[:2], "-o", "-")
    if not data:
        return
    for by in GROUPS:
        run("compare", "--by", by, "--csv")
    run("compare", "--csv", "--raw")
    run("compare", *panels[-2:], "--csv")
    for form in ("csv", "json"):
        run("export", "--as", form, "-o", "-")
        run("export", *panels[1:3], "--as", form, "-o", "-")
    run("export", "--as", "csv", "--raw", "-o", "-")


def demo_told(case, *also):
    demo(case)
    everything(case, also)


def demo_later(case):
    for when in ("2024-11-09T10:00:00+01:00", "2024-12-20T23:30:00+01:00", "2025-04-06T08:00:00+02:00", "2026-11-01T12:00:00+01:00"):
        demo(case, when)
        for args in (["panels"], ["pots"], ["panels", "--json"], ["pots", "--json"], ["show", "starling"], ["compare"]):
            case.run(*args)
    for panel in ("wren", "goldfinch", "blue-tit", "great-tit"):
        for when in ("2024-10-29T08:00:00Z", "2024-10-30T11:10:00Z", "2024-11-10T11:00:00Z", "2024-11-18T12:00:00Z", "2025-01-01T00:00:00Z"):
            case.run("show", panel, "--at", when)
            case.run("show", panel, "--at", when, "--json")
    for pot in ("gesso-1", "gesso-4", "size-of-8-november"):
        for when in ("2024-10-28T20:00:00Z", "2024-10-29T11:00:00Z", "2024-11-09T10:00:00Z", "2025-01-01T00:00:00Z"):
            case.run("pot", "show", pot, "--at", when)
            case.run("pot", "show", pot, "--at", when, "--json")


def demo_files(case):
    demo(case)
    for args in (["report"], ["report", "wren", "robin"], ["card", "wren"], ["export", "--as", "json"], ["export", "--as", "csv"]):
        for name in ("out.html", "out.txt", "out.json", "none/out"):
            case.run(*args, "-o", name)
            case.run(*args, "-o", name, "--force")
            case.keep("file " + name, (case.dir / name).read_bytes() if (case.dir / name).exists() else b"none")
            (case.dir / name).unlink(missing_ok=True)
    case.run("report", "-o", ".")
    case.run("report", "nobody", "-o", "-")


def stored_told(case):
    case.stored()
    everything(case)
    for when in ("2026-03-03T06:30:00Z", "2026-03-04T08:05:00Z", "2026-03-04T09:55:30Z", "2026-09-21T14:20:00Z"):
        for panel in ("blue-tit", "greenfinch"):
            case.run("show", panel, "--at", when)
            case.run("show", panel, "--at", when, "--json")
        for pot in ("size-1", "gesso-2"):
            case.run("pot", "show", pot, "--at", when)
            case.run("pot", "show", pot, "--at", when, "--json")


def bench_told(case):
    case.copy(case.side.shelf("bench", bench_shelf))
    case.files()
    everything(case)
    for minutes in (0, 5, 10, 25, 120, 900):
        case.clock.on(60 * minutes)
        for args in (["panels"], ["pots"], ["show", "wren"], ["show", "wren", "--json"], ["pot", "show", "gesso"], ["pot", "show", "gesso", "--json"]):
            case.run(*args)


def reckoned(case):
    case.file("mine.toml", mine(case))
    for recipe in [*RECIPES, "mine.toml"]:
        for size in SIZES:
            case.run("mix", "--size", size, "--recipe", recipe)
            case.run("mix", "--size", size, "--recipe", recipe, "--json")
        case.run("mix", "--size", SIZES[0], "--recipe", recipe, "--detail")
        for faces in ("front", "both"):
            case.run("mix", "--size", SIZES[0], "--recipe", recipe, "--faces", faces, "--panels", "3", "--scoop", "30ml")
            case.run("mix", "--size", SIZES[0], "--recipe", recipe, "--faces", faces, "--panels", "3", "--scoop", "30ml", "--json")
        case.run("--units", "imperial", "mix", "--size", SIZES[1], "--recipe", recipe, "--scoop", "2floz", "--detail")
        case.run("--ascii", "mix", "--size", SIZES[1], "--recipe", recipe)
    case.run("mix", "--size", "1x1mm", "--recipe", "gypsum-zinc")
    case.run("mix", "--size", "300x400", "--recipe", "gypsum-zinc")
    for support in SUPPORTS:
        for more in ([], ["--cut", "quarter"], ["--grain", "width"], ["--film-um", "400", "--film-mpa", "5"], ["--film-um", "400", "--film-mpa", "5", "--film-gpa", "8"]):
            for form in ([], ["--json"]):
                case.run("board", "--size", SIZES[0], "--support", support, "--from", "20C,50%", "--to", "15C,75%", *more, *form)
        case.run("--units", "imperial", "board", "--size", SIZES[1], "--support", support, "--from", "68F,50%", "--to", "60F,30%")
    case.run("board", "--size", SIZES[2], "--support", "birch", "--from", "20C,50%", "--to", "15C,75%", "--film-um", "400", "--film-mpa", "5")
    case.run("board", "--size", SIZES[0], "--support", "birch", "--from", "20C", "--to", "15C,75%")
    case.run("board", "--size", SIZES[0], "--support", "birch", "--from", "20C,50%", "--to", "15C,175%")


def reckoned_air(case):
    for temp in ("-60C", "-10C", "0C", "5C", "18C", "20C", "68F", "30C", "55C", "90C"):
        for humidity in ("0%", "5%", "50%", "85%", "100%", "120%"):
            case.run("air", temp, humidity, "--only")
            case.run("air", temp, humidity, "--only", "--json")
    for surface in ("3C", "9C", "12C", "19C", "50F", "x"):
        case.run("air", "20C", "50%", "--only", "--surface", surface)
        case.run("air", "20C", "88%", "--only", "--surface", surface, "--json")
        case.run("--units", "imperial", "air", "20C", "50%", "--only", "--surface", surface)
    for args in ([], ["20C"], ["20", "50"], ["20C", "50%", "--json"], ["20C", "50%", "--surface", "3C"], ["x", "y"]):
        case.run("air", *args)
    case.run("paths")


def forecasts(case):
    case.file("readings.csv", "time_min,temp_c\n0,50\n10,44.5\n20,40\n30,36.5\n")
    case.file("broken.csv", "time_min,temp_c\n0,50\nx,44.5\n20\n")
    case.file("other.csv", "a,b\n0,50\n")
    room = ["pot", "forecast", "--room", "20C", "--gels-at", "30C"]
    for form in ([], ["--json"], ["--recipe", "whiting-tempera"]):
        case.run(*room, "--reading", "0=50C", *form)
        case.run(*room, "--reading", "0=50C", "15=42C", "30=38C", *form)
        case.run(*room, "--reading", "0=80C", "--reading", "5=61C", "--reading", "15=48C", *form)
        for name in ("readings.csv", "broken.csv", "other.csv", "none.csv"):
            case.run(*room, "--readings", name, *form)
        case.run(*room, "--readings", "-", *form, text="time_min,temp_c\n0,52\n12,44\n")
    case.run("--units", "imperial", *room, "--reading", "0=122F", "15=107F")
    case.run(*room, "--reading", "0=25C")
    case.run(*room, "--reading", "0=20C", "10=20C")
    case.run(*room, "--reading", "10=40C", "0=45C")
    case.run(*room, "--reading", "0=x")
    case.run(*room)
    case.run("pot", "forecast", "--room", "30C", "--gels-at", "30C", "--reading", "0=50C")


def mine(case):
    text = must(case, "recipe", "show", "gypsum-titanium").decode()
    return text.replace('name = "gypsum-titanium"', 'name = "mine"').replace("front = 6", "front = 3")


def recipes(case):
    for form in ([], ["--json"]):
        case.run("recipe", "list", *form)
    for name in [*RECIPES, "gypsum", "gypsum-zink", "none.toml"]:
        case.run("recipe", "show", name)
    good = mine(case)
    texts = {
        "good.toml": good,
        "empty.toml": "",
        "words.toml": "= = =",
        "bytes.toml": b"\xff\xfe\x00",
        "mark.toml": "\ufeff" + good,
        "key.toml": good.replace("dry_min", "dri_min").replace("cure_h", "kure_h"),
        "range.toml": re.sub(r"cure_h = [\d.]+", "cure_h = -1.0", good).replace("front = 3", "front = 300"),
        "kind.toml": re.sub(r"cure_h = [\d.]+", 'cure_h = "long"', good).replace("front = 3", "front = 1.5"),
        "filler.toml": good.replace("titanium white", "titanum white"),
        "twice.toml": good + "\n[size]\nsoak_h = 3\n",
        "order.toml": re.sub(r"overheat_c = [\d.]+", "overheat_c = 41.0", good),
        "newer.toml": good.replace("format = 1", "format = 2"),
        "suits.toml": re.sub(r"suits = .*", 'suits = ["acrylic"]', good),
        "cautions.toml": re.sub(r"^suits", 'cautions = ["zinc-with-oil", "zinc-with-oli"]\nsuits', good, flags=re.M),
    }
    for name, text in texts.items():
        case.file(name, text)
        for form in ([], ["--json"]):
            case.run("recipe", "check", name, *form)
        case.run("recipe", "show", name)
        case.run("new", "Wren", "--size", SIZES[0], "--recipe", name)
    case.run("recipe", "check", "-", text=good)
    case.run("recipe", "check", "-", text="format = 1\n")
    case.run("recipe", "check", "none.toml")
    # Recipes of one's own lie beside the settings.
    case.file("etc/config.toml", "")
    case.file("etc/recipes/mine.toml", good)
    case.file("etc/recipes/broken.toml", "x = 1")
    case.file("etc/recipes/gypsum-zinc.toml", good.replace('"mine"', '"gypsum-zinc"'))
    case.file("etc/recipes/other.txt", good)
    own = ["--config", "etc/config.toml"]
    for args in (["recipe", "list"], ["recipe", "list", "--json"], ["recipe", "show", "mine"], ["new", "Robin", "--size", SIZES[0], "--recipe", "mine"], ["recipe", "show", "broken"]):
        case.run(*own, *args)
    case.files()


def settings(case):
    texts = {
        "empty.toml": "",
        "full.toml": 'units = "imperial"\ncolor = "never"\nascii = true\ntheme = "dark"\nnight = "21:00-06:30"\nair_may_shorten = true\n'
        '[alarm]\nbell = false\ndesktop = false\ncommand = ["true", "a b"]\nrepeat_min = 3\n[materials]\n"zinc white" = 0.61\nchalk = 0.8\n',
        "unknown.toml": 'unit = "metric"\n[alarm]\nbel = true\n[materials]\nflour = 1.0\n[other]\nx = 1\n',
        "wrong.toml": 'units = "royal"\ncolor = 3\nascii = "yes"\nnight = "25:00-06:00"\ndata = "relative"\n[alarm]\nrepeat_min = 90\ncommand = "x"\n[materials]\nchalk = 50\nwhiting = 0.8\n',
        "broken.toml": "units = \n",
        "bytes.toml": b"\xff\xfe",
        "data.toml": f'data = "{case.dir}/elsewhere"\n',
    }
    for name, text in texts.items():
        case.file(name, text)
        for args in (["config", "show"], ["config", "show", "--json"], ["paths"], ["paths", "--json"], ["panels"]):
            case.run("--config", name, *args)
            case.run("--config", name, *args, env={"SOTTILE_DATA": None})
    for args in (["config", "show"], ["config", "show", "--json"], ["paths"], ["paths", "--json"]):
        case.run(*args)
        case.run(*args, env={"SOTTILE_CONFIG": "full.toml", "NO_COLOR": "1"})
        case.run(*args, env={"SOTTILE_DATA": None, "HOME": None})
        case.run(*args, env={"XDG_DATA_HOME": "/nowhere/data", "XDG_CONFIG_HOME": "/nowhere/config", "SOTTILE_DATA": None})
        case.run("--data", "given", "--units", "imperial", "--color", "always", "--ascii", *args)
    case.run("--config", "none.toml", "panels")
    case.run("--config", "full.toml", "mix", "--size", SIZES[0], "--scoop", "30ml")
    case.run("alert", "test")
    case.run("--config", "full.toml", "alert", "test")


def usage(case):
    case.copy(case.side.shelf("bench", bench_shelf))
    for args in (
        ["nobody"], ["--nothing"], ["bench", "nobody"], ["show"], ["show", "nobody"], ["show", ""], ["show", "../x"], ["show", "r"], ["show", "W"],
        ["show", "wren", "robin"], ["show", "wren", "--at", "x"], ["show", "wren", "--at", "25:00"], ["show", "wren", "--at", "-4x"],
        ["show", "wren", "--at", "2199-01-01T00:00:00Z"], ["show", "wren", "--at", "2001-01-01T00:00:00Z"], ["show", "wren", "--at", "-4h"],
        ["mark"], ["mark", "wren"], ["mark", "wren", "dance"], ["mark", "wren", "note"], ["mark", "wren", "note", " "], ["mark", "nobody", "done"],
        ["mark", "wren", "weigh", "812"], ["mark", "wren", "weigh", "-3g"], ["mark", "wren", "weigh", "0g"], ["mark", "wren", "weigh", "900kg"],
        ["mark", "wren", "repeat"], ["mark", "wren", "repeat", "--why", "ugly"], ["mark", "wren", "skip", "--why", ""], ["mark", "wren", "abandon"],
        ["mark", "wren", "done", "--pot", "nothing"], ["mark", "wren", "done", "--map", "000/000/000"], ["mark", "wren", "done", "--direction", "round"],
        ["mark", "wren", "done", "--at", "2199-01-01T00:00:00Z"], ["mark", "wren", "done", "--at", "2001-01-01T00:00:00Z"], ["mark", "wren", "dull", "--at", "-9h"],
        ["mark", "robin", "done"], ["mark", "robin", "extra"], ["mark", "nuthatch", "back"], ["mark", "nuthatch", "dull"], ["mark", "wren", "note", "x" * 70000],
        ["pot"], ["pot", "mark"], ["pot", "mark", "gesso"], ["pot", "mark", "gesso", "fry"], ["pot", "mark", "gesso", "temp", "48"], ["pot", "mark", "gesso", "temp", "148C"],
        ["pot", "mark", "gesso", "temp", "-90C"], ["pot", "mark", "gesso", "soak"], ["pot", "mark", "gesso", "out"], ["pot", "mark", "gesso", "made"], ["pot", "mark", "size-1", "made"],
        ["pot", "mark", "gesso", "weigh", "x"], ["pot", "mark", "gesso", "weigh", "0g"], ["pot", "mark", "gesso", "water", "999kg"], ["pot", "mark", "gesso", "note", ""], ["pot", "mark", "nothing", "melt"],
        ["pot", "mark", "gesso", "discard"], ["pot", "show"], ["pot", "show", "nothing"], ["pot", "show", "g", "--at", "yesterday"], ["pot", "new"], ["pot", "new", "x"],
        ["pot", "new", "x", "--kind", "soup"], ["pot", "new", "x", "--kind", "gesso", "--from", "gesso"], ["pot", "new", "x", "--kind", "gesso", "--from", "nothing"], ["pot", "new", " ", "--kind", "size"],
        ["pot", "new", "x", "--kind", "size", "--size-ml", "0"], ["pot", "new", "x", "--kind", "size", "--recipe", "nothing"],
        ["new"], ["new", "x"], ["new", " ", "--size", "3x4cm"], ["new", "x", "--size", "3x4cm", "--support", "cardboard"], ["new", "x", "--size", "3x4cm", "--paint", "acrylic"],
        ["new", "x", "--size", "3x4cm", "--grain", "diagonal"], ["new", "x", "--size", "3x4cm", "--count", "0"], ["new", "x", "--size", "3x4cm", "--count", "many"], ["new", "x", "--size", "3x4cm", "--at", "2199-01-01T00:00:00Z"],
        ["inspect", "nobody"], ["inspect", "robin"], ["inspect", "robin", "--crack", "top:9:up"], ["inspect", "robin", "--bow", "2"], ["inspect", "robin", "--nail", "7"], ["inspect", "robin", "--drop", "1,2"],
        ["inspect", "robin", "--sound", "--crack", "edge:2:along"], ["inspect", "robin", "--mould", "--no-mould"], ["inspect", "robin", "--lift", "x"], ["inspect", "robin", "--pinholes", "-1"], ["inspect", "wren", "--sound"],
        ["compare", "nobody"], ["compare", "--by", "luck"], ["compare", "--csv", "--json"], ["compare", "--raw"], ["report"], ["report", "-o", "/nowhere/x.html"], ["card"], ["card", "wren"], ["card", "r", "-o", "-"],
        ["export", "-o", "-"], ["export", "--as", "xml", "-o", "-"], ["export", "nobody", "--as", "csv", "-o", "-"], ["verify", "none.jsonl"], ["verify", "."], ["recipe"], ["recipe", "from"], ["recipe", "from", "wren"], ["recipe", "from", "nobody"],
        ["config"], ["rehearse", "--pace", "0"], ["rehearse", "--recipe", "nothing"], ["demo"], ["demo", "--into", "x", "--panels", "0"], ["demo", "--into", "x", "--cause", "luck"], ["demo", "--into", "data"], ["alert"], ["man", "--force"],
        ["--units", "royal", "panels"], ["--color", "perhaps", "panels"], ["--data", "/nowhere/at/all", "panels"], ["--data", "/proc/x", "new", "x", "--size", "3x4cm"], [], ["bench"], ["inspect"], ["rehearse"],
    ):  # fmt: skip
        case.run(*args)
    for size in ("300x400", "0x400mm", "300x0x12mm", "300x400furlong", "300mm", "", "axbmm", "nanxnanmm", "1e999x1mm", "900000x900000mm", "300x400x12mm; rm", "-300x400mm"):
        case.run("new", "x", f"--size={size}")
    case.files()


def panel_story(case, recipe):
    """A panel from the bare board to the last look, with the detours there are."""
    case.clock.set("2026-03-02T09:00:00+01:00")
    paint = {"whiting-tempera": "tempera", "chalk-gilding": "gilding"}.get(recipe, "oil")
    case.run("air", "18C", "55%")
    case.run("new", "Wren", "--size", "300x400x12mm", "--recipe", recipe, "--paint", paint)
    for step in range(70):
        state = json.loads(case.call("show", "wren", "--json")[1])
        if state["finished"]:
            break
        wait = state["left_s"] if state["phase"] == "waiting" else 0
        kind = (state["next"] if wait else state["stage"])["kind"]
        case.clock.on(max(wait, 0) + (-30, 15, 130, 900, 5)[step % 5] if wait else 95)
        if step % 4 == 1:
            case.run("mark", "wren", "dull")
            case.run("mark", "wren", "start", *(["--json"] if step % 8 == 1 else []))
        if step == 10:
            for act in (["away"], ["back"], ["extra"], ["undo"], ["repeat", "--why", "lumpy"], ["note", "a \"hair\",\n\ttaken out"], ["weigh", "1.8lb"]):
                case.clock.on(400)
                case.run("mark", "wren", *act)
        maps = [[], ["--map", "000/012/000"], ["--map", "210/000/001"]]
        words = maps[step % 3] if kind == "check" and step < 40 else ["--map", "000/000/000"] if kind == "check" else []
        case.run("mark", "wren", "done", *words, *(["--json"] if step % 6 == 0 else []))
        case.run("panels")
    case.run("show", "wren")
    case.run("mark", "wren", "done")
    for days, words in ((14, ["--sound"]), (28, ["--crack", "edge:1:along", "--pinholes", "4"]), (90, ["--crack", "field:3:across", "--lift", "2mm", "--mould"]), (365, ["--bow", "-2", "--span", "30cm", "--nail", "2", "--rub", "1", "--drop", "40,45.5,38", "--no-mould", "--note", "in the north light"])):
        case.clock.on(days * 86400)
        case.run("panels")
        case.run("inspect", "wren", *words)
        case.run("inspect", "wren", *words, "--at", "-1h", "--json")
    everything(case)
    case.run("mark", "wren", "undo")
    case.run("mark", "wren", "abandon", "--why", "broke in two")
    case.run("mark", "wren", "note", "after the end")
    case.run("show", "wren", "--json")
    case.files()


def pot_story(case):
    case.clock.set("2026-03-02T20:00:00+01:00")
    case.run("pot", "new", "Size 1", "--kind", "size", "--size-ml", "1000", "--lot", "B 12")
    case.run("pot", "new", "Size 1", "--kind", "size", "--at", "-2h")
    case.run("new", "Robin", "--size", "3x4cm", "--count", "3")
    for minutes, line in (
        (5, "size-1 soak"), (1, "size-1 note cold_larder"), (60, "size-1 melt"), (1, "size-1 undo"), (600, "size-1 melt --json"), (8, "size-1 liquid"), (1, "size-1 temp 58C"),
        (5, "size-1 out"), (1, "size-1 weigh 1420g"), (1, "size-1 made"), (20, "size-1 temp 104F"), (30, "size-1 gelled"), (1, "size-1 gelled"), (60, "size-1 melt"), (9, "size-1 liquid"), (1, "size-1 out"),
    ):  # fmt: skip
        case.clock.on(60 * minutes)
        case.run("pot", "mark", *(word.replace("_", " ") for word in line.split()))
        case.run("pots")
    case.run("pot", "new", "Gesso", "--kind", "gesso", "--from", "size-1", "--size-ml", "500")
    case.run("pot", "new", "Gesso", "--kind", "gesso", "--recipe", "whiting-tempera")
    for minutes, line in (
        (2, "gesso strained"), (2, "gesso made"), (1, "gesso weigh 1180g"), (1, "gesso temp 47C"), (9, "gesso temp 41C"), (9, "gesso temp 37C --json"), (1, "gesso melt"), (70, "gesso temp 66C --at -3m"),
        (1, "gesso out --at -2m"), (3, "gesso weigh 1090g"), (1, "gesso water 60g"), (1, "gesso weigh 1300g"), (1, "gesso undo"), (40, "gesso gelled"), (2, "gesso liquid"), (30, "gesso empty"), (1, "gesso undo"),
        (1, "gesso discard --why smells"), (1, "gesso note after_the_end"), (1, "gesso melt"), (1, "gesso-2 soak"), (60, "gesso-2 out"), (1, "gesso-2 melt"), (1, "gesso-2 made"), (1, "gesso-2 gelled"),
    ):  # fmt: skip
        case.clock.on(60 * minutes)
        case.run("pot", "mark", *(word.replace("_", " ") for word in line.split()))
        case.run("pot", "show", line.split()[0])
        case.run("pot", "show", line.split()[0], "--json")
    case.run("pots", "--json")
    case.run("panels", "--json")
    case.files()


def air_story(case):
    case.clock.set("2026-03-05T08:00:00+01:00")
    logs = {
        "log.csv": "time,temp_c,rh_pct\n2026-03-04T16:00:00Z,19.6,48.5\n2026-03-04T18:00:00Z,18.8,50.5\n2026-03-04T18:00:00Z,18.9,50.5\n2026-03-04T22:00:00+01:00,17,53\n",
        "local.csv": "time,temp_c,rh_pct\n2026-03-04 10:05,19.6,48.5\n2026-03-04 10:35,19.7,48\n",
        "bad.csv": "time,temp_c,rh_pct\nx,1,2\n2026-03-04 10:05,,\n2026-03-04 10:05,300,50\n2199-01-01 10:00,20,50\n2026-03-04 10:06,20\n2026-03-04 10:07,20,51,9\n2026-03-04 10:08,20.5,50\n",
        "other.csv": "Date;Temp;Hum\n04.03.2026 10:05;19,6;48\n",
        "fahrenheit.csv": "Timestamp,Temperature (F),Humidity\n2026-03-04 10:05,68,48\n",
        "empty.csv": "",
        "head.csv": "time,temp_c,rh_pct\n",
        "bytes.csv": b"\xff\xfe\x00\x01\n",
    }
    for words in (["18.5C", "47%"], ["18.5C", "47%"], ["19C", "47%"], ["68F", "44%", "--at", "07:00"], ["68F", "45%", "--at", "07:00"], ["68F", "44%", "--at", "07:00"], ["99C", "50%"], ["20C", "101%"], ["20C", "50%", "--at", "23:00"]):
        case.run("air", *words)
    for name, text in logs.items():
        case.file(name, text)
        case.run("air", "--from", name)
        case.run("air", "--from", name)
    case.run("air", "--from", "-", text="time,temp_c,rh_pct\n2026-03-04T17:00:00Z,19.6,48.5\n")
    case.run("air", "--from", "none.csv")
    case.run("air", "20C", "50%", "--from", "log.csv")
    case.run("verify", "--json")
    case.files()


def damage(case, how):
    case.stored()
    path = case.data / "panels/greenfinch.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    middle = len(lines) // 2
    bent = {
        "torn": lines[:-1] + [lines[-1][:40]],
        "bit": lines[:middle] + [lines[middle].replace(b'"fact"', b'"facs"')] + lines[middle + 1 :],
        "lost": lines[:middle] + lines[middle + 1 :],
        "twice": lines[:middle] + [lines[middle]] + lines[middle:],
        "glued": lines[:middle] + [lines[middle][:-1] + lines[middle + 1]] + lines[middle + 2 :],
        "newer": lines[:-1] + [lines[-1].replace(b'{"v":1', b'{"v":2')],
        "junk": lines + [b"something else\n", b"\x00\x00\n"],
        "first": [lines[0][:30]],
        "empty": [],
        "zeros": lines[:middle] + [b"\x00" * 512],
        "name": lines,
    }[how]
    path.write_bytes(b"".join(bent))
    if how == "name":
        path.rename(case.data / "panels/linnet.jsonl")
        (case.data / "panels/-x.jsonl").write_text("")
        (case.data / "panels/directory.jsonl").mkdir()
        shutil.copy(case.data / "air.jsonl", case.data / "pots/air.jsonl")
    case.rest()
    for form in ([], ["--json"]):
        for args in (["verify"], ["verify", "data/panels/greenfinch.jsonl"], ["panels"], ["show", "greenfinch"], ["pots"], ["compare"]):
            case.run(*args, *form)
    case.run("export", "--as", "json", "-o", "-")
    case.run("export", "--as", "csv", "-o", "-")
    case.run("report", "-o", "-")
    case.run("mark", "greenfinch", "note", "written on damaged paper")
    case.files()
    case.run("verify", "--mend")
    case.clock.on(90)
    case.run("verify", "--mend", "--json")
    case.run("show", "greenfinch", "--json")
    case.run("mark", "greenfinch", "note", "written afterwards")
    case.files()
    pot = case.data / "pots/gesso-2.jsonl"
    pot.write_bytes(pot.read_bytes()[:-30])
    (case.data / "air.jsonl").write_bytes(b"x" + (case.data / "air.jsonl").read_bytes())
    for args in (["pots"], ["pot", "show", "gesso-2"], ["pot", "show", "gesso-2", "--json"], ["air", "20C", "50%"], ["verify"], ["verify", "--mend"], ["pot", "mark", "gesso-2", "undo"]):
        case.run(*args)
    case.files()


def invented(case):
    case.clock.set("2026-03-05T08:00:00+01:00")
    for panels, seed, cause in ((12, 1, "overheated"), (48, 7, "overheated"), (48, 3, "none"), (5, 99, "none")):
        case.run("demo", "--into", f"d{seed}", "--panels", panels, "--seed", seed, "--cause", cause)
        case.run("demo", "--into", f"d{seed}", "--panels", panels, "--seed", seed, "--cause", cause)
        case.files(f"d{seed}")
        there = ["--data", f"d{seed}"]
        for args in (["compare"], ["compare", "--json"], ["compare", "--csv"], ["compare", "--by", "pot"], ["panels"], ["pots"], ["verify"], ["report", "-o", "-"], ["export", "--as", "csv", "-o", "-"]):
            case.run(*there, *args)
    case.run("demo", "--into", "d1", "--force", "--panels", 3)
    case.files("d1")


def scenarios():
    told = {
        "help": helps,
        "pages": pages,
        "demo/told": demo_told,
        "demo/imperial": lambda case: demo_told(case, "--units", "imperial"),
        "demo/ascii": lambda case: demo_told(case, "--ascii"),
        "demo/colour": lambda case: demo_told(case, "--color", "always"),
        "demo/times": demo_later,
        "demo/files": demo_files,
        "stored": stored_told,
        "bench": bench_told,
        "reckon/boards": reckoned,
        "reckon/air": reckoned_air,
        "reckon/pots": forecasts,
        "recipes": recipes,
        "settings": settings,
        "refused": usage,
        "write/pots": pot_story,
        "write/air": air_story,
        "invented": invented,
    }
    for recipe in RECIPES:
        told["write/" + recipe] = partial(panel_story, recipe=recipe)
    for how in ("torn", "bit", "lost", "twice", "glued", "newer", "junk", "first", "empty", "zeros", "name"):
        told["damage/" + how] = partial(damage, how=how)
    return told
