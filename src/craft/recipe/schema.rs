//! Every key of a recipe file, described once: its name, what it holds, the range it must lie in, and what stands
//! for it when it is left out. The checker, the defaults, the printed recipe and the documents all read this table.
//!
//! Defaults are the figures of `gypsum-zinc`: common practice, no source. The ranges are assumed, and wide on purpose:
//! they catch a slipped decimal point or a wrong unit and take no side between schools.

use super::cautions::RecipeCaution;
use super::{Direction, Faces, Paint, RECIPE_FORMAT, ReadySign, SealMaterial};
use serde_json::{Value, json};

/// Whether a key may be left out, and what that means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeyPresence {
    /// It has to be given.
    Required,
    /// Left out, the usual value stands.
    Defaulted,
    /// Left out, it is not known.
    Optional,
}

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ValueType {
    /// The format number, [`RECIPE_FORMAT`].
    FormatNumber,
    /// A recipe's name, `[a-z0-9-]`.
    Name,
    /// Words of one line.
    Text {
        /// What usually stands there.
        default: &'static str,
        /// The most characters.
        max_chars: usize,
    },
    /// One word of a few.
    Choice {
        /// What usually stands there.
        default: &'static str,
        /// The words known.
        words: &'static [&'static str],
    },
    /// A list of words, each once.
    ChoiceList {
        /// The words known.
        words: &'static [&'static str],
        /// The fewest there may be.
        min_len: usize,
    },
    /// A figure.
    Number {
        /// What usually stands there.
        default: f64,
        /// The range it must lie in.
        range: NumberRange,
    },
    /// Two figures.
    Pair {
        /// What usually stands there.
        default: [f64; 2],
        /// The range both must lie in.
        range: NumberRange,
    },
    /// A whole number.
    Integer {
        /// What usually stands there.
        default: u32,
        /// The least it may be.
        min: u32,
        /// The most it may be.
        max: u32,
    },
    /// True or false.
    Bool {
        /// What usually stands there.
        default: bool,
    },
    /// The list of fillers; the keys of each are [`FILLER`].
    Fillers,
}

/// A range of figures, both ends in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NumberRange {
    /// The least.
    pub min: f64,
    /// The most.
    pub max: f64,
    /// The unit, as it is printed after the figures.
    pub unit: &'static str,
}

impl std::fmt::Display for NumberRange {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} to {} {}", self.min, self.max, self.unit)
    }
}

/// One key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RecipeKey {
    /// As written in the file.
    pub name: &'static str,
    /// What it holds.
    pub value_type: ValueType,
    /// Whether it may be left out.
    pub presence: KeyPresence,
    /// What it is, in a few words.
    pub note: &'static str,
}

impl RecipeKey {
    /// The usual value in its JSON form; `null` where there is none.
    pub fn default_value(&self) -> Value {
        match self.value_type {
            ValueType::FormatNumber => json!(RECIPE_FORMAT),
            ValueType::Name => Value::Null,
            ValueType::Text { default: usual, .. } | ValueType::Choice { default: usual, .. } => json!(usual),
            ValueType::ChoiceList { .. } | ValueType::Fillers => json!([]),
            ValueType::Number { default: usual, .. } => json!(usual),
            ValueType::Pair { default: usual, .. } => json!(usual),
            ValueType::Integer { default: usual, .. } => json!(usual),
            ValueType::Bool { default: usual } => json!(usual),
        }
    }
    const fn into_required(self) -> RecipeKey {
        RecipeKey { presence: KeyPresence::Required, ..self }
    }
    const fn into_optional(self) -> RecipeKey {
        RecipeKey { presence: KeyPresence::Optional, ..self }
    }
}

/// What it means that a table is not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TablePresence {
    /// It has to be there.
    Required,
    /// There is no such stage.
    NoStageIfAbsent,
    /// Every key in it takes its usual value.
    Defaulted,
}

/// One table of the file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Table {
    /// As written in its header; empty for the keys above the first header.
    pub name: &'static str,
    /// What it means that it is not there.
    pub presence: TablePresence,
    /// Its keys, in the order they are printed.
    pub keys: &'static [RecipeKey],
    /// What it is, in a few words.
    pub note: &'static str,
}

impl Table {
    /// The key of that name.
    pub fn find_key(&self, name: &str) -> Option<&'static RecipeKey> {
        self.keys.iter().find(|k| k.name == name)
    }
    const fn value_type_of(&self, name: &str) -> ValueType {
        let mut i = 0;
        while i < self.keys.len() {
            if is_same_str(self.keys[i].name, name) {
                return self.keys[i].value_type;
            }
            i += 1;
        }
        panic!("no such key in this table")
    }
    pub(super) const fn default_number(&self, name: &str) -> f64 {
        let ValueType::Number { default: usual, .. } = self.value_type_of(name) else {
            panic!("this key is no figure")
        };
        usual
    }
    pub(super) const fn default_pair(&self, name: &str) -> [f64; 2] {
        let ValueType::Pair { default: usual, .. } = self.value_type_of(name) else { panic!("this key is no pair") };
        usual
    }
    pub(super) const fn default_integer(&self, name: &str) -> u32 {
        let ValueType::Integer { default: usual, .. } = self.value_type_of(name) else {
            panic!("this key is no whole number")
        };
        usual
    }
    pub(super) const fn default_bool(&self, name: &str) -> bool {
        let ValueType::Bool { default: usual } = self.value_type_of(name) else { panic!("this key is no flag") };
        usual
    }
    pub(super) const fn default_text(&self, name: &str) -> &'static str {
        let ValueType::Text { default: usual, .. } = self.value_type_of(name) else { panic!("this key is no text") };
        usual
    }
}

/// Whether two names are the same, told while compiling.
const fn is_same_str(a: &str, b: &str) -> bool {
    let (a, b) = (a.as_bytes(), b.as_bytes());
    if a.len() != b.len() {
        return false;
    }
    let mut i = 0;
    while i < a.len() {
        if a[i] != b[i] {
            return false;
        }
        i += 1;
    }
    true
}

/// The longest recipe name, in characters.
pub const MAX_NAME_LEN: usize = 64;

/// The most areas across or down a check map may have; the panel's own maps have the same bound.
pub const MAX_MAP_SIDE: u32 = 24;

const MIN_PER_DAY: f64 = 24.0 * 60.0;

const fn defaulted_key(name: &'static str, shape: ValueType, note: &'static str) -> RecipeKey {
    RecipeKey { name, value_type: shape, presence: KeyPresence::Defaulted, note }
}
const fn text_key(name: &'static str, usual: &'static str, longest: usize, note: &'static str) -> RecipeKey {
    defaulted_key(name, ValueType::Text { default: usual, max_chars: longest }, note)
}
const fn choice_key(
    name: &'static str,
    usual: &'static str,
    words: &'static [&'static str],
    note: &'static str,
) -> RecipeKey {
    defaulted_key(name, ValueType::Choice { default: usual, words }, note)
}
const fn number_range(lowest: f64, highest: f64, unit: &'static str) -> NumberRange {
    NumberRange { min: lowest, max: highest, unit }
}
const fn number_key(name: &'static str, usual: f64, range: NumberRange, note: &'static str) -> RecipeKey {
    defaulted_key(name, ValueType::Number { default: usual, range }, note)
}
const fn integer_key(name: &'static str, usual: u32, lowest: u32, highest: u32, note: &'static str) -> RecipeKey {
    defaulted_key(name, ValueType::Integer { default: usual, min: lowest, max: highest }, note)
}

const GLUE_RANGE: NumberRange = number_range(5.0, 400.0, "g to a litre of water");
const COAT_RANGE: NumberRange = number_range(5.0, 1000.0, "ml to a square metre");
const WAIT_RANGE: NumberRange = number_range(0.0, 14.0 * MIN_PER_DAY, "minutes");
const REST_RANGE: NumberRange = number_range(0.0, 90.0 * 24.0, "hours");
const HANDS_ON_RANGE: NumberRange = number_range(0.0, 600.0, "minutes");
const POT_TEMPERATURE_RANGE: NumberRange = number_range(15.0, 95.0, "C");

/// The keys above the first header.
pub const TOP_LEVEL: Table = Table {
    name: "",
    presence: TablePresence::Required,
    note: "the recipe",
    keys: &[
        defaulted_key("format", ValueType::FormatNumber, "the format of this file"),
        defaulted_key("name", ValueType::Name, "what it is asked for by").into_required(),
        text_key("title", "", 200, "what it is").into_required(),
        defaulted_key("suits", ValueType::ChoiceList { words: Paint::WORDS, min_len: 1 }, "the paints it suits")
            .into_required(),
        text_key("source", "", 1000, "where it comes from"),
        defaulted_key(
            "cautions",
            ValueType::ChoiceList { words: RecipeCaution::WORDS, min_len: 0 },
            "cautions to be told",
        ),
    ],
};

/// `[size]`.
pub const SIZE: Table = Table {
    name: "size",
    presence: TablePresence::Required,
    note: "thin glue that soaks into the wood",
    keys: &[
        number_key("glue_g_per_l_water", 70.0, GLUE_RANGE, "dry glue, g to a litre of water").into_required(),
        number_key("soak_h", 9.0, number_range(0.0, 72.0, "hours"), "the glue soaks, hours"),
        choice_key("faces", Faces::Both.name(), Faces::WORDS, "the faces sized"),
        integer_key("coats_per_face", 2, 1, 10, "coats on each face"),
        number_key("ml_per_m2", 90.0, COAT_RANGE, "ml to a square metre and coat"),
        number_key("wait_min", 30.0, WAIT_RANGE, "between coats, minutes"),
        number_key("cure_h", 24.0, REST_RANGE, "after the last size coat, hours"),
    ],
};

/// `[cloth]`.
pub const CLOTH: Table = Table {
    name: "cloth",
    presence: TablePresence::NoStageIfAbsent,
    note: "linen laid in size",
    keys: &[number_key("rest_h", 24.0, REST_RANGE, "the linen rests, hours")],
};

/// `[gesso]`.
pub const GESSO: Table = Table {
    name: "gesso",
    presence: TablePresence::Required,
    note: "what is in the pot and how it is kept",
    keys: &[
        number_key("glue_g_per_l_water", 70.0, GLUE_RANGE, "dry glue, g to a litre of water").into_required(),
        defaulted_key("fillers", ValueType::Fillers, "the white powders").into_required(),
        number_key(
            "thinning_pct",
            0.0,
            number_range(0.0, 100.0, "per cent"),
            "water given at the end, per cent of the volume",
        ),
        number_key("ml_per_m2", 120.0, COAT_RANGE, "ml to a square metre and coat"),
        number_key("waste_pct", 15.0, number_range(0.0, 200.0, "per cent"), "allowance, per cent"),
        number_key("loss_ml", 0.0, number_range(0.0, 5000.0, "ml"), "what cloth, sieve and bowl keep, ml"),
        defaulted_key(
            "work_c",
            ValueType::Pair { default: [40.0, 50.0], range: POT_TEMPERATURE_RANGE },
            "working warmth, lowest and highest, C",
        ),
        number_key("caution_c", 55.0, POT_TEMPERATURE_RANGE, "a caution is due, C"),
        number_key("overheat_c", 60.0, POT_TEMPERATURE_RANGE, "the batch counts as overheated, C"),
        number_key("gels_at_c", 30.0, number_range(5.0, 45.0, "C"), "it gels, C"),
        number_key(
            "time_constant_min",
            40.0,
            number_range(1.0, 1000.0, "minutes"),
            "until 37 % of the way to the room is left when it cools, minutes",
        ),
        number_key("melt_min", 3.0, number_range(0.0, 240.0, "minutes"), "in the bath to melt again, minutes"),
        number_key("bowl_min", 2.0, number_range(0.0, 60.0, "minutes"), "the bowl is thinned before a coat, minutes"),
    ],
};

/// One filler in the list `fillers` of `[gesso]`: a name, and one of the two amounts.
pub const FILLER: Table = Table {
    name: "fillers",
    presence: TablePresence::Required,
    note: "one white powder",
    keys: &[
        text_key("name", "", 100, "which powder").into_required(),
        number_key("g_per_100_ml_size", 80.0, number_range(0.1, 400.0, "g to 100 ml of size"), "by weight")
            .into_optional(),
        number_key("ml_per_100_ml_size", 100.0, number_range(0.1, 500.0, "ml to 100 ml of size"), "by loose volume")
            .into_optional(),
    ],
};

/// `[stipple]`.
pub const STIPPLE: Table = Table {
    name: "stipple",
    presence: TablePresence::Defaulted,
    note: "the first gesso coat, tapped in",
    keys: &[integer_key("coats", 1, 0, 10, "how many"), number_key("wait_min", 15.0, WAIT_RANGE, "after it, minutes")],
};

/// `[coats]`.
pub const COATS: Table = Table {
    name: "coats",
    presence: TablePresence::Required,
    note: "the brushed coats",
    keys: &[
        integer_key("front", 6, 1, 60, "on the front").into_required(),
        integer_key("back", 0, 0, 60, "on the back"),
        choice_key("first", Direction::Horizontal.name(), Direction::WORDS, "the direction of the first"),
        number_key("wait_min", 15.0, WAIT_RANGE, "between coats, minutes"),
        choice_key("ready_sign", ReadySign::Dull.name(), ReadySign::WORDS, "what tells that the next may go on"),
        number_key("long_gap_min", 60.0, WAIT_RANGE, "longer than this and the surface is bone dry, minutes"),
        number_key("dry_min", 15.0, WAIT_RANGE, "after the last coat, minutes"),
        defaulted_key("one_day", ValueType::Bool { default: true }, "no night between stipple and last coat"),
    ],
};

/// `[scrape]`.
pub const SCRAPE: Table = Table {
    name: "scrape",
    presence: TablePresence::NoStageIfAbsent,
    note: "levelling with a blade",
    keys: &[
        text_key("tool", "burred blade", 100, "the tool"),
        number_key("angle_deg", 30.0, number_range(1.0, 90.0, "degrees"), "its angle to the ground, degrees"),
        number_key("stroke_mm", 100.0, number_range(5.0, 2000.0, "mm"), "length of a stroke, mm"),
    ],
};

/// `[check]`.
pub const CHECK: Table = Table {
    name: "check",
    presence: TablePresence::NoStageIfAbsent,
    note: "the coarse map of the dark-powder check",
    keys: &[
        integer_key("columns", 3, 1, MAX_MAP_SIDE, "areas across"),
        integer_key("rows", 3, 1, MAX_MAP_SIDE, "areas down"),
    ],
};

/// `[rest]`.
pub const REST: Table = Table {
    name: "rest",
    presence: TablePresence::Defaulted,
    note: "the ground rests before it is sealed",
    keys: &[number_key("hours", 24.0, REST_RANGE, "hours")],
};

/// `[seal]`.
pub const SEAL: Table = Table {
    name: "seal",
    presence: TablePresence::Defaulted,
    note: "what closes the ground",
    keys: &[
        choice_key("with", SealMaterial::Shellac.name(), SealMaterial::WORDS, "what with"),
        number_key(
            "resin_g_per_l_spirit",
            120.0,
            number_range(5.0, 600.0, "g to a litre of spirit"),
            "shellac, g to a litre of spirit",
        )
        .into_optional(),
        number_key(
            "glue_g_per_l_water",
            30.0,
            number_range(1.0, 200.0, "g to a litre of water"),
            "glue, g to a litre of water",
        )
        .into_optional(),
        integer_key("coats", 1, 1, 10, "how many coats"),
        number_key("ml_per_m2", 60.0, COAT_RANGE, "ml to a square metre and coat"),
        number_key("wait_min", 60.0, WAIT_RANGE, "after each, minutes"),
    ],
};

/// `[sand]`; without `grit` there is no sanding.
pub const SAND: Table = Table {
    name: "sand",
    presence: TablePresence::NoStageIfAbsent,
    note: "the last fine pass",
    keys: &[text_key("grit", "P400", 60, "the grade, as printed on the paper").into_optional()],
};

/// `[minutes]`.
pub const MINUTES: Table = Table {
    name: "minutes",
    presence: TablePresence::Defaulted,
    note: "hands-on time, minutes, for a panel of 0.12 m2",
    keys: &[
        number_key("size", 3.0, HANDS_ON_RANGE, "a size coat on one face"),
        number_key("stipple", 4.0, HANDS_ON_RANGE, "the tapped coat"),
        number_key("coat", 3.0, HANDS_ON_RANGE, "a brushed coat on one face"),
        number_key("scrape", 40.0, HANDS_ON_RANGE, "a round of scraping"),
        number_key("check", 5.0, HANDS_ON_RANGE, "a dark-powder check"),
        number_key("seal", 5.0, HANDS_ON_RANGE, "a coat of the seal"),
    ],
};

/// Every table with a header, in the order of the file.
pub const TABLES: [&Table; 11] =
    [&SIZE, &CLOTH, &GESSO, &STIPPLE, &COATS, &SCRAPE, &CHECK, &REST, &SEAL, &SAND, &MINUTES];

/// The table of that header.
pub fn find_table(name: &str) -> Option<&'static Table> {
    TABLES.into_iter().find(|t| t.name == name)
}

/// One figure of a file: the table, the key, and which of a pair.
pub type KeyRef = (&'static Table, &'static str, Option<usize>);

/// Two figures that must stand in order.
#[derive(Debug, Clone, Copy)]
pub struct OrderRule {
    /// The one that must be lower.
    pub lower: KeyRef,
    /// The one that must be higher.
    pub higher: KeyRef,
    /// Whether they may be equal.
    pub allows_equal: bool,
    /// Why.
    pub reason: &'static str,
}

/// Every pair of figures that must stand in order; the usual figures do.
pub const ORDER_RULES: [OrderRule; 6] = [
    OrderRule {
        lower: (&GESSO, "work_c", Some(0)),
        higher: (&GESSO, "work_c", Some(1)),
        allows_equal: false,
        reason: "the lowest comes first, then the highest",
    },
    OrderRule {
        lower: (&GESSO, "gels_at_c", None),
        higher: (&GESSO, "work_c", Some(0)),
        allows_equal: false,
        reason: "a pot cannot be worked where it gels",
    },
    OrderRule {
        lower: (&GESSO, "work_c", Some(1)),
        higher: (&GESSO, "caution_c", None),
        allows_equal: true,
        reason: "a pot at its working warmth is no reason for a caution",
    },
    OrderRule {
        lower: (&GESSO, "caution_c", None),
        higher: (&GESSO, "overheat_c", None),
        allows_equal: false,
        reason: "the caution comes before the harm",
    },
    OrderRule {
        lower: (&STIPPLE, "wait_min", None),
        higher: (&COATS, "long_gap_min", None),
        allows_equal: true,
        reason: "a coat laid on time is not laid after a long gap",
    },
    OrderRule {
        lower: (&COATS, "wait_min", None),
        higher: (&COATS, "long_gap_min", None),
        allows_equal: true,
        reason: "a coat laid on time is not laid after a long gap",
    },
];
