//! A comparison told in words for a person at a shell: what was done differently first, then counts, then figures.

use super::column::Column;
use super::columns::table_columns;
use super::compare::Comparison;
use super::panel_row::PanelRow;
use super::possible_causes::telling_causes;
use crate::text::{display_width, format_count, sanitize, truncate_to_width};

/// The whole of it. Every word a maker typed is made safe to show.
pub fn format_comparison(c: &Comparison) -> String {
    if c.panels.is_empty() {
        let left_out = format_unreadable_stories(c);
        return format!("no panels to compare\n{left_out}");
    }
    let mut text = format_answer_head(c);
    text += &format_work_differences(c);
    text += &format_groups(c);
    text += &format_differences(c);
    text += &format_table(&c.panels);
    text += &format_possible_causes(&c.panels);
    for remark in &c.remarks {
        text += &format!("{remark}\n");
    }
    text + &format_unreadable_stories(c)
}

fn format_answer_head(c: &Comparison) -> String {
    let Some(asked) = &c.asked else { return String::new() };
    let lines = std::iter::once(&asked.answer.message).chain(&asked.answer.crossing);
    lines.map(|line| sanitize(line) + "\n").collect::<String>() + "\n"
}

/// The width of a terminal as it comes.
const WIDTH: usize = 80;

/// At most so many rows stand below the answer.
const MAX_ANSWER_ROWS: usize = 10;

/// The answer and the table below it, in 80 columns; nothing where panels were grouped by something else.
pub fn format_answer(c: &Comparison) -> String {
    let Some(asked) = &c.asked else { return String::new() };
    let mut text = wrap(&asked.answer.message);
    text.extend(asked.answer.crossing.as_ref().map(|told| wrap(told)));
    text.push('\n');
    text += &format_answer_table(c);
    for remark in &c.remarks {
        text += &wrap(remark);
    }
    text + &format_unreadable_stories(c)
}

fn wrap(text: &str) -> String {
    let options = textwrap::Options::new(WIDTH).break_words(false).word_splitter(textwrap::WordSplitter::NoHyphenation);
    textwrap::fill(&sanitize(text), options) + "\n"
}

/// The told things, the clearest first; chances as shelves of a hundred.
fn format_answer_table(c: &Comparison) -> String {
    let told = c.differences.iter().filter_map(|d| Some((d, d.test.as_ref()?))).filter(|(_, test)| test.is_told);
    let rows: Vec<_> = told.take(MAX_ANSWER_ROWS).collect();
    let (Some(b), false) = (&c.contrast, rows.is_empty()) else { return String::new() };
    let line = |label: &str, a: &str, b: &str, over: &str, alone: &str, any: &str| {
        let label = truncate_to_width(&sanitize(label), 31);
        let gap = " ".repeat(31_usize.saturating_sub(display_width(&label)));
        format!("{label}{gap} {a:>12} {b:>14} {over:>10} {alone:>4} {any:>4}").trim_end().to_owned() + "\n"
    };
    let share = |p: Option<f64>| {
        p.map_or_else(
            || "-".to_owned(),
            |p| match (p * 100.0).round() as u32 {
                0 => "<1".to_owned(),
                n => n.to_string(),
            },
        )
    };
    let mut text = line("", &b.name_a, &b.name_b, "over", "own", "any");
    for (d, test) in rows {
        text += &line(&test.label, &test.short_a, &test.short_b, &test.over, &share(d.p_value), &share(test.p_family));
    }
    text + &wrap("own, any: on how many shelves of 100 chance alone sets this as far apart, or any of these.") + "\n"
}

fn format_work_differences(c: &Comparison) -> String {
    let mut text = String::new();
    if c.panels.len() > 1 {
        text += if c.work_differences.is_empty() {
            "Nothing was done differently that is recorded.\n"
        } else {
            "Done differently\n"
        };
    }
    text.extend(c.work_differences.iter().map(|message| format!("  {message}\n")));
    text.extend(c.work_similarities.iter().map(|message| format!("{message}\n")));
    text + "\n"
}

fn format_pot_count(n: usize) -> String {
    match n {
        0 => "pots not recorded".to_owned(),
        n => format!("from {}", format_count(n, "pot")),
    }
}

/// More groups than this are counted: nobody takes in two thousand pots.
const MAX_GROUPS: usize = 24;

fn format_groups(c: &Comparison) -> String {
    let mut text = format!("By {}\n", c.group_by.name());
    for g in c.groups.iter().take(MAX_GROUPS) {
        let mut counts = vec![format!("{} sound", g.sound), format!("{} cracked", g.cracked)];
        counts.push(format!("{} not inspected", g.not_inspected));
        if g.given_up > 0 {
            counts.push(format!("{} given up", g.given_up));
        }
        let counts = counts.join(", ");
        text += &format!(
            "  {}: {} {}: {counts}\n",
            sanitize(&g.value),
            format_count(g.panels, "panel"),
            format_pot_count(g.pots)
        );
    }
    match c.groups.len().saturating_sub(MAX_GROUPS) {
        0 => text + "\n",
        more => text + &format!("  and {more} more groups; `--json` tells all\n\n"),
    }
}

fn format_differences(c: &Comparison) -> String {
    let mut text = String::new();
    if let Some(b) = &c.contrast {
        text += &format!(
            "{} ({} {}) against {} ({} {})\n",
            capitalize(&sanitize(&b.name_a)),
            format_count(b.panel_counts.0, "panel"),
            format_pot_count(b.pot_counts.0),
            sanitize(&b.name_b),
            format_count(b.panel_counts.1, "panel"),
            format_pot_count(b.pot_counts.1)
        );
        if b.unknown_count > 0 {
            text += &format!("  {}: nobody looked; left out of this\n", format_count(b.unknown_count, "panel"));
        }
        text.extend(b.no_cause_reason.iter().map(|message| format!("  {}\n", sanitize(message))));
    } else if !c.differences.is_empty() {
        text += "From the lowest to the highest\n";
    }
    text.extend(c.differences.iter().map(|d| format!("  {}\n", sanitize(&d.text))));
    if text.is_empty() { text } else { text + "\n" }
}

fn capitalize(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// What stands in place of what nobody recorded.
const NOT_RECORDED: &str = "-";

/// What a maker may make of any length is cut to this.
const MAX_TYPED_WIDTH: usize = 18;

fn format_cell(column: &Column, row: &PanelRow) -> String {
    let text = column.display(row).unwrap_or_else(|| NOT_RECORDED.to_owned());
    if column.is_unbounded() { truncate_to_width(&text, MAX_TYPED_WIDTH) } else { text }
}

/// More rows than this are for `--csv` and `--json`.
const MAX_ROWS: usize = 60;

fn format_table(facts: &[PanelRow]) -> String {
    let head: Vec<String> = table_columns().map(|(heading, _)| heading.to_owned()).collect();
    let cells = |f| table_columns().map(|(_, column)| format_cell(column, f)).collect();
    let rows: Vec<Vec<String>> = std::iter::once(head).chain(facts.iter().take(MAX_ROWS).map(cells)).collect();
    let widths: Vec<usize> = (0..table_columns().count())
        .map(|i| rows.iter().filter_map(|r| r.get(i)).map(|c| display_width(c)).max().unwrap_or(0))
        .collect();
    let mut text = String::new();
    for row in &rows {
        let cell = |(cell, wide): (&String, &usize)| format!("{cell}{}", " ".repeat(wide - display_width(cell)));
        let line: Vec<String> = row.iter().zip(&widths).map(cell).collect();
        text += line.join("  ").trim_end();
        text.push('\n');
    }
    match facts.len().saturating_sub(MAX_ROWS) {
        0 => text + "\n",
        more => text + &format!("and {more} more; `--csv` tells all\n\n"),
    }
}

/// What to look at, for at most this many panels.
const MAX_CAUSE_PANELS: usize = 12;

fn format_possible_causes(rows: &[PanelRow]) -> String {
    let with = telling_causes(rows);
    if with.is_empty() {
        return String::new();
    }
    let mut text = "To look at: what the craft connects with the faults seen. None of it is a verdict.\n".to_owned();
    for (row, causes) in with.iter().take(MAX_CAUSE_PANELS) {
        text += &format!("  {}\n", sanitize(&row.story.label));
        for (p, on_all) in causes {
            let all = if *on_all { "; all your panels have this" } else { "" };
            text += &format!("    {}: {}{all} ({})\n", p.fault.name(), p.risk_factor.describe(row), p.source);
        }
    }
    match with.len().saturating_sub(MAX_CAUSE_PANELS) {
        0 => text + "\n",
        more => text + &format!("  and {more} more\n\n"),
    }
}

/// Damaged stories are named as far as rows are.
fn format_unreadable_stories(c: &Comparison) -> String {
    let named = c.unreadable_stories.iter().take(MAX_ROWS);
    let text: String = named.map(|l| format!("left out: {}: {}\n", sanitize(&l.path), sanitize(&l.message))).collect();
    match c.unreadable_stories.len().saturating_sub(MAX_ROWS) {
        0 => text,
        more => text + &format!("left out: and {more} more; `--json` names all\n"),
    }
}
