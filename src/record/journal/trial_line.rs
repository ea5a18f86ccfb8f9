//! How a trial stands on a line: what is varied, the lots, and the recipe they change. Levels of jars and boards are the
//! numbers of the levels under `varied`, from 0.

use super::borrowed_json::BorrowedValue;
use super::common_line;
use super::line::{Fields, Header, JournalEvent, MemberError, MemberWriter};
use crate::craft::materials::Support;
use crate::units::{Id, Mass};
use crate::work::trial::design::{BOARDS_MAX, JARS_MAX, TrialDesign};
use crate::work::trial::event::{TrialEvent, TrialOpened};
use crate::work::trial::factor::{Factor, FactorKey, FactorUnit};
use crate::work::trial::lots::{BoardLot, DrawnLots};
use crate::work::trial::questions::TrialQuestion;
use serde::Serialize;

impl JournalEvent for TrialEvent {
    const FORMAT: &'static str = "sottile-trial";

    fn event_name(&self) -> &str {
        self.name()
    }

    fn header(&self) -> Option<Header<'_>> {
        if let TrialEvent::Opened(opened) = self {
            Some(Header { id: Some(&opened.id), label: &opened.label })
        } else {
            None
        }
    }

    fn write_members(&self, to: &mut MemberWriter) {
        match self {
            TrialEvent::Opened(opened) => write_opened(opened, to),
            TrialEvent::Unknown { name } => to.set_error(&format!("\"{name}\" is a word of a newer version")),
        }
    }

    fn parse_members(word: &str, from: &Fields<'_>) -> Result<Option<Self>, MemberError> {
        Ok(match word {
            "opened" => Some(TrialEvent::Opened(Box::new(parse_opened(from)?))),
            _ => None,
        })
    }

    fn from_newer_name(word: &str) -> Self {
        TrialEvent::Unknown { name: word.to_owned() }
    }
}

#[derive(Serialize)]
struct FactorKeys<'a> {
    key: &'static str,
    levels: &'a [f64],
}

#[derive(Serialize)]
struct BoardKeys<'a> {
    jar: u32,
    strip: Option<u32>,
    levels: &'a [usize],
}

fn write_opened(opened: &TrialOpened, to: &mut MemberWriter) {
    let TrialOpened { id, label, question, design, size, support, recipe, balance, seed, lots, first_number } = opened;
    to.put("id", id.as_str());
    to.put("label", label);
    to.put("ask", &question.map(TrialQuestion::name));
    let varied = design.factors.iter().map(|f| FactorKeys { key: f.key.name(), levels: &f.levels });
    to.put("varied", &varied.collect::<Vec<_>>());
    to.put("jars", &lots.jars);
    let boards = lots.boards.iter().map(|b| BoardKeys { jar: b.jar, strip: b.strip, levels: &b.levels });
    to.put("boards", &boards.collect::<Vec<_>>());
    to.put("first_number", first_number);
    common_line::write_size(*size, to);
    to.put("support", support.name());
    to.put("recipe", recipe.as_ref());
    to.put("balance_g", &balance.g());
    to.put("seed", seed);
}

fn parse_opened(from: &Fields<'_>) -> Result<TrialOpened, MemberError> {
    let factors = list_of(from, "varied")?.iter().map(parse_factor).collect::<Result<Vec<_>, _>>()?;
    let jars = list_of(from, "jars")?.iter().map(parse_levels).collect::<Result<Vec<_>, _>>()?;
    let boards = list_of(from, "boards")?.iter().map(parse_board).collect::<Result<Vec<_>, _>>()?;
    let design = TrialDesign {
        factors,
        jars: jars.len() as u32,
        boards: boards.len() as u32,
        strips: boards.iter().filter_map(|b| b.strip).max(),
    };
    let lots = DrawnLots { jars, boards };
    check_lots(&design, &lots)?;
    Ok(TrialOpened {
        id: from.parse_text("id", Id::new)?,
        label: from.text("label")?.to_owned(),
        question: from.optional("ask", |f| f.parse_text("ask", TrialQuestion::from_name))?,
        design,
        size: common_line::parse_size(from)?,
        support: from.parse_text("support", Support::from_name)?,
        recipe: common_line::parse_recipe(from)?,
        balance: Mass::from_g(from.number("balance_g")?),
        seed: from.unsigned("seed")?,
        lots,
        first_number: from.small("first_number")?,
    })
}

/// Lots that name a jar or a level that is not there are no lots.
fn check_lots(design: &TrialDesign, lots: &DrawnLots) -> Result<(), MemberError> {
    let fits = |unit: FactorUnit, numbers: &Vec<usize>| {
        let factors: Vec<&Factor> = design.factors.iter().filter(|f| f.key.unit() == unit).collect();
        factors.len() == numbers.len() && factors.iter().zip(numbers).all(|(f, n)| *n < f.levels.len())
    };
    let jars = lots.jars.iter().all(|jar| fits(FactorUnit::Pot, jar));
    let boards = lots.boards.iter().all(|board| {
        (1..=design.jars).contains(&board.jar)
            && board.strip.is_none_or(|strip| (1..=BOARDS_MAX).contains(&strip))
            && fits(FactorUnit::Board, &board.levels)
    });
    if jars && boards && design.jars <= JARS_MAX && design.boards <= BOARDS_MAX {
        Ok(())
    } else {
        Err(MemberError::Malformed("`jars` and `boards` are no lots of what is varied".to_owned()))
    }
}

fn list_of<'a>(from: &Fields<'a>, name: &str) -> Result<&'a [BorrowedValue<'a>], MemberError> {
    from.get(name)
        .and_then(BorrowedValue::as_list)
        .ok_or_else(|| MemberError::Malformed(format!("`{name}` is no list")))
}

fn fields_of<'a>(value: &'a BorrowedValue<'a>) -> Result<Fields<'a>, MemberError> {
    match value {
        BorrowedValue::Object(keys) => Ok(keys.fields()),
        _ => Err(MemberError::Malformed("a list of a trial holds something else than objects".to_owned())),
    }
}

fn parse_factor(value: &BorrowedValue<'_>) -> Result<Factor, MemberError> {
    let keys = fields_of(value)?;
    let levels: Option<Vec<f64>> = list_of(&keys, "levels")?.iter().map(BorrowedValue::as_f64).collect();
    let levels =
        levels.filter(|l| l.len() > 1).ok_or_else(|| MemberError::Malformed("`levels` are no figures".to_owned()))?;
    Ok(Factor { key: keys.parse_text("key", FactorKey::from_name)?, levels })
}

fn parse_levels(value: &BorrowedValue<'_>) -> Result<Vec<usize>, MemberError> {
    let number = |v: &BorrowedValue<'_>| v.as_f64().filter(|n| n.fract() == 0.0 && (0.0..1000.0).contains(n));
    let numbers = value.as_list().and_then(|all| all.iter().map(|v| Some(number(v)? as usize)).collect());
    numbers.ok_or_else(|| MemberError::Malformed("levels of a trial are no list of numbers".to_owned()))
}

fn parse_board(value: &BorrowedValue<'_>) -> Result<BoardLot, MemberError> {
    let keys = fields_of(value)?;
    let levels = keys.get("levels").ok_or_else(|| MemberError::Malformed("`levels` is missing".to_owned()))?;
    Ok(BoardLot {
        jar: keys.small("jar")?,
        strip: keys.optional("strip", |f| f.small("strip"))?,
        levels: parse_levels(levels)?,
    })
}
