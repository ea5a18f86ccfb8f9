//! Every key of a recipe file, described once: its name, what it holds, the range it must lie in, and what stands
//! for it when it is left out. The checker, the defaults, the printed recipe and the documents all read this table.
//!
//! Defaults are the figures of `gypsum-zinc`: common practice, no source. The ranges are assumed, and wide on
//! purpose: they catch a slipped decimal point or a wrong unit and take no side between schools. Absent on purpose:
//! looking at a file (`file`).

use super::cautions::Caution;
use super::{Direction, FORMAT, Faces, Paint, ReadySign, SealWith};
use serde_json::{Value, json};

/// Whether a key may be left out, and what that means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It has to be given.
    Required,
    /// Left out, the usual value stands.
    Usual,
    /// Left out, it is not known.
    Unknown,
}

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// The format number, [`FORMAT`].
    Format,
    /// A recipe's name, `[a-z0-9-]`.
    Name,
    /// Words of one line.
    Text {
        /// What usually stands there.
        usual: &'static str,
        /// The most characters.
        longest: usize,
    },
    /// One word of a few.
    Word {
        /// What usually stands there.
        usual: &'static str,
        /// The words known.
        words: &'static [&'static str],
    },
    /// A list of words, each once.
    Words {
        /// The words known.
        words: &'static [&'static str],
        /// The fewest there may be.
        fewest: usize,
    },
    /// A figure.
    Number {
        /// What usually stands there.
        usual: f64,
        /// The range it must lie in.
        range: Range,
    },
    /// Two figures.
    Pair {
        /// What usually stands there.
        usual: [f64; 2],
        /// The range both must lie in.
        range: Range,
    },
    /// A whole number.
    Count {
        /// What usually stands there.
        usual: u32,
        /// The least it may be.
        lowest: u32,
        /// The most it may be.
        highest: u32,
    },
    /// True or false.
    Flag {
        /// What usually stands there.
        usual: bool,
    },
    /// The list of fillers; the keys of each are [`FILLER`].
    Fillers,
}

/// A range of figures, both ends in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The least.
    pub lowest: f64,
    /// The most.
    pub highest: f64,
    /// The unit, as it is printed after the figures.
    pub unit: &'static str,
}

impl std::fmt::Display for Range {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} to {} {}", self.lowest, self.highest, self.unit)
    }
}

/// One key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// As written in the file.
    pub name: &'static str,
    /// What it holds.
    pub shape: Shape,
    /// Whether it may be left out.
    pub need: Need,
    /// What it is, in a few words.
    pub note: &'static str,
}

impl Key {
    /// The usual value in its JSON form; `null` where there is none.
    pub fn usual(&self) -> Value {
        match self.shape {
            Shape::Format => json!(FORMAT),
            Shape::Name => Value::Null,
            Shape::Text { usual, .. } | Shape::Word { usual, .. } => json!(usual),
            Shape::Words { .. } | Shape::Fillers => json!([]),
            Shape::Number { usual, .. } => json!(usual),
            Shape::Pair { usual, .. } => json!(usual),
            Shape::Count { usual, .. } => json!(usual),
            Shape::Flag { usual } => json!(usual),
        }
    }
    const fn required(self) -> Key {
        Key { need: Need::Required, ..self }
    }
    const fn or_unknown(self) -> Key {
        Key { need: Need::Unknown, ..self }
    }
}

/// What it means that a table is not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Absent {
    /// It has to be there.
    Missing,
    /// There is no such stage.
    NoStage,
    /// Every key in it takes its usual value.
    Usual,
}

/// One table of the file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Table {
    /// As written in its header; empty for the keys above the first header.
    pub name: &'static str,
    /// What it means that it is not there.
    pub absent: Absent,
    /// Its keys, in the order they are printed.
    pub keys: &'static [Key],
    /// What it is, in a few words.
    pub note: &'static str,
}

impl Table {
    /// The key of that name.
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|k| k.name == name)
    }
    const fn shape(&self, name: &str) -> Shape {
        let mut i = 0;
        while i < self.keys.len() {
            if same(self.keys[i].name, name) {
                return self.keys[i].shape;
            }
            i += 1;
        }
        panic!("no such key in this table")
    }
    pub(super) const fn number(&self, name: &str) -> f64 {
        let Shape::Number { usual, .. } = self.shape(name) else { panic!("this key is no figure") };
        usual
    }
    pub(super) const fn pair(&self, name: &str) -> [f64; 2] {
        let Shape::Pair { usual, .. } = self.shape(name) else { panic!("this key is no pair") };
        usual
    }
    pub(super) const fn count(&self, name: &str) -> u32 {
        let Shape::Count { usual, .. } = self.shape(name) else { panic!("this key is no whole number") };
        usual
    }
    pub(super) const fn flag(&self, name: &str) -> bool {
        let Shape::Flag { usual } = self.shape(name) else { panic!("this key is no flag") };
        usual
    }
    pub(super) const fn text(&self, name: &str) -> &'static str {
        let Shape::Text { usual, .. } = self.shape(name) else { panic!("this key is no text") };
        usual
    }
}

/// Whether two names are the same, told while compiling.
const fn same(a: &str, b: &str) -> bool {
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
pub const NAME_MAX: usize = 64;

/// The most areas across or down a check map may have; the panel's own maps have the same bound.
pub const MAP_MAX: u32 = 24;

const DAY_MIN: f64 = 24.0 * 60.0;

const fn key(name: &'static str, shape: Shape, note: &'static str) -> Key {
    Key { name, shape, need: Need::Usual, note }
}
const fn text(name: &'static str, usual: &'static str, longest: usize, note: &'static str) -> Key {
    key(name, Shape::Text { usual, longest }, note)
}
const fn word(name: &'static str, usual: &'static str, words: &'static [&'static str], note: &'static str) -> Key {
    key(name, Shape::Word { usual, words }, note)
}
const fn range(lowest: f64, highest: f64, unit: &'static str) -> Range {
    Range { lowest, highest, unit }
}
const fn number(name: &'static str, usual: f64, range: Range, note: &'static str) -> Key {
    key(name, Shape::Number { usual, range }, note)
}
const fn count(name: &'static str, usual: u32, lowest: u32, highest: u32, note: &'static str) -> Key {
    key(name, Shape::Count { usual, lowest, highest }, note)
}

const GLUE: Range = range(5.0, 400.0, "g to a litre of water");
const PER_M2: Range = range(5.0, 1000.0, "ml to a square metre");
const WAIT: Range = range(0.0, 14.0 * DAY_MIN, "minutes");
const LONG_REST: Range = range(0.0, 90.0 * 24.0, "hours");
const HANDS_ON: Range = range(0.0, 600.0, "minutes");
const HOT: Range = range(15.0, 95.0, "C");

const PAINTS: &[&str] = &[Paint::Oil.name(), Paint::Tempera.name(), Paint::Gilding.name()];
const FACES: &[&str] = &[Faces::Front.name(), Faces::Both.name()];
const DIRECTIONS: &[&str] = &[Direction::Horizontal.name(), Direction::Vertical.name()];
const SIGNS: &[&str] = &[ReadySign::Dull.name(), ReadySign::Dry.name()];
const SEALS: &[&str] = &[SealWith::Shellac.name(), SealWith::Glue.name(), SealWith::None.name()];

/// The keys above the first header.
pub const TOP: Table = Table {
    name: "",
    absent: Absent::Missing,
    note: "the recipe",
    keys: &[
        key("format", Shape::Format, "the format of this file"),
        key("name", Shape::Name, "what it is asked for by").required(),
        text("title", "", 200, "what it is").required(),
        key("suits", Shape::Words { words: PAINTS, fewest: 1 }, "the paints it suits").required(),
        text("source", "", 1000, "where it comes from"),
        key("cautions", Shape::Words { words: &Caution::KEYS, fewest: 0 }, "cautions to be told"),
    ],
};

/// `[size]`.
pub const SIZE: Table = Table {
    name: "size",
    absent: Absent::Missing,
    note: "thin glue that soaks into the wood",
    keys: &[
        number("glue_g_per_l_water", 70.0, GLUE, "dry glue, g to a litre of water").required(),
        number("soak_h", 9.0, range(0.0, 72.0, "hours"), "the glue soaks, hours"),
        word("faces", Faces::Both.name(), FACES, "the faces sized"),
        count("coats_per_face", 2, 1, 10, "coats on each face"),
        number("ml_per_m2", 90.0, PER_M2, "ml to a square metre and coat"),
        number("wait_min", 30.0, WAIT, "between coats, minutes"),
        number("cure_h", 24.0, LONG_REST, "after the last size coat, hours"),
    ],
};

/// `[cloth]`.
pub const CLOTH: Table = Table {
    name: "cloth",
    absent: Absent::NoStage,
    note: "linen laid in size",
    keys: &[number("rest_h", 24.0, LONG_REST, "the linen rests, hours")],
};

/// `[gesso]`.
pub const GESSO: Table = Table {
    name: "gesso",
    absent: Absent::Missing,
    note: "what is in the pot and how it is kept",
    keys: &[
        number("glue_g_per_l_water", 70.0, GLUE, "dry glue, g to a litre of water").required(),
        key("fillers", Shape::Fillers, "the white powders").required(),
        number("thinning_pct", 0.0, range(0.0, 100.0, "per cent"), "water given at the end, per cent of the volume"),
        number("ml_per_m2", 120.0, PER_M2, "ml to a square metre and coat"),
        number("waste_pct", 15.0, range(0.0, 200.0, "per cent"), "allowance, per cent"),
        number("loss_ml", 0.0, range(0.0, 5000.0, "ml"), "what cloth, sieve and bowl keep, ml"),
        key("work_c", Shape::Pair { usual: [40.0, 50.0], range: HOT }, "working warmth, lowest and highest, C"),
        number("caution_c", 55.0, HOT, "a caution is due, C"),
        number("overheat_c", 60.0, HOT, "the batch counts as overheated, C"),
        number("gels_at_c", 30.0, range(5.0, 45.0, "C"), "it gels, C"),
        number("time_constant_min", 40.0, range(1.0, 1000.0, "minutes"), "time constant of cooling, minutes"),
        number("melt_min", 3.0, range(0.0, 240.0, "minutes"), "in the bath to melt again, minutes"),
        number("bowl_min", 2.0, range(0.0, 60.0, "minutes"), "the bowl is thinned before a coat, minutes"),
    ],
};

/// One filler in the list `fillers` of `[gesso]`: a name, and one of the two amounts.
pub const FILLER: Table = Table {
    name: "fillers",
    absent: Absent::Missing,
    note: "one white powder",
    keys: &[
        text("name", "", 100, "which powder").required(),
        number("g_per_100_ml_size", 80.0, range(0.1, 400.0, "g to 100 ml of size"), "by weight").or_unknown(),
        number("ml_per_100_ml_size", 100.0, range(0.1, 500.0, "ml to 100 ml of size"), "by loose volume").or_unknown(),
    ],
};

/// `[stipple]`.
pub const STIPPLE: Table = Table {
    name: "stipple",
    absent: Absent::Usual,
    note: "the first gesso coat, tapped in",
    keys: &[count("coats", 1, 0, 10, "how many"), number("wait_min", 15.0, WAIT, "after it, minutes")],
};

/// `[coats]`.
pub const COATS: Table = Table {
    name: "coats",
    absent: Absent::Missing,
    note: "the brushed coats",
    keys: &[
        count("front", 6, 1, 60, "on the front").required(),
        count("back", 0, 0, 60, "on the back"),
        word("first", Direction::Horizontal.name(), DIRECTIONS, "the direction of the first"),
        number("wait_min", 15.0, WAIT, "between coats, minutes"),
        word("ready_sign", ReadySign::Dull.name(), SIGNS, "what tells that the next may go on"),
        number("long_gap_min", 60.0, WAIT, "longer than this and the surface is bone dry, minutes"),
        number("dry_min", 15.0, WAIT, "after the last coat, minutes"),
        key("one_day", Shape::Flag { usual: true }, "no night between stipple and last coat"),
    ],
};

/// `[scrape]`.
pub const SCRAPE: Table = Table {
    name: "scrape",
    absent: Absent::NoStage,
    note: "levelling with a blade",
    keys: &[
        text("tool", "burred blade", 100, "the tool"),
        number("angle_deg", 30.0, range(1.0, 90.0, "degrees"), "its angle to the ground, degrees"),
        number("stroke_mm", 100.0, range(5.0, 2000.0, "mm"), "length of a stroke, mm"),
    ],
};

/// `[check]`.
pub const CHECK: Table = Table {
    name: "check",
    absent: Absent::NoStage,
    note: "the coarse map of the dark-powder check",
    keys: &[count("columns", 3, 1, MAP_MAX, "areas across"), count("rows", 3, 1, MAP_MAX, "areas down")],
};

/// `[rest]`.
pub const REST: Table = Table {
    name: "rest",
    absent: Absent::Usual,
    note: "the ground rests before it is sealed",
    keys: &[number("hours", 24.0, LONG_REST, "hours")],
};

/// `[seal]`.
pub const SEAL: Table = Table {
    name: "seal",
    absent: Absent::Usual,
    note: "what closes the ground",
    keys: &[
        word("with", SealWith::Shellac.name(), SEALS, "what with"),
        number(
            "resin_g_per_l_spirit",
            120.0,
            range(5.0, 600.0, "g to a litre of spirit"),
            "shellac, g to a litre of spirit",
        )
        .or_unknown(),
        number("glue_g_per_l_water", 30.0, range(1.0, 200.0, "g to a litre of water"), "glue, g to a litre of water")
            .or_unknown(),
        count("coats", 1, 1, 10, "how many coats"),
        number("ml_per_m2", 60.0, PER_M2, "ml to a square metre and coat"),
        number("wait_min", 60.0, WAIT, "after each, minutes"),
    ],
};

/// `[sand]`; without `grit` there is no sanding.
pub const SAND: Table = Table {
    name: "sand",
    absent: Absent::NoStage,
    note: "the last fine pass",
    keys: &[text("grit", "P400", 60, "the grade, as printed on the paper").or_unknown()],
};

/// `[minutes]`.
pub const MINUTES: Table = Table {
    name: "minutes",
    absent: Absent::Usual,
    note: "hands-on time, minutes, for a panel of 0.12 m2",
    keys: &[
        number("size", 3.0, HANDS_ON, "a size coat on one face"),
        number("stipple", 4.0, HANDS_ON, "the tapped coat"),
        number("coat", 3.0, HANDS_ON, "a brushed coat on one face"),
        number("scrape", 40.0, HANDS_ON, "a round of scraping"),
        number("check", 5.0, HANDS_ON, "a dark-powder check"),
        number("seal", 5.0, HANDS_ON, "a coat of the seal"),
    ],
};

/// Every table with a header, in the order of the file.
pub const TABLES: [&Table; 11] =
    [&SIZE, &CLOTH, &GESSO, &STIPPLE, &COATS, &SCRAPE, &CHECK, &REST, &SEAL, &SAND, &MINUTES];

/// The table of that header.
pub fn table(name: &str) -> Option<&'static Table> {
    TABLES.into_iter().find(|t| t.name == name)
}

/// One figure of a file: the table, the key, and which of a pair.
pub type Figure = (&'static Table, &'static str, Option<usize>);

/// Two figures that must stand in order.
#[derive(Debug, Clone, Copy)]
pub struct Order {
    /// The one that must be lower.
    pub lower: Figure,
    /// The one that must be higher.
    pub higher: Figure,
    /// Whether they may be equal.
    pub may_be_equal: bool,
    /// Why.
    pub why: &'static str,
}

/// Every pair of figures that must stand in order; the usual figures do.
pub const ORDERS: [Order; 6] = [
    Order {
        lower: (&GESSO, "work_c", Some(0)),
        higher: (&GESSO, "work_c", Some(1)),
        may_be_equal: false,
        why: "the lowest comes first, then the highest",
    },
    Order {
        lower: (&GESSO, "gels_at_c", None),
        higher: (&GESSO, "work_c", Some(0)),
        may_be_equal: false,
        why: "a pot cannot be worked where it gels",
    },
    Order {
        lower: (&GESSO, "work_c", Some(1)),
        higher: (&GESSO, "caution_c", None),
        may_be_equal: true,
        why: "a pot at its working warmth is no reason for a caution",
    },
    Order {
        lower: (&GESSO, "caution_c", None),
        higher: (&GESSO, "overheat_c", None),
        may_be_equal: false,
        why: "the caution comes before the harm",
    },
    Order {
        lower: (&STIPPLE, "wait_min", None),
        higher: (&COATS, "long_gap_min", None),
        may_be_equal: true,
        why: "a coat laid on time is not laid after a long gap",
    },
    Order {
        lower: (&COATS, "wait_min", None),
        higher: (&COATS, "long_gap_min", None),
        may_be_equal: true,
        why: "a coat laid on time is not laid after a long gap",
    },
];
