//! A line to be typed: a note, a weight, a reason, a reading; of the panel shown, of a pot, or of the air.

use crate::app::keymap::Keymap;
use crate::app::message::{InputMode, Message};
use crate::text::{parse_humidity, parse_mass, parse_temperature};
use crate::units::{Id, Mass, Moment};
use crate::work::air::AirReading;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::Stage;
use crate::work::pot::act::PotAct;
use crate::work::pot::weighed::{BALANCE_NOTE, WeighedParts};
use crate::work::story::validate_text;
use tui_input::Input;

/// What the line is for.
#[derive(Debug, Clone, PartialEq)]
pub enum LinePurpose {
    /// A note of the panel shown.
    Note,
    /// The panel's weight.
    Weight,
    /// Why the act at hand is left out, or the wait ended; and the stage the maker saw at hand.
    Skip(Option<Stage>),
    /// Why the panel is given up.
    GiveUp,
    /// Who is at the brush from now on.
    Maker,
    /// Something of that pot.
    Pot(Id, PotLinePurpose),
    /// The air of the room.
    Air,
}

/// What a line of a pot is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PotLinePurpose {
    /// A note.
    Note,
    /// The pot's weight.
    Weight,
    /// A thermometer reading.
    Temp,
    /// Water given back.
    Water,
    /// Why it is thrown away.
    Discard,
    /// What was weighed into it: it is made.
    Made,
    /// What was weighed for it, before it is made.
    Balance,
}

impl LinePurpose {
    /// What is asked.
    pub const fn prompt(&self) -> &'static str {
        match self {
            LinePurpose::Note | LinePurpose::Pot(_, PotLinePurpose::Note) => "A note",
            LinePurpose::Weight => "The panel weighs",
            LinePurpose::Skip(_) => "Left out, because",
            LinePurpose::GiveUp => "Given up, because",
            LinePurpose::Maker => "At the brush from now on",
            LinePurpose::Pot(_, PotLinePurpose::Weight) => "The pot weighs",
            LinePurpose::Pot(_, PotLinePurpose::Temp) => "The thermometer says",
            LinePurpose::Pot(_, PotLinePurpose::Water) => "Water given back",
            LinePurpose::Pot(_, PotLinePurpose::Discard) => "Thrown away, because",
            LinePurpose::Pot(_, PotLinePurpose::Made | PotLinePurpose::Balance) => "The balance said",
            LinePurpose::Air => "The air of the room",
        }
    }
    /// A word of help.
    pub fn help(&self, keymap: &Keymap) -> String {
        let [keep, forget] = [Message::Accept, Message::Leave].map(|message| keymap.label(&message, InputMode::Line));
        let help = match self {
            LinePurpose::Note | LinePurpose::Pot(_, PotLinePurpose::Note) => return format_line_keys(keymap),
            LinePurpose::Weight => "812g or 1.8lb; with a bare offcut of the same sheet: 812g 45.2g",
            LinePurpose::Skip(_) => return format!("a word or two; {}", format_line_keys(keymap)),
            LinePurpose::GiveUp => return format!("a word or two; {keep} asks once more, {forget} forgets it"),
            LinePurpose::Pot(_, PotLinePurpose::Weight) => "vessel and brush with it, always the same way: 812g",
            LinePurpose::Pot(_, PotLinePurpose::Temp) => "with its unit: 48C or 118F",
            LinePurpose::Pot(_, PotLinePurpose::Water) => "with its unit: 12g",
            LinePurpose::Pot(_, PotLinePurpose::Discard) => "a word or two: smells, mouldy, does not gel",
            LinePurpose::Pot(_, PotLinePurpose::Balance) => "71g glue, 1000g water; whatever was weighed so far",
            LinePurpose::Pot(_, PotLinePurpose::Made) => {
                "71g glue, 1000g water, 310g zinc white; whatever was weighed; empty is as asked"
            }
            LinePurpose::Maker => {
                "a name or a word: it stands with each coat until another is given; \"me\" for nobody"
            }
            LinePurpose::Air => "temperature and humidity: 20C 50%",
        };
        help.to_owned()
    }

    /// Whether nothing typed is an answer too.
    pub(super) const fn takes_nothing(&self) -> bool {
        matches!(self, LinePurpose::Pot(_, PotLinePurpose::Made))
    }

    /// Whether it is about the panel shown.
    pub(super) const fn is_of_panel(&self) -> bool {
        match self {
            LinePurpose::Note | LinePurpose::Weight | LinePurpose::Skip(_) | LinePurpose::GiveUp => true,
            LinePurpose::Pot(..) | LinePurpose::Air | LinePurpose::Maker => false,
        }
    }

    /// What a line that says `text` asks to have recorded.
    pub(super) fn parse(&self, text: &str, now: Moment) -> Result<LineInput, String> {
        let mass = || -> Result<Mass, String> { parse_mass(text).map_err(|e| e.to_string()) };
        let words = || text.to_owned();
        Ok(match self {
            LinePurpose::Note => LineInput::Panel(PanelAct::Note(words()), None),
            LinePurpose::Weight => LineInput::Panel(parse_weight(text)?, None),
            LinePurpose::Skip(seen) => LineInput::Panel(PanelAct::Skip(words()), *seen),
            LinePurpose::GiveUp => LineInput::Panel(PanelAct::Abandon(words()), None),
            LinePurpose::Pot(id, purpose) => LineInput::Pot(
                id.clone(),
                match purpose {
                    PotLinePurpose::Note => PotAct::Note(words()),
                    PotLinePurpose::Weight => PotAct::Weigh(mass()?),
                    PotLinePurpose::Temp => PotAct::Temp(parse_temperature(text).map_err(|e| e.to_string())?),
                    PotLinePurpose::Water => PotAct::Water(mass()?),
                    PotLinePurpose::Discard => PotAct::Discard(words()),
                    PotLinePurpose::Made => PotAct::Made(Box::new(WeighedParts::parse(text)?)),
                    PotLinePurpose::Balance => {
                        PotAct::Note(format!("{BALANCE_NOTE}{}", WeighedParts::parse(text)?.to_line()))
                    }
                },
            ),
            LinePurpose::Maker => LineInput::Maker(validate_text(text).map_err(|e| e.to_string())?),
            LinePurpose::Air => LineInput::Air(parse_air(text, now)?),
        })
    }
}

/// What an accepted line says.
pub(super) enum LineInput {
    /// An act on the panel shown, meant for that stage where the maker saw one.
    Panel(PanelAct, Option<Stage>),
    Pot(Id, PotAct),
    Air(AirReading),
    /// Who is at the brush.
    Maker(String),
}

/// A board's weight as typed, with that of an offcut behind it.
fn parse_weight(text: &str) -> Result<PanelAct, String> {
    let read = |text: &str| parse_mass(text.trim()).map_err(|e| e.to_string());
    let unit_end = text.find(|c: char| c.is_alphabetic()).and_then(|at| {
        let rest = text.get(at..)?;
        Some(at + rest.find(|c: char| !c.is_alphabetic())?)
    });
    let (board, offcut) = unit_end.and_then(|at| text.split_at_checked(at)).unwrap_or((text, ""));
    let offcut = offcut.trim_start_matches([',', '/', '+', ' ']).trim();
    let offcut = if offcut.is_empty() { None } else { Some(read(offcut)?) };
    Ok(PanelAct::Weigh(read(board)?, offcut))
}

/// A reading of the air as typed: a temperature and a humidity.
fn parse_air(text: &str, now: Moment) -> Result<AirReading, String> {
    let (temp, rh) = text
        .split_once(|c: char| c.is_whitespace() || c == ',')
        .ok_or_else(|| "it needs both, as in 20C 50%".to_owned())?;
    let temp = parse_temperature(temp.trim()).map_err(|e| e.to_string())?;
    let rh = parse_humidity(rh.trim()).map_err(|e| e.to_string())?;
    AirReading::new(now.wall, temp, rh).map_err(|e| e.to_string())
}

/// What the two keys do that every line has.
pub(super) fn format_line_keys(keymap: &Keymap) -> String {
    let [keep, forget] = [Message::Accept, Message::Leave].map(|message| keymap.label(&message, InputMode::Line));
    format!("{keep} keeps it, {forget} forgets it")
}

/// What is said of a line in which nothing stands.
pub(super) fn format_empty_line_error(keymap: &Keymap) -> String {
    format!("it needs a word or two; {} forgets it", keymap.label(&Message::Leave, InputMode::Line))
}

/// A line being typed.
#[derive(Debug, Clone)]
pub struct LineEditor {
    /// What it is for.
    pub purpose: LinePurpose,
    /// What stands there.
    pub input: Input,
    /// What is wrong with it.
    pub error: String,
    /// Enter was pressed once, where it takes two.
    pub is_accepted_once: bool,
}

impl PartialEq for LineEditor {
    fn eq(&self, other: &Self) -> bool {
        (&self.purpose, self.input.value(), &self.error, self.is_accepted_once)
            == (&other.purpose, other.input.value(), &other.error, other.is_accepted_once)
    }
}

impl LineEditor {
    /// An empty line for that.
    pub fn new(purpose: LinePurpose) -> LineEditor {
        LineEditor::with_text(purpose, String::new())
    }
    /// A line for that in which something stands already.
    pub(super) fn with_text(purpose: LinePurpose, text: String) -> LineEditor {
        LineEditor { purpose, input: Input::new(text), error: String::new(), is_accepted_once: false }
    }
}
