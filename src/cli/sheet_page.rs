//! A bench sheet as a page to be printed: four panels on one side of A4 or Letter, with boxes for a pen.
//!
//! A side is set for what both papers have in common, 190 x 255 mm within the margins; the rows share what height is left.

use super::sheet_model::{BenchSheet, column_letter};
use super::sheet_text::{describe_board, pot_lines, wait_words};
use crate::craft::recipe::Direction;
use crate::review::html::CONTENT_SECURITY_POLICY;
use crate::text::sanitize;
use crate::units::Size;
use crate::work::panel::event::Stage;
use crate::work::plan::bench_sheet::{SHEET_COLUMNS, SheetRow, StageName};
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// What is left of the height of a Letter page between margins of 10 mm, and a little to spare, mm.
const SIDE_MM: f64 = 254.0;
/// A row for a pen is no lower and needs be no higher, mm (assumed).
const ROW_MM: (f64, f64) = (4.6, 9.0);
/// The title, the heads of the columns and the last lines, mm.
const FRAME_MM: f64 = 34.0;
/// A line of a pot, with the boxes under it, and a line of the cautions, of which two stand side by side, mm.
const POT_MM: f64 = 4.2;
const CAUTION_MM: f64 = 3.5;
/// So many letters stand on a line of a pot, and on one of a caution.
const POT_LETTERS: usize = 105;
const CAUTION_LETTERS: usize = 66;

const CSS: &str = "\
@page{margin:10mm}*{box-sizing:border-box}:root{color-scheme:light}\
body{margin:0 auto;width:189mm;background:#fff;color:#000;font:9.5pt/1.2 Georgia,'Times New Roman',serif}\
section{break-after:page;break-inside:avoid}section:last-child{break-after:auto}\
h1{font-size:13pt;margin:0 0 1mm}p{margin:0 0 .8mm}.pot{font-size:9pt}\
table{border-collapse:collapse;width:100%;table-layout:fixed;margin:1.5mm 0}th,td{border:.25mm solid #000;padding:0 1mm;vertical-align:middle;text-align:left;font-weight:normal;overflow:hidden}\
col.act{width:27mm}col.wait{width:27mm}thead th{height:16mm;font-size:8.5pt;vertical-align:top;padding-top:1mm}thead svg{float:right}\
thead b:first-of-type{font-size:13pt}td.none{background:#bbb}td .box{display:flex;align-items:center;gap:2mm}td .box span{flex:1;text-align:center;font-size:10pt;line-height:1;color:#777}\
tr.day td,tr.wait td{border-left:none;border-right:none;font-size:9pt}tr.day td{font-weight:bold}\
td.w{font-size:8.5pt}.cautions{columns:2;column-gap:5mm;font-size:7.8pt;line-height:1.2;margin:0;padding:0;list-style:none}.cautions li{break-inside:avoid}\
.notes{border-bottom:.2mm solid #777;height:6mm;font-size:9pt}";

/// The page of those sheets.
pub(super) fn format_sheet_page(sheets: &[BenchSheet<'_>]) -> String {
    let names = sheets.iter().flat_map(|sheet| &sheet.panels).map(|panel| sanitize(&panel.opened().label));
    let title = format!("Bench sheet: {}", names.collect::<Vec<_>>().join(", "));
    let sides = sheets.iter().enumerate().flat_map(|(i, sheet)| format_sides(sheet, i * SHEET_COLUMNS));
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(CONTENT_SECURITY_POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(CSS)) }
            }
            body { @for side in sides { (side) } }
        }
    }
    .into_string()
}

/// One side, or more where there are more rows than a side can hold.
fn format_sides(sheet: &BenchSheet<'_>, first: usize) -> Vec<Markup> {
    let height = SIDE_MM - FRAME_MM - beside_mm(sheet);
    let most = ((height / ROW_MM.0).floor().max(1.0) as usize).max(1);
    let sides = sheet.rows.len().div_ceil(most).max(1);
    let rows_a_side = sheet.rows.len().div_ceil(sides).max(1);
    let row_mm = (height / rows_a_side as f64).clamp(ROW_MM.0, ROW_MM.1);
    let sides = sheet.rows.chunks(rows_a_side).enumerate();
    sides.map(|(side, rows)| format_side(sheet, rows, (first, side == 0), row_mm)).collect()
}

/// What pots and cautions take of the height, mm.
fn beside_mm(sheet: &BenchSheet<'_>) -> f64 {
    let lines = |text: &str, letters: usize| text.chars().count().div_ceil(letters).max(1) as f64;
    let pots = sheet.pots.iter().flat_map(|pots| pot_lines(pots, sheet.units));
    let pots: f64 = pots.map(|line| lines(&line, POT_LETTERS) * POT_MM).sum::<f64>() + sheet.pots.len() as f64 * POT_MM;
    let cautions: f64 = sheet.cautions.iter().map(|caution| lines(caution.text, CAUTION_LETTERS)).sum();
    pots + (cautions / 2.0).ceil() * CAUTION_MM
}

fn format_side(sheet: &BenchSheet<'_>, rows: &[SheetRow], (first, is_first): (usize, bool), row_mm: f64) -> Markup {
    let height = format!("height:{row_mm:.2}mm");
    // The pixel of a style sheet is a 96th of an inch.
    let room_px = (row_mm - 1.2).clamp(3.0, 6.5) * 96.0 / 25.4;
    html! {
        section {
            h1 { "Bench sheet from " (sheet.day.format("%A %-d %B %Y")) }
            @for pots in &sheet.pots {
                @for line in pot_lines(pots, sheet.units) { p.pot { (line) } }
                p.pot { (sanitize(&pots.panel.recipe().name)) ": lot ________________   soaked ____:____   liquid ____:____   out of the bath ____:____" }
            }
            table {
                colgroup { col.act; @for _ in &sheet.panels { col; } col.wait; }
                thead { tr {
                    th { "Write the time when an act is done." }
                    @for (column, panel) in sheet.panels.iter().enumerate() {
                        th { (board_picture(panel.opened().size)) b { (column_letter(first + column)) } " " (describe_board(panel, sheet.units)) }
                    }
                    th.w { "then at least" }
                } }
                tbody { @for (i, row) in rows.iter().enumerate() { (format_row(sheet, row, is_first && i == 0, (&height, room_px))) } }
            }
            div.notes { "Notes" }
            @if !sheet.cautions.is_empty() && is_first {
                ul.cautions { @for caution in &sheet.cautions { li { (caution.text) } } }
            }
        }
    }
}

fn format_row(sheet: &BenchSheet<'_>, row: &SheetRow, is_first: bool, (height, room_px): (&str, f64)) -> Markup {
    let across = sheet.panels.len() + 2;
    html! {
        @match row {
            SheetRow::Day => tr.day style=(height) { td colspan=(across) {
                @if is_first { "Day: " (sheet.day.format("%Y-%m-%d")) } @else { "Day: ______________" }
            } },
            SheetRow::Wait { .. } => tr.wait style=(height) { td colspan=(across) { (wait_words(row)) } },
            SheetRow::Act { stage, cells, .. } => tr style=(height) {
                td { (StageName::from_stage(stage)) }
                @for (cell, panel) in cells.iter().zip(&sheet.panels) { (format_cell(*cell, panel.opened().size, room_px)) }
                td.w { (wait_words(row)) }
            },
        }
    }
}

fn format_cell(cell: Option<Stage>, size: Size, room_px: f64) -> Markup {
    html! {
        @match cell {
            None => td.none {},
            Some(stage) => td { div.box {
                @if let Some(direction) = stage.direction { (direction_picture(direction, size, room_px)) }
                span { ":" }
            } },
        }
    }
}

/// The board's own proportions in a box of `room` by `room`, pixels; very long boards are drawn no thinner than a quarter.
fn proportions(size: Size, room: f64) -> (f64, f64) {
    let ratio = (size.width.mm() / size.height.mm()).clamp(0.25, 4.0);
    if ratio >= 1.0 { (room, room / ratio) } else { (room * ratio, room) }
}

/// The board with its strokes, in its own proportions.
fn direction_picture(direction: Direction, size: Size, room_px: f64) -> Markup {
    let (width, height) = proportions(size, room_px);
    const STROKES: usize = 3;
    let between = |i: usize, side: f64| side * (i as f64 + 1.0) / (STROKES as f64 + 1.0);
    let paths: String = (0..STROKES)
        .map(|i| match direction {
            Direction::Horizontal => format!("M2 {:.1}H{:.1}", between(i, height), width - 2.0),
            Direction::Vertical => format!("M{:.1} 2V{:.1}", between(i, width), height - 2.0),
        })
        .collect();
    html! {
        svg width=(format!("{width:.1}")) height=(format!("{height:.1}")) role="img" aria-label=(direction.name()) {
            rect x="0.5" y="0.5" width=(format!("{:.1}", width - 1.0)) height=(format!("{:.1}", height - 1.0)) fill="none" stroke="#000" {}
            path d=(paths) stroke="#000" stroke-width="1.6" fill="none" {}
        }
    }
}

/// The board with the arrow that is on its back.
fn board_picture(size: Size) -> Markup {
    let (width, height) = proportions(size, 40.0);
    let (middle, top) = (width / 2.0, height * 0.2);
    let arrow = format!("M{middle:.1} {:.1}V{top:.1}l-3 4m3 -4l3 4", height * 0.8);
    html! {
        svg width=(format!("{width:.1}")) height=(format!("{height:.1}")) role="img" aria-label="the board, arrow up" {
            rect x="0.5" y="0.5" width=(format!("{:.1}", width - 1.0)) height=(format!("{:.1}", height - 1.0)) fill="none" stroke="#000" {}
            path d=(arrow) stroke="#000" fill="none" {}
        }
    }
}
