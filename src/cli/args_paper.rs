//! What may be written behind `wait`, `sheet` and `enter`.

use clap::Args;
use std::path::PathBuf;

/// `wait`.
#[derive(Debug, Args)]
pub struct WaitArgs {
    /// Its id, its label, or the beginning of either
    pub panel: String,
    /// Print the panel, the act and since when it is due, as JSON
    #[arg(long)]
    pub json: bool,
}

/// `sheet`.
#[derive(Debug, Args)]
pub struct SheetArgs {
    /// Panels to print it for; without any, every panel not yet finished
    #[arg(value_name = "PANEL")]
    pub panels: Vec<String>,
    /// The day it begins, which is filled in: 2026-03-14; without it, today
    #[arg(long, value_name = "DATE")]
    pub day: Option<String>,
    /// A page to be printed, of which four panels take one side of A4 or Letter; a FILE.html is one anyway
    #[arg(long)]
    pub html: bool,
    /// Where to write it; without it, standard output
    #[arg(short, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// `enter`.
#[derive(Debug, Args)]
#[command(override_usage = "sottile enter [OPTIONS] [PANEL] <FILE>")]
pub struct EnterArgs {
    /// PANEL and FILE, or FILE alone: a sheet filled in, or lines of PANEL ACT TIME (with PANEL named here, of ACT TIME); - for stdin
    #[arg(required = true, num_args = 1..=2, value_name = "FILE")]
    pub words: Vec<String>,
    /// Only tells what is wrong; writes nothing
    #[arg(long)]
    pub check: bool,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}
