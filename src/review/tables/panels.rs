//! The panels: every column of the list that is one value. Words made of several are told by their parts.

use super::cell::{Cell, ColumnMeaning};
use crate::review::column::{Column, Read, Value};
use crate::review::columns::COLUMNS;
use crate::review::panel_row::PanelRow;
use crate::units::Id;

/// What the columns mean. One that is not among them is told by the words it is compared under, else by its name.
const MEANINGS: &[(&str, &str)] = &[
    ("id", "the panel; the key"),
    ("label", "what the maker calls it"),
    ("recipe", "its recipe"),
    (
        "pots",
        "the pots its standing coats came from, in the order of the work, with blanks between; coats.pot has one a row",
    ),
    ("group", "the first of the panels it was opened together with"),
    ("support", "what the board is made of"),
    ("paint", "the paint it was made for"),
    ("sheet", "the sheet of board it was cut from"),
    ("whereabouts", "what became of it: painted, sold, given, broken, returned; empty where nothing was said"),
    ("width_mm", "width, with the arrow up"),
    ("height_mm", "height"),
    ("thickness_mm", "thickness"),
    ("opened_at", "when it was opened"),
    ("finished", "everything was done"),
    ("abandoned", "it was given up"),
    ("stipples", "standing stipple coats"),
    ("coats_front", "standing coats on the front, the stipple not counted"),
    ("coats_back", "standing coats on the back"),
    ("wait_median_min", "from one gesso coat to the next on its face: the median"),
    ("wait_min_min", "the shortest of them"),
    ("wait_max_min", "the longest of them"),
    ("dull_median_min", "from a gesso coat to its gloss gone, the median of those marked"),
    ("early_coats", "coats laid early by the recipe's wait"),
    ("late_coats", "coats laid after their wait was over"),
    ("long_gaps", "coats laid on a bone-dry one: after a gap longer than the recipe's bound"),
    ("same_direction", "coats that went the same way as the one below"),
    ("melts", "how often its gesso was melted by the last coat; of several pots the most"),
    ("pot_max_c", "the hottest its gesso was read by then"),
    ("water_lost_pct", "water its gesso had lost by then"),
    ("glue_per_100g_filler_g", "dry glue to 100 g of dry filler; where no pot tells, the recipe's"),
    ("strength_from", "what that glue rests on: weighed, brix (a refractometer) or recipe; of several pots the least"),
    ("pvc_pct", "filler by volume in the dry ground; where no pot tells, the recipe's"),
    ("air_temp_mean_c", "the air from the first to the last gesso coat: mean of its readings"),
    ("air_rh_min_pct", "the driest it was"),
    ("air_rh_max_pct", "the dampest it was"),
    ("build_um", "dry ground on the bare board by calliper or gauge: the mean of the points"),
    ("build_spread_um", "the thickest point less the thinnest"),
    ("size_brix", "the last refractometer reading of the size before the board was sized"),
    ("cloth", "linen was laid"),
    ("done_again", "acts done again"),
    ("skipped_acts", "acts left out"),
    ("scrape_rounds", "rounds of scraping"),
    ("check_rounds", "checks with dark powder"),
    ("seal", "with what it was sealed"),
    ("hands_on_min", "of the acts whose beginning was recorded"),
    ("elapsed_h", "from the opening to the last act"),
    ("inspected", "it was looked over"),
    ("age_days", "from the last act to the last look; looks has a row for each"),
    ("cracks", "cracks at the last look that tells of any"),
    ("crack_grade", "the worst of those, 0 to 4"),
    ("pinholes", "at the last look that tells of them"),
    ("bow_mm", "at the last look that tells of it"),
    ("scrape_min", "minutes of scraping until the face was even, at the last look that tells of it"),
    ("drop_mean_s", "until a drop of water lost its gloss, the mean of three places"),
    ("rub_mean", "a dry dark cloth, 0 nothing to 3 a white smear"),
    ("damp_rub_mean", "a damp dark cloth, 0 nothing to 3 a white smear"),
    ("powder_mean", "powder on tape, 0 none to 5 a dense film, the mean of its places"),
    ("nail_mean", "the nail, 0 no mark to 3 a powdery groove"),
    ("pencil_mean", "the hardest pencil that does not cut, in steps above 6B (HB 6, F 7, H 8), the mean of its places"),
    ("tape_mean", "tape off a cut cross, 5 nothing comes off to 0 more than the cross, the mean of its places"),
    ("bend_mm", "how deep a strip was pressed in its middle at its first crack"),
    ("sound", "nothing was wrong at the last look that says; a crack counts whenever it was seen"),
];

fn tidy_columns() -> impl Iterator<Item = &'static Column> {
    COLUMNS.iter().filter(|column| column.in_csv || !matches!(column.read, Read::Phrase(_)))
}

/// What is told of the columns.
pub fn panel_columns() -> Vec<ColumnMeaning> {
    let type_name = |column: &Column| match column.read {
        Read::Text(_) | Read::Word(_) | Read::Ids(_) | Read::Phrase(_) => "text",
        Read::Figure(_) => "number",
        Read::Count(_) | Read::CountIfKnown(_) | Read::Grade(_) => "integer",
        Read::Flag(_) | Read::FlagIfKnown(_) => "boolean",
        Read::Time(_) => "time",
    };
    let meaning = |column: &Column| {
        let named = MEANINGS.iter().find(|(name, _)| *name == column.name).map(|(_, meaning)| (*meaning).to_owned());
        let compared = || Some(column.compared?.label.to_owned());
        named.or_else(compared).unwrap_or_else(|| column.cause_label())
    };
    let joins = |column: &Column| match column.name {
        "group" => "panels.id",
        _ => "",
    };
    tidy_columns().map(|c| ColumnMeaning::new(c.name, type_name(c), meaning(c), joins(c))).collect()
}

/// The cells of a panel.
pub fn panel_cells(row: &PanelRow) -> Vec<Cell> {
    let cell = |column: &Column| match column.value(row) {
        Value::Text(text) => Cell::Text(text.to_owned()),
        Value::Word(word) => Cell::Text(word.to_owned()),
        Value::Ids([]) => Cell::Unknown,
        Value::Ids(ids) => Cell::Text(ids.iter().map(Id::as_str).collect::<Vec<_>>().join(" ")),
        Value::Phrase(phrase) => Cell::Text(phrase),
        Value::Figure(figure) => Cell::Figure(figure),
        Value::Count(count) => Cell::Count(count.into()),
        Value::Flag(flag) => Cell::Flag(flag),
        Value::Time(at) => Cell::Time(at),
        Value::Unknown => Cell::Unknown,
    };
    tidy_columns().map(cell).collect()
}
