//! How much of the stories the screen has been told.

use crate::bench::Snapshot;
use crate::units::Id;
use crate::work::story::StoryState;
use std::collections::HashMap;

/// How much of each story was told: so many facts, and whether it is damaged.
#[derive(Debug, Default)]
pub(super) struct SentStories(HashMap<Id, (usize, bool)>);

impl SentStories {
    pub(super) fn mark<F: StoryState>(&mut self, snapshots: &[Snapshot<F>]) {
        self.0.extend(snapshots.iter().map(|t| (t.id.clone(), extent(t))));
    }

    /// Those of which not all was told, which then counts as told; none where there are none.
    pub(super) fn take_new<F: StoryState>(&mut self, stories: Vec<Snapshot<F>>) -> Option<Vec<Snapshot<F>>> {
        let new: Vec<_> = stories.into_iter().filter(|t| self.0.get(&t.id) != Some(&extent(t))).collect();
        self.mark(&new);
        (!new.is_empty()).then_some(new)
    }
}

fn extent<F: StoryState>(snapshot: &Snapshot<F>) -> (usize, bool) {
    (snapshot.story.as_ref().map_or(0, |s| s.entries().len()), snapshot.damage.is_some())
}
