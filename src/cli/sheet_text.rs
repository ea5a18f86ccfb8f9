//! A bench sheet as text of 80 columns: to be printed, or filled in and given back to `enter`.

use super::enter_file::{BLANK_DATE, BLANK_TIME, COLUMNS_WORD, DATE_WORD, NO_CELL, STROKES};
use super::sheet_model::{BenchSheet, SheetPots, column_letter};
use super::wrap::wrap_hanging;
use crate::craft::recipe::Direction;
use crate::text::{UnitSystem, format_mass, format_number, format_size, format_volume, sanitize, truncate_to_width};
use crate::units::{Mass, Volume};
use crate::work::panel::event::Stage;
use crate::work::panel::state::Panel;
use crate::work::plan::bench_sheet::{SheetRow, StageName};

const WIDTH: usize = 80;
/// The name of an act.
const NAME_WIDTH: usize = 14;
/// A time and its strokes.
const CELL_WIDTH: usize = 10;

/// Sheets one below the other.
pub(super) fn format_sheet_text(sheets: &[BenchSheet<'_>]) -> String {
    let mut text = String::new();
    for (number, sheet) in sheets.iter().enumerate() {
        if number > 0 {
            text.push('\n');
        }
        text.push_str(&format_sheet(sheet, number * crate::work::plan::bench_sheet::SHEET_COLUMNS));
    }
    text
}

/// One sheet; `first` is the place of its first panel among all.
fn format_sheet(sheet: &BenchSheet<'_>, first: usize) -> String {
    let short = |column: usize| short_name(first + column);
    let mut lines = vec![
        format!("# BENCH SHEET from {}", sheet.day.format("%a %-d %b %Y")),
        format!("# Write times over {BLANK_TIME} and days over {BLANK_DATE}, then `sottile enter FILE`."),
    ];
    lines.push(format!(
        "# {} strokes along the width, {} along the height, by the arrow on the back.",
        STROKES.0, STROKES.1
    ));
    lines.push(String::new());
    for (column, panel) in sheet.panels.iter().enumerate() {
        lines.push(cut(&format!(
            "{} = {}  # {}",
            short(column),
            panel.opened().id,
            describe_board(panel, sheet.units)
        )));
    }
    for pots in &sheet.pots {
        lines.push(String::new());
        lines.extend(pot_lines(pots, sheet.units).iter().flat_map(|line| comment(line)));
        lines.push(format!(
            "# lot ________________   soaked {BLANK_TIME}   liquid {BLANK_TIME}   out of the bath {BLANK_TIME}"
        ));
    }
    lines.push(String::new());
    let names = (0..sheet.panels.len()).map(|column| format!("{:>CELL_WIDTH$}", short(column)));
    lines.push(format!("{COLUMNS_WORD:<NAME_WIDTH$}{}", names.collect::<String>()));
    let labels = sheet.panels.iter().map(|panel| {
        let label = truncate_to_width(&sanitize(&panel.opened().label), CELL_WIDTH - 1);
        format!("{}{label}", " ".repeat(CELL_WIDTH - crate::text::display_width(&label)))
    });
    lines.push(format!("#{:<1$}{2}", "", NAME_WIDTH - 1, labels.collect::<String>()));
    let mut is_first_day = true;
    for row in &sheet.rows {
        lines.push(format_row(row, sheet, &mut is_first_day));
    }
    lines.push(String::new());
    let example = short(0);
    lines.push("# Anything else, a line each:".to_owned());
    lines.push(format!("#   {example} dull 14:05      {example} note \"a hair in it\" 14:20"));
    if !sheet.cautions.is_empty() {
        lines.push(String::new());
        lines.extend(sheet.cautions.iter().flat_map(|caution| comment(&format!("! {}", caution.text))));
    }
    lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
}

fn format_row(row: &SheetRow, sheet: &BenchSheet<'_>, is_first_day: &mut bool) -> String {
    match row {
        SheetRow::Day if std::mem::replace(is_first_day, false) => {
            format!("{DATE_WORD} {}", sheet.day.format("%Y-%m-%d"))
        }
        SheetRow::Day => format!("{DATE_WORD} {BLANK_DATE}"),
        SheetRow::Wait { .. } => format!("# {}", wait_words(row)),
        SheetRow::Act { stage, cells, .. } => {
            let name = StageName::from_stage(stage).to_string();
            let cells: String = cells.iter().map(|cell| format!("{:>CELL_WIDTH$}", format_cell(*cell))).collect();
            let waits = wait_words(row);
            let waits = if waits.is_empty() { waits } else { format!("  # {waits}") };
            cut(&format!("{name:<NAME_WIDTH$}{cells}{waits}"))
        }
    }
}

fn format_cell(cell: Option<Stage>) -> String {
    let Some(stage) = cell else { return NO_CELL.to_owned() };
    match stage.direction {
        Some(Direction::Horizontal) => format!("{} {BLANK_TIME}", STROKES.0),
        Some(Direction::Vertical) => format!("{} {BLANK_TIME}", STROKES.1),
        None => BLANK_TIME.to_owned(),
    }
}

/// What is waited for behind a row; nothing where nothing is.
pub(super) fn wait_words(row: &SheetRow) -> String {
    let range = |(least, most): (f64, f64)| {
        let [least, most] = [least, most].map(|figure| format_number(figure, 1));
        if least == most { least } else { format!("{least}-{most}") }
    };
    match row {
        SheetRow::Day => String::new(),
        SheetRow::Wait { kind, hours } if hours.1 < 1.0 => {
            format!("{}: {} min at least", kind.row().noun, range((hours.0 * 60.0, hours.1 * 60.0)))
        }
        SheetRow::Wait { kind, hours } => format!("{}: {} h at least", kind.row().noun, range(*hours)),
        SheetRow::Act { wait_min: None, .. } => String::new(),
        SheetRow::Act { wait_min: Some(minutes), is_watched: true, .. } => format!("{} min or dull", range(*minutes)),
        SheetRow::Act { wait_min: Some(minutes), is_watched: false, .. } => format!("{} min", range(*minutes)),
    }
}

/// The label, the board, the recipe.
pub(super) fn describe_board(panel: &Panel, units: UnitSystem) -> String {
    let opened = panel.opened();
    let size = format_size(opened.size, units);
    format!("{}, {size}, {}", sanitize(&opened.label), sanitize(&opened.recipe.name))
}

/// What the pots of one recipe take, and how warm they may be.
pub(super) fn pot_lines(pots: &SheetPots<'_>, units: UnitSystem) -> Vec<String> {
    let recipe = pots.panel.recipe();
    let needs = &pots.needs;
    let mass = |g: f64| format_mass(Mass::from_g(g), units);
    // A gram of water is told as a millilitre: nobody measures the difference (0.2 % at 20 C).
    let water = |g: f64| format_volume(Volume::from_ml(g), units);
    let glue = |glue_g: f64, water_g: f64| format!("{} glue in {} water", mass(glue_g), water(water_g));
    let mut lines = Vec::new();
    if needs.size_glue_g > 0.0 {
        let soak = format_number(recipe.size.soak_h, 1);
        lines.push(format!("GLUE SIZE: {}; soaks {soak} h", glue(needs.size_glue_g, needs.size_water_g)));
    }
    if needs.gesso_glue_g > 0.0 {
        let fillers: String =
            needs.fillers.iter().map(|(filler, g)| format!(", {} {}", mass(*g), filler.name())).collect();
        let [low, high] = recipe.gesso.work_c.map(|c| format_number(c, 0));
        let most = format_number(recipe.gesso.overheat_c, 0);
        let glue = glue(needs.gesso_glue_g, needs.gesso_water_g);
        lines.push(format!("GESSO: {glue}{fillers}; works at {low}-{high} C, never over {most} C"));
    }
    lines
}

/// Short names go on from sheet to sheet: A to Z, then A1 to Z1.
fn short_name(place: usize) -> String {
    let letter = column_letter(place);
    if place < 26 { letter.to_string() } else { format!("{letter}{}", place / 26) }
}

fn comment(text: &str) -> Vec<String> {
    wrap_hanging("# ", text)
        .lines()
        .enumerate()
        .map(|(i, line)| if i == 0 { line.to_owned() } else { format!("#{}", &line[1..]) })
        .collect()
}

fn cut(line: &str) -> String {
    truncate_to_width(line, WIDTH)
}
