//! What the screens look like, and that they hold at every size.

use super::samples;
use super::{bench, bench_parts, form, keys, letters, map, story};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::{ColorScheme, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};
use unicode_width::UnicodeWidthStr;

pub(super) const PLAIN: Theme = Theme { color_scheme: ColorScheme::Terminal, ascii: false };

pub(super) fn drawn(scene: &BenchViewModel, theme: Theme, width: u16, height: u16) -> Buffer {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    bench::render_bench_in(scene, &theme, &mut buf, area);
    buf
}

pub(super) fn text(buf: &Buffer) -> String {
    let mut out = String::new();
    for y in 0..buf.area.height {
        let mut skip = 0;
        for x in 0..buf.area.width {
            let symbol = buf[(x, y)].symbol();
            if skip == 0 {
                out.push_str(symbol);
                skip = symbol.width().saturating_sub(1);
            } else {
                skip -= 1;
            }
        }
        out.truncate(out.trim_end_matches(' ').len());
        out.push('\n');
    }
    out
}

/// Writes the buffer where the look of it can be judged by eye, if the environment asks for it.
#[test]
fn pictures() {
    let Ok(to) = std::env::var("SOTTILE_PICTURES") else { return };
    let write = |name: String, buf: Buffer| {
        let mut out = String::new();
        for y in 0..buf.area.height {
            for x in 0..buf.area.width {
                let c = &buf[(x, y)];
                out.push_str(&format!("{x}\t{y}\t{}\t{:?}\t{:?}\t{:?}\n", c.symbol(), c.fg, c.bg, c.modifier));
            }
        }
        std::fs::write(format!("{to}/{name}.tsv"), out).unwrap();
        std::fs::write(format!("{to}/{name}.txt"), text(&buf)).unwrap();
    };
    let sizes = [(80, 24), (120, 40), (200, 60), (20, 5), (40, 12), (50, 60), (50, 15), (60, 10), (80, 8)];
    for (name, scene) in samples::all() {
        for (w, h) in sizes {
            write(format!("{name}-{w}x{h}"), drawn(&scene, PLAIN, w, h));
        }
        for look in [ColorScheme::Dark, ColorScheme::Light] {
            write(format!("{name}-{look:?}"), drawn(&scene, Theme { color_scheme: look, ascii: false }, 120, 40));
        }
        write(format!("{name}-ascii"), drawn(&scene, Theme { color_scheme: ColorScheme::Mono, ascii: true }, 80, 24));
    }
    let area = Rect::new(0, 0, 80, 24);
    for (name, draw) in sheets() {
        let mut buf = Buffer::empty(area);
        draw(&PLAIN, &mut buf, area);
        write(name.to_owned(), buf);
    }
}

/// The styles of a buffer, a letter a cell: plain `.`, bold `b`, inside out `R`, coloured by the colour's first letter.
pub(super) fn styles(buf: &Buffer) -> String {
    let mut out = String::new();
    for y in 0..buf.area.height {
        for x in 0..buf.area.width {
            let cell = &buf[(x, y)];
            out.push(match (cell.fg, cell.modifier) {
                (Color::Cyan, _) => 'c',
                (Color::Yellow, _) => 'y',
                (Color::Magenta, _) => 'm',
                (Color::Red, _) => 'r',
                (_, m) if m.contains(Modifier::REVERSED) => 'R',
                (_, m) if m.contains(Modifier::BOLD) => 'b',
                (_, _) => '.',
            });
        }
        out.truncate(out.trim_end_matches('.').len());
        out.push('\n');
    }
    out
}

#[test]
fn screens() {
    let kept = ["waiting", "over", "ringing", "soon", "working", "prepare", "cure", "check", "finished", "both_faces"];
    for (name, scene) in samples::all().into_iter().filter(|(n, _)| kept.contains(n)) {
        for (w, h) in [(80, 24), (120, 40), (200, 60), (20, 5)] {
            insta::assert_snapshot!(format!("{name}-{w}x{h}"), text(&drawn(&scene, PLAIN, w, h)));
        }
    }
    for name in ["far", "far_over"] {
        let scene = scene(name);
        insta::assert_snapshot!(format!("{name}-80x24"), text(&drawn(&scene, PLAIN, 80, 24)));
    }
    for name in ["waiting", "over", "soon"] {
        let scene = scene(name);
        insta::assert_snapshot!(format!("{name}-styles"), styles(&drawn(&scene, PLAIN, 80, 24)));
        let ascii = Theme { color_scheme: ColorScheme::Mono, ascii: true };
        insta::assert_snapshot!(format!("{name}-ascii"), text(&drawn(&scene, ascii, 80, 24)));
    }
    insta::assert_snapshot!("waiting-40x12", text(&drawn(&scene("waiting"), PLAIN, 40, 12)));
    insta::assert_snapshot!("waiting-50x60", text(&drawn(&scene("waiting"), PLAIN, 50, 60)));
}

pub(super) fn scene(name: &str) -> BenchViewModel {
    samples::all().into_iter().find(|(n, _)| *n == name).unwrap().1
}

type Sheet = Box<dyn Fn(&Theme, &mut Buffer, Rect)>;

fn sheets() -> Vec<(&'static str, Sheet)> {
    vec![
        ("keys", Box::new(|t: &Theme, b: &mut Buffer, a: Rect| keys::render_keys_in(&samples::keys_sheet(), t, b, a))),
        ("map", Box::new(|t: &Theme, b: &mut Buffer, a: Rect| map::render_map_in(&samples::map_view(), t, b, a))),
        ("form", Box::new(|t: &Theme, b: &mut Buffer, a: Rect| form::render_form_in(&samples::form_view(), t, b, a))),
        (
            "story",
            Box::new(|t: &Theme, b: &mut Buffer, a: Rect| story::render_story_in(&samples::story_view(30, 3), t, b, a)),
        ),
    ]
}

#[test]
fn sheets_look_so() {
    let area = Rect::new(0, 0, 80, 24);
    for (name, draw) in sheets() {
        let mut buf = Buffer::empty(area);
        draw(&PLAIN, &mut buf, area);
        insta::assert_snapshot!(name, text(&buf));
    }
}

/// Every screen, at sizes down to nothing.
fn everywhere(
    theme: Theme,
    scenes: &[(&'static str, BenchViewModel)],
    sizes: &[(u16, u16)],
    mut look: impl FnMut(&str, &Buffer),
) {
    for (w, h) in sizes {
        for (name, scene) in scenes {
            look(name, &drawn(scene, theme, *w, *h));
        }
        for (name, draw) in sheets() {
            let area = Rect::new(0, 0, *w, *h);
            let mut buf = Buffer::empty(area);
            draw(&theme, &mut buf, area);
            look(name, &buf);
        }
    }
}

const SIZES: [(u16, u16); 9] =
    [(80, 24), (120, 40), (200, 60), (20, 5), (40, 12), (50, 60), (7, 3), (300, 20), (64, 16)];

#[test]
fn no_size_is_too_small() {
    let mut sizes: Vec<_> = (0..=60).flat_map(|w| (0..=30).map(move |h| (w, h))).collect();
    sizes.extend((60..=240).step_by(20).flat_map(|w| (0..=80).step_by(7).map(move |h| (w, h))));
    sizes.extend([(1, 300), (1000, 1), (1000, 1000)]);
    let some = ["over", "hostile", "many", "prepare", "far_over"];
    let mut scenes: Vec<_> = samples::all().into_iter().filter(|(n, _)| some.contains(n)).collect();
    let mut empty = samples::finished();
    empty.cross_section = Default::default();
    empty.rack.clear();
    empty.keys.clear();
    empty.act.verb.clear();
    scenes.push(("empty", empty));
    everywhere(PLAIN, &scenes, &sizes, |_, _| {});
}

#[test]
fn ascii_stays_ascii() {
    for look in [ColorScheme::Terminal, ColorScheme::Mono] {
        everywhere(Theme { color_scheme: look, ascii: true }, &samples::all(), &SIZES, |name, buf| {
            for cell in buf.content() {
                assert!(cell.symbol().is_ascii(), "{name}: {:?}", cell.symbol());
                assert!(!cell.symbol().starts_with('?') || name == "hostile" || name == "keys" || "?" == cell.symbol());
            }
        });
    }
}

/// Every sign of ours has a stand-in of its own.
#[test]
fn no_sign_is_without_a_stand_in() {
    let scenes: Vec<_> = samples::all().into_iter().filter(|(n, _)| *n != "hostile").collect();
    everywhere(PLAIN, &scenes, &SIZES, |name, buf| {
        for sign in buf.content().iter().flat_map(|c| c.symbol().chars()) {
            assert!(sign == '?' || crate::ui::theme::to_ascii(sign) != '?', "{name}: {sign}");
        }
    });
}

#[test]
fn every_sign_of_ours_is_one_column() {
    let scenes: Vec<_> = samples::all().into_iter().filter(|(n, _)| *n != "hostile").collect();
    everywhere(PLAIN, &scenes, &SIZES, |name, buf| {
        for cell in buf.content() {
            assert_eq!(cell.symbol().width(), 1, "{name}: {:?}", cell.symbol());
        }
    });
}

#[test]
fn mono_has_no_colour() {
    everywhere(Theme { color_scheme: ColorScheme::Mono, ascii: false }, &samples::all(), &SIZES, |name, buf| {
        for cell in buf.content() {
            assert_eq!((cell.fg, cell.bg), (Color::Reset, Color::Reset), "{name}");
        }
    });
}

#[test]
fn words_stand_in_the_default_foreground() {
    everywhere(PLAIN, &samples::all(), &SIZES, |name, buf| {
        for cell in buf.content().iter().filter(|c| c.symbol().chars().any(char::is_alphanumeric)) {
            assert_eq!((cell.fg, cell.bg), (Color::Reset, Color::Reset), "{name}: {}", cell.symbol());
        }
    });
}

#[test]
fn our_own_colours_cover_the_whole_ground() {
    // Behind a sign of two columns lies a cell that is never sent; only invented texts hold such signs.
    let scenes: Vec<_> = samples::all().into_iter().filter(|(n, _)| *n != "hostile").collect();
    for look in [ColorScheme::Dark, ColorScheme::Light] {
        everywhere(Theme { color_scheme: look, ascii: false }, &scenes, &SIZES, |name, buf| {
            for cell in buf.content() {
                let ratio = crate::ui::tests::contrast::contrast(cell.fg, cell.bg);
                assert!(ratio.is_some_and(|r| r >= 7.0), "{look:?} {name}: {:?} on {:?}", cell.fg, cell.bg);
            }
        });
    }
}

#[test]
fn nothing_that_steers_a_terminal_reaches_a_cell() {
    let scenes = [("hostile", samples::hostile())];
    let head = text(&drawn(&scenes[0].1, PLAIN, 80, 24));
    assert!(!head.trim_start().starts_with("[31m"), "an escape is shown, not swallowed: {head}");
    everywhere(PLAIN, &scenes, &SIZES, |_, buf| {
        for sign in buf.content().iter().flat_map(|c| c.symbol().chars()) {
            assert!(!sign.is_control() && !('\u{202a}'..='\u{202e}').contains(&sign) && sign != '\u{200b}');
        }
    });
}

/// A second later the picture painted over the one kept is the picture painted anew.
#[test]
fn what_is_kept_of_a_picture_is_never_stale() {
    let mut copied = 0;
    for (name, scene) in samples::all() {
        for (w, h) in [(80, 24), (120, 40), (200, 60), (20, 5), (40, 12), (50, 60), (36, 16), (64, 17), (1, 1)] {
            for theme in [PLAIN, Theme { color_scheme: ColorScheme::Dark, ascii: true }] {
                let area = Rect::new(0, 0, w, h);
                let mut painted = super::partial_redraw::RenderCache::default();
                let mut buf = Buffer::empty(area);
                for (far, step, gone) in
                    [(false, 0, 0.1), (false, 1, 0.2), (false, 61, 1.0), (true, 62, 0.0), (true, 7200, 0.9)]
                {
                    let mut now = BenchViewModel { distance_mode: far, ..scene.clone() };
                    if let Some(digits) = &mut now.timer {
                        digits.seconds = digits.seconds.abs_diff(step);
                        digits.progress = digits.progress.map(|_| gone);
                    }
                    let parts = painted.render_changes(&now, &theme);
                    copied += u32::from(!parts.is_empty());
                    for cell in parts.iter().flat_map(|part| part.area.positions().map(move |at| (at, &part[at]))) {
                        buf[cell.0] = cell.1.clone();
                    }
                    if parts.is_empty() {
                        buf.reset();
                        painted.render(now.clone(), &theme, &mut buf);
                    }
                    assert_eq!(text(&buf), text(&drawn(&now, theme, w, h)), "{name} {w}x{h} after {step} s");
                    assert_eq!(buf, drawn(&now, theme, w, h), "{name} {w}x{h} after {step} s");
                }
            }
        }
    }
    assert!(copied > 100, "{copied}");
}

/// The rows on which the digits of a scene stand, found by taking the digits away.
fn digit_rows(scene: &BenchViewModel, w: u16, h: u16) -> u16 {
    let shown = scene.timer.unwrap();
    let mut pen_buf = Buffer::empty(Rect::new(0, 0, w, h));
    bench::render_bench_in(scene, &PLAIN, &mut pen_buf, Rect::new(0, 0, w, h));
    let hatch = crate::ui::hatch::Hatch::from_kind(scene.act.kind, scene.act.direction).bold().to_string();
    let sign = if scene.urgency.is_overdue() { "█".to_owned() } else { hatch };
    let from = if shown.progress.is_some() || w < 60 { w / 3 } else { w * 2 / 5 };
    let rows: Vec<u16> = (0..h)
        .filter(|y| {
            let lit: Vec<u16> = (from..w)
                .filter(|x| pen_buf[(*x, *y)].symbol() == sign && pen_buf[(*x, *y)].fg == Color::Reset)
                .collect();
            lit.len() >= 2
        })
        .collect();
    let mut best = 0;
    let mut run = 0;
    for (i, y) in rows.iter().enumerate() {
        run = if i > 0 && rows[i - 1] + 1 == *y { run + 1 } else { 1 };
        best = best.max(run);
    }
    best
}

#[test]
fn digits_are_seven_rows_high_and_grow() {
    for name in ["waiting", "over", "ringing", "soon", "working", "pressed", "cure", "scrape", "away", "days"] {
        let scene = scene(name);
        let low = digit_rows(&scene, 80, 24);
        let (high, wide) = (digit_rows(&scene, 120, 40), digit_rows(&scene, 200, 60));
        assert!(low >= 7, "{name}: {low}");
        assert!(high > low && wide > high, "{name}: {low} {high} {wide}");
    }
}

#[test]
fn the_act_is_in_large_letters() {
    let long = [
        "Brush glue size on the back and the edges, coat 2",
        "Brush glue size on the front",
        "Lay the cloth in size",
        "Tap in the first gesso",
        "Lay back coat 12",
        "Polish with a barely damp cloth",
        "Check with dark powder, round 3",
        "Let the ground dry",
        "Seal with shellac, coat 2",
        "Ready to paint on",
    ];
    let acts = samples::all().into_iter().map(|(_, scene)| bench_parts::format_act_large(&scene.act));
    for text in acts.chain(long.iter().map(|t| t.to_uppercase())) {
        // The longest need the smaller letters; where there is little room the brief words stand instead.
        let wide_least = if text.len() > 44 { 1 } else { 2 };
        for (w, h, least) in [(80_u16, 24_u16, 1), (200, 60, wide_least)] {
            let set = letters::lay_out(&text, w - 2, h / 3, 6.max(h / 4), 3, false).unwrap();
            assert!(set.scale >= least || text.len() > 45, "{text} at {w}x{h}: {set:?}");
            let fits = |line: &String| letters::width_at_scale(line, set.scale).is_some_and(|wide| wide <= w - 2);
            assert!(set.lines.iter().all(fits) && set.rows() <= h / 3, "{text} at {w}x{h}: {set:?}");
            assert!(text.starts_with(&set.lines.join(" ")), "{text}: {set:?}");
        }
    }
}

/// Told without colour: in mono ASCII a counting, a soon, a late and a ringing wait differ in the line under the act.
#[test]
fn lateness_has_a_shape() {
    let theme = Theme { color_scheme: ColorScheme::Mono, ascii: true };
    let bars: Vec<String> = ["waiting", "soon", "over", "ringing"]
        .map(|name| {
            let mut scene = scene(name);
            if scene.urgency.is_overdue() {
                scene.timer.as_mut().unwrap().progress = None;
            }
            let buf = drawn(&scene, theme, 80, 24);
            let shown = text(&buf);
            shown.lines().nth(6).unwrap().trim_end().to_owned()
        })
        .into();
    for (i, bar) in bars.iter().enumerate() {
        assert!(!bars[..i].contains(bar), "{bar}");
    }
    assert_eq!(bars[2], "#".repeat(80));
}

#[test]
fn the_soonest_call_is_told_at_twenty_by_five() {
    let shown = |scene: &BenchViewModel| text(&drawn(scene, PLAIN, 20, 5));
    let waiting = shown(&samples::waiting());
    assert!(waiting.contains("lay coat 4 of 6") && waiting.contains("vertical") && waiting.contains('▀'), "{waiting}");
    let mut other = samples::waiting();
    other.rack[0].overdue = true;
    assert!(shown(&other).contains("Robin"));
    assert!(shown(&samples::soon()).contains("2 min early"));
}
