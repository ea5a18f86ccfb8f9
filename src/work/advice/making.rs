//! How a batch is made, step by step: what to do, what it looks like when it is right, what can hurt.
//!
//! From an empty bench to strained gesso: size is made first, and gesso is poured from it. Absent on purpose: how much
//! (`craft::quantities`), which step comes next (`app`), times of day.

use super::cautions::{BATH, MOULD, QUARTZ, RESPIRATOR, SCALD, TITANIUM_DUST, ZINC_DUST};
use super::source::*;
use super::words::figure;
use super::{Caution, Tip};
use crate::craft::materials::Filler;
use crate::craft::recipe::Recipe;
use crate::units::Span;

/// One step of the making.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Step {
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

/// The powder is left to sink by itself for so long (the Slade School's teaching note).
pub const SINK: Span = Span::from_s(5 * 60);

impl Step {
    /// Every step in the order of the work.
    pub const ALL: [Step; 15] = [
        Step::LayOut,
        Step::Packet,
        Step::Weigh,
        Step::Soak,
        Step::Melt,
        Step::Look,
        Step::Lift,
        Step::Try,
        Step::Powders,
        Step::Pour,
        Step::Sift,
        Step::Sink,
        Step::Combine,
        Step::Strain,
        Step::Ready,
    ];

    /// What to do, in so few words that they can be set large.
    pub const fn act(self) -> &'static str {
        match self {
            Step::LayOut => "lay out",
            Step::Packet => "read the packet",
            Step::Weigh => "weigh the glue",
            Step::Soak => "soak the glue",
            Step::Melt => "melt gently",
            Step::Look => "until liquid",
            Step::Lift => "lift it out",
            Step::Try => "try the size",
            Step::Powders => "mix powders dry",
            Step::Pour => "measure size",
            Step::Sift => "sift it in",
            Step::Sink => "let it sink",
            Step::Combine => "stir slowly",
            Step::Strain => "through cloth",
            Step::Ready => "ready",
        }
    }

    /// What pressing the key for "done" says has happened.
    pub const fn done(self) -> &'static str {
        match self {
            Step::LayOut => "all is there",
            Step::Packet => "it is the right one",
            Step::Weigh => "weighed",
            Step::Soak => "in cold water",
            Step::Melt => "in the bath",
            Step::Look => "liquid",
            Step::Lift => "out of the bath",
            Step::Try => "the size is made",
            Step::Powders => "mixed",
            Step::Pour => "measured",
            Step::Sift => "all in",
            Step::Sink => "sunk",
            Step::Combine => "made",
            Step::Strain => "strained",
            Step::Ready => "to the bench",
        }
    }
}

/// What is said at one step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Led {
    /// How it is done, the weightiest first.
    pub how: Vec<Tip>,
    /// How to tell that it is right; none where there is nothing to look for.
    pub sign: Option<Tip>,
    /// What can hurt.
    pub cautions: Vec<Caution>,
}

/// What is said at that step of a batch by that recipe.
pub fn led(step: Step, recipe: &Recipe) -> Led {
    Led { how: how(step, recipe), sign: sign(step), cautions: cautions(step, recipe) }
}

fn tips(pairs: &[(&'static str, &'static str)]) -> Vec<Tip> {
    pairs.iter().map(|(text, source)| Tip::new(*text, source)).collect()
}

fn how(step: Step, recipe: &Recipe) -> Vec<Tip> {
    match step {
        Step::LayOut => tips(&[
            ("Scales, glue, powders, cold water; two jars, a pan for the bath.", COMMON),
            ("Sieve, fine cloth, a spoon; a brush for the pot, one kept clean.", COMMON),
            ("A thermometer if you have one; a mask for the powders.", COMMON),
        ]),
        Step::Packet => packet(recipe),
        Step::Weigh => tips(&[
            ("By weight: an ounce by eye comes out different each time.", GILDING_TEACHER),
            ("Note the lot and the grade of the glue; they differ in hardness.", COMMON),
        ]),
        Step::Soak => soak(recipe),
        Step::Melt => melt(recipe),
        Step::Look => tips(&[
            ("Stir slowly; the brush never leaves the liquid.", OIL_PAGE),
            ("Once liquid take it off: heat beyond that makes the bubbles.", THOMPSON_POT),
        ]),
        Step::Lift => tips(&[
            ("Lift it out and wipe the jar: no bath water into the size.", COMMON),
            ("Cover it: water leaves, glue stays.", DERIVED),
        ]),
        Step::Try => tips(&[
            ("Let a spoonful gel: broken like porridge, it suits gesso.", COLLEGE),
            ("Split clean like table jelly: too strong for gesso, fine as size.", COLLEGE),
        ]),
        Step::Powders => tips(&[
            ("Weigh each, stir them together dry, and sift them once.", COMMON),
            ("Scoops only for powders you have weighed: cups differ.", COMMON),
        ]),
        Step::Pour => tips(&[
            ("Measure the warm size for the gesso into a second, warm jar.", COMMON),
            ("What is left of the size sizes the wood, or waits as jelly.", COMMON),
        ]),
        Step::Sift => sift(recipe),
        Step::Sink => tips(&[
            ("Do not stir: it sinks by itself, and its air rises.", SLADE),
            ("Tap the jar now and then; some leave it ten minutes.", GILDERS_PAGE),
        ]),
        Step::Combine => tips(&[
            ("Stir once, slowly; beat no air in.", OIL_PAGE),
            ("Lift what lies on the bottom; the brush stays under.", OIL_PAGE),
        ]),
        Step::Strain => tips(&[
            ("Through fine cloth, worked with the back of a spoon.", COMMON),
            ("Scrape the cloth's underside: what hangs there is gesso too.", COMMON),
        ]),
        Step::Ready => ready(recipe),
    }
}

fn packet(recipe: &Recipe) -> Vec<Tip> {
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

fn soak(recipe: &Recipe) -> Vec<Tip> {
    let hours = figure(recipe.size.soak_h);
    vec![
        Tip::new(format!("The evening before: the glue into cold water, {hours} h, covered."), RECIPE),
        Tip::new("All of it under water; leave it in the cool.", COMMON),
    ]
}

fn melt(recipe: &Recipe) -> Vec<Tip> {
    let [low, high] = recipe.gesso.work_c;
    let (low, high, caution) = (figure(low), figure(high), figure(recipe.gesso.caution_c));
    vec![
        Tip::new("The jar into a cold bath, and both warmed together.", TEMPERA_PAGE),
        Tip::new(format!("Hot to the touch, {low} to {high} C, never boiled; {caution} C is the limit."), RIVERS_POT),
    ]
}

fn sift(recipe: &Recipe) -> Vec<Tip> {
    let mut tips = tips(&[
        ("A little at a time on to the warm size, and let each sink.", SLADE),
        ("Break lumps through the sieve. Do not stir while adding.", SLADE),
    ]);
    if recipe.gesso.fillers.len() > 1 {
        tips.push(Tip::new("All powders together: they were mixed dry.", COMMON));
    }
    tips
}

fn ready(recipe: &Recipe) -> Vec<Tip> {
    let mut tips = tips(&[
        ("Creamier is right; pudding cracks: thin it with warm water.", CONSERVATORS),
        ("If it and the recipe disagree, go by it, and note what you did.", CONSERVATORS),
    ]);
    if recipe.gesso.thinning_pct > 0.0 {
        let pct = figure(recipe.gesso.thinning_pct);
        tips.push(Tip::new(format!("This recipe is thinned by {pct} % of water at the end."), RECIPE));
    }
    tips.push(Tip::new("Weigh pot and brush now: later losses are water.", DERIVED));
    tips
}

fn sign(step: Step) -> Option<Tip> {
    let tip = |text: &'static str, source| Some(Tip::new(text, source));
    match step {
        Step::Soak | Step::Melt => tip("Grains pale, swollen, rubbery, no hard core.", GERMAN_STUDIO),
        Step::Look => tip("Clear and even, nothing grainy on the spoon.", COMMON),
        Step::Try => tip("A drop between the palms makes them stick.", PALMS),
        Step::Powders => tip("One colour, no streak of either.", COMMON),
        Step::Sift => tip("Powder that peaks just under the surface: about enough.", SLADE),
        Step::Sink => tip("The surface is wet all over, and no more bubbles come.", COMMON),
        Step::Combine => tip("No lumps, no foam.", COMMON),
        Step::Strain => tip("Nothing grainy is left on the cloth.", COMMON),
        Step::Ready => tip("It runs off the brush like light cream or whole milk.", CREAM),
        Step::LayOut | Step::Packet | Step::Weigh | Step::Lift | Step::Pour => None,
    }
}

fn cautions(step: Step, recipe: &Recipe) -> Vec<Caution> {
    match step {
        Step::LayOut => vec![BATH],
        Step::Melt | Step::Look | Step::Lift => vec![SCALD, BATH],
        Step::Soak | Step::Try => vec![MOULD],
        Step::Packet => Vec::new(),
        Step::Powders | Step::Sift => [vec![RESPIRATOR], powders(recipe)].concat(),
        Step::Weigh | Step::Pour | Step::Sink | Step::Combine | Step::Strain | Step::Ready => Vec::new(),
    }
}

/// What the powders of that recipe call for.
fn powders(recipe: &Recipe) -> Vec<Caution> {
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
        for recipe in shipped::all().iter().filter_map(|s| shipped::named(s.name)) {
            for step in Step::ALL {
                let led = led(step, &recipe);
                assert!(!led.how.is_empty(), "{} {step:?}", recipe.name);
                for tip in led.how.iter().chain(&led.sign) {
                    let long = tip.text.chars().count();
                    assert!(long <= LINE_MAX && !tip.source.is_empty(), "{step:?} {long}: {tip}");
                }
            }
        }
    }

    #[test]
    fn what_matters_is_said_where_it_matters() {
        let recipe = shipped::named("gypsum-zinc").unwrap();
        let whole = |step| {
            let led = led(step, &recipe);
            let cautions = led.cautions.iter().map(|c| c.text.to_owned());
            let tips = led.how.into_iter().chain(led.sign).map(|t| t.text.into_owned());
            tips.chain(cautions).collect::<Vec<_>>().join(" ")
        };
        for (step, words) in [
            (Step::Packet, "dihydrate, CaSO4·2H2O"),
            (Step::Packet, "Plaster that sets (hemihydrate) is another thing"),
            (Step::Soak, "evening before"),
            (Step::Soak, "9 h"),
            (Step::Melt, "Hot to the touch, 40 to 50 C, never boiled; 55 C"),
            (Step::Powders, "dry"),
            (Step::Sift, "Break lumps through the sieve"),
            (Step::Sink, "sinks by itself"),
            (Step::Combine, "beat no air in"),
            (Step::Strain, "back of a spoon"),
            (Step::Strain, "underside"),
            (Step::Ready, "Creamier is right"),
        ] {
            assert!(whole(step).contains(words), "{step:?}: {}", whole(step));
        }
        let chalk = shipped::named("whiting-tempera").unwrap();
        assert!(!led(Step::Packet, &chalk).how.iter().any(|t| t.text.contains("CaSO4")));
    }
}
