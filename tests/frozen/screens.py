"""What is seen of the full screen: the same keys at the same moments, a picture after each.

In a script each word is a key, pressed two seconds after the one before; `"words"` are typed at once, with `_` for a
blank; `+600` lets so many seconds pass. No key may be pressed while a call is on its way: let the time pass with `+`.
"""

import json
from functools import partial

from commands import bench_shelf, demo, must
from side import Screen

USUAL = {"80x24": (80, 24), "120x40": (120, 40), "200x60": (200, 60)}
SMALL = {"40x12": (40, 12), "20x5": (20, 5)}

# Over the prepared shelf: Wren waits for a coat, Blackbird is late, Nuthatch is at its size; two pots, the air known.
OVER_THE_BENCH = {
    "keys": "? Down Down PgDn End Home PgUp Esc F1 q",
    "story": "t Down PgDn Home End q Tab t Esc Tab t Esc BTab",
    "known": "i Down PgDn End Home Esc Tab i Esc Tab i q",
    "compare": "y Down Down Space Right Left Tab Tab b p r a o w Down PgDn Home End w Space c s Del q y Down Enter Down Esc q",
    "far": "f Tab f Tab f t Esc ? Esc f",
    "pots": "P Down Up End Home Enter f Down Down Right Left Up Esc Esc P + Tab Right Tab Right Tab Right Tab Tab Tab Esc Esc",
    "form": "+ Tab Down Down Right Right Left Down Right Down Right Up BTab Home End Back Del Enter Esc",
    "sitting": "l Down Enter 1 e x 2 f a Tab 3 Enter 0 Tab 2 Tab 1 / 2 0 0 Tab 2 BTab 1 Tab Tab 4 0 / 4 5 / 3 8 Tab 0 Tab s Tab "
    '"a.jpg" Tab "in_the_north_light" Up PgDn Esc Esc',
}
RECORDED = {
    "act": "Space Space Space + Esc s Left Right Right Space Left u u d o o Space e u r Down Down Enter r Esc k Esc "
    'k "it_is_warm" Enter u w "a_note_of_mine" Left Left Back Del Home "x" End Enter w Enter Esc g "812" Enter Back Back Back "812g" Enter t Esc',
    "away": "a Tab a +900 a x G Esc G \"warped\" Enter Enter Space u u q",
    "bath": "p +60 p u p +1800 Tab p p h \"20C\" Enter \"_52%\" Enter h \"cold\" Enter Esc t Esc",
    "letters": 'P g "1100g" Enter t "41C" Enter t "141C" Enter Esc a "30g" Enter w "a_skin" Enter l j s r o z z u u D "smells" Enter u Down p l u q',
    "sat": "l Down 1 e x R Down Tab Tab 2 R u Tab C-s q l d d Home Del Esc q",
    "newpot": 'P + Home "gesso_B_" Tab Right Left Tab Right Tab Right Tab "x" Enter Back "400ml" Enter Esc',
    "newpanel": '+ Home "Blue_tit_" Down "x" Enter Back Enter Tab Tab Enter t Esc Space Space Space',
    "making": "P Down Down f Space Space Space Space Space Space Space Space Space Space Space +600 Space Space Space Space Space u Esc Esc",
    "pasted": "w \"a_long_note_that_goes_on_and_on_and_on_past_the_end_of_the_narrow_line_and_comes_back_again_with_Grünfink_№3_🐦\" Home Right Enter t Esc",
    "left": "Tab Tab q",
    "stopped": "C-c",
}


def shelf(case):
    case.copy(case.side.shelf("bench", bench_shelf))


def on_bench(case, script, size, args=(), env=None):
    shelf(case)
    screen = Screen(case, size, *args, env=env)
    # The first key only quiets the call that is due; b means nothing else.
    screen.keys("b " + script)
    screen.close()
    recorded(case)


def recorded(case):
    """What the keys wrote."""
    case.run("verify")
    case.files()


def empty(case, size):
    """From nothing to the first act."""
    screen = Screen(case, size)
    screen.keys('? Esc Esc P l y t Tab Tab Back Back "x" Enter BTab BTab BTab Enter t Esc Space Space P Esc y Esc l Esc q')
    screen.close()
    recorded(case)


def led(case, size):
    """A batch made by being led, with nothing there before."""
    must(case, "new", "Wren", "--size", "300x400x12mm", "--recipe", "gypsum-titanium", "--at", "-1h")
    screen = Screen(case, size)
    screen.keys("P f Space Space Space Space +20000 Space +20000 Space +600 Space Space Space Space Space Space +1000 Space Space Space Space Down Up u Esc P q q")
    screen.close()
    recorded(case)


def called(case, size):
    """The calls of a wait and of a pot, answered and not, by day and by night."""
    shelf(case)
    screen = Screen(case, size)
    screen.keys("+200 +60 Tab +60 +200 z Space +500 +400 +2 +2 b Space p +240 +400 +1000 b +30000 b Tab Tab +60000 b f")
    screen.close()
    recorded(case)


def check(case, size):
    """The map of a check, the rounds after it, and the end of a panel."""
    case.clock.set("2026-03-04T15:00:00+01:00")
    must(case, "new", "Wren", "--size", "300x400x12mm", "--recipe", "gypsum-titanium", "--at", "2026-03-02T09:00:00+01:00")
    now = "2026-03-02T09:10:00+01:00"
    for step in range(40):
        state = json.loads(must(case, "show", "wren", "--json", "--at", now))
        if (state["stage"] or {}).get("kind") == "check":
            break
        now = state["due_at"] if state["phase"] == "waiting" else now
        must(case, "mark", "wren", "done", "--at", now)
    screen = Screen(case, size)
    screen.keys(
        "s Space Right Space Space Down Space 7 9 9 w Left Up 1 3 w w u Space Esc Esc Space 5 Enter Space Space Space Enter t Esc "
        "Space Space Enter w Space +90000 b Space Space +4000 b Space +90000 b t End Esc y Esc Space l Esc q"
    )
    screen.close()
    recorded(case)


def finished(case, size):
    """Finished panels on the bench, with what is seen beside them."""
    demo(case, "2025-01-20T10:00:00+01:00")
    screen = Screen(case, size, "bench", "robin", "goldfinch", "blue-tit")
    screen.keys("t Down PgDn End Esc i Esc y Down Space Tab b b b Enter PgDn End Esc o Esc Tab t Esc Space Tab Space k r P Down Down Down Enter Esc l Down d Tab q f ? Esc q")
    screen.close()
    recorded(case)


def looked(case, size):
    """The sitting by its own command."""
    demo(case, "2025-01-20T10:00:00+01:00")
    screen = Screen(case, size, "inspect")
    screen.keys("d Down 2 e x Enter 0 Enter 3 f a R Up u Tab 4 Tab Tab - 1 / 3 0 0 R Home End Tab 1 Tab 2 R q q")
    screen.close()
    recorded(case)


def others(case, size):
    """What another window writes is seen in this one."""
    shelf(case)
    screen = Screen(case, size)
    for args, word in (
        (["mark", "wren", "note", "from another window"], "note"),
        (["pot", "mark", "gesso", "melt"], "melt"),
        (["mark", "wren", "done"], "done"),
        (["air", "22C", "40%"], "air"),
        (["pot", "new", "Another", "--kind", "size"], "pot"),
        (["mark", "blackbird", "abandon", "--why", "warped"], "abandon"),
    ):
        case.clock.on(2)
        must(case, *args)
        screen.wake()
        screen.take(word)
    screen.keys("t Esc P Esc q")
    screen.close()
    recorded(case)


def damaged(case, size):
    """A bench over journals that are damaged, and a disk that is not to be written to."""
    shelf(case)
    for name in ("panels/blackbird", "pots/gesso"):
        path = case.data / f"{name}.jsonl"
        text = path.read_bytes()
        path.write_bytes(text[:2000] + b"#" + text[2001:] if "panels" in name else text[:-20])
    case.rest()
    screen = Screen(case, size)
    screen.keys("Tab Space t Esc Tab P Down Esc p y Esc q")
    screen.close()
    recorded(case)


def rehearsed(case, size):
    """A practice run at the pace of the world; its seconds go on by themselves, so digits of times are not compared."""
    screen = Screen(case, size, "rehearse", "--pace", "1", blur=[(r"\d+:\d\d(:\d\d)?", "0:00"), (r"\d+( ?)(s|min)\b", r"0\1\2")])
    screen.keys("? Esc Space Space t Esc P Esc q")
    screen.close()


def resized(case, size):
    """One window through every size."""
    shelf(case)
    screen = Screen(case, size)
    for over in ("", "?", "Esc t", "Esc P", "Esc y", "Esc l"):
        screen.keys(over)
        for x, y in ((200, 60), (160, 30), (100, 50), (61, 20), (50, 9), (33, 12), (20, 5), (10, 3), (5, 2), (80, 24)):
            screen.resize(x, y)
            screen.take(f"{over} {x}x{y}")
    screen.close()


SHORT = "Tab Tab Tab ? Esc t Esc i Esc y Enter Esc Esc P f Esc Esc + Esc l Tab Esc f Space w Esc"

MANNERS = {
    "ascii": (["--ascii"], {}, ""),
    "imperial": (["--units", "imperial"], {}, ""),
    "colourless": (["--color", "never"], {}, ""),
    "dark": ([], {"COLORTERM": "truecolor"}, 'theme = "dark"\n'),
    "light": ([], {}, 'theme = "light"\nnight = "08:00-20:00"\nair_may_shorten = true\n'),
    "mono": ([], {"NO_COLOR": "1"}, 'theme = "mono"\n[materials]\nchalk = 0.7\n'),
}


def manner(case, size, how):
    args, env, settings = MANNERS[how]
    case.file("settings.toml", settings)
    on_bench(case, SHORT, size, ["--config", "settings.toml", *args], env)


def scenarios():
    own = {"empty": empty, "led": led, "called": called, "check": check, "finished": finished, "looked": looked, "others": others, "damaged": damaged}
    told = {}
    for shape, size in USUAL.items():
        for name, script in {**OVER_THE_BENCH, **RECORDED}.items():
            told[f"screen/{name}/{shape}"] = partial(on_bench, script=script, size=size)
        for name, scenario in own.items():
            told[f"screen/{name}/{shape}"] = partial(scenario, size=size)
        for how in ("ascii", "imperial"):
            told[f"screen/{how}/{shape}"] = partial(manner, size=size, how=how)
    for shape, size in SMALL.items():
        told[f"screen/small/{shape}"] = partial(on_bench, script=SHORT, size=size)
        told[f"screen/called/{shape}"] = partial(called, size=size)
        told[f"screen/check/{shape}"] = partial(check, size=size)
        told[f"screen/ascii/{shape}"] = partial(manner, size=size, how="ascii")
    for how in MANNERS:
        told[f"screen/{how}/80x24"] = partial(manner, size=USUAL["80x24"], how=how)
    told["screen/rehearsed/80x24"] = partial(rehearsed, size=USUAL["80x24"])
    told["screen/resized"] = partial(resized, size=USUAL["80x24"])
    return told
