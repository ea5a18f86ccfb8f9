//! What is asked, in order, and what earlier looks said to it.

use crate::text::round_to;
use crate::work::advice::inspections::Measured;
use crate::work::panel::inspection::{Bow, Inspection};

/// One question of the sitting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Question {
    Cracks,
    Pinholes,
    Lift,
    Bow,
    Nail,
    Rub,
    Drops,
    Mould,
    Sound,
    Photo,
    Note,
}

impl Question {
    /// Every question, in the order asked: the worst first, the verdict once everything was looked at.
    pub const ALL: [Question; 11] = [
        Question::Cracks,
        Question::Pinholes,
        Question::Lift,
        Question::Bow,
        Question::Nail,
        Question::Rub,
        Question::Drops,
        Question::Mould,
        Question::Sound,
        Question::Photo,
        Question::Note,
    ];

    pub(super) fn place(self) -> usize {
        Question::ALL.iter().position(|q| *q == self).unwrap_or(0)
    }
    pub(super) fn next(self) -> Question {
        Question::ALL.get(self.place() + 1).copied().unwrap_or(self)
    }
    pub(super) fn before(self) -> Question {
        Question::ALL.get(self.place().saturating_sub(1)).copied().unwrap_or(self)
    }

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Question::Cracks => "cracks",
            Question::Pinholes => "pinholes",
            Question::Lift => "lifting",
            Question::Bow => "bow",
            Question::Nail => "nail",
            Question::Rub => "rub",
            Question::Drops => "drops",
            Question::Mould => "mould",
            Question::Sound => "sound",
            Question::Photo => "photo",
            Question::Note => "note",
        }
    }

    /// What is to be looked for.
    pub(super) const fn asks(self) -> &'static str {
        match self {
            Question::Cracks => "Cracks? Light from one side, along every edge, over joints, then the field.",
            Question::Pinholes => "Pinholes on the front, how many?",
            Question::Lift => "Lifting: how far does the ground stand off at its worst place, mm?",
            Question::Bow => "Bow: the rise in the middle of a straight edge laid on the face, over its length, mm?",
            Question::Nail => "The nail, drawn lightly over a corner that will be hidden?",
            Question::Rub => "A dark cloth, ten rubs?",
            Question::Drops => "A drop of water at three places: after how many seconds is its gloss gone?",
            Question::Mould => "Mould, on the back too?",
            Question::Sound => "Sound?",
            Question::Photo => "A photograph: where does it lie?",
            Question::Note => "A note?",
        }
    }

    /// What can be typed.
    pub(super) const fn help(self) -> &'static str {
        match self {
            Question::Cracks => {
                "0 none anywhere. A crack: 1 hardly seen to 4 lifting at its sides; e edge, f field, j joint; a along the grain, x across. Then the next one."
            }
            Question::Pinholes => "a number; 0 for none",
            Question::Lift => "mm; 0 for none",
            Question::Bow => "rise / span, as in 1.5/400; s takes the span of last time; 0 rise for flat, - for hollow",
            Question::Nail => "0 no mark, 1 a faint line, 2 a groove, 3 a powdery groove",
            Question::Rub => "0 nothing, 1, 2, to 3 a white smear",
            Question::Drops => "three times, as in 40/45/38",
            Question::Mould => "0 none, 1 seen",
            Question::Sound => "s says: cracks, lifting and mould were looked for, and there is none",
            Question::Photo => "the name of the file; the picture itself is not kept",
            Question::Note => "words of your own",
        }
    }

    /// Whether it is answered in words.
    pub const fn words(self) -> bool {
        match self {
            Question::Photo | Question::Note => true,
            Question::Cracks
            | Question::Pinholes
            | Question::Lift
            | Question::Bow
            | Question::Nail
            | Question::Rub
            | Question::Drops
            | Question::Mould
            | Question::Sound => false,
        }
    }

    /// What of it grows, where it is measured.
    pub(super) const fn measured(self) -> Option<Measured> {
        match self {
            Question::Cracks => Some(Measured::Cracks),
            Question::Pinholes => Some(Measured::Pinholes),
            Question::Lift => Some(Measured::Lift),
            Question::Bow => Some(Measured::Bow),
            Question::Nail
            | Question::Rub
            | Question::Drops
            | Question::Mould
            | Question::Sound
            | Question::Photo
            | Question::Note => None,
        }
    }

    /// What a look said to it; nothing where it was not looked at.
    pub(super) fn said(self, seen: &Inspection) -> Option<String> {
        let sound = |word: &str| seen.sound.then(|| word.to_owned());
        match self {
            Question::Cracks if seen.cracked() => Some(cracks(seen)),
            Question::Cracks => seen.looked_for_cracks().then(|| "none".to_owned()),
            Question::Pinholes => seen.pinholes.map(|n| n.to_string()),
            Question::Lift => seen.lift.map(|l| format!("{} mm", round_to(l.mm(), 2))).or_else(|| sound("none")),
            Question::Bow => seen.bow.as_ref().map(bow),
            Question::Nail => seen.nail.map(|g| g.to_string()),
            Question::Rub => seen.rub.map(|g| g.to_string()),
            Question::Drops => seen.drop_s.map(|d| format!("{} s", d.map(|s| round_to(s, 1)).join("/"))),
            Question::Mould if seen.mould => Some("seen".to_owned()),
            Question::Mould => (seen.no_mould || seen.sound).then(|| "none".to_owned()),
            Question::Sound => seen.verdict().map(|sound| if sound { "sound" } else { "not sound" }.to_owned()),
            Question::Photo => seen.photo.clone(),
            Question::Note => seen.note.clone(),
        }
    }
}

/// "2/400 mm, 0.5 %".
fn bow(b: &Bow) -> String {
    let (sag, span, pct) = (round_to(b.sag.mm(), 2), round_to(b.span.mm(), 1), round_to(b.pct_of_span(), 2));
    format!("{sag}/{span} mm, {pct} %")
}

/// The same with its radius: "2/400 mm, 0.5 %, radius 10 m".
pub(super) fn bow_and_radius(b: &Bow) -> String {
    let radius = b.radius().map_or_else(|| "flat".to_owned(), |r| format!("radius {} m", round_to(r.mm() / 1000.0, 2)));
    format!("{}, {radius}", bow(b))
}

/// "edge 2 along, field 1 across".
fn cracks(seen: &Inspection) -> String {
    let there = seen.cracks.iter().filter(|c| c.grade > 0);
    there.map(|c| format!("{} {} {}", c.at.name(), c.grade, c.run.name())).collect::<Vec<_>>().join(", ")
}
