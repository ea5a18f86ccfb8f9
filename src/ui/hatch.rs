//! Hatching: the texture that stands for a coat, the same in the digits, on the panel and in the section.
//!
//! Horizontal and vertical strokes are half blocks, so that they stay told apart at a distance where a line would not
//! be seen.

use crate::craft::recipe::Direction;
use crate::work::panel::event::StageKind;
use crate::work::panel::stage_kind::StageTexture;

/// A texture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Hatch {
    /// Strokes along the width.
    Horizontal,
    /// Strokes along the height.
    Vertical,
    /// Tapped in.
    Dots,
    /// Brushed on without a direction: size, shellac.
    Wash,
    /// Linen.
    Weave,
    /// Whatever lays nothing.
    Solid,
}

impl Hatch {
    /// The texture of an act or a layer.
    pub const fn from_kind(kind: StageKind, direction: Option<Direction>) -> Hatch {
        match (kind.row().texture, direction) {
            (StageTexture::Dots, _) => Hatch::Dots,
            (StageTexture::Weave, _) => Hatch::Weave,
            (_, Some(Direction::Horizontal)) => Hatch::Horizontal,
            (_, Some(Direction::Vertical)) => Hatch::Vertical,
            (StageTexture::Wash, None) => Hatch::Wash,
            (StageTexture::Plain | StageTexture::Strokes | StageTexture::Scratches | StageTexture::Powder, None) => {
                Hatch::Solid
            }
        }
    }

    /// The sign that fills one cell, for large digits: at least half ink.
    pub const fn bold(self) -> char {
        match self {
            Hatch::Horizontal => '▆',
            Hatch::Vertical => '▊',
            Hatch::Dots => '▚',
            Hatch::Wash => '▓',
            Hatch::Weave => '╋',
            Hatch::Solid => '█',
        }
    }

    /// The sign of column `x` in a band of the section.
    pub const fn band(self, x: u16) -> char {
        match self {
            Hatch::Horizontal => '▆',
            Hatch::Vertical if x.is_multiple_of(2) => '▊',
            Hatch::Vertical => ' ',
            Hatch::Dots if x.is_multiple_of(2) => '▖',
            Hatch::Dots => '▝',
            Hatch::Wash => '░',
            Hatch::Weave => '┼',
            Hatch::Solid => '▄',
        }
    }

    /// The sign of column `x` in a band that is called for and not laid yet: the same strokes, thin.
    pub const fn thin(self, x: u16) -> char {
        match self {
            Hatch::Horizontal => '─',
            Hatch::Vertical if x.is_multiple_of(2) => '│',
            Hatch::Dots if x.is_multiple_of(4) => '▖',
            Hatch::Wash if x.is_multiple_of(3) => '░',
            Hatch::Weave if x.is_multiple_of(3) => '┼',
            Hatch::Solid => '▁',
            Hatch::Vertical | Hatch::Dots | Hatch::Wash | Hatch::Weave => ' ',
        }
    }
}
