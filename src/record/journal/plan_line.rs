//! How a plan stands on a line: one fact holds all its acts. An act of a board is
//! `{panel, kind, face, number, direction, start, end, moved}`, one of a pot `{pot, recipe, work, number, start, end, moved}`; times
//! are RFC 3339 in UTC.

use super::borrowed_json::BorrowedValue;
use super::line::{Fields, Header, JournalEvent, MemberError, MemberWriter, format_stamp};
use crate::craft::materials::PotKind;
use crate::craft::recipe::Direction;
use crate::units::{Id, Stamp};
use crate::work::panel::event::{Face, StageKind};
use crate::work::plan::calendar::kept::{ActName, KeptAct, KeptPlan, PotWork};
use crate::work::plan::event::PlanEvent;
use serde::Serialize;

impl JournalEvent for PlanEvent {
    const FORMAT: &'static str = "sottile-plan";

    fn event_name(&self) -> &str {
        self.name()
    }

    /// There is one journal of plans, so every plan can be its first line.
    fn header(&self) -> Option<Header<'_>> {
        Some(Header { id: None, label: "plan" })
    }

    fn write_members(&self, to: &mut MemberWriter) {
        match self {
            PlanEvent::Planned(plan) => write_plan(plan, to),
            PlanEvent::Unknown { name } => to.set_error(&format!("\"{name}\" is a word of a newer version")),
        }
    }

    fn parse_members(word: &str, from: &Fields<'_>) -> Result<Option<Self>, MemberError> {
        Ok(match word {
            "planned" => Some(PlanEvent::Planned(Box::new(parse_plan(from)?))),
            _ => None,
        })
    }

    fn from_newer_name(word: &str) -> Self {
        PlanEvent::Unknown { name: word.to_owned() }
    }
}

#[derive(Serialize)]
struct BoardKeys<'a> {
    id: &'a str,
    label: &'a str,
}

#[derive(Serialize)]
#[serde(untagged)]
enum ActKeys<'a> {
    Board {
        panel: &'a str,
        kind: &'static str,
        face: Option<&'static str>,
        number: Option<u32>,
        direction: Option<&'static str>,
        start: Option<String>,
        end: Option<String>,
        moved: u32,
    },
    Pot {
        pot: &'static str,
        recipe: &'a str,
        work: &'static str,
        number: u32,
        start: Option<String>,
        end: Option<String>,
        moved: u32,
    },
}

impl<'a> From<&'a KeptAct> for ActKeys<'a> {
    fn from(act: &'a KeptAct) -> Self {
        let (start, end, moved) = (format_stamp(act.start), format_stamp(act.end), act.sequence);
        match &act.name {
            ActName::Board { panel, kind, face, number } => ActKeys::Board {
                panel: panel.as_str(),
                kind: kind.name(),
                face: face.map(Face::name),
                number: *number,
                direction: act.direction.map(Direction::name),
                start,
                end,
                moved,
            },
            ActName::Pot { kind, recipe, work, number } => {
                ActKeys::Pot { pot: kind.name(), recipe, work: work.name(), number: *number, start, end, moved }
            }
        }
    }
}

fn write_plan(plan: &KeptPlan, to: &mut MemberWriter) {
    to.put("name", &plan.name);
    to.put("ready_by", &plan.ready_by.map(format_stamp));
    to.put("ready", &format_stamp(plan.ready));
    to.put("hours", &plan.hours);
    to.put("hands", &plan.hands);
    let boards = plan.boards.iter().map(|(id, label)| BoardKeys { id: id.as_str(), label });
    to.put("boards", &boards.collect::<Vec<_>>());
    to.put("acts", &plan.acts.iter().map(ActKeys::from).collect::<Vec<_>>());
}

fn parse_plan(from: &Fields<'_>) -> Result<KeptPlan, MemberError> {
    let board = |keys: Fields<'_>| Ok((keys.parse_text("id", Id::new)?, keys.text("label")?.to_owned()));
    Ok(KeptPlan {
        name: from.optional("name", |f| f.text("name").map(str::to_owned))?,
        ready_by: from.optional("ready_by", |f| f.stamp("ready_by"))?,
        ready: from.stamp("ready")?,
        hours: from.text("hours")?.to_owned(),
        hands: from.small("hands")?,
        boards: parse_list(from, "boards", board)?,
        acts: parse_list(from, "acts", parse_act)?,
    })
}

fn parse_list<T>(
    from: &Fields<'_>,
    name: &str,
    parse: impl Fn(Fields<'_>) -> Result<T, MemberError>,
) -> Result<Vec<T>, MemberError> {
    let malformed = || MemberError::Malformed(format!("`{name}` is no list of objects"));
    let list = from.get(name).and_then(BorrowedValue::as_list).ok_or_else(malformed)?;
    let one = |value: &BorrowedValue<'_>| match value {
        BorrowedValue::Object(keys) => parse(keys.fields()),
        BorrowedValue::Null
        | BorrowedValue::Bool(_)
        | BorrowedValue::Number(_)
        | BorrowedValue::Text(_)
        | BorrowedValue::List(_) => Err(malformed()),
    };
    list.iter().map(one).collect()
}

fn parse_act(keys: Fields<'_>) -> Result<KeptAct, MemberError> {
    let name = if keys.get("panel").is_some() {
        ActName::Board {
            panel: keys.parse_text("panel", Id::new)?,
            kind: keys.parse_text("kind", StageKind::from_name)?,
            face: keys.optional("face", |f| f.parse_text("face", Face::from_name))?,
            number: keys.optional("number", |f| f.small("number"))?,
        }
    } else {
        ActName::Pot {
            kind: keys.parse_text("pot", PotKind::from_name)?,
            recipe: keys.text("recipe")?.to_owned(),
            work: keys.parse_text("work", PotWork::from_name)?,
            number: keys.small("number")?,
        }
    };
    let time = |name: &str| -> Result<Stamp, MemberError> { keys.stamp(name) };
    let direction = keys.optional("direction", |f| f.parse_text("direction", Direction::from_name))?;
    Ok(KeptAct { name, start: time("start")?, end: time("end")?, sequence: keys.small("moved")?, direction })
}
