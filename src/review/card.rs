//! The record for the back of a panel, one page of plain words: what the board is, what lies on it, when, from which
//! pot, and what was seen since.
//!
//! Absent on purpose: files, the zone of its times (handed in).

use super::facts::{Facts, laid};
use super::section::{Layer, Section};
use super::ways::pots;
use crate::text::{clean, round_to};
use crate::units::Stamp;
use crate::work::advice::inspections::{growth, looks, told};
use crate::work::advice::words::support;
use crate::work::panel::event::Kind;
use crate::work::panel::story::Story;

/// The lines of the card: a heading and what stands under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Card {
    /// What stands above: the label.
    pub title: String,
    /// Headings, each with its lines.
    pub parts: Vec<(&'static str, Vec<String>)>,
}

/// The card of a story; `day` and `time` print a date and a time of day.
pub fn card(
    story: &Story,
    facts: &Facts,
    cut: &Section,
    day: &dyn Fn(Stamp) -> String,
    time: &dyn Fn(Stamp) -> String,
) -> Card {
    let panel = story.panel();
    let opened = panel.opened();
    let (width, height, thick) = facts.size_mm;
    let thick = thick.map_or_else(String::new, |t| format!(" x {}", round_to(t, 1)));
    let board = vec![
        format!(
            "{}, {} x {}{thick} mm, width first with the arrow up",
            support(opened.support),
            round_to(width, 1),
            round_to(height, 1)
        ),
        format!("grain along the {}; made for {}", opened.grain.name(), opened.paint.name()),
        format!("recipe {}: {}", clean(&opened.recipe.name), clean(&opened.recipe.title)),
        format!("opened {}", day(panel.opened_at().wall)),
    ];
    let mut parts = vec![("Board", board), ("Layers, from the wood outwards", layers(cut))];
    parts.push(("When", acts(story, day, time)));
    parts.push(("Pots", vec![clean(&pots(facts))]));
    parts.extend(pot(facts));
    parts.extend(air(facts));
    let seen: Vec<String> =
        looks(story).iter().map(|(at, seen)| format!("{}  {}", day(*at), clean(&told(seen)))).collect();
    parts.push(("Seen since", if seen.is_empty() { vec!["never inspected".to_owned()] } else { seen }));
    let grown: Vec<String> = growth(story).iter().map(|g| format!("{}: {}", g.fault, g.does())).collect();
    if !grown.is_empty() {
        parts.push(("Faults", grown));
    }
    if let Some(why) = &facts.given_up {
        parts.push(("Given up", vec![clean(why)]));
    }
    Card { title: format!("{}  ({})", clean(&opened.label), opened.id), parts }
}

fn layers(section: &Section) -> Vec<String> {
    let face = |name: &str, layers: &[Layer]| {
        if layers.is_empty() {
            return format!("{name}: bare");
        }
        let mut said: Vec<String> = Vec::new();
        for layer in layers {
            let way = layer.direction.map_or_else(String::new, |d| format!(" {}", &d.name()[..1]));
            said.push(format!("{}{way}", layer.kind.name()));
        }
        let wet = Section::wet_um(layers);
        let dry = Section::dry_um(layers).filter(|um| *um > 0.0);
        let dry = dry.map_or_else(String::new, |um| format!(", about {} um dry before scraping", round_to(um, 0)));
        if wet > 0.0 {
            format!("{name}: {}; {} um laid wet{dry}", said.join(", "), round_to(wet, 0))
        } else {
            format!("{name}: {}", said.join(", "))
        }
    };
    vec![
        face("front", &section.front),
        face("back", &section.back),
        "h and v: along the width and along the height".to_owned(),
    ]
}

/// The times of the coats, a line a day.
fn acts(story: &Story, day: &dyn Fn(Stamp) -> String, time: &dyn Fn(Stamp) -> String) -> Vec<String> {
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    let mut acts: Vec<_> = laid(story.panel()).map(|(s, l)| (l.done.wall, l.seq, s.place)).collect();
    acts.sort_by_key(|(at, seq, _)| (*at, *seq));
    for (at, _, place) in acts {
        let number = if matches!(place.kind, Kind::Coat | Kind::Size | Kind::Scrape | Kind::Check) {
            format!(" {}", place.number)
        } else {
            String::new()
        };
        let face = place.face.map_or("", |f| if f.name() == "back" { " back" } else { "" });
        let said = format!("{}{number}{face} {}", place.kind.name(), time(at));
        let today = day(at);
        match lines.last_mut() {
            Some((last, acts)) if *last == today => acts.push(said),
            Some(_) | None => lines.push((today, vec![said])),
        }
    }
    lines.into_iter().map(|(day, acts)| format!("{day}  {}", acts.join(", "))).collect()
}

/// What the pots' own records tell.
fn pot(f: &Facts) -> Option<(&'static str, Vec<String>)> {
    let told = [
        f.pot_max_c.map(|t| format!("at its hottest {} C", round_to(t, 0))),
        f.melts.map(|n| if n == 1 { "melted once".to_owned() } else { format!("melted {n} times") }),
        f.water_lost_pct.map(|p| format!("{} % of its water lost by the last coat", round_to(p, 0))),
        f.glue_per_100g_filler_g.map(|g| format!("{} g of glue to 100 g of filler", round_to(g, 1))),
    ];
    let told: Vec<String> = told.into_iter().flatten().collect();
    (!told.is_empty()).then_some(("The gesso", told))
}

fn air(f: &Facts) -> Option<(&'static str, Vec<String>)> {
    let told = [
        f.air.temp_mean_c.map(|t| format!("{} C on average", round_to(t, 1))),
        f.air
            .rh_min_pct
            .zip(f.air.rh_max_pct)
            .map(|(low, high)| format!("{} to {} % humidity", round_to(low, 0), round_to(high, 0))),
    ];
    let told: Vec<String> = told.into_iter().flatten().collect();
    (!told.is_empty()).then_some(("Air while coats went on", told))
}

impl std::fmt::Display for Card {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(f, "{}", self.title)?;
        for (heading, lines) in &self.parts {
            writeln!(f, "\n{heading}")?;
            for line in lines {
                writeln!(f, "  {line}")?;
            }
        }
        Ok(())
    }
}
