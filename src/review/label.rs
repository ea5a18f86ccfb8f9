//! The label for the back of a panel, 60 x 90 mm: which way is up, which panel it is, when it was laid, and of what.

use super::card::format_layers;
use super::cross_section::CrossSection;
use super::panel_row::PanelRow;
use crate::text::{format_number, sanitize, truncate_to_width, wrap_words};

/// What stands on a label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PanelLabel {
    /// What it is filed under.
    pub id: String,
    /// What the maker calls it.
    pub label: String,
    /// From its opening to its last act.
    pub period: String,
    /// The lines below: the board, the layers, of what.
    pub lines: Vec<String>,
}

/// The label of a panel; `period` are its days, `materials` the lines of what it is made of.
pub fn label_from_row(row: &PanelRow, cut: &CrossSection, period: String, materials: &[String]) -> PanelLabel {
    let (width, height, thickness) = row.story.size_mm;
    let thick = thickness.map_or_else(String::new, |t| format!(" x {}", format_number(t, 1)));
    let board = format!(
        "{}, {} x {}{thick} mm",
        row.story.support.name().replace('-', " "),
        format_number(width, 1),
        format_number(height, 1)
    );
    let mut lines = vec![board];
    lines.extend(format_layers(cut));
    lines.extend(materials.iter().cloned());
    PanelLabel { id: row.story.id.to_string(), label: sanitize(&row.story.label), period, lines }
}

/// A line of a label printed as text: 60 mm hold so many letters of 7 points (assumed: 1.5 mm a letter).
const WIDTH: usize = 38;

impl std::fmt::Display for PanelLabel {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(f, "  ^\n / \\\n  |  up\n  |")?;
        writeln!(f, "{}", truncate_to_width(&self.label, WIDTH))?;
        writeln!(f, "{}\n{}\n", truncate_to_width(&self.id, WIDTH), self.period)?;
        for line in &self.lines {
            for part in wrap_words(line, WIDTH) {
                writeln!(f, "{part}")?;
            }
        }
        Ok(())
    }
}
