//! Many panels held against each other, honestly.
//!
//! What was done differently comes first, in words. Then groups, with how many panels and how many pots stand behind
//! each. Then two groups against each other: medians and ranges, and how often chance alone would set them as far apart.
//! Panels that share a pot are one observation of it, so chance is reckoned over pots; cracked and sound panels are held
//! against each other at the same age; what was not looked at is not sound; given-up panels stay in the count; and where
//! the groups share no pot, nothing is said of a cause.
//!
//! Here is what a comparison holds, and the order it is made in: `groups` finds who has something in common, `two_groups`
//! which two are held against each other and when, `observation_units` which panels are one observation, `differences`
//! where the two differ in what `columns` says is compared, `sentences` how it is told. None of it takes more than a few
//! passes over the rows, since ten thousand of them are compared as well as ten.

mod answer;
mod asked;
mod asked_fault;
mod cause_units;
mod causes;
mod differences;
mod groups;
mod observation_units;
mod sentences;
mod sides;
mod two_groups;

pub use asked::{Answer, AnswerKind, Asked};
pub use asked_fault::AskedFault;
pub use causes::DRAWS;
pub use differences::{Difference, GroupValue};
pub use groups::{PanelGroup, driest_air_range};
pub use sentences::format_p_value;
pub use two_groups::GroupContrast;

use super::GroupBy;
use super::column::CauseUnit;
use super::panel_row::PanelRow;
use crate::units::{Id, NameKey};
use causes::Inquiry;
use std::collections::HashMap;

/// A story that could not be taken into a comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnreadableStory {
    /// Its file.
    pub path: String,
    /// Why.
    pub message: String,
    /// Whether it is damaged; else a newer version wrote it.
    pub is_damaged: bool,
}

/// Panels side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// What they are grouped by.
    pub group_by: GroupBy,
    /// A row for each, those of one group together, then by the time they were opened.
    pub panels: Vec<PanelRow>,
    /// What was done differently, in words.
    pub work_differences: Vec<String>,
    /// What was alike.
    pub work_similarities: Option<String>,
    /// The groups.
    pub groups: Vec<PanelGroup>,
    /// The two groups held against each other, if there are two.
    pub contrast: Option<GroupContrast>,
    /// What goes with a fault; only where panels are grouped by what came of them.
    pub asked: Option<Asked>,
    /// Where they differ.
    pub differences: Vec<Difference>,
    /// What is to be borne in mind in reading it.
    pub remarks: Vec<String>,
    /// Stories that could not be taken in.
    pub unreadable_stories: Vec<UnreadableStory>,
    /// Which panels are on the first side, which on the second.
    first_group_by_id: HashMap<Id, bool>,
}

impl Comparison {
    /// Whether a panel is on the first side of what is held against each other; nothing if it is on neither.
    pub fn is_in_first_group(&self, row: &PanelRow) -> Option<bool> {
        self.first_group_by_id.get(&row.story.id).copied()
    }
}

/// Holds panels against each other, and asks what goes with cracks.
pub fn compare_panels(panels: Vec<PanelRow>, by: GroupBy, left_out: Vec<UnreadableStory>) -> Comparison {
    compare_panels_asking(panels, by, left_out, AskedFault::Cracks, DRAWS)
}

/// Holds panels against each other, and asks what goes with that fault by so many draws.
pub fn compare_panels_asking(
    mut panels: Vec<PanelRow>,
    by: GroupBy,
    left_out: Vec<UnreadableStory>,
    fault: AskedFault,
    draws: usize,
) -> Comparison {
    panels.sort_by_cached_key(|row| (NameKey(groups::group_value(by, row)), row.story.opened_at, row.story.id.clone()));
    let rows: Vec<&PanelRow> = panels.iter().collect();
    let groups = groups::group_panels(by, &panels);
    let mut remarks = sentences::comparison_remarks(&panels, left_out.len());
    let inquiry = (by == GroupBy::Outcome).then(|| Inquiry::new(fault, &rows, draws));
    let on = |side: &[&PanelRow], first: bool| side.iter().map(|row| (row.story.id.clone(), first)).collect::<Vec<_>>();
    let (contrast, differences, members) = if let Some(inquiry) = inquiry.as_ref().filter(|i| i.is_two_sided()) {
        let side = |p: &asked_fault::LookedAtPanel<'_>| (p.row.story.id.clone(), p.has_fault);
        let members = inquiry.panels.iter().map(side).collect();
        remarks.extend(inquiry.assumed_pots_remark());
        (Some(inquiry.contrast()), inquiry.differences(), members)
    } else if let Some(sides) =
        two_groups::select_groups(by, &rows, &groups).filter(|_| fault == AskedFault::Cracks || inquiry.is_none())
    {
        let units = observation_units::ObservationUnits::from_groups(&sides);
        let members = on(&sides.a, true).into_iter().chain(on(&sides.b, false)).collect();
        let differences = differences::find_differences(&sides, &units);
        remarks.extend(differences::multiple_testing_remark(&differences));
        (Some(sides.contrast(&units)), differences, members)
    } else {
        (None, differences::find_ranges(&panels), HashMap::new())
    };
    let asked = inquiry.as_ref().map(conclude);
    let differences = mark_company(differences, asked.as_ref());
    Comparison {
        group_by: by,
        work_differences: super::attributes::describe_differences(&panels),
        work_similarities: super::attributes::describe_similarities(&panels),
        groups,
        contrast,
        asked,
        differences,
        remarks,
        unreadable_stories: left_out,
        first_group_by_id: members,
        panels,
    }
}

/// The answer with what it rests on.
fn conclude(inquiry: &Inquiry<'_>) -> Asked {
    let p = inquiry.columns.first().map_or(1.0, causes::AskedColumn::p_family);
    Asked {
        fault: inquiry.asked,
        answer: answer::answer_inquiry(inquiry),
        size_pots: inquiry.units.count(CauseUnit::SizePot),
        gesso_pots: inquiry.units.count(CauseUnit::GessoPot),
        assumed_pots: inquiry.units.assumed_pots,
        panels: inquiry.panels.len(),
        told_count: inquiry.told_count,
        draws: inquiry.draws,
        p_error: if inquiry.is_exact { 0.0 } else { (p * (1.0 - p) / inquiry.draws.max(1) as f64).sqrt() },
        strata: inquiry.strata(),
    }
}

/// What goes together is marked in the fields it is told in.
fn mark_company(mut differences: Vec<Difference>, asked: Option<&Asked>) -> Vec<Difference> {
    let Some(answer) = asked.map(|a| &a.answer).filter(|a| a.kind == AnswerKind::Together) else { return differences };
    for d in differences.iter_mut().filter(|d| answer.fields.contains(&d.field)) {
        let field = d.field;
        if let Some(test) = &mut d.test {
            test.goes_with = answer.fields.iter().copied().filter(|f| *f != field).collect();
        }
    }
    differences
}
