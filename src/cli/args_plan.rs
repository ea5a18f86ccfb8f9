//! What may be written after `plan`.

use crate::config::HANDS_MAX;
use clap::Args;
use std::path::PathBuf;

/// `plan`.
#[derive(Debug, Args)]
#[command(
    after_long_help = "Hands work inside the hours alone; glue soaks and boards cure, dry and rest at any hour. From stipple \
                       to last coat no night comes between, unless the recipe allows it. Minutes are your own where the \
                       program has learned them, else the recipe's. Nothing is recorded.\n\n\
                       Examples:\n  sottile plan wren lark\n  \
                       sottile plan --new \"5 of 300x400x12mm gypsum-zinc\" --ready-by \"2026-12-18 09:00\"\n  \
                       sottile plan wren --hours \"mon-fri 18:00-22:00, sat 09:00-17:00\" --ics wren.ics"
)]
pub struct PlanArgs {
    /// Panels to plan; without any, and without --new, every panel not yet finished
    #[arg(value_name = "PANEL")]
    pub panels: Vec<String>,
    /// The soonest it may begin: HH:MM, "YYYY-MM-DD HH:MM", or RFC 3339; without it, now
    #[arg(long, value_name = "TIME", conflicts_with = "ready_by", allow_hyphen_values = true)]
    pub start: Option<String>,
    /// When all are to be ready to paint on; begins as late as it may
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub ready_by: Option<String>,
    /// When you work: 09:00-18:00, or mon-fri 18:00-22:00, sat 09:00-17:00; without it, as the settings say
    #[arg(long, value_name = "HOURS")]
    pub hours: Option<String>,
    /// The days for hours that name none: mon-fri; without it, as the settings say
    #[arg(long, value_name = "DAYS")]
    pub days: Option<String>,
    /// Days off besides those of the settings: 2026-12-24..2026-12-27
    #[arg(long, value_name = "FROM..TO")]
    pub off: Vec<String>,
    /// How many pairs of hands; without it, as the settings say
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=i64::from(HANDS_MAX)))]
    pub hands: Option<u8>,
    /// The air that is expected: 18C,60%; without it, the room's last
    #[arg(long, value_name = "T,RH", allow_hyphen_values = true)]
    pub air: Option<String>,
    /// Panels not opened yet: how many, their size, and a recipe: 5 of 300x400x12mm gypsum-zinc
    #[arg(long, value_name = "TEXT")]
    pub new: Vec<String>,
    /// Makes as many more of the new ones as you lose of your own panels, on average
    #[arg(long, requires = "new")]
    pub spare: bool,
    /// What to have in the house for it, against what is in the cupboard
    #[arg(long)]
    pub shopping: bool,
    /// Writes the plan for a calendar
    #[arg(long, value_name = "FILE")]
    pub ics: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "ics")]
    pub force: bool,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}
