//! The lines a newcomer is led by through a whole practice panel: one for each step, one for what is waited for, and a
//! word for hours that pass in seconds.

use crate::units::Span;
use crate::work::panel::event::{Face, Stage, StageKind};

/// One sentence for the step at hand.
pub const fn rehearsal_line(stage: &Stage) -> &'static str {
    match stage.kind {
        StageKind::Prepare => {
            "A name and an arrow go on the back, so that every direction is known however the board lies."
        }
        StageKind::Size => match stage.face {
            Some(Face::Back) => "The back and the edges drink the same size, so that the board pulls evenly.",
            Some(Face::Front | Face::Both) | None => {
                "Size is thin hot glue: it soaks into the wood and gives the ground something to hold."
            }
        },
        StageKind::Cloth => "Linen, laid wet in size, bridges joints and cracks that the wood may open later.",
        StageKind::Cure => "Now the size cures by itself. Nothing is pressed; the next act comes when it is ready.",
        StageKind::Stipple => {
            "The first gesso is pushed into the grain and then tapped, until all of it is evenly rough."
        }
        StageKind::Coat => coat_line(stage.number, stage.total),
        StageKind::Dry => "The last coat dries. Look closely: where grain still shows, one more coat is worth it.",
        StageKind::Scrape => "Light strokes of the blade take the ridges down, first one way and then across.",
        StageKind::Polish => "A cloth wrung almost dry closes the surface; any wetter and it lifts the ground.",
        StageKind::Check => {
            "Dark powder stays in the hollows: mark each area as none, some or much, and grey means again."
        }
        StageKind::Rest => "The ground rests, so that the last water can leave it.",
        StageKind::Seal => "Sealing goes into the ground, not on to it, so that the paint is not drunk up.",
        StageKind::Sand => "One last light pass with fine paper, and the panel is ready.",
    }
}

const fn coat_line(number: Option<u32>, of: Option<u32>) -> &'static str {
    match (number, of) {
        (Some(1), _) => {
            "The first brushed coat: thin, in one direction, in one pass. The strokes on the screen show which way."
        }
        (Some(2), _) => "The second coat goes at right angles to the first; every coat crosses the one below.",
        (Some(number), Some(of)) if number == of => "The last coat. Afterwards, look whether any grain still shows.",
        (Some(3), _) => "Lay it when the gloss has just gone: dull, and not yet bone dry.",
        (Some(_) | None, _) => "The same again, across. Each band of the drawing is a coat you have laid.",
    }
}

/// What a round asks of the hands, beyond what one board does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoundStep {
    /// Before the first press.
    Begin,
    /// Something was just recorded, and the screen has gone to the board that is next.
    JustPressed,
    /// The pot has to be melted before the coat.
    MeltPot,
    /// The pot stands in the bath.
    PotInBath,
}

/// One sentence for it, `key` being the key it is about.
pub fn round_line(step: RoundStep, key: &str) -> String {
    match step {
        RoundStep::Begin => {
            format!("Boards share one pot. A press is for the board in block letters; {key} shows another.")
        }
        RoundStep::JustPressed => {
            format!("The next board is shown. For a moment {key} still step the time of what was just pressed.")
        }
        RoundStep::MeltPot => format!("The gesso is a jelly by now: {key} puts the pot into the bath before the coat."),
        RoundStep::PotInBath => format!("The pot melts; it calls when it has had its minutes, and {key} takes it out."),
    }
}

/// The word for a wait that passes in seconds.
pub fn time_passing_line(wait: Span) -> &'static str {
    match wait.hours() {
        ..1.0 => "Some minutes pass...",
        1.0..6.0 => "Some hours pass...",
        6.0..36.0 => "A night passes...",
        _ => "Some days pass...",
    }
}
