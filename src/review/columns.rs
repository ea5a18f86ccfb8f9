//! Everything that is known of a panel, in one list: the CSV, the JSON, the table in the terminal, the table of the page,
//! the fields of a comparison and the words for what was done all come from it. A new column is one row here.

use super::column::CauseUnit::{Day, GessoPot, Lot, SizePot};
use super::column::Read::{Count, CountIfKnown, Figure, Flag, FlagIfKnown, Grade, Ids, Phrase, Text, Time, Word};
use super::column::{CauseColumn, Column, ComparedColumn, JsonObject, WorkDescription, column};
use super::row_text::{
    count_gesso_pots, format_board_size, format_count_or_none, format_faces, format_outcome, format_pots,
};

use crate::work::panel::ground_test::GroundTest;

/// Every column, in the order in which each output that has it shows it; words for what was done go by their rank.
#[rustfmt::skip]
pub const COLUMNS: &[Column] = &[
    // What it is.
    column("id", Text(|f| f.story.id.as_str())).csv().json().no_cause(),
    column("label", Text(|f| &f.story.label)).csv().json().table("panel").page("panel").no_cause(),
    column("recipe", Text(|f| &f.story.recipe)).csv().json().table("recipe").page("recipe").compare_words().work(1, "recipe"),
    column("pots", Ids(|f| &f.story.pot_ids)).csv().json().table("pots").page("pots").compare_words().work_as(2, "pot", format_pots).no_cause(),
    column("group", Phrase(|f| f.story.group.as_ref().map(ToString::to_string))).csv().json(),
    column("support", Word(|f| f.story.support.name())).csv().json().page("board").compare_words().work(3, "board").told("a board of", "", ""),
    column("paint", Word(|f| f.story.paint.name())).csv().compare_words().work(15, "paint"),
    column("width_mm", Figure(|f| Some(f.story.size_mm.0))).csv(),
    column("height_mm", Figure(|f| Some(f.story.size_mm.1))).csv(),
    column("thickness_mm", Figure(|f| f.story.size_mm.2)).csv().called("thickness of the board").told("a thicker board", "a thinner board", " mm"),
    column("area_cm2", Figure(|f| Some(f.story.size_mm.0 * f.story.size_mm.1 / 100.0))).decimals(0).called("area of the board, cm2"),
    column("grain", Word(|f| f.story.grain.name())).called("grain"),
    column("sheet", Phrase(|f| f.story.sheet.clone())).csv().called("sheet of the board"),
    column("board_size", Phrase(|f| Some(format_board_size(f)))).work(16, "size of the board").no_cause(),
    column("opened_at", Time(|f| f.story.opened_at)).csv().json(),
    column("finished", Flag(|f| f.story.finished)).csv().json().no_cause(),
    column("abandoned", Flag(|f| f.story.given_up.is_some())).csv().json().work(17, "given up").no_cause(),

    column("whereabouts", Phrase(|f| f.story.placement.as_ref().map(|(place, ..)| place.name().to_owned()))).csv().json().no_cause(),

    // What was done.
    column("size_coats", Phrase(|f| Some(format_faces(f.story.size_coats)))).work(5, "size"),
    column("stipples", Count(|f| f.story.stipples)).work_as(6, "stipple", |f| format_count_or_none(f.story.stipples, "tapped coat")),
    column("coats", Phrase(|f| Some(format!("{}+{}", f.story.coats_front, f.story.coats_back)))).table("coats").no_cause()
        .work_as(7, "coats", |f| format_faces((f.story.coats_front, f.story.coats_back))),
    column("coats_front", Count(|f| f.story.coats_front)).csv().json().page("coats front").compare("coats on the front", ""),
    column("coats_back", Count(|f| f.story.coats_back)).csv().json().page("back").compare("coats on the back", ""),
    column("wait_median_min", Figure(|f| f.story.wait_median_min)).csv().json().table("wait").page("wait, median min")
        .compare("minutes between coats", " min").by_product_of(&["air_rh_max_pct"]),
    column("wait_min_min", Figure(|f| f.story.wait_min_min)).csv().json().page("shortest").compare("the shortest of them", " min").by_product_of(&["air_rh_max_pct"]),
    column("wait_max_min", Figure(|f| f.story.wait_max_min)).csv().json().table("longest").page("longest")
        .compare("the longest of them", " min").by_product_of(&["air_rh_max_pct", "long_gaps"]),
    column("dull_median_min", Figure(|f| f.story.dull_median_min)).csv().json().page("dull after min")
        .compare("minutes until dull", " min").by_product_of(&["air_rh_min_pct", "air_rh_max_pct"]),
    column("early_coats", Count(|f| f.story.early_coats)).csv().json().table("early").page("early")
        .compare("coats laid early", "").told("more coats laid early", "fewer coats laid early", "").work_as(8, "laid early", |f| format_count_or_none(f.story.early_coats, "coat")),
    column("late_coats", Count(|f| f.story.late_coats)).csv().json().compare("coats laid late", "").by_product_of(&["air_rh_min_pct", "long_gaps"]),
    column("long_gaps", Count(|f| f.story.long_gaps)).csv().json().table("gaps").page("bone-dry gaps")
        .compare("coats on a bone-dry one", "").told("more coats on a bone-dry one", "fewer coats on a bone-dry one", "")
        .work_as(9, "long gaps", |f| format_count_or_none(f.story.long_gaps, "coat on a bone-dry one")),
    column("same_direction", Count(|f| f.story.same_direction)).work_as(10, "direction", |f| match f.story.same_direction {
        0 => "each across the last".to_owned(),
        n => format!("{} the same way as the one below", format_count_or_none(n, "coat")),
    }),

    column("cure_h", Figure(|f| f.story.cure_h)).called("cure").told("a longer cure", "a shorter cure", " h"),
    column("dry_h", Figure(|f| f.story.dry_h)).called("drying").told("a longer drying", "a shorter drying", " h"),
    column("rest_h", Figure(|f| f.story.rest_h)).called("hours of rest"),
    column("edges_left_out", Flag(|f| f.story.unprepared)).called("edges and degreasing left out"),
    column("build_um", Figure(|f| f.story.build_um.map(|b| b.0))).decimals(0).called("dry ground by gauge, um"),
    column("build_spread_um", Figure(|f| f.story.build_um.map(|b| b.1))).decimals(0).called("dry ground by gauge, thickest less thinnest, um"),
    column("coat_ml_per_m2", Figure(|f| Some(f.story.coat_ml_per_m2))).called("ml to a square metre and coat").over(GessoPot),

    // Its pots and the air.
    column("filler_lot", Phrase(|f| f.pots.filler_lot.clone())).called("lot of the filler").over(GessoPot),
    column("glue_lot", Phrase(|f| f.pots.glue_lot.clone())).called("lot of the glue").over(Lot).told("glue of lot", "", ""),
    column("pot_age_h", Figure(|f| f.pots.age_h)).called("age of the pot").over(GessoPot).told("an older pot", "a fresher pot", " h"),
    column("size_glue_g_per_l", Figure(|f| f.pots.size_glue_g_per_l)).decimals(0).called("glue to a litre of size, g").over(SizePot),
    column("size_brix", Figure(|f| f.pots.size_brix)).called("refractometer reading of the size").over(SizePot),
    column("gesso_pots", Count(count_gesso_pots)).called("pots of gesso"),
    column("melts", CountIfKnown(|f| f.pots.melts)).csv().json().compare("melts of the pot", "").over(GessoPot).by_product_of(&["pot_age_h"]),
    column("pot_max_c", Figure(|f| f.pots.max_c)).decimals(0).csv().json().table("pot C").page("pot max C")
        .compare("the pot at its hottest", " C").over(GessoPot).told("a hotter pot", "a cooler pot", " C"),
    column("water_lost_pct", Figure(|f| f.pots.water_lost_pct)).decimals(0).csv().json().table("lost %").page("water lost %")
        .compare("water lost from the pot", " %").over(GessoPot)
        .told("more water lost from the pot", "less water lost from the pot", " %").by_product_of(&["melts", "pot_max_c"]),
    column("glue_per_100g_filler_g", Figure(|f| f.pots.glue_per_100g_filler_g)).csv().json().page("glue g/100 g")
        .compare("glue to 100 g of filler", " g").over(GessoPot).told("stronger glue", "weaker glue", " g to 100 g of filler"),
    column("strength_from", Phrase(|f| f.pots.strength_source.map(|s| s.name().to_owned()))).csv().page("glue from").no_cause(),
    column("pvc_pct", Figure(|f| f.pots.pvc_pct)).csv().json().compare("filler by volume", " %").over(GessoPot),
    column("air_temp_mean_c", Figure(|f| f.air.temp_mean_c)).csv().json().compare("the room", " C").over(Day),
    column("air_rh_min_pct", Figure(|f| f.air.rh_min_pct)).csv().json().compare("the driest air", " %").over(Day).told("damper air", "drier air", " %"),
    column("air_rh_max_pct", Figure(|f| f.air.rh_max_pct)).csv().json().compare("the dampest air", " %").over(Day),
    column("air_rh_pct", Phrase(|f| {
        f.air.rh_min_pct.zip(f.air.rh_max_pct).map(|(low, high)| format!("{low:.0} to {high:.0}"))
    })).page("air %").no_cause(),
    column("cure_air_rh_pct", Figure(|f| f.air.cure_rh_mean_pct)).called("air while the size cured, %").over(Day),

    // What else was done.
    column("cloth", Flag(|f| f.story.cloth)).compare("linen laid (1 yes, 0 no)", "")
        .work_as(4, "linen", |f| if f.story.cloth { "laid over the board" } else { "none" }.to_owned()),
    column("done_again", Count(|f| f.story.repeated_acts)).compare("acts done again", "")
        .work_as(11, "done again", |f| format_count_or_none(f.story.repeated_acts, "act")),
    column("skipped_acts", Count(|f| f.story.skipped_acts)).work_as(12, "left out", |f| format_count_or_none(f.story.skipped_acts, "act")),
    column("scrape_rounds", Count(|f| f.story.scrape_rounds)).csv().json().compare("rounds of scraping", "")
        .work_as(13, "scraping", |f| format_count_or_none(f.story.scrape_rounds, "round")),
    column("check_rounds", Count(|f| f.story.check_rounds)).csv().json().compare("checks", ""),
    column("seal", Word(|f| f.story.sealed.name())).compare_words().work(14, "seal"),
    column("grey_checks", Count(|f| f.story.grey_checks)).called("checks with grey"),
    column("hands_on_min", Figure(|f| f.story.hands_on_min)).csv().json().called("minutes under the hands"),
    column("elapsed_h", Figure(|f| f.story.elapsed_h)).csv().json().compare("hours from opening to the last act", " h"),

    // What came of it.
    column("inspected", Flag(|f| f.story.outcome.inspected)).csv().json_outcome(),
    column("age_days", Figure(|f| f.story.outcome.age_days)).decimals(0).csv().json_outcome().table("days")
        .page("looked at, days old"),
    column("cracks", CountIfKnown(|f| f.story.outcome.cracks)).csv().json_outcome()
        .compare_at_equal_age("cracked at equal age (1 yes, 0 no)"),
    column("crack_grade", Grade(|f| f.story.outcome.crack_grade)).json_outcome(),
    column("pinholes", CountIfKnown(|f| f.story.outcome.pinholes)).csv().json_outcome()
        .compare_result("pinholes", "").by_rank(),
    column("bow_mm", Figure(|f| f.story.outcome.bow_mm)).csv().json_outcome(),
    column("scrape_min", Figure(|f| f.story.outcome.test_means[GroundTest::Scrape as usize])).compare_result("minutes of scraping", " min").by_rank(),
    column("drop_mean_s", Figure(|f| f.story.outcome.test_means[GroundTest::Drop as usize])).compare_result("seconds until a drop is dull", " s").by_rank(),
    column("rub_mean", Figure(|f| f.story.outcome.test_means[GroundTest::Rub as usize])).compare_result("smear on a dry cloth", "").by_rank(),
    column("damp_rub_mean", Figure(|f| f.story.outcome.test_means[GroundTest::DampRub as usize])).compare_result("smear on a damp cloth", "").by_rank(),
    column("powder_mean", Figure(|f| f.story.outcome.test_means[GroundTest::Powder as usize])).compare_result("powder on tape", "").by_rank(),
    column("nail_mean", Figure(|f| f.story.outcome.test_means[GroundTest::Nail as usize])).compare_result("the nail", "").by_rank(),
    column("pencil_mean", Figure(|f| f.story.outcome.test_means[GroundTest::Pencil as usize])).compare_result("pencils above 6B", "").by_rank(),
    column("tape_mean", Figure(|f| f.story.outcome.test_means[GroundTest::Tape as usize])).compare_result("tape off a cut cross", "").by_rank(),
    column("bend_mm", Figure(|f| f.story.outcome.test_means[GroundTest::Bend as usize])).compare_result("bent until the first crack", " mm").by_rank(),
    column("sound", FlagIfKnown(|f| f.story.outcome.sound)).csv().json_outcome(),
    column("outcome_text", Phrase(|f| Some(format_outcome(f)))).table("outcome").page("outcome").no_cause(),
];

/// The columns of the CSV.
pub fn csv_columns() -> impl Iterator<Item = &'static Column> {
    COLUMNS.iter().filter(|c| c.in_csv)
}

/// The members of that JSON object.
pub fn json_columns(object: JsonObject) -> impl Iterator<Item = &'static Column> {
    COLUMNS.iter().filter(move |c| c.json == Some(object))
}

/// The columns of the terminal's table, each with its heading.
pub fn table_columns() -> impl Iterator<Item = (&'static str, &'static Column)> {
    COLUMNS.iter().filter_map(|c| Some((c.table_heading?, c)))
}

/// The columns of the table of the page, each with its heading; the first names the row.
pub fn page_columns() -> impl Iterator<Item = (&'static str, &'static Column)> {
    COLUMNS.iter().filter_map(|c| Some((c.page_heading?, c)))
}

/// The columns that are compared, each with how that is done.
pub fn compared_columns() -> impl Iterator<Item = (&'static Column, &'static ComparedColumn)> {
    COLUMNS.iter().filter_map(|c| Some((c, c.compared.as_ref()?)))
}

/// The columns that may go with a fault: all that do not say otherwise, but for times and names of pots.
pub fn cause_columns() -> impl Iterator<Item = (&'static Column, &'static CauseColumn)> {
    let may = |c: &&Column| !matches!(c.read, Time(_) | Ids(_));
    COLUMNS.iter().filter(may).filter_map(|c| Some((c, c.cause.as_ref()?)))
}

/// What was done, in words, the weightiest first.
pub fn work_columns() -> Vec<(&'static Column, &'static WorkDescription)> {
    let mut columns: Vec<_> = COLUMNS.iter().filter_map(|c| Some((c, c.work.as_ref()?))).collect();
    columns.sort_by_key(|(_, work)| work.rank);
    columns
}

#[cfg(test)]
#[path = "columns_tests.rs"]
mod tests;
