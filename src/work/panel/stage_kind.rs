//! The kinds of stages, and what a kind can be like. What each is like stands in its row of `stage_table`.

use crate::units::all_variants;
use strum::VariantArray;

/// The kind of a stage, in the order of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray)]
pub enum StageKind {
    /// Name and arrow on the back, edges broken, faces keyed and degreased.
    Prepare,
    /// A coat of size.
    Size,
    /// Linen laid in size.
    Cloth,
    /// The size cures.
    Cure,
    /// The first gesso coat, tapped in.
    Stipple,
    /// A brushed gesso coat.
    Coat,
    /// The ground dries.
    Dry,
    /// A round of scraping.
    Scrape,
    /// The barely damp cloth.
    Polish,
    /// The dark powder.
    Check,
    /// The ground rests.
    Rest,
    /// A coat of shellac or thin glue.
    Seal,
    /// The last fine pass.
    Sand,
}
all_variants!(StageKind);

/// How a person counts the stages of a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StageCount {
    /// Not at all: there is one.
    Single,
    /// "coat 3 of 6".
    OfTotal,
    /// "round 2", of which nobody knows how many there will be.
    Round,
}

/// Whether the face is told with the stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaceMention {
    /// It goes without saying.
    Never,
    /// The back is told, the front goes without saying.
    Back,
    /// Each is told.
    Always,
}

/// The direction a stage is to be done in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DirectionRule {
    /// It has none.
    None,
    /// At right angles to the last one on its face; the recipe's on a bare face.
    CrossFace,
    /// At right angles to the last one on the front; none where nothing there has one.
    CrossFront,
}

/// How a stage, and what it leaves, is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StageTexture {
    /// Nothing to be drawn.
    Plain,
    /// Tapped in: dots.
    Dots,
    /// Linen: its weave.
    Weave,
    /// Brushed on without a direction.
    Wash,
    /// Broad strokes of a brush.
    Strokes,
    /// Thin strokes of a blade or of paper.
    Scratches,
    /// Dark powder rubbed on.
    Powder,
}

/// What can hurt at a stage; the words for it are `work::advice::cautions`'.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StageHazard {
    /// The hot bath with the pot of glue in it.
    HotGlue,
    /// Spirit near a flame.
    Spirit,
    /// Dust of any kind.
    Dust,
    /// The recipe's own powders, weighed out or coming off dry.
    Powders,
    /// Lead white, which old recipes name.
    Lead,
    /// The edge of the blade.
    Blade,
    /// What the paint and the powders do to each other.
    PaintOverPowders,
    /// What the recipe seals with.
    SealMaterial,
}
