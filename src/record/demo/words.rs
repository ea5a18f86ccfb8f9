//! What the maker of the invented stories writes down. Nothing a person could be known by stands in them.

use crate::work::panel::event::StageKind;

/// Why a panel was given up.
pub(super) const GIVEN_UP: &str = "dropped on its corner, the ground is broken to the wood";
/// Why a coat was added.
pub(super) const GRAIN: &str = "grain still shows along the lower edge";
/// Why a rest was ended.
pub(super) const REST_ENDED: &str = "dry to the touch and cold no longer; the day is warm";
/// What was seen on a coat done again.
pub(super) const LUMPY: &str = "lumps; the gesso goes through the cloth once more";
/// What is said of a coat that does not cross the one below.
pub(super) const TURNED: &str = "laid the same way twice, the board lay the other way round";
/// Why the maker left.
pub(super) const CALLED: &str = "called away; the bath left on low";

/// What may be noted after an act of that kind.
pub(super) const fn notes_after(kind: StageKind) -> &'static [&'static str] {
    match kind {
        StageKind::Prepare => {
            &["sketch fits with a finger's breadth around it", "one corner was sharp, broken once more"]
        }
        StageKind::Size => &["size taken up quickly on the end grain", "wiped the runs off the edge"],
        StageKind::Cloth => &["a fold near the top, pushed out with the thumb"],
        StageKind::Stipple => &["tapped twice, the weave is closed", "a little thick at the left"],
        StageKind::Coat => &[
            "bowl thinned with a spoon of warm water",
            "brush rinsed and squeezed out",
            "a hair taken off with the needle",
            "runs cleanly now",
        ],
        StageKind::Scrape => &["burr raised anew half way", "more dust at the edges than in the middle"],
        StageKind::Polish => &["cloth wrung out three times", "smooth as an egg"],
        StageKind::Check => &["powder brushed off towards the window"],
        StageKind::Seal => &["drinks evenly", "a second breath of it at the edges"],
        StageKind::Sand => &["dust taken off with the soft brush"],
        StageKind::Cure | StageKind::Dry | StageKind::Rest => &[],
    }
}

/// What is said of a pot forgotten in its bath.
pub(super) const FORGOTTEN: &str = "stood in the bath all the while; thick, with a skin on it, and stirred in";
/// Why a forgotten pot was thrown away.
pub(super) const SPOILED: &str = "too hot for too long";
/// Why the rest of a size was thrown away.
pub(super) const SIZE_LEFT: &str = "a rest of old size";
/// Why the rest of a gesso was thrown away.
pub(super) const GESSO_LEFT: &str = "two spoons left, not worth keeping";

/// What may be noted at a look at a panel that has cracked.
pub(super) const CRACKED: [&str; 3] =
    ["hairlines where the light rakes", "seen with the lens only", "the powder shows them"];
