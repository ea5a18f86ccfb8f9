//! What the screens look like, and that they hold at every size.

use super::samples;
use super::{bench, form, keys, map, story};
use crate::ui::theme::{Look, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

const PLAIN: Theme = Theme { look: Look::Terminal, ascii: false };

fn drawn(scene: &crate::app::scene::Scene, theme: Theme, width: u16, height: u16) -> Buffer {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    bench::on(scene, &theme, &mut buf, area);
    buf
}

fn text(buf: &Buffer) -> String {
    let mut out = String::new();
    for y in 0..buf.area.height {
        let mut skip = 0;
        for x in 0..buf.area.width {
            let symbol = buf[(x, y)].symbol();
            if skip == 0 {
                out.push_str(symbol);
                skip = unicode_width::UnicodeWidthStr::width(symbol).saturating_sub(1);
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
    let sizes = [(80, 24), (120, 40), (200, 60), (20, 5), (40, 12), (50, 60)];
    for (name, scene) in samples::all() {
        for (w, h) in sizes {
            write(format!("{name}-{w}x{h}"), drawn(&scene, PLAIN, w, h));
        }
        for look in [Look::Dark, Look::Light] {
            write(format!("{name}-{look:?}"), drawn(&scene, Theme { look, ascii: false }, 120, 40));
        }
        write(format!("{name}-ascii"), drawn(&scene, Theme { look: Look::Mono, ascii: true }, 80, 24));
    }
    let area = Rect::new(0, 0, 80, 24);
    let mut sheet = |name: &str, draw: &dyn Fn(&mut Buffer)| {
        let mut buf = Buffer::empty(area);
        draw(&mut buf);
        write(name.to_owned(), buf);
    };
    sheet("keys", &|b| keys::on(&samples::keys_sheet(), &PLAIN, b, area));
    sheet("map", &|b| map::on(&samples::map_view(), &PLAIN, b, area));
    sheet("form", &|b| form::on(&samples::form_view(), &PLAIN, b, area));
    sheet("story", &|b| story::on(&samples::story_view(30, 3), &PLAIN, b, area));
}
