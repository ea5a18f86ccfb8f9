//! Pots and panels together: from lot to face and back, what is called out before a coat, what a gap means.

use super::event::*;
use super::forecast::ForecastInputs;
use super::interruption::{self, GapEvidence};
use super::lineage::*;
use super::story::PotStory;
use super::tests::*;
use super::usage::PotUsage;
use crate::craft::materials::Support;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::recipe::Paint;
use crate::units::*;
use crate::work::panel;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{Flaw, Grain, PanelEvent, PanelOpened};
use std::sync::Arc;

type Panel = panel::story::PanelStory;

fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

fn board(name: &str) -> Panel {
    let mut recipe = recipe();
    recipe.size.coats_per_face = 1;
    recipe.coats.front = 3;
    recipe.coats.back = 1;
    let size = Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None };
    let event = PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
        id: id(name),
        label: name.into(),
        size,
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: Paint::Oil,
        recipe: Arc::new(recipe),
        group: None,
        is_witness: false,
        trial: None,
    }));
    Panel::fold(vec![Entry { seq: 0, at: at(0.0), written: now(0.0), raw_wall: None, replaces: None, event }]).unwrap()
}

fn does(story: &Panel, act: &PanelAct, min: f64) -> Panel {
    let event = story.build_event(act, now(min)).unwrap();
    let seq = story.entries().len() as u64;
    story.with_entry(Entry { seq, at: at(min), written: now(min), raw_wall: None, replaces: None, event }).unwrap()
}

/// Rows of `minute pot`, each an act done with that pot; `-` for none.
fn lay(mut story: Panel, rows: &[&str]) -> Panel {
    for row in rows {
        let (min, pot) = row.split_once(' ').unwrap();
        let pot = (pot != "-").then(|| id(pot));
        story = does(&story, &PanelAct::Done { direction: None, pot, map: None, by: None }, min.parse().unwrap());
    }
    story
}

/// Prepared, sized on both faces from "robin", cured, and the stipple laid from "wren".
const TO_STIPPLE: [&str; 4] = ["0 -", "5 robin", "6 robin", "1500 wren"];

fn pots() -> Vec<PotStory> {
    let wren = open(said("wren", PotKind::Gesso, Some("robin")), 1490.0);
    let dunnock = open(said("dunnock", PotKind::Gesso, Some("robin")), 1495.0);
    vec![size(), wren, dunnock, open(said("siskin", PotKind::Size, None), 0.0)]
}

fn usage_of<'a>(pots: &'a [PotStory], panels: &[Panel]) -> PotUsage<'a> {
    let uses = panels.iter().flat_map(|p| panel_pot_uses(p.panel())).map(|(id, at, _)| (id, at));
    PotUsage::new(PotLineage::new(pots), uses, &BulkDensities::TABLE)
}

fn coats_text(coats: &[PotCoat]) -> Vec<String> {
    coats.iter().map(|c| format!("{} {} {}", c.panel, c.stage, c.pot)).collect()
}

#[test]
fn lot_size_gesso_coat_and_face_from_either_end() {
    let mut pots = pots();
    pots.push(open(PotOpened { lot: Some("lot 8".into()), ..said("linnet", PotKind::Gesso, None) }, 0.0));
    let panels = [
        lay(board("finch"), &[&TO_STIPPLE[..], &["1515 wren", "1530 wren"]].concat()),
        lay(board("tit"), &[&TO_STIPPLE[..3], &["1501 linnet", "1516 dunnock"]].concat()),
    ];
    let usage = usage_of(&pots, &panels);
    let family = usage.lineage();
    let line = |pot: &str| family.ancestors(&id(pot)).iter().map(Id::to_string).collect::<Vec<_>>().join(" < ");
    assert_eq!(line("wren"), "wren < robin");
    assert_eq!(line("nobody"), "nobody");
    assert_eq!((family.glue_lot(&id("wren")), family.glue_lot(&id("linnet"))), (Some("lot 7"), Some("lot 8")));
    assert_eq!(family.pots_poured_from(&id("robin")), [&id("wren"), &id("dunnock")]);
    assert_eq!(family.pots_of_lot("lot 8"), [&id("linnet")]);
    let from_wren = ["finch stipple 1 of 1 wren", "finch coat 1 of 3 wren", "finch coat 2 of 3 wren"];
    assert_eq!(coats_text(&family.coats_from_pot(&id("wren"), &panels)), from_wren);
    let from_robin = coats_text(&family.coats_from_pot(&id("robin"), &panels));
    assert_eq!(from_robin.len(), 8, "its own size coats and the gesso poured from it: {from_robin:?}");
    assert_eq!(coats_text(&family.coats_of_lot("lot 8", &panels)), ["tit stipple 1 of 1 linnet"]);
    assert_eq!(coats_text(&panel_coats(&panels[1]))[2..], ["tit stipple 1 of 1 linnet", "tit coat 1 of 3 dunnock"]);
    let told: Vec<_> = usage.panel_remarks(&panels[1]).iter().map(|(seq, r)| format!("{seq} {r}")).collect();
    assert_eq!(told, ["5 from \"dunnock\", and the coat below is from \"linnet\": two batches on one ground may part"]);
    assert_eq!(usage.panel_remarks(&panels[0]), []);
    // Two pots that name each other, and a line without end, end.
    let round = [
        open(said("wren", PotKind::Gesso, Some("dunnock")), 0.0),
        open(said("dunnock", PotKind::Gesso, Some("wren")), 0.0),
    ];
    let round = usage_of(&round, &[]);
    assert_eq!(round.lineage().ancestors(&id("wren")).len(), 2);
    assert!(round.water_at(&id("wren"), at(9.0)).is_some());
}

#[test]
fn another_batch_and_a_stronger_pot_are_called_out_before_the_coat() {
    let before = |pots: &[PotStory], coats: &[&str], pot: &str, min: f64| {
        let panels = [lay(board("finch"), &[&TO_STIPPLE[..], coats].concat())];
        let remarks = usage_of(pots, &panels).remarks_before_coat(&panels[0], &id(pot), at(min));
        remarks.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let pots = pots();
    let none: [&str; 0] = [];
    assert_eq!(before(&pots, &[], "wren", 1515.0), none);
    let batch = "from \"dunnock\", and the coat below is from \"wren\": two batches on one ground may part";
    assert_eq!(before(&pots, &[], "dunnock", 1515.0), [batch]);
    assert_eq!(before(&pots, &[], "siskin", 1515.0)[0], "\"siskin\" is glue size, and this coat is gesso");
    assert_eq!(before(&pots, &[], "nobody", 1515.0), ["no pot \"nobody\" is known here"]);
    // The first coat of the back lies on no gesso: any batch will do.
    assert_eq!(before(&pots, &["1515 wren", "1530 wren", "1545 wren"], "dunnock", 1560.0), none);
    // A tenth of its water gone since the coat below, from the same pot: 77.8 g to the litre over 70.
    let mut dried = pots.clone();
    dried[1] = play(dried[1].clone(), &["1502 weigh 1000", "1514 weigh 952.55"]);
    let stronger = "stronger than the coat below by 11 % (77.8 over 70.0 g of glue to a litre of water): it may peel";
    assert_eq!(before(&dried, &[], "wren", 1515.0), [stronger]);
    assert_eq!(before(&dried, &[], "wren", 1513.0), none, "as of a time");
    // Given back, nothing is said; nor where a coat was laid between the weighings.
    let back = [&dried[..1], &[play(dried[1].clone(), &["1514 water 47"])], &dried[2..]].concat();
    assert_eq!(before(&back, &[], "wren", 1515.0), none);
    assert_eq!(before(&dried, &["1508 wren"], "wren", 1515.0), none);
    // Poured from a size that had dried: more glue to the filler, and to the water.
    let mut strong = pots.clone();
    strong[0] = play(strong[0].clone(), &["1491 weigh 900", "1494 weigh 850"]);
    let told = before(&strong, &[], "dunnock", 1515.0);
    assert_eq!(told[0], batch);
    assert!(told[1].starts_with("stronger than the coat below by 12 %"), "{told:?}");
    let mut hot = pots.clone();
    hot[1] = play(hot[1].clone(), &["1500 temp 64", "1501 temp 50"]);
    assert_eq!(before(&hot, &[], "wren", 1515.0), ["\"wren\" was overheated (64 C): try whether it still gels firmly"]);
    let mut gone = pots;
    gone[1] = play(gone[1].clone(), &["1501 discard x"]);
    assert_eq!(before(&gone, &[], "wren", 1515.0), ["\"wren\" was thrown away before"]);
    let old = before(&gone, &[], "wren", 9000.0);
    assert_eq!(old[1], "\"wren\" is 5 days old: look for mould, smell, and whether it still gels");
}

#[test]
fn an_attempt_done_again_has_used_the_pot_too() {
    let panel = does(&lay(board("finch"), &TO_STIPPLE), &PanelAct::Repeat(Flaw::Lumpy), 1501.0);
    let (pots, panels) = (pots(), [panel]);
    let usage = usage_of(&pots, &panels);
    assert_eq!(usage.use_times(&id("wren")), [at(1500.0)]);
    assert_eq!(usage.use_times(&id("robin")), [at(5.0), at(6.0), at(1490.0), at(1495.0)]);
    assert_eq!(usage.lineage().coats_from_pot(&id("wren"), &panels), []);
}

/// The gap and what it means, seen at `min`, as sentences without the figures' units spelled out again.
fn told(panel: &Panel, pot: &PotStory, min: f64) -> (Option<GapEvidence>, Vec<String>) {
    let Some(gap) = interruption::find_gap(panel, Some(pot), now(min)) else { return (None, vec![]) };
    let forecast = pot.pot().forecast_gel(&ForecastInputs::default());
    let means = interruption::gap_consequences(panel.panel(), Some((pot.pot(), forecast.as_ref())), &gap);
    assert!(means.iter().all(|m| !m.source().is_empty()));
    (Some(gap.evidence), means.iter().map(|m| m.to_string().split([':', ';']).next().unwrap().to_owned()).collect())
}

#[test]
fn a_gap_is_told_for_panel_and_pot() {
    let panel = lay(board("finch"), &[&TO_STIPPLE[..], &["1515 wren"]].concat());
    let away = does(&panel, &PanelAct::Away, 1516.0);
    let pot = open(said("wren", PotKind::Gesso, Some("robin")), 1490.0);
    let marked =
        |means: &[&str]| (Some(GapEvidence::MarkedAway), means.iter().map(|m| (*m).to_owned()).collect::<Vec<_>>());
    let silent =
        |means: &[&str]| (Some(GapEvidence::Silence), means.iter().map(|m| (*m).to_owned()).collect::<Vec<_>>());
    // The phone, with the pot on the heat.
    let heat = play(pot.clone(), &["1514 melt"]);
    let bath = "the pot has stood in the bath for 20 min and needed 3";
    assert_eq!(told(&away, &heat, 1534.0), marked(&[bath, "the coat is 4 min past its wait"]));
    assert_eq!(told(&away, &heat, 1516.5), marked(&["nothing is late"]));
    // A jelly in the bath is being seen to.
    let gelled = play(heat.clone(), &["1520 gelled"]);
    assert_eq!(told(&away, &gelled, 1534.0), marked(&[bath, "the coat is 4 min past its wait"]));
    // Gone cold: forecast, then marked.
    let liquid = play(pot.clone(), &["1500 liquid"]);
    let (cold, jelly) =
        ("the pot will have gelled by now, which spoils nothing", "the pot is a jelly, which spoils nothing");
    assert_eq!(told(&away, &liquid, 1540.0), marked(&[cold, "the coat is 10 min past its wait"]));
    assert_eq!(told(&away, &play(liquid.clone(), &["1535 gelled"]), 1540.0).1[0], jelly);
    // Two hours unmarked; shorter silence is none, and a mark on the pot breaks it.
    let dry = "2 h since the last coat";
    assert_eq!(told(&panel, &liquid, 1574.0), (None, vec![]));
    assert_eq!(told(&panel, &liquid, 1650.0), silent(&[cold, dry]));
    assert_eq!(told(&panel, &play(liquid.clone(), &["1610 temp 24"]), 1650.0), (None, vec![]));
    // Overnight, and days.
    let night = "12 h since the last coat";
    assert_eq!(told(&panel, &liquid, 1515.0 + 720.0), silent(&[cold, night]));
    let days = told(&panel, &liquid, 1515.0 + 3.0 * 1440.0).1;
    assert_eq!(days[0], "the pot was kept for 3 days");
    // Left in the middle of a coat.
    let mid = does(&panel, &PanelAct::Start, 1531.0);
    assert_eq!(told(&mid, &liquid, 1650.0).1[1], "coat 2 of 3 was begun and left");
    // Where no coats are being laid a gap is none; a pot thrown away is not spoken of.
    assert_eq!(told(&lay(board("finch"), &TO_STIPPLE[..3]), &liquid, 9000.0), (None, vec![]));
    let gone = play(liquid, &["1520 discard x"]);
    assert_eq!(told(&panel, &gone, 1650.0), silent(&[dry]));
    // Hot, and known to be.
    let hot = play(heat, &["1515 temp 66"]);
    assert_eq!(told(&away, &hot, 1534.0).1[1], "the pot was at 66 C");
}
