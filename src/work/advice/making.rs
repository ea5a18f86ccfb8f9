//! How a batch is made, step by step: what to do, what it looks like when it is right, what can hurt.
//!
//! From an empty bench to strained gesso: size is made first, and gesso is poured from it.

use super::cautions::{BATH, MOULD, QUARTZ, RESPIRATOR, SCALD, TITANIUM_DUST, ZINC_DUST};
use super::source::*;
use super::words::format_figure;
use super::{CautionLine, Tip};
use crate::craft::materials::Filler;
use crate::craft::recipe::Recipe;
use crate::units::{Span, all_variants};
use strum::VariantArray;

/// One step of the making.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray)]
pub enum MakingStep {
    /// Everything laid out.
    LayOut,
    /// What the packets say.
    Packet,
    /// Glue and water weighed.
    Weigh,
    /// The glue in cold water.
    Soak,
    /// Into the bath.
    Melt,
    /// Until it is liquid.
    Look,
    /// Out of the bath.
    Lift,
    /// The size tried: it is made.
    Try,
    /// The board sized, and cured, before the gesso is made.
    SizeBoard,
    /// The powders weighed and mixed dry.
    Powders,
    /// The size for the gesso measured out.
    Pour,
    /// The powders sifted in.
    Sift,
    /// Left to sink.
    Sink,
    /// Brought together.
    Combine,
    /// Worked through cloth.
    Strain,
    /// Ready to be laid.
    Ready,
}
all_variants!(MakingStep);

/// The powder is left to sink by itself for so long (the Slade School's teaching note).
pub const SINK_TIME: Span = Span::from_s(5 * 60);

impl MakingStep {
    /// What to do, in so few words that they can be set large.
    pub const fn label(self) -> &'static str {
        match self {
            MakingStep::LayOut => "lay out",
            MakingStep::Packet => "read the packet",
            MakingStep::Weigh => "weigh the glue",
            MakingStep::Soak => "soak the glue",
            MakingStep::Melt => "melt gently",
            MakingStep::Look => "until liquid",
            MakingStep::Lift => "lift it out",
            MakingStep::Try => "try the size",
            MakingStep::SizeBoard => "size the board",
            MakingStep::Powders => "mix powders dry",
            MakingStep::Pour => "measure size",
            MakingStep::Sift => "sift it in",
            MakingStep::Sink => "let it sink",
            MakingStep::Combine => "stir slowly",
            MakingStep::Strain => "through cloth",
            MakingStep::Ready => "ready",
        }
    }

    /// What pressing the key for "done" says has happened.
    pub const fn done_label(self) -> &'static str {
        match self {
            MakingStep::LayOut => "all is there",
            MakingStep::Packet => "it is the right one",
            MakingStep::Weigh => "weighed",
            MakingStep::Soak => "in cold water",
            MakingStep::Melt => "in the bath",
            MakingStep::Look => "liquid",
            MakingStep::Lift => "out of the bath",
            MakingStep::Try => "the size is made",
            MakingStep::SizeBoard => "to the bench",
            MakingStep::Powders => "mixed",
            MakingStep::Pour => "measured",
            MakingStep::Sift => "all in",
            MakingStep::Sink => "sunk",
            MakingStep::Combine => "made",
            MakingStep::Strain => "strained",
            MakingStep::Ready => "to the bench",
        }
    }
}

/// What is said at one step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MakingAdvice {
    /// How it is done, the weightiest first.
    pub tips: Vec<Tip>,
    /// How to tell that it is right; none where there is nothing to look for.
    pub sign: Option<Tip>,
    /// What can hurt.
    pub cautions: Vec<CautionLine>,
}

/// What is said at that step of a batch by that recipe.
pub fn making_advice(step: MakingStep, recipe: &Recipe) -> MakingAdvice {
    MakingAdvice { tips: step_tips(step, recipe), sign: sign_tip(step), cautions: step_cautions(step, recipe) }
}

fn tips_from_pairs(pairs: &[(&'static str, &'static str)]) -> Vec<Tip> {
    pairs.iter().map(|(text, source)| Tip::new(*text, source)).collect()
}

fn step_tips(step: MakingStep, recipe: &Recipe) -> Vec<Tip> {
    match step {
        MakingStep::LayOut => tips_from_pairs(&[
            ("Scales, glue, powders, cold water; two jars, a pan for the bath.", COMMON),
            ("Sieve, fine cloth, a spoon; a brush for the pot, one kept clean.", COMMON),
            ("A thermometer if you have one; a mask for the powders.", COMMON),
        ]),
        MakingStep::Packet => packet_tips(recipe),
        MakingStep::Weigh => tips_from_pairs(&[
            ("By weight: an ounce by eye comes out different each time.", GILDING_TEACHER),
            ("Note the lot and the grade of the glue; they differ in hardness.", COMMON),
        ]),
        MakingStep::Soak => soak_tips(recipe),
        MakingStep::Melt => melt_tips(recipe),
        MakingStep::Look => tips_from_pairs(&[
            ("Stir slowly; the brush never leaves the liquid.", OIL_PAGE),
            ("Once liquid take it off: heat beyond that makes the bubbles.", THOMPSON_POT),
        ]),
        MakingStep::Lift => tips_from_pairs(&[
            ("Lift it out and wipe the jar: no bath water into the size.", COMMON),
            ("Cover it: water leaves, glue stays.", DERIVED),
        ]),
        MakingStep::Try => tips_from_pairs(&[
            ("Let a spoonful gel: broken like porridge, it suits gesso.", COLLEGE),
            ("Split clean like table jelly: too strong for gesso, fine as size.", COLLEGE),
        ]),
        MakingStep::SizeBoard => size_board_tips(recipe),
        MakingStep::Powders => tips_from_pairs(&[
            ("Weigh each, stir them together dry, and sift them once.", COMMON),
            ("Scoops only for powders you have weighed: cups differ.", COMMON),
        ]),
        MakingStep::Pour => tips_from_pairs(&[
            ("Measure the warm glue size for the gesso into a second, warm jar.", COMMON),
            ("What is left of it sizes the wood, or waits as jelly.", COMMON),
        ]),
        MakingStep::Sift => sift_tips(recipe),
        MakingStep::Sink => tips_from_pairs(&[
            ("Do not stir: it sinks by itself, and its air rises.", SLADE),
            ("Tap the jar now and then; some leave it ten minutes.", GILDERS_PAGE),
        ]),
        MakingStep::Combine => tips_from_pairs(&[
            ("Stir once, slowly; beat no air in.", OIL_PAGE),
            ("Lift what lies on the bottom; the brush stays under.", OIL_PAGE),
        ]),
        MakingStep::Strain => tips_from_pairs(&[
            ("Through fine cloth, worked with the back of a spoon.", COMMON),
            ("Scrape the cloth's underside: what hangs there is gesso too.", COMMON),
        ]),
        MakingStep::Ready => ready_tips(recipe),
    }
}

fn packet_tips(recipe: &Recipe) -> Vec<Tip> {
    let mut tips = Vec::new();
    for part in &recipe.gesso.fillers {
        match part.filler {
            Filler::Gypsum => tips.extend([
                Tip::new("Gypsum: look for dihydrate, CaSO4·2H2O. It does not set.", COMMON),
                Tip::new("Plaster that sets (hemihydrate) is another thing: not for this.", COMMON),
            ]),
            Filler::Chalk => tips.push(Tip::new("Chalk or whiting: calcium carbonate, CaCO3.", COMMON)),
            Filler::PrecipitatedChalk => {
                tips.push(Tip::new("Precipitated chalk: CaCO3; about a quarter less than whiting.", TEMPERA_PAGE));
            }
            Filler::MarbleDust => tips.push(Tip::new("Marble dust: ground CaCO3, the fine kind.", COMMON)),
            Filler::ZincWhite => tips.push(Tip::new("Zinc white: dry pigment, zinc oxide, ZnO; no paint.", COMMON)),
            Filler::TitaniumWhite => {
                tips.push(Tip::new("Titanium white: dry pigment, TiO2; no paint.", COMMON));
            }
            Filler::Kaolin => tips.push(Tip::new("Kaolin: china clay; only thin layers, it flakes.", RIVERS_COATS)),
            Filler::Barytes => tips.push(Tip::new("Barytes: barium sulphate, BaSO4, dry.", COMMON)),
        }
    }
    tips.push(Tip::new("Glue: hide or rabbit-skin glue in grains; write down its lot.", COMMON));
    tips
}

/// What is said while the board is prepared: size needs glue that has soaked, so it is put into water the evening before.
/// `lead` is how the making is reached: "P, then f".
pub fn soak_tonight_tip(recipe: &Recipe, glue_g: f64, water_ml: f64, lead: &str) -> Tip {
    let (hours, glue) = (format_figure(recipe.size.soak_h), format_figure(glue_g));
    let when = if recipe.size.soak_h >= 6.0 { "tonight" } else { "beforehand" };
    let text =
        format!("Soak glue {when}, {hours} h: {glue} g in {water_ml:.0} ml cold water. {lead} leads the making.");
    Tip::new(text, RECIPE)
}

fn soak_tips(recipe: &Recipe) -> Vec<Tip> {
    let hours = format_figure(recipe.size.soak_h);
    vec![
        Tip::new(format!("The evening before: the glue into cold water, {hours} h, covered."), RECIPE),
        Tip::new("All of it under water; leave it in the cool.", COMMON),
    ]
}

fn melt_tips(recipe: &Recipe) -> Vec<Tip> {
    let [low, high] = recipe.gesso.work_c;
    let (low, high, caution) = (format_figure(low), format_figure(high), format_figure(recipe.gesso.caution_c));
    vec![
        Tip::new("The jar into a cold bath, and both warmed together.", TEMPERA_PAGE),
        Tip::new(format!("Hot to the touch, {low} to {high} C, never boiled; {caution} C is the limit."), RIVERS_POT),
    ]
}

fn sift_tips(recipe: &Recipe) -> Vec<Tip> {
    let mut tips = tips_from_pairs(&[
        ("A little at a time on to the warm size, and let each sink.", SLADE),
        ("Break lumps through the sieve. Do not stir while adding.", SLADE),
    ]);
    if recipe.gesso.fillers.len() > 1 {
        tips.push(Tip::new("All powders together: they were mixed dry.", COMMON));
    }
    tips
}

fn size_board_tips(recipe: &Recipe) -> Vec<Tip> {
    let hours = format_figure(recipe.size.cure_h);
    vec![
        Tip::new("Brush it on while it is hot: the bench leads, face by face.", COMMON),
        Tip::new(format!("The size cures {hours} h; only then is the gesso made, from what is left."), RECIPE),
        Tip::new("Cover the rest and keep it cool: a jelly melts again.", COMMON),
    ]
}

fn ready_tips(recipe: &Recipe) -> Vec<Tip> {
    let mut tips = tips_from_pairs(&[
        ("Creamier is right; pudding cracks: thin it with warm water.", CONSERVATORS),
        ("If it and the recipe disagree, go by it, and note what you did.", CONSERVATORS),
    ]);
    if recipe.gesso.thinning_pct > 0.0 {
        let pct = format_figure(recipe.gesso.thinning_pct);
        tips.push(Tip::new(format!("This recipe is thinned by {pct} % of water at the end."), RECIPE));
    }
    tips.push(Tip::new("Weigh pot and brush now: later losses are water.", DERIVED));
    tips
}

fn sign_tip(step: MakingStep) -> Option<Tip> {
    let tip = |text: &'static str, source| Some(Tip::new(text, source));
    match step {
        MakingStep::Soak | MakingStep::Melt => tip("Grains pale, swollen, rubbery, no hard core.", GERMAN_STUDIO),
        MakingStep::Look => tip("Clear and even, nothing grainy on the spoon.", COMMON),
        MakingStep::Try => tip("A drop between the palms makes them stick.", PALMS),
        MakingStep::Powders => tip("One colour, no streak of either.", COMMON),
        MakingStep::Sift => tip("Powder that peaks just under the surface: about enough.", SLADE),
        MakingStep::Sink => tip("The surface is wet all over, and no more bubbles come.", COMMON),
        MakingStep::Combine => tip("No lumps, no foam.", COMMON),
        MakingStep::Strain => tip("Nothing grainy is left on the cloth.", COMMON),
        MakingStep::Ready => tip("It runs off the brush like light cream or whole milk.", CREAM),
        MakingStep::LayOut
        | MakingStep::Packet
        | MakingStep::Weigh
        | MakingStep::Lift
        | MakingStep::SizeBoard
        | MakingStep::Pour => None,
    }
}

fn step_cautions(step: MakingStep, recipe: &Recipe) -> Vec<CautionLine> {
    match step {
        MakingStep::LayOut => vec![BATH],
        MakingStep::Melt | MakingStep::Look | MakingStep::Lift | MakingStep::SizeBoard => vec![SCALD, BATH],
        MakingStep::Soak | MakingStep::Try => vec![MOULD],
        MakingStep::Packet => Vec::new(),
        MakingStep::Powders | MakingStep::Sift => [vec![RESPIRATOR], powder_cautions(recipe)].concat(),
        MakingStep::Weigh
        | MakingStep::Pour
        | MakingStep::Sink
        | MakingStep::Combine
        | MakingStep::Strain
        | MakingStep::Ready => Vec::new(),
    }
}

/// What the powders of that recipe call for.
fn powder_cautions(recipe: &Recipe) -> Vec<CautionLine> {
    let has = |filler| recipe.gesso.fillers.iter().any(|f| f.filler == filler);
    let mut list = Vec::new();
    if has(Filler::ZincWhite) {
        list.push(ZINC_DUST);
    }
    if has(Filler::TitaniumWhite) {
        list.push(TITANIUM_DUST);
    }
    if has(Filler::Chalk) || has(Filler::Gypsum) {
        list.push(QUARTZ);
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::recipe::shipped;
    use crate::work::advice::LINE_MAX;

    #[test]
    fn every_step_of_every_recipe_is_said_in_lines_read_at_a_glance() {
        for recipe in shipped::shipped_recipes().iter().filter_map(|s| shipped::find_shipped_recipe(s.name)) {
            for step in MakingStep::ALL {
                let led = making_advice(step, &recipe);
                assert!(!led.tips.is_empty(), "{} {step:?}", recipe.name);
                for tip in led.tips.iter().chain(&led.sign) {
                    let long = tip.text.chars().count();
                    assert!(long <= LINE_MAX && !tip.source.is_empty(), "{step:?} {long}: {tip}");
                }
            }
        }
    }

    #[test]
    fn what_matters_is_said_where_it_matters() {
        let recipe = shipped::find_shipped_recipe("gypsum-zinc").unwrap();
        let whole = |step| {
            let led = making_advice(step, &recipe);
            let cautions = led.cautions.iter().map(|c| c.text.to_owned());
            let tips = led.tips.into_iter().chain(led.sign).map(|t| t.text.into_owned());
            tips.chain(cautions).collect::<Vec<_>>().join(" ")
        };
        for (step, words) in [
            (MakingStep::Packet, "dihydrate, CaSO4·2H2O"),
            (MakingStep::Packet, "Plaster that sets (hemihydrate) is another thing"),
            (MakingStep::Soak, "evening before"),
            (MakingStep::Soak, "9 h"),
            (MakingStep::Melt, "Hot to the touch, 40 to 50 C, never boiled; 55 C"),
            (MakingStep::Powders, "dry"),
            (MakingStep::Sift, "Break lumps through the sieve"),
            (MakingStep::Sink, "sinks by itself"),
            (MakingStep::Combine, "beat no air in"),
            (MakingStep::Strain, "back of a spoon"),
            (MakingStep::Strain, "underside"),
            (MakingStep::Ready, "Creamier is right"),
        ] {
            assert!(whole(step).contains(words), "{step:?}: {}", whole(step));
        }
        let chalk = shipped::find_shipped_recipe("whiting-tempera").unwrap();
        assert!(!making_advice(MakingStep::Packet, &chalk).tips.iter().any(|t| t.text.contains("CaSO4")));
    }
}
