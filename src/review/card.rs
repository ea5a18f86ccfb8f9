//! The record for the back of a panel, one page of plain words: what the board is, what lies on it, when, from which
//! pot, and what was seen since.

use super::cross_section::{CrossSection, CrossSectionLayer};
use super::panel_row::PanelRow;
use super::row_text::format_pots;
use super::standing_steps::standing_steps;
use crate::craft::recipe::SealMaterial;
use crate::text::{UnitSystem, format_count, format_number, format_size, format_times, sanitize};
use crate::units::Stamp;
use crate::work::advice::board_water::{build_sentence, dryness_sentences};
use crate::work::advice::inspections::{fault_growth, format_inspection, story_inspections};
use crate::work::advice::words::support_text;
use crate::work::panel::story::PanelStory;
use crate::work::pot::water::StrengthSource;
use crate::work::story::StoryState;

/// The heading over what a panel is made of.
pub const MATERIALS: &str = "Of what";

/// The heading over what became of it.
const WHEREABOUTS: &str = "Where it is";

/// The lines of the card: a heading and what stands under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PanelCard {
    /// What stands above: the label.
    pub title: String,
    /// Headings, each with its lines.
    pub parts: Vec<(&'static str, Vec<String>)>,
}

/// The card of a story; `lots` are those of the glue in its pots, `day` and `time` print a date and a time of day.
pub fn card_from_story(
    story: &PanelStory,
    row: &PanelRow,
    cut: &CrossSection,
    lots: &[String],
    day: &dyn Fn(Stamp) -> String,
    time: &dyn Fn(Stamp) -> String,
    units: UnitSystem,
) -> PanelCard {
    let panel = story.panel();
    let opened = panel.opened();
    let size = format_size(opened.size, units);
    let board = vec![
        format!("{}, {size}, width first with the arrow up", support_text(opened.support)),
        format!("grain along the {}; made for {}", opened.grain.name(), opened.paint.name()),
        format!("recipe {}: {}", sanitize(&opened.recipe.name), sanitize(&opened.recipe.title)),
        format!("opened {}", day(panel.opened_at().wall)),
    ];
    let sheet = opened.sheet.iter().map(|sheet| format!("cut from sheet {}", sanitize(sheet)));
    let board: Vec<String> = board.into_iter().chain(sheet).collect();
    let mut parts = vec![("Board", board), (MATERIALS, format_materials(story, row, lots))];
    parts.push(("Layers, from the wood outwards", format_layers(cut)));
    parts.push(("When", format_acts(story, day, time)));
    parts.push(("Pots", vec![sanitize(&format_pots(row))]));
    parts.extend(pot_part(row));
    parts.extend(air_part(row));
    let weighed = story.panel().dryness();
    let weighed = weighed.map_or_else(Vec::new, |report| {
        let when = |stamp| format!("on {} at {}", day(stamp), time(stamp));
        dryness_sentences(&report, &when, units)
    });
    let measured: Vec<String> = weighed.into_iter().chain(build_sentence(story.panel())).collect();
    if !measured.is_empty() {
        parts.push(("Weighed and measured", measured));
    }
    let seen: Vec<String> = story_inspections(story)
        .iter()
        .map(|(at, seen)| format!("{}  {}", day(*at), sanitize(&format_inspection(seen, units))))
        .collect();
    parts.push(("Seen since", if seen.is_empty() { vec!["never inspected".to_owned()] } else { seen }));
    let grown: Vec<String> = fault_growth(story).iter().map(|g| format!("{}: {}", g.fault, g.trend())).collect();
    if !grown.is_empty() {
        parts.push(("Faults", grown));
    }
    if let Some((place, since, _)) = &row.story.placement {
        parts.push((WHEREABOUTS, vec![format!("{}, {}", place.words(), day(*since))]));
    }
    if let Some(reason) = &row.story.given_up {
        parts.push(("Given up", vec![sanitize(reason)]));
    }
    PanelCard { title: format!("{}  ({})", sanitize(&opened.label), opened.id), parts }
}

impl PanelCard {
    /// The same card, with the name of whoever has the panel: on no page unless that is asked for.
    #[must_use]
    pub fn with_owner(mut self, row: &PanelRow) -> PanelCard {
        let owner = row.story.placement.as_ref().and_then(|(.., to)| to.as_ref());
        let part = self.parts.iter_mut().find(|(heading, _)| *heading == WHEREABOUTS);
        if let (Some(owner), Some((_, lines))) = (owner, part) {
            lines.push(format!("to {}", sanitize(owner)));
        }
        self
    }
}

/// What each face is made of, in a line, and how the directions are told.
pub fn format_layers(section: &CrossSection) -> Vec<String> {
    let face = |name: &str, layers: &[CrossSectionLayer]| {
        if layers.is_empty() {
            return format!("{name}: bare");
        }
        let mut messages: Vec<String> = Vec::new();
        for layer in layers {
            let way = layer.direction.map_or_else(String::new, |d| format!(" {}", &d.name()[..1]));
            messages.push(format!("{}{way}", layer.kind.name()));
        }
        let wet = CrossSection::total_wet_um(layers);
        let dry = CrossSection::total_dry_um(layers).filter(|um| *um > 0.0);
        let dry = dry.map_or_else(String::new, |um| format!(", about {} um dry before scraping", format_number(um, 0)));
        if wet > 0.0 {
            format!("{name}: {}; {} um laid wet{dry}", messages.join(", "), format_number(wet, 0))
        } else {
            format!("{name}: {}", messages.join(", "))
        }
    };
    vec![
        face("front", &section.front),
        face("back", &section.back),
        "h and v: along the width and along the height".to_owned(),
    ]
}

/// The filler, the glue and its lot, the seal and the paint, a line each.
pub fn format_materials(story: &PanelStory, row: &PanelRow, lots: &[String]) -> Vec<String> {
    let opened = story.panel().opened();
    let gesso = &opened.recipe.gesso;
    let fillers: Vec<&str> = gesso.fillers.iter().map(|part| part.filler.name()).collect();
    let lots: Vec<String> = lots.iter().map(|lot| sanitize(lot)).collect();
    let lot = if lots.is_empty() { "lot not recorded".to_owned() } else { lots.join(", ") };
    let seal = match (row.story.sealed, opened.recipe.seal.coats) {
        (SealMaterial::None, _) => "not sealed".to_owned(),
        (with @ (SealMaterial::Shellac | SealMaterial::Glue), coats) => {
            format!("sealed with {}, {}", with.name(), format_count(coats as usize, "coat"))
        }
    };
    vec![
        format!("filler: {}", fillers.join(" and ")),
        format!("glue: {} g to a litre of water; {lot}", format_number(gesso.glue_g_per_l_water, 1)),
        format!("{seal}; for {}", opened.paint.name()),
    ]
}

/// The times of the coats, a line a day.
fn format_acts(story: &PanelStory, day: &dyn Fn(Stamp) -> String, time: &dyn Fn(Stamp) -> String) -> Vec<String> {
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    let mut acts: Vec<_> = standing_steps(story.panel()).map(|(s, l)| (l.done_at.wall, l.seq, s.slot)).collect();
    acts.sort_by_key(|(at, seq, _)| (*at, *seq));
    for (at, _, place) in acts {
        let number = if place.kind.row().brief_number { format!(" {}", place.number) } else { String::new() };
        let face = place.face.map_or("", |f| if f.name() == "back" { " back" } else { "" });
        let message = format!("{}{number}{face} {}", place.kind.name(), time(at));
        let today = day(at);
        match lines.last_mut() {
            Some((last, acts)) if *last == today => acts.push(message),
            Some(_) | None => lines.push((today, vec![message])),
        }
    }
    lines.into_iter().map(|(day, acts)| format!("{day}  {}", acts.join(", "))).collect()
}

/// What the pots' own records tell.
fn pot_part(row: &PanelRow) -> Option<(&'static str, Vec<String>)> {
    let told = [
        row.pots.max_c.map(|t| format!("at its hottest {} C", format_number(t, 0))),
        row.pots.melts.map(|n| format!("melted {}", format_times(n))),
        row.pots.water_lost_pct.map(|p| format!("{} % of its water lost by the last coat", format_number(p, 0))),
        row.pots.glue_per_100g_filler_g.map(|g| {
            let glue = row.pots.strength_source.unwrap_or(StrengthSource::Recipe).card_words();
            let filler = if row.pots.is_filler_weighed { "as weighed" } else { "by the recipe" };
            let by = if glue == filler { glue.to_owned() } else { format!("glue {glue}, filler {filler}") };
            format!("{} g of glue to 100 g of filler, {by}", format_number(g, 1))
        }),
    ];
    let lines: Vec<String> = told.into_iter().flatten().collect();
    (!lines.is_empty()).then_some(("The gesso", lines))
}

fn air_part(row: &PanelRow) -> Option<(&'static str, Vec<String>)> {
    let told = [
        row.air.temp_mean_c.map(|t| format!("{} C on average", format_number(t, 1))),
        row.air
            .rh_min_pct
            .zip(row.air.rh_max_pct)
            .map(|(low, high)| format!("{} to {} % humidity", format_number(low, 0), format_number(high, 0))),
    ];
    let lines: Vec<String> = told.into_iter().flatten().collect();
    (!lines.is_empty()).then_some(("Air while coats went on", lines))
}

impl std::fmt::Display for PanelCard {
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
