//! Which parts of the bench there is room for. What must be seen has its rows first; the others follow in the order of their
//! need, each as a whole or not at all.

/// A part that gives way where rows are few, in the order of need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BenchPart {
    /// What calls, in block letters.
    CallingBands,
    /// The direction in block letters; else a word beside the digits.
    Direction,
    /// When it is due.
    Due,
    /// A pot that only counts, in block letters.
    WaitingBand,
    /// How the act is done, where it does not stand beside it.
    Manner,
    /// The panel cut open.
    Section,
    /// What comes next, the air, the looks that are due.
    Info,
    /// A tip of the stage.
    Tip,
    /// A line for each other panel.
    Rack,
}

/// The parts that are shown.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct BenchPlan {
    shown: Vec<BenchPart>,
    /// Rows that are left over.
    pub left: u16,
}

impl BenchPlan {
    /// Gives `rows` away in the order of `needs`, after the `least` that is always taken. A need of no rows is nothing to
    /// show.
    pub fn choose(rows: u16, least: u16, needs: &[(BenchPart, u16)]) -> BenchPlan {
        let mut plan = BenchPlan { shown: Vec::new(), left: rows.saturating_sub(least) };
        for (part, need) in needs.iter().filter(|(_, need)| *need > 0) {
            if *need <= plan.left {
                plan.left -= need;
                plan.shown.push(*part);
            }
        }
        plan
    }

    /// Whether a part is shown.
    pub fn shows(&self, part: BenchPart) -> bool {
        self.shown.contains(&part)
    }
}
