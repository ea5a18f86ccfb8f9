//! The one table of stages: a row for each kind, and nothing in it but plain data. A new kind is a variant of
//! [`StageKind`] and its row here; what is to be done about it stands in exhaustive matches, which the compiler names.

use super::stage_kind::{DirectionRule, FaceMention, StageCount, StageHazard, StageKind, StageTexture};
use crate::craft::materials::PotKind;
use crate::craft::recipe::Recipe;

/// One row of the table.
#[derive(Debug)]
pub struct StageRow {
    kind: StageKind,
    /// The word written in journals and JSON.
    pub word: &'static str,
    /// The stage as a thing: "coat" 3 of 6, "the cure".
    pub noun: &'static str,
    /// The verb the bench tells, with a capital.
    pub verb: &'static str,
    /// What recording it is called.
    pub done_word: &'static str,
    /// What a wait by itself is called across the room while it runs; none where the act after it is what has to be seen.
    pub shown_while_running: Option<&'static str>,
    /// What is waited for once it is done, for the rehearsal.
    pub wait_line: &'static str,
    /// How it is counted.
    pub count: StageCount,
    /// Whether its number is told in short lists, as on the card.
    pub brief_number: bool,
    /// Whether its face is told.
    pub face_mention: FaceMention,
    /// Its direction.
    pub direction: DirectionRule,
    /// Whether it begins and ends by itself, as a wait.
    pub ends_by_itself: bool,
    /// Whether it adds to the board's mass or takes from it.
    pub changes_mass: bool,
    /// Whether it leaves something on the board that the section shows.
    pub is_layer: bool,
    /// Whether one coat goes over both faces, one after the other, and the wait comes after both.
    pub spans_faces: bool,
    /// How it is drawn.
    pub texture: StageTexture,
    /// The kind of pot it is laid from.
    pub pot: Option<PotKind>,
    /// The recipe's minutes before the next coat; none where it does not dry as a coat does.
    pub wait_min: Option<fn(&Recipe) -> f64>,
    /// Whether the air of the room makes that wait longer.
    pub waits_for_air: bool,
    /// Minutes of work for a panel of 0.12 m2: the recipe's where it has a key for them, else assumed.
    pub work_min: fn(&Recipe) -> f64,
    /// What can hurt at it, the weightiest first.
    pub hazards: &'static [StageHazard],
}

const WATCH_THE_GLOSS: &str = "It shines while it is wet. When the gloss goes, say so, or wait for the call.";
const NO_WAIT: &str = "Nothing has to wait here.";

/// The table, in the order of the kinds.
const STAGE_TABLE: &[StageRow; StageKind::ALL.len()] = &[
    StageRow {
        kind: StageKind::Prepare,
        word: "prepare",
        noun: "preparing the board",
        verb: "Prepare",
        done_word: "prepared",
        shown_while_running: None,
        wait_line: NO_WAIT,
        count: StageCount::Single,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: false,
        spans_faces: false,
        texture: StageTexture::Plain,
        pot: None,
        wait_min: None,
        waits_for_air: false,
        work_min: |_| 12.0,
        hazards: &[StageHazard::Spirit, StageHazard::Dust, StageHazard::PaintOverPowders],
    },
    StageRow {
        kind: StageKind::Size,
        word: "size",
        noun: "glue size",
        verb: "Brush glue size on",
        done_word: "sized",
        shown_while_running: None,
        wait_line: "The glue size soaks in. Dry wood must not shine.",
        count: StageCount::OfTotal,
        brief_number: true,
        face_mention: FaceMention::Always,
        direction: DirectionRule::None,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: true,
        spans_faces: true,
        texture: StageTexture::Wash,
        pot: Some(PotKind::Size),
        wait_min: Some(|recipe| recipe.size.wait_min),
        waits_for_air: true,
        work_min: |recipe| recipe.minutes.size,
        hazards: &[StageHazard::HotGlue],
    },
    StageRow {
        kind: StageKind::Cloth,
        word: "cloth",
        noun: "laying the cloth",
        verb: "Lay",
        done_word: "laid",
        shown_while_running: None,
        wait_line: "The cloth dries tight.",
        count: StageCount::Single,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: true,
        spans_faces: false,
        texture: StageTexture::Weave,
        pot: Some(PotKind::Size),
        wait_min: None,
        waits_for_air: false,
        work_min: |_| 15.0,
        hazards: &[StageHazard::HotGlue],
    },
    StageRow {
        kind: StageKind::Cure,
        word: "cure",
        noun: "the cure",
        verb: "Let",
        done_word: "cured",
        shown_while_running: Some("cure"),
        wait_line: "The size cures; the board wants air on both faces.",
        count: StageCount::Single,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: true,
        changes_mass: false,
        is_layer: false,
        spans_faces: false,
        texture: StageTexture::Plain,
        pot: None,
        wait_min: None,
        waits_for_air: false,
        work_min: |_| 0.0,
        hazards: &[StageHazard::Dust, StageHazard::Powders, StageHazard::Lead],
    },
    StageRow {
        kind: StageKind::Stipple,
        word: "stipple",
        noun: "stipple",
        verb: "Tap in",
        done_word: "tapped in",
        shown_while_running: None,
        wait_line: WATCH_THE_GLOSS,
        count: StageCount::OfTotal,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: true,
        spans_faces: false,
        texture: StageTexture::Dots,
        pot: Some(PotKind::Gesso),
        wait_min: Some(|recipe| recipe.stipple.wait_min),
        waits_for_air: true,
        work_min: |recipe| recipe.minutes.stipple,
        hazards: &[StageHazard::HotGlue, StageHazard::PaintOverPowders],
    },
    StageRow {
        kind: StageKind::Coat,
        word: "coat",
        noun: "coat",
        verb: "Lay",
        done_word: "laid",
        shown_while_running: None,
        wait_line: WATCH_THE_GLOSS,
        count: StageCount::OfTotal,
        brief_number: true,
        face_mention: FaceMention::Back,
        direction: DirectionRule::CrossFace,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: true,
        spans_faces: false,
        texture: StageTexture::Strokes,
        pot: Some(PotKind::Gesso),
        wait_min: Some(|recipe| recipe.coats.wait_min),
        waits_for_air: true,
        work_min: |recipe| recipe.minutes.coat,
        hazards: &[StageHazard::HotGlue],
    },
    StageRow {
        kind: StageKind::Dry,
        word: "dry",
        noun: "the drying",
        verb: "Let",
        done_word: "dried",
        shown_while_running: Some("dry"),
        wait_line: "The ground dries. A good time to see to the blade.",
        count: StageCount::Single,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: true,
        changes_mass: false,
        is_layer: false,
        spans_faces: false,
        texture: StageTexture::Plain,
        pot: None,
        wait_min: None,
        waits_for_air: false,
        work_min: |_| 0.0,
        hazards: &[],
    },
    StageRow {
        kind: StageKind::Scrape,
        word: "scrape",
        noun: "scraping round",
        verb: "Scrape",
        done_word: "scraped",
        shown_while_running: None,
        wait_line: NO_WAIT,
        count: StageCount::Round,
        brief_number: true,
        face_mention: FaceMention::Never,
        direction: DirectionRule::CrossFront,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: false,
        spans_faces: false,
        texture: StageTexture::Scratches,
        pot: None,
        wait_min: None,
        waits_for_air: false,
        work_min: |recipe| recipe.minutes.scrape,
        hazards: &[StageHazard::Blade, StageHazard::Dust, StageHazard::Powders],
    },
    StageRow {
        kind: StageKind::Polish,
        word: "polish",
        noun: "the damp cloth",
        verb: "Polish",
        done_word: "polished",
        shown_while_running: None,
        wait_line: NO_WAIT,
        count: StageCount::Single,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: false,
        spans_faces: false,
        texture: StageTexture::Plain,
        pot: None,
        wait_min: None,
        waits_for_air: false,
        work_min: |_| 6.0,
        hazards: &[],
    },
    StageRow {
        kind: StageKind::Check,
        word: "check",
        noun: "check",
        verb: "Check",
        done_word: "checked",
        shown_while_running: None,
        wait_line: NO_WAIT,
        count: StageCount::Round,
        brief_number: true,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: false,
        changes_mass: false,
        is_layer: false,
        spans_faces: false,
        texture: StageTexture::Powder,
        pot: None,
        wait_min: None,
        waits_for_air: false,
        work_min: |recipe| recipe.minutes.check,
        hazards: &[StageHazard::Dust],
    },
    StageRow {
        kind: StageKind::Rest,
        word: "rest",
        noun: "the rest",
        verb: "Let",
        done_word: "rested",
        shown_while_running: Some("rest"),
        wait_line: "The ground rests.",
        count: StageCount::Single,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: true,
        changes_mass: false,
        is_layer: false,
        spans_faces: false,
        texture: StageTexture::Plain,
        pot: None,
        wait_min: None,
        waits_for_air: false,
        work_min: |_| 0.0,
        hazards: &[],
    },
    StageRow {
        kind: StageKind::Seal,
        word: "seal",
        noun: "seal",
        verb: "Seal",
        done_word: "sealed",
        shown_while_running: None,
        wait_line: "The seal dries; it must not feel sticky.",
        count: StageCount::OfTotal,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: true,
        spans_faces: false,
        texture: StageTexture::Wash,
        pot: None,
        wait_min: Some(|recipe| recipe.seal.wait_min),
        waits_for_air: false,
        work_min: |recipe| recipe.minutes.seal,
        hazards: &[StageHazard::SealMaterial],
    },
    StageRow {
        kind: StageKind::Sand,
        word: "sand",
        noun: "the last fine pass",
        verb: "Sand",
        done_word: "sanded",
        shown_while_running: None,
        wait_line: NO_WAIT,
        count: StageCount::Single,
        brief_number: false,
        face_mention: FaceMention::Never,
        direction: DirectionRule::None,
        ends_by_itself: false,
        changes_mass: true,
        is_layer: false,
        spans_faces: false,
        texture: StageTexture::Scratches,
        pot: None,
        wait_min: None,
        waits_for_air: false,
        work_min: |_| 8.0,
        hazards: &[StageHazard::Dust, StageHazard::Powders],
    },
];

impl StageKind {
    /// Its row.
    pub const fn row(self) -> &'static StageRow {
        &STAGE_TABLE[self as usize]
    }
    /// The word written in journals and JSON.
    pub const fn name(self) -> &'static str {
        self.row().word
    }
    /// The kind of that name.
    pub fn from_name(name: &str) -> Option<StageKind> {
        StageKind::ALL.into_iter().find(|kind| kind.name() == name)
    }
    /// Whether it begins and ends by itself, as a wait.
    pub const fn ends_by_itself(self) -> bool {
        self.row().ends_by_itself
    }
    /// Whether it leaves something on the board.
    pub const fn is_layer(self) -> bool {
        self.row().is_layer
    }
    /// Whether gesso is laid.
    pub const fn is_gesso(self) -> bool {
        matches!(self.row().pot, Some(PotKind::Gesso))
    }
    /// Whether it lies wet on the board for some minutes, so that the next has to wait for it and its gloss can go.
    pub const fn is_wet_coat(self) -> bool {
        self.row().wait_min.is_some()
    }
    /// Whether a coat of it falls due from a pot of that kind, for which the pot has to be warm in time.
    pub fn is_coat_from(self, pot: PotKind) -> bool {
        self.is_wet_coat() && self.row().pot == Some(pot)
    }
    /// Whether a person counts it: "coat 3 of 6", "scraping round 2".
    pub const fn is_counted(self) -> bool {
        !matches!(self.row().count, StageCount::Single)
    }
    /// Whether its number is a round, of which nobody knows how many there will be.
    pub const fn is_round(self) -> bool {
        matches!(self.row().count, StageCount::Round)
    }
}

/// A row in another place than its kind's is found out here, before the program is built.
const _: () = {
    let mut i = 0;
    while i < StageKind::ALL.len() {
        assert!(STAGE_TABLE[i].kind as usize == i, "a row of STAGE_TABLE is not where its kind is");
        i += 1;
    }
};
