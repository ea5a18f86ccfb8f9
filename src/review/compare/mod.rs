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

mod differences;
mod groups;
mod observation_units;
mod sentences;
mod two_groups;

pub use differences::{Difference, GroupValue};
pub use groups::{PanelGroup, driest_air_range};
pub use sentences::format_p_value;
pub use two_groups::GroupContrast;

use super::GroupBy;
use super::panel_row::PanelRow;
use crate::units::{Id, NameKey};
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

/// Holds panels against each other.
pub fn compare_panels(mut panels: Vec<PanelRow>, by: GroupBy, left_out: Vec<UnreadableStory>) -> Comparison {
    panels.sort_by_cached_key(|row| (NameKey(groups::group_value(by, row)), row.story.opened_at, row.story.id.clone()));
    let rows: Vec<&PanelRow> = panels.iter().collect();
    let groups = groups::group_panels(by, &panels);
    let sides = two_groups::select_groups(by, &rows, &groups);
    let (between, differs) = match &sides {
        Some(sides) => {
            let units = observation_units::ObservationUnits::from_groups(sides);
            (Some(sides.contrast(&units)), differences::find_differences(sides, &units))
        }
        None => (None, differences::find_ranges(&panels)),
    };
    let mut remarks = sentences::comparison_remarks(&panels, left_out.len());
    remarks.extend(differences::multiple_testing_remark(&differs));
    let on = |side: &[&PanelRow], first: bool| side.iter().map(|row| (row.story.id.clone(), first)).collect::<Vec<_>>();
    let members =
        sides.as_ref().map_or_else(HashMap::new, |s| on(&s.a, true).into_iter().chain(on(&s.b, false)).collect());
    Comparison {
        group_by: by,
        work_differences: super::attributes::describe_differences(&panels),
        work_similarities: super::attributes::describe_similarities(&panels),
        groups,
        contrast: between,
        differences: differs,
        remarks,
        unreadable_stories: left_out,
        first_group_by_id: members,
        panels,
    }
}
