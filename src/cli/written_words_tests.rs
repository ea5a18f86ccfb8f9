//! Every word that journals, JSON, recipes, settings and commands write for a variant, to the letter. A variant that gets
//! another name in the code keeps its word: journals hold it for ever.

use crate::config::{ColorMode, ThemeName};
use crate::craft::materials::{Filler, PotKind, Support};
use crate::craft::recipe::cautions::RecipeCaution;
use crate::craft::recipe::{Direction, Faces, Paint, ReadySign, SealMaterial};
use crate::record::demo::CrackCause;
use crate::review::GroupBy;
use crate::review::column::CauseUnit;
use crate::review::compare::{AnswerKind, AskedFault};
use crate::review::tables::TidyTable;
use crate::text::UnitSystem;
use crate::work::panel::event::{Face, Flaw, Grain, PanelCall, StageKind, WaitOrigin};
use crate::work::panel::ground_test::{GroundTest, PencilGrade};
use crate::work::panel::inspection::{CrackDirection, CrackPlace};
use crate::work::pot::event::PotCall;
use crate::work::story::StoryCall;

#[test]
fn words_are_those_that_were_always_written() {
    let stages = "prepare size cloth cure stipple coat dry scrape polish check rest seal sand";
    assert_eq!(StageKind::ALL.map(StageKind::name).join(" "), stages);
    assert_eq!(StageKind::ALL.map(|k| StageKind::from_name(k.name())), StageKind::ALL.map(Some));
    let fillers = "gypsum dihydrate,chalk,precipitated chalk,marble dust,zinc white,titanium white,kaolin,barytes";
    assert_eq!(Filler::ALL.map(Filler::name).join(","), fillers);

    let words = |all: Vec<&str>| all.join(",");
    assert_eq!(words(PanelCall::ALL.iter().map(|c| c.name()).collect()), "look for dull,see to the pot,due");
    assert_eq!(words(PotCall::ALL.iter().map(|c| c.name()).collect()), "soaked,out of the bath");

    macro_rules! check {
        ($($of:ty: $words:literal),+ $(,)?) => {$(
            assert_eq!(<$of>::WORDS.join(","), $words, stringify!($of));
            assert_eq!(<$of>::ALL.map(|one| <$of>::from_name(one.name())), <$of>::ALL.map(Some), stringify!($of));
            assert_eq!(<$of>::from_name("varnish"), None);
        )+};
    }
    check! {
        Face: "front,back,both",
        WaitOrigin: "recipe,recipe x air,maker",
        Flaw: "lumpy,thick,thin,direction,other",
        Grain: "width,height",
        PotKind: "size,gesso",
        CrackPlace: "edge,field,joint",
        CrackDirection: "along,across",
        Paint: "oil,tempera,gilding",
        Faces: "front,both",
        Direction: "horizontal,vertical",
        ReadySign: "dull,dry",
        SealMaterial: "shellac,glue,none",
        Support: "birch-plywood,poplar-plywood,mdf,hardboard,oak-white,oak-red,yellow-poplar,lime,birch,beech,\
                  maple-sugar,walnut-black,cherry-black,pine-white,mahogany,other",
        RecipeCaution: "zinc-with-oil,titanium-share,cloth-pinholes,veneer-checks,shellac-near-heat,\
                        shellac-in-damp-air,fine-dust,strong-binder,lean-binder,second-batch",
        GroundTest: "scrape,drop,rub,damp-rub,powder,nail,pencil,tape,bend",
        PencilGrade: "6B,5B,4B,3B,2B,B,HB,F,H,2H,3H,4H,5H,6H,7H,8H,9H",
        GroupBy: "recipe,pot,support,air,outcome",
        TidyTable: "panels,coats,looks,pots,pot-facts,air",
        UnitSystem: "metric,imperial",
        ColorMode: "auto,always,never",
        ThemeName: "terminal,dark,light,mono",
        AskedFault: "cracks,bow,pinholes,lifting,powder,mould",
        AnswerKind: "one,hint,together,nothing,cannot",
        CauseUnit: "panel,gesso_pot,size_pot,lot,day",
        CrackCause: "overheated,strength,lot,heat,dry-air,thin-board,long-gap,cure,none",
    }
}

#[test]
fn no_new_panel_is_called_like_an_act() {
    let mark = <super::args::Cli as clap::CommandFactory>::command();
    let mark = mark.find_subcommand("mark").unwrap();
    for act in mark.get_subcommands() {
        assert!(crate::record::shelf::ACT_WORDS.contains(&act.get_name()), "{}", act.get_name());
    }
}
