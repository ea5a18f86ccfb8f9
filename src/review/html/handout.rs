//! The handout: one recipe on one side of A4, for a class or the wall over the bench. What to weigh, what to do in which
//! order, how long to wait, what can hurt.

use super::html_document;
use crate::craft::materials::Support;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::mix::{Mix, MixInputs, compute_mix};
use crate::craft::recipe::{Paint, Recipe};
use crate::text::{UnitSystem, format_mass, format_size, format_volume, format_wait_span, sanitize};
use crate::units::{Entry, Id, Length, Mass, Moment, Size, Span, Stamp, Volume};
use crate::work::advice::cautions::stage_cautions;
use crate::work::advice::stages::stage_tips;
use crate::work::panel::event::{Face, Grain, PanelEvent, PanelOpened, Stage, StageKind};
use crate::work::panel::state::Panel;
use crate::work::story::StoryState;
use maud::{Markup, PreEscaped, html};
use std::sync::Arc;

/// The board the amounts are for, mm: a small one that most have at hand (assumed).
const BOARD_MM: (f64, f64, f64) = (300.0, 400.0, 12.0);
/// The other column of amounts is for so many: a class (assumed).
const CLASS: u32 = 10;
/// So many lines are told of each stage, and of what can hurt: with more the longest recipe leaves its one side (counted).
const TIPS_MAX: usize = 2;
const CAUTIONS_MAX: usize = 8;

/// What keeps it on one side of A4 when printed.
const CSS: &str = "\
main.handout{max-width:46rem;margin:0 auto}.handout ol{columns:22rem;column-gap:2rem;padding-left:1.4rem;margin:.4rem 0}\
.handout li{break-inside:avoid;margin-bottom:.45rem}.handout li ul{padding-left:1rem;margin:0;list-style:none;font-size:.9rem}.handout .wait{font-weight:bold}\
@media print{@page{size:A4;margin:12mm}main.handout{max-width:none}.handout h1{font-size:15pt}.handout h2{font-size:11pt;margin:5pt 0 2pt}\
.handout{font-size:8.6pt;line-height:1.25}.handout ol{columns:2;column-gap:8mm}.handout li{margin-bottom:2.5pt}.handout table{font-size:8.6pt}}";

/// Stages of one kind in a row, which are told once.
struct Step {
    first: Stage,
    count: u32,
    back: u32,
}

/// The page of one recipe.
pub fn handout_page(recipe: &Recipe, bulk: &BulkDensities, units: UnitSystem) -> String {
    let board = example_board(recipe);
    let title = sanitize(&recipe.title);
    let steps = board.as_ref().map_or_else(Vec::new, collect_steps);
    let mix = |panels| compute_mix(&mix_inputs(recipe, bulk, panels)).ok();
    html_document(
        &title,
        html! {
            style { (PreEscaped(CSS)) }
            main.handout {
                h1 { (title) }
                p.quiet { "For " (join_paints(&recipe.suits)) ". Recipe " (sanitize(&recipe.name)) "; " (sanitize(&recipe.source)) "." }
                h2 { "To weigh" }
                @if let (Some(one), Some(class)) = (mix(1), mix(CLASS)) { (amounts_table(&one, &class, units)) }
                h2 { "To do" }
                ol {
                    @if let Some(panel) = &board {
                        @for step in &steps { (step_item(step, panel)) }
                    }
                }
                h2 { "What can hurt" }
                ul { @for line in cautions(recipe, &steps) { li { (line) } } }
            }
        },
    )
}

fn join_paints(suits: &[Paint]) -> String {
    suits.iter().map(|paint| paint.name()).collect::<Vec<_>>().join(", ")
}

fn example_size() -> Size {
    let (width, height, thickness) = BOARD_MM;
    Size { width: Length::from_mm(width), height: Length::from_mm(height), thickness: Some(Length::from_mm(thickness)) }
}

/// A board as it would be opened, so that the plan is told as the bench tells it.
fn example_board(recipe: &Recipe) -> Option<Panel> {
    let opened = PanelOpened {
        id: Id::new("board")?,
        label: "Board".to_owned(),
        size: example_size(),
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: recipe.suits.first().copied().unwrap_or(Paint::Oil),
        recipe: Arc::new(recipe.clone()),
        group: None,
        sheet: None,
        is_witness: false,
        trial: None,
    };
    let at = Moment::from_wall(Stamp::default());
    let event = PanelEvent::Opened(Box::new(opened));
    Panel::from_opening(&Entry { seq: 0, at: at.wall, written: at, raw_wall: None, replaces: None, event }).ok()
}

fn mix_inputs<'a>(recipe: &'a Recipe, bulk: &'a BulkDensities, panels: u32) -> MixInputs<'a> {
    MixInputs { recipe, size: example_size(), panels, faces: None, scoop: None, bulk }
}

fn amounts_table(one: &Mix, class: &Mix, units: UnitSystem) -> Markup {
    let mass = |g: f64| format_mass(Mass::from_g(g), units);
    let volume = |ml: f64| format_volume(Volume::from_ml(ml), units);
    let mut rows = vec![
        ("glue for the size on the wood", mass(one.size_for_wood.glue_g), mass(class.size_for_wood.glue_g)),
        ("water to it", mass(one.size_for_wood.water_g), mass(class.size_for_wood.water_g)),
        ("glue for the gesso", mass(one.gesso.glue_g), mass(class.gesso.glue_g)),
        ("water to it", mass(one.gesso.water_g), mass(class.gesso.water_g)),
    ];
    let fillers = one.gesso.fillers.iter().zip(&class.gesso.fillers);
    rows.extend(fillers.map(|(a, b)| (a.filler.name(), mass(a.mass_g), mass(b.mass_g))));
    if one.gesso.thinning_ml > 0.0 {
        rows.push(("water to thin it at the end", volume(one.gesso.thinning_ml), volume(class.gesso.thinning_ml)));
    }
    if let (Some(a), Some(b)) = (&one.seal, &class.seal) {
        rows.push(("to seal with, ready", volume(a.solution_ml), volume(b.solution_ml)));
    }
    html! {
        table {
            thead { tr {
                th { "a board of " (format_size(example_size(), units)) }
                th.n { "one" }
                th.n { (CLASS) }
            } }
            tbody { @for (name, one, class) in &rows { tr { th { (name) } td.n { (one) } td.n { (class) } } } }
        }
    }
}

/// The stages of a board, those of one kind together.
fn collect_steps(panel: &Panel) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    for stage in panel.stages() {
        let is_back = u32::from(stage.face == Some(Face::Back));
        match steps.last_mut().filter(|step| step.first.kind == stage.kind) {
            Some(step) => {
                step.count += 1;
                step.back += is_back;
            }
            None => steps.push(Step { first: stage, count: 1, back: is_back }),
        }
    }
    steps
}

fn step_item(step: &Step, panel: &Panel) -> Markup {
    let name = sanitize(step.first.kind.name());
    let front = step.count - step.back;
    let times = match (step.count, step.back, step.first.kind.is_wet_coat()) {
        (1, ..) | (_, _, false) => String::new(),
        (n, 0, true) => format!(", {n} times"),
        (_, back, true) => format!(", {front} times on the front and {back} on the back"),
    };
    let across = if step.count > 1 && step.first.direction.is_some() && step.first.kind == StageKind::Coat {
        ", each across the one below"
    } else {
        ""
    };
    let wait = panel.recipe_wait(step.first.kind).filter(|span| *span > Span::ZERO).map(format_wait_span);
    let tips = stage_tips(&step.first, panel.opened(), None);
    html! {
        li {
            b { (name) } (times) (across)
            @if let Some(wait) = wait { "; " span.wait { "wait " (wait) } }
            ul { @for tip in tips.iter().take(TIPS_MAX) { li { (tip.text) } } }
        }
    }
}

/// What can hurt in the whole work, each said once.
fn cautions(recipe: &Recipe, steps: &[Step]) -> Vec<&'static str> {
    let mut lines = Vec::new();
    let paint = recipe.suits.first().copied().unwrap_or(Paint::Oil);
    for caution in steps.iter().flat_map(|step| stage_cautions(&step.first, recipe, paint)) {
        if !lines.contains(&caution.text) {
            lines.push(caution.text);
        }
    }
    lines.truncate(CAUTIONS_MAX);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::recipe::shipped::{find_shipped_recipe, shipped_recipes};

    /// At the sizes of the style sheet a side of A4 holds about 70 lines of 60 characters in each of two columns, below a
    /// table of a dozen rows (reckoned; each shipped recipe was printed once, and took one side).
    const LINES_ON_A_SIDE: usize = 110;

    #[test]
    fn every_recipe_fits_on_one_side() {
        for shipped in shipped_recipes() {
            let recipe = find_shipped_recipe(shipped.name).unwrap();
            let page = handout_page(&recipe, &BulkDensities::TABLE, UnitSystem::Metric);
            let lines = page.matches("<li>").count() + page.matches("<tr>").count();
            assert!((15..LINES_ON_A_SIDE).contains(&lines), "{}: {lines}", shipped.name);
            assert!(page.contains("each across the one below"), "{}", shipped.name);
        }
    }

    #[test]
    fn what_hurts_is_said_once_and_what_is_weighed_for_one_and_for_a_class() {
        let recipe = find_shipped_recipe("gypsum-titanium").unwrap();
        let page = handout_page(&recipe, &BulkDensities::TABLE, UnitSystem::Metric);
        let caution = stage_cautions(&collect_steps(&example_board(&recipe).unwrap())[1].first, &recipe, Paint::Oil)[0];
        assert_eq!(page.matches(&html_escape(caution.text)).count(), 1, "{}", caution.text);
        let one = compute_mix(&mix_inputs(&recipe, &BulkDensities::TABLE, 1)).unwrap();
        assert!(page.contains(&format_mass(Mass::from_g(one.gesso.glue_g), UnitSystem::Metric)));
    }

    fn html_escape(text: &str) -> String {
        html! { (text) }.into_string()
    }
}
