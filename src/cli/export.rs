//! `export`: what is recorded, for other tools: a row a panel, everything of every story, or tidy tables that join.

use super::args::{ExportArgs, ExportForm};
use super::context::CliContext;
use super::error::CliError;
use super::output;
use super::progress::{Progress, with_progress};
use super::read_stories::{
    format_time, formula_guard, print_unreadable, progress_label, read_rows, require_all_readable, reread_stories,
};
use super::story::check_air;
use super::wrap::wrap_hanging;
use crate::bench::PanelRows;
use crate::craft::materials::fillers::BulkDensities;
use crate::record::journal::line::event_members;
use crate::review::csv::format_csv;
use crate::review::export::{self, ExportedJson};
use crate::review::panel_row::PanelRow;
use crate::review::tables::{
    Cell, ColumnMeaning, TableForm, TableWriter, TidyTable, air_row, coat_rows, format_column_meanings, look_rows,
    panel_cells, pot_fact_rows, pot_row,
};
use crate::units::Id;
use crate::work::panel::event::PanelEvent;
use crate::work::panel::story::PanelStory;
use crate::work::pot::story::PotStory;
use crate::work::pot::usage::PotUsage;
use anyhow::Result;
use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;
use std::sync::Arc;

/// Writes what is recorded for other tools.
pub(super) fn run(context: &CliContext, args: &ExportArgs) -> Result<()> {
    if args.columns {
        return write_columns(args);
    }
    let (Some(form), Some(path)) = (args.form, &args.output) else {
        return Err(CliError::usage("in which form, and where to? Write --as csv -o FILE").into());
    };
    output::check_not_existing(path, args.force)?;
    if args.table == Some(TidyTable::Air) {
        return write_air(context, path, table_form(form, args.raw), args.force);
    }
    let left_out = with_progress(|progress| {
        let rows = read_rows(context, progress, &args.panels)?;
        let doing = progress_label(path, "written");
        match (args.table, form) {
            (Some(table), form) => {
                let is_whole_shelf = args.panels.is_empty();
                let mut writer = TableWriter::new(&table.columns(), table_form(form, args.raw));
                output::write_file_with(path, args.force, &mut |to| {
                    to.write_all(writer.head().as_bytes())?;
                    let job = TableJob { context, progress, doing, rows: &rows, is_whole_shelf };
                    job.write_rows(table, &mut writer, to)?;
                    Ok(to.write_all(writer.foot().as_bytes())?)
                })?;
            }
            (None, ExportForm::Csv) => {
                let table = format_csv(&rows.rows, &format_time, formula_guard(args.raw));
                output::write_file(path, &table, args.force)?;
            }
            (None, ExportForm::Json) => output::write_file_with(path, args.force, &mut |to| {
                write_stories_json(context, progress, doing, &rows, args.names, to)
            })?,
        }
        Ok(rows.unreadable_stories)
    })?;
    print_unreadable(&left_out);
    require_all_readable(&left_out)
}

const fn table_form(form: ExportForm, raw: bool) -> TableForm {
    match form {
        ExportForm::Csv => TableForm::Csv(formula_guard(raw)),
        ExportForm::Json => TableForm::Json,
    }
}

/// What the columns mean: in words, or as a table in the form asked for.
fn write_columns(args: &ExportArgs) -> Result<()> {
    let asked: Vec<TidyTable> = args.table.map_or_else(|| TidyTable::ALL.to_vec(), |table| vec![table]);
    let told: Vec<_> = asked.into_iter().map(|table| (table.name(), table.columns())).collect();
    let text = match args.form {
        Some(form) => format_column_meanings(&told, table_form(form, args.raw)),
        None => describe_columns(&told),
    };
    match &args.output {
        Some(path) => output::write_file(path, &text, args.force),
        None => output::print_text(&text),
    }
}

fn describe_columns(tables: &[(&'static str, Vec<ColumnMeaning>)]) -> String {
    let mut text = String::new();
    for (table, columns) in tables {
        let width = columns.iter().map(|c| c.name.len()).max().unwrap_or(0);
        text += &format!("{table}\n");
        for c in columns {
            let unit = if c.unit.is_empty() { String::new() } else { format!(", {}", c.unit) };
            let joins = if c.joins.is_empty() { String::new() } else { format!(" (joins {})", c.joins) };
            let head = format!("  {:width$}  ", c.name);
            text += &format!("{}\n", wrap_hanging(&head, &format!("{}{joins} [{}{unit}]", c.meaning, c.type_name)));
        }
        text += "\n";
    }
    text
}

/// The readings of the air, for which no story need be read.
fn write_air(context: &CliContext, path: &Path, form: TableForm, force: bool) -> Result<()> {
    let air = context.bench().load_air();
    let rows: Vec<Vec<Cell>> = air.readings().iter().map(air_row).collect();
    let mut writer = TableWriter::new(&TidyTable::Air.columns(), form);
    let body = writer.rows(&rows);
    output::write_file(path, &(writer.head() + &body + &writer.foot()), force)?;
    Ok(check_air(&air)?)
}

/// One table to be written.
struct TableJob<'a> {
    context: &'a CliContext,
    progress: &'a Progress,
    doing: &'a str,
    rows: &'a PanelRows,
    is_whole_shelf: bool,
}

impl TableJob<'_> {
    fn write_rows(&self, table: TidyTable, writer: &mut TableWriter, to: &mut dyn Write) -> Result<()> {
        let PanelRows { rows, air, .. } = self.rows;
        let mut write = |cells: Vec<Vec<Cell>>| Ok(to.write_all(writer.rows(&cells).as_bytes())?);
        match table {
            TidyTable::Panels => rows.iter().try_for_each(|row| write(vec![panel_cells(row)])),
            TidyTable::Coats => {
                let usage = self.rows.pot_usage(&BulkDensities::TABLE);
                let make = |story: &PanelStory, _: &PanelRow| coat_rows(story, &usage, air);
                reread_stories(self.context, self.progress, self.doing, rows, &make, &mut write)
            }
            TidyTable::Looks => {
                let make = |story: &PanelStory, _: &PanelRow| look_rows(story);
                reread_stories(self.context, self.progress, self.doing, rows, &make, &mut write)
            }
            TidyTable::Pots => {
                let bulk = self.context.settings.bulk_densities();
                let usage = self.rows.pot_usage(&bulk);
                self.pots(&usage).try_for_each(|pot| write(vec![pot_row(pot, &usage)]))
            }
            TidyTable::PotFacts => {
                let usage = self.rows.pot_usage(&BulkDensities::TABLE);
                self.pots(&usage).try_for_each(|pot| write(pot_fact_rows(pot)))
            }
            // No story need be read for it.
            TidyTable::Air => write(air.readings().iter().map(air_row).collect()),
        }
    }

    /// The pots by their ids: all, or those the panels asked for came from and those up their lines.
    fn pots(&self, usage: &PotUsage<'_>) -> impl Iterator<Item = &PotStory> {
        let used = self.rows.rows.iter().flat_map(|row| &row.story.pot_uses).map(|used| &used.pot);
        let used: BTreeSet<Id> = used.flat_map(|id| usage.lineage().ancestors(id)).collect();
        let mut pots: Vec<&Arc<PotStory>> = self.rows.pots.iter().collect();
        pots.retain(|pot| self.is_whole_shelf || used.contains(&pot.pot().opened().id));
        pots.sort_by_key(|pot| &pot.pot().opened().id);
        pots.into_iter().map(Arc::as_ref)
    }
}

/// Writes every story as JSON, a piece for each, so that no more than a few are ever held.
fn write_stories_json(
    context: &CliContext,
    progress: &Progress,
    doing: &str,
    rows: &PanelRows,
    with_owners: bool,
    to: &mut dyn Write,
) -> Result<()> {
    to.write_all(export::export_head().as_bytes())?;
    let piece = |story: &PanelStory, row: &PanelRow| {
        let payload = |e: &PanelEvent| {
            let mut members = event_members(e);
            if let (PanelEvent::Placed { .. }, Some(to), false) = (e, members.get_mut("to"), with_owners) {
                to.take();
            }
            members
        };
        ExportedJson::from_story(story, row, &format_time, &payload).to_json_piece()
    };
    let mut comma = "";
    reread_stories(context, progress, doing, &rows.rows, &piece, &mut |piece| {
        write!(to, "{comma}{}", piece?)?;
        comma = ",";
        Ok(())
    })?;
    to.write_all(export::export_foot(rows.rows.is_empty(), &rows.unreadable_stories)?.as_bytes())?;
    Ok(())
}
