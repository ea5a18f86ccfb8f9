//! What is said of a story whose journal is damaged, or was written by a newer version, and how a command then ends.

use super::error::CliError;
use super::output;
use crate::bench::RecordError;
use crate::record::journal::{Damage, DamageKind};
use crate::units::Id;
use anyhow::Result;

/// What is said of a story whose opening cannot be read.
pub(super) fn unreadable_opening_text(damage: Option<&Damage>) -> &'static str {
    if is_newer_version(damage) {
        "NEWER VERSION: this one cannot read its opening"
    } else {
        "DAMAGED: not even its opening can be read"
    }
}

/// Whether nothing is wrong but that a newer version wrote it.
pub(super) fn is_newer_version(damage: Option<&Damage>) -> bool {
    damage.is_some_and(|d| d.kind == DamageKind::NewerVersion)
}

/// Whether a story is damaged: a newer version's is not, though no more of it may be readable than that.
pub(super) fn is_damaged(damage: Option<&Damage>, is_unreadable: bool) -> bool {
    damage.is_some_and(|d| d.kind.is_damage()) || (is_unreadable && !is_newer_version(damage))
}

/// Says what is wrong with a story that was shown, if anything is; a newer version's was shown as far as it goes.
pub(super) fn report_damage(id: &Id, damage: Option<&Damage>) -> Result<()> {
    match damage.filter(|d| d.kind.is_blocking()) {
        Some(damage) if damage.kind.is_damage() => {
            Err(CliError::damaged(format!("{id} is damaged: {damage}; see `sottile verify`")).into())
        }
        Some(damage) => {
            output::print_message(&format!("sottile: {id} is shown as far as this version reads it: {damage}"));
            Ok(())
        }
        None => Ok(()),
    }
}

/// Says why nothing can be shown of a story.
pub(super) fn report_unreadable(id: &Id, damage: Option<&Damage>) -> Result<()> {
    match damage {
        Some(_) if is_newer_version(damage) => report_damage(id, damage),
        Some(damage) => Err(CliError::damaged(damage).into()),
        None => Err(CliError::damaged(RecordError::NoStory(id.clone())).into()),
    }
}
