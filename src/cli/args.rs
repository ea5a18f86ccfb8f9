//! What may be written on the command line.

use super::args_calculation::{BoardArgs, MixArgs};
use super::args_paper::{EnterArgs, SheetArgs, WaitArgs};
use super::args_plan::PlanArgs;
use super::args_pot::{AirArgs, PotSubcommand};
use super::args_shelf::{BringArgs, CorrectArgs, PackArgs, TraceArgs};
use super::args_stock::StockSubcommand;
use super::args_trial::TrialSubcommand;
use super::args_values::{flaw_parser, parse_millimetres, support_parser, word_parser};
use crate::config::{ColorMode, HANDS_MAX};
use crate::craft::materials::Support;
use crate::craft::recipe::shipped::DEFAULT_RECIPE_NAME;
use crate::craft::recipe::{Direction, Paint};
use crate::record::demo::CrackCause;
use crate::record::shelf::ACT_WORDS;
use crate::review::GroupBy;
use crate::review::compare::AskedFault;
use crate::review::tables::TidyTable;
use crate::text::UnitSystem;
use crate::work::panel::event::{Face, Flaw, Grain};
use crate::work::panel::inspection::Crack;
use clap::builder::TypedValueParser;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Keeps a glue-gesso panel on the bench: what to do next, in which direction, and when.
#[derive(Debug, Parser)]
#[command(
    name = "sottile",
    version,
    long_version = LONG_VERSION,
    about,
    after_help = "Without a command it opens the bench: the panels at hand, full screen.\n\
                  Exit: 0 done; 1 it could not be done; 2 wrong usage; 3 data damaged or locked; 128+n ended by signal n.",
    after_long_help = "Examples:\n  sottile                                      the bench\n  \
                       sottile new Wren --size 300x400x12mm         opens a panel\n  \
                       sottile mark wren done                       records the act at hand\n  \
                       sottile mark wren done --at -4m              the same, four minutes ago\n  \
                       sottile show wren                            its story\n\n\
                       Exit: 0 done; 1 it could not be done; 2 wrong usage; 3 data damaged or locked; 128+n ended by signal n.\n\
                       Nothing is sent anywhere: the program uses no network.",
    disable_help_subcommand = true
)]
pub struct Cli {
    /// What holds for every command.
    #[command(flatten)]
    pub global: GlobalArgs,
    /// What to do; without one, the bench.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// Panels to put on the bench; without any, every panel not yet finished.
    #[arg(value_name = "PANEL")]
    pub panels: Vec<String>,
}

/// Name, version and the formats it reads.
const LONG_VERSION: &str = concat!(env!("CARGO_PKG_VERSION"), "\njournal format 1, recipe format 1, json format 1");

/// What holds for every command.
#[derive(Debug, Args)]
pub struct GlobalArgs {
    /// Where panels, pots and the air are kept [env: SOTTILE_DATA]
    #[arg(long, global = true, value_name = "DIR")]
    pub data: Option<PathBuf>,
    /// The settings file; recipes of your own lie in recipes/ beside it [env: SOTTILE_CONFIG]
    #[arg(long, global = true, value_name = "FILE")]
    pub config: Option<PathBuf>,
    /// The units shown
    #[arg(long, global = true, value_name = "UNITS", value_parser = word_parser(UnitSystem::WORDS).try_map(|w| UnitSystem::from_name(&w).ok_or("no such units")))]
    pub units: Option<UnitSystem>,
    /// When colour is used
    #[arg(long, global = true, value_name = "WHEN", value_parser = word_parser(ColorMode::WORDS))]
    pub color: Option<String>,
    /// Draw with plain ASCII characters only
    #[arg(long, global = true)]
    pub ascii: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// The full-screen bench over the panels not yet finished
    Bench {
        /// Panels to put on it; without any, every panel not yet finished
        #[arg(value_name = "PANEL")]
        panels: Vec<String>,
        /// How many pairs of hands work at it; without this, as the settings say
        #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=i64::from(HANDS_MAX)))]
        hands: Option<u8>,
    },
    /// Opens panels and prints the id of each
    New(NewArgs),
    /// Records what happened, as a key on the bench would
    Mark(MarkArgs),
    /// Tells where every panel stands
    Panels {
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// Tells one panel's story and where it stands
    Show(ShowArgs),
    /// Puts right what was said of a panel when it was opened; the old value stays in its story
    Correct(CorrectArgs),
    /// Lists every panel with glue or filler of a lot, of a sheet of board, or from a pot, and where it is
    Trace(TraceArgs),
    /// Prints a bench sheet: the acts of panels in order, with boxes for times
    Sheet(SheetArgs),
    /// Records times typed afterwards: a sheet filled in, or a line for each
    Enter(EnterArgs),
    /// Sleeps until the next act on a panel is due, for scripts; where nothing is due it fails at once
    Wait(WaitArgs),
    /// Puts the work of panels on the calendar: from a start, or for a day of painting
    Plan(Box<PlanArgs>),
    /// Records what was seen on a panel: one inspection; without a panel, a sitting over all finished ones
    Inspect(Box<InspectArgs>),
    /// Sets panels side by side: what was done differently, and what came of it
    Compare(CompareArgs),
    /// Writes one page about panels, to be read, printed and kept
    Report(ReportArgs),
    /// Writes a one-page record for the back of a panel
    Card(CardArgs),
    /// Writes what is recorded for other tools
    Export(ExportArgs),
    /// Opens pots and records what happens to them
    #[command(subcommand)]
    Pot(PotSubcommand),
    /// Tells where every pot stands
    Pots {
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// Trials of small boards: drawn by lot, led, looked at, answered
    #[command(subcommand)]
    Trial(TrialSubcommand),
    /// Tells every trial
    Trials {
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// What is in the cupboard: glue, powders, shellac, spirit, boards
    #[command(subcommand)]
    Stock(StockSubcommand),
    /// Records the air of the room, or tells what it means
    Air(AirArgs),
    /// Reckons what to weigh and scoop for some panels
    Mix(MixArgs),
    /// Reckons how a board moves with the air, and how a ground bends it
    Board(BoardArgs),
    /// Writes the whole shelf as one file that can be read without this program
    Pack(PackArgs),
    /// Takes another shelf in: another laptop's, a backup, a pack
    Bring(BringArgs),
    /// Checks the files in which everything is recorded
    Verify(VerifyArgs),
    /// Lists, shows and checks recipes
    #[command(subcommand)]
    Recipe(RecipeCommand),
    /// Shows the settings and where each comes from
    #[command(subcommand)]
    Config(ConfigCommand),
    /// Prints the JSON Schema of what is written for scripts
    Schema {
        /// Which; without it, the names of all
        name: Option<String>,
    },
    /// Tells where everything is kept
    Paths {
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// A practice run on the same bench, with a clock that runs faster; nothing of it is kept
    Rehearse(RehearseArgs),
    /// Writes invented, finished stories, to look at and to try the program on
    Demo(DemoArgs),
    /// Prints a completion script for a shell
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
    /// Prints the manual page, or writes one for each command into a directory
    Man(ManArgs),
    /// Tries the ways a call reaches you
    #[command(subcommand)]
    Alert(AlertCommand),
}

/// `new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// What you call it
    pub label: String,
    /// Width x height, or width x height x thickness, with a unit; width first with the arrow up: 300x400x12mm
    #[arg(long)]
    pub size: String,
    /// What the board is made of
    #[arg(long, value_name = "NAME", default_value = "birch-plywood", value_parser = support_parser())]
    pub support: Support,
    /// A recipe's name, or a recipe file
    #[arg(long, value_name = "NAME|FILE", default_value = DEFAULT_RECIPE_NAME)]
    pub recipe: String,
    /// What will be painted on it
    #[arg(long, default_value = "oil", value_parser = word_parser(Paint::WORDS).try_map(|w| Paint::from_name(&w).ok_or("no such paint")))]
    pub paint: Paint,
    /// Which way its grain runs; without it, along the longer side
    #[arg(long, value_parser = word_parser(Grain::WORDS).try_map(|w| Grain::from_name(&w).ok_or("no such grain")))]
    pub grain: Option<Grain>,
    /// The sheet of board it is cut from, in your words
    #[arg(long, value_name = "TEXT")]
    pub sheet: Option<String>,
    /// How many like it
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=200))]
    pub count: u16,
    /// Opens besides an offcut of 100 x 100 mm that is coated with them, on which nail, rub and drop are tried
    #[arg(long)]
    pub witness: bool,
    /// When it was opened: HH:MM, -4m, or RFC 3339
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
}

/// `mark`.
#[derive(Debug, Args)]
#[command(subcommand_precedence_over_arg = true, subcommand_value_name = "ACT", subcommand_help_heading = "Acts")]
pub struct MarkArgs {
    /// Their ids, labels, or the beginnings of either; the first word that is an act ends them
    #[arg(value_name = "PANEL")]
    pub panels: Vec<String>,
    /// A panel that is called like an act
    #[arg(long = "panel", value_name = "NAME")]
    pub named: Vec<String>,
    /// What happened
    #[command(subcommand)]
    pub act: Option<MarkCommand>,
    /// When it happened: HH:MM, -4m, or RFC 3339; without it, now
    #[arg(long, global = true, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// Print where the panel then stands, as JSON; of several, all of them and those that failed
    #[arg(long, global = true)]
    pub json: bool,
}

/// What can be marked.
#[derive(Debug, Subcommand)]
pub enum MarkCommand {
    /// The act at hand is begun
    Start,
    /// The act at hand is done
    Done {
        /// The direction taken; without it, the one at hand
        #[arg(long, value_parser = word_parser(Direction::WORDS).try_map(|w| Direction::from_name(&w).ok_or("no such direction")))]
        direction: Option<Direction>,
        /// The pot it came from
        #[arg(long)]
        pot: Option<String>,
        /// A check's map: rows from the top separated by /, one digit an area, 0 none, 1 some, 2 much
        #[arg(long, value_name = "ROWS")]
        map: Option<String>,
        /// Who was at the brush
        #[arg(long, value_name = "NAME")]
        by: Option<String>,
    },
    /// The gloss is gone from the last coat
    Dull,
    /// Words of your own
    Note {
        /// The words
        text: String,
    },
    /// The panel's weight
    Weigh {
        /// With its unit: 812g, 1.8lb
        mass: String,
        /// What a bare offcut of the same sheet weighs beside it, the larger the better: its change is that of the air, and
        /// is taken off
        #[arg(long, value_name = "MASS")]
        offcut: Option<String>,
    },
    /// Its thickness by calliper or film gauge; the first time the bare board, then the same points in the same order
    Thick {
        /// Each with its unit: 12.4mm
        #[arg(required = true, value_name = "LENGTH")]
        points: Vec<String>,
    },
    /// One more of the act last done
    Extra {
        /// One more of what was last done on that face, whatever came after it
        #[arg(long, value_parser = word_parser(&[Face::Front.name(), Face::Back.name()]).try_map(|w| Face::from_name(&w).ok_or("no such face")))]
        face: Option<Face>,
    },
    /// The act last done is to be done again
    Repeat {
        /// What was wrong
        #[arg(long, value_parser = flaw_parser())]
        why: Flaw,
    },
    /// Leaves the act at hand out, or ends the cure, drying or rest
    Skip {
        /// Why
        #[arg(long)]
        why: String,
    },
    /// You leave the bench
    Away,
    /// You are back
    Back,
    /// Takes back what was recorded last
    Undo,
    /// Gives the panel up
    Abandon {
        /// Why
        #[arg(long)]
        why: String,
    },
    /// It is painted, and still here
    Painted,
    /// It was sold: looks at it become questions to its owner
    Sold {
        /// To whom; told in no report, unless you ask for it
        #[arg(long, value_name = "TEXT")]
        to: Option<String>,
    },
    /// It was given away
    Given {
        /// To whom; told in no report, unless you ask for it
        #[arg(long, value_name = "TEXT")]
        to: Option<String>,
    },
    /// It is broken, and there is nothing more to look at
    Broken,
    /// It came back
    Returned,
}

impl MarkCommand {
    /// The words of the acts.
    pub fn names() -> Vec<&'static str> {
        ACT_WORDS.into_iter().filter(|word| Self::has_subcommand(word)).collect()
    }
}

/// `show`.
#[derive(Debug, Args)]
pub struct ShowArgs {
    /// Its id, its label, or the beginning of either
    pub panel: String,
    /// As of that time: HH:MM, -4m, or RFC 3339
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}

/// `inspect`.
#[derive(Debug, Args)]
pub struct InspectArgs {
    /// Their ids, labels, or the beginnings of either; without any, all finished panels in one sitting on the full screen
    #[arg(value_name = "PANEL")]
    pub panels: Vec<String>,
    /// When you looked: HH:MM, -4m, or RFC 3339; without it, now
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// You looked for cracks, lifting and mould, and there is none
    #[arg(long)]
    pub sound: bool,
    /// A crack: WHERE is edge, field or joint; GRADE 0 (looked for, none) to 4; which way by the grain
    #[arg(long = "crack", value_name = "WHERE:GRADE:along|across", value_parser = |t: &str| Crack::parse(t).ok_or("write it as edge:2:along: edge, field or joint; 0 to 4; along or across the grain"))]
    pub cracks: Vec<Crack>,
    /// Pinholes counted on the front
    #[arg(long, value_name = "N")]
    pub pinholes: Option<u32>,
    /// How far the ground stands off the board at the worst place, mm
    #[arg(long, value_name = "MM", value_parser = parse_millimetres)]
    pub lift: Option<f64>,
    /// The rise in the middle of a straight edge laid on the face, mm; negative where it is hollow the other way
    #[arg(long, value_name = "MM", requires = "span", allow_hyphen_values = true, value_parser = parse_millimetres)]
    pub bow: Option<f64>,
    /// The length that rise was measured over, mm
    #[arg(long, value_name = "MM", requires = "bow", value_parser = parse_millimetres)]
    pub span: Option<f64>,
    /// What the small tests came to.
    #[command(flatten)]
    pub tests: TestArgs,
    /// How many cycles of damp and dry air it has been through
    #[arg(long, value_name = "N")]
    pub cycles: Option<u32>,
    /// Mould was seen
    #[arg(long)]
    pub mould: bool,
    /// Mould was looked for, and there is none
    #[arg(long, conflicts_with = "mould")]
    pub no_mould: bool,
    /// A photograph, JPEG or PNG; it is copied into the data directory
    #[arg(long, value_name = "FILE")]
    pub photo: Option<String>,
    /// Words of your own
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// Print where the panel then stands, as JSON
    #[arg(long)]
    pub json: bool,
}

/// The small tests of a ground, of `inspect`. Readings at three places are written with commas.
#[derive(Debug, Args)]
#[command(next_help_heading = "Small tests; all but nail and scrape on witnesses and trial boards alone")]
pub struct TestArgs {
    /// Minutes of scraping until the face was even
    #[arg(long, value_name = "MIN")]
    pub scrape: Option<String>,
    /// Seconds in which a drop of water loses its gloss, at three places; stop at 60
    #[arg(long, value_name = "S,S,S")]
    pub drop: Option<String>,
    /// A dark dry cloth, ten rubs: 0 nothing, to 3 a white smear
    #[arg(long, value_name = "0..3")]
    pub rub: Option<String>,
    /// The same with a damp cloth
    #[arg(long, value_name = "0..3")]
    pub damp_rub: Option<String>,
    /// Powder on tape, seen on dark card: 0 none, to 5 a dense film; one to three places
    #[arg(long, value_name = "0..5[,..]")]
    pub powder: Option<String>,
    /// The nail: 0 no mark, 1 a faint line, 2 a groove, 3 a powdery groove
    #[arg(long, value_name = "0..3")]
    pub nail: Option<String>,
    /// The hardest pencil that does not cut; one to three places
    #[arg(long, value_name = "6B..9H[,..]")]
    pub pencil: Option<String>,
    /// A cross cut and tape pulled off: 5 nothing comes off, to 0 more than the cross; one to three places
    #[arg(long, value_name = "0..5[,..]")]
    pub tape: Option<String>,
    /// How deep a strip was pressed in its middle at its first crack: 5.5mm
    #[arg(long, value_name = "LENGTH")]
    pub bend: Option<String>,
}

/// `compare`.
#[derive(Debug, Args)]
pub struct CompareArgs {
    /// Panels to compare; without any, all that are kept
    #[arg(value_name = "PANEL")]
    pub panels: Vec<String>,
    /// What they are grouped by
    #[arg(long, value_name = "WHAT", default_value = "outcome", value_parser = word_parser(GroupBy::WORDS).try_map(|w| GroupBy::from_name(&w).ok_or("no such grouping")))]
    pub by: GroupBy,
    /// What is asked about: what goes with it
    #[arg(long, value_name = "FAULT", default_value = "cracks", value_parser = word_parser(AskedFault::WORDS).try_map(|w| AskedFault::from_name(&w).ok_or("no such fault")))]
    pub of: AskedFault,
    /// Tells of every panel, group and column, not the answer alone
    #[arg(long)]
    pub all: bool,
    /// The table as CSV
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// Everything as JSON
    #[arg(long)]
    pub json: bool,
    /// In CSV, leave texts that a spreadsheet would take for a formula as they are
    #[arg(long, requires = "csv")]
    pub raw: bool,
}

/// `report`.
#[derive(Debug, Args)]
pub struct ReportArgs {
    /// Panels to tell of; without any, all that are kept
    #[arg(value_name = "PANEL")]
    pub panels: Vec<String>,
    /// The page to write; - for standard output
    #[arg(short, value_name = "FILE.html")]
    pub output: PathBuf,
    /// Tell to whom panels went
    #[arg(long)]
    pub names: bool,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

/// `card`.
#[derive(Debug, Args)]
pub struct CardArgs {
    /// Its id, its label, or the beginning of either
    pub panel: String,
    /// A label of 60 x 90 mm instead: the arrow, the panel, its days, its layers and of what they are
    #[arg(long)]
    pub label: bool,
    /// The file to write: a page if its name ends in .html, else plain text; - for standard output
    #[arg(short, value_name = "FILE")]
    pub output: PathBuf,
    /// Tell to whom it went
    #[arg(long)]
    pub names: bool,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

/// In which form panels are exported.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs, reason = "clap would tell what stands here in the help")]
pub enum ExportForm {
    Csv,
    Json,
}

/// `export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// Panels to export; without any, all that are kept
    #[arg(value_name = "PANEL")]
    pub panels: Vec<String>,
    /// One tidy table, a row an observation, instead of all that is known of the panels
    #[arg(long, value_name = "NAME", value_parser = word_parser(TidyTable::WORDS).try_map(|w| TidyTable::from_name(&w).ok_or("no such table")))]
    pub table: Option<TidyTable>,
    /// Tells what the columns of the tables mean, and how they join
    #[arg(long, conflicts_with = "panels")]
    pub columns: bool,
    /// In which form
    #[arg(long = "as", value_name = "FORM", required_unless_present = "columns")]
    pub form: Option<ExportForm>,
    /// The file to write; - for standard output
    #[arg(short, value_name = "FILE", required_unless_present = "columns")]
    pub output: Option<PathBuf>,
    /// In CSV, leave texts that a spreadsheet would take for a formula as they are
    #[arg(long)]
    pub raw: bool,
    /// Tell to whom panels went
    #[arg(long)]
    pub names: bool,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

/// `verify`.
#[derive(Debug, Args)]
pub struct VerifyArgs {
    /// Journals or packs to check; without any, all journals that are kept
    #[arg(value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// Copy a damaged file aside, then keep what is sound
    #[arg(long)]
    pub mend: bool,
    /// As JSON
    #[arg(long)]
    pub json: bool,
}

/// `recipe`.
#[derive(Debug, Subcommand)]
pub enum RecipeCommand {
    /// Lists the recipes: those shipped and your own
    List {
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// Prints a recipe file, or makes a handout of it for a class
    Show {
        /// Its name, or a file
        name: String,
        /// Write the recipe as one page to be printed and handed out
        #[arg(long, value_name = "FILE.html")]
        handout: Option<PathBuf>,
        /// Write over a file that is there
        #[arg(long, requires = "handout")]
        force: bool,
    },
    /// Tells every problem in a recipe file
    Check {
        /// The file; - for standard input
        file: PathBuf,
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// Prints a recipe of what was done on a panel, to make another like it
    From {
        /// Its id, its label, or the beginning of either
        panel: String,
    },
}

/// `rehearse`.
#[derive(Debug, Args)]
#[command(
    after_help = "Waits of an hour and more pass in seconds, with a word. Everything lies in a temporary directory that is \
                        removed at the end, also after a signal; only a kill (SIGKILL) leaves it in the system's temporary directory."
)]
pub struct RehearseArgs {
    /// How many times as fast as the world the clock runs
    #[arg(long, value_name = "N", default_value_t = 60, value_parser = clap::value_parser!(u32).range(1..=3600))]
    pub pace: u32,
    /// A recipe's name, or a recipe file
    #[arg(long, value_name = "NAME|FILE", default_value = DEFAULT_RECIPE_NAME)]
    pub recipe: String,
    /// How many boards; with more than one there is a pot as well, as in a round
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=4))]
    pub boards: u16,
}

/// `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// The data directory to make, or one without panels, pots, trials and readings of the air
    #[arg(long, value_name = "DIR")]
    pub into: PathBuf,
    /// How many panels: 12 by default and a finished trial, 24 on a shelf with one cause planted
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=200))]
    pub panels: Option<u16>,
    /// The same number makes the same stories
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// What makes panels crack: overheated, the gesso of a pot forgotten in its bath; one cause planted in half of the pots, days or boards; none, nothing but chance
    #[arg(long, value_name = "CAUSE", default_value = "overheated", value_parser = word_parser(CrackCause::WORDS).try_map(|c| CrackCause::from_name(&c).ok_or("no such cause")))]
    pub cause: CrackCause,
    /// Replace stories of the same names where there are some already, and the readings of the air
    #[arg(long)]
    pub force: bool,
}

/// `config`.
#[derive(Debug, Subcommand)]
pub enum ConfigCommand {
    /// Prints every setting, its value, and where that comes from
    Show {
        /// Print a settings file instead in which every key is explained, as it is without one
        #[arg(long, conflicts_with = "json")]
        default: bool,
        /// As JSON
        #[arg(long)]
        json: bool,
    },
    /// Changes one key of the settings file; its comments stay
    #[command(
        after_help = "Examples:\n  sottile config set units imperial\n  sottile config set alarm.bell false\n  sottile config set \"materials.zinc white\" 0.46"
    )]
    Set {
        /// The key, with its table before it: alarm.bell
        key: String,
        /// Its value, as in the file; quotation marks may be left out
        #[arg(allow_hyphen_values = true)]
        value: String,
    },
}

/// `man`.
#[derive(Debug, Args)]
pub struct ManArgs {
    /// A directory for sottile.1 and a page for each command; made if need be
    #[arg(short, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Write over pages that are there already
    #[arg(long, requires = "out")]
    pub force: bool,
}

/// `alert`.
#[derive(Debug, Subcommand)]
pub enum AlertCommand {
    /// Rings each of the three patterns and tells what was tried
    Test,
}
