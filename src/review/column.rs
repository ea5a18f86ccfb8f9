//! What is known of one column of the list in `columns`: its name, its words, its type, how it is read from a row, and
//! where it is shown.
//!
//! A column is written as one chain: `column(name, Figure(|f| ..)).csv().json().table("wait")`. What cannot be shown in
//! some place, such as a time in a table that knows no zone, does not compile.

use super::panel_row::PanelRow;
use crate::stats::permutation::TestStatistic;
use crate::text::{format_number, sanitize};
use crate::units::{Id, Stamp, written_words};
use strum::{VariantArray, VariantNames};

/// How a column is read from a row, which is also its type.
#[derive(Debug, Clone, Copy)]
pub enum Read {
    /// What a maker typed.
    Text(fn(&PanelRow) -> &str),
    /// A word of a closed list.
    Word(fn(&PanelRow) -> &'static str),
    /// What other stories are filed under.
    Ids(fn(&PanelRow) -> &[Id]),
    /// Words made of several facts.
    Phrase(fn(&PanelRow) -> Option<String>),
    /// A figure; nothing where nobody recorded it.
    Figure(fn(&PanelRow) -> Option<f64>),
    /// How many.
    Count(fn(&PanelRow) -> u32),
    /// How many, where that was recorded.
    CountIfKnown(fn(&PanelRow) -> Option<u32>),
    /// A grade, where one was given.
    Grade(fn(&PanelRow) -> Option<u8>),
    /// Yes or no.
    Flag(fn(&PanelRow) -> bool),
    /// Yes or no, where anybody said.
    FlagIfKnown(fn(&PanelRow) -> Option<bool>),
    /// When.
    Time(fn(&PanelRow) -> Stamp),
}

/// What stands in a column of one row.
#[derive(Debug, Clone, PartialEq)]
pub enum Value<'a> {
    /// What a maker typed.
    Text(&'a str),
    /// A word of a closed list.
    Word(&'static str),
    /// What other stories are filed under.
    Ids(&'a [Id]),
    /// Words made of several facts.
    Phrase(String),
    /// A figure.
    Figure(f64),
    /// How many.
    Count(u32),
    /// Yes or no.
    Flag(bool),
    /// When.
    Time(Stamp),
    /// Nobody recorded it.
    Unknown,
}

/// In which object of the JSON of a panel a column is a member.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JsonObject {
    /// That of the panel.
    Panel,
    /// That of what came of it.
    Outcome,
}

/// How a column is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ComparedAs {
    /// Something done, or what it was done in: it may be a cause.
    Cause,
    /// Something that came of the panel: not compared between groups that were made of outcomes.
    Result,
    /// The same, but as it stood at the age at which most is known.
    ResultAtEqualAge,
}

/// What changes places where a column is asked whether it goes with a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "snake_case")]
pub enum CauseUnit {
    /// A panel, with the others of its pot of gesso.
    Panel,
    /// A pot of gesso.
    GessoPot,
    /// A pot of size.
    SizePot,
    /// The lot a pot was made of: pots change their lots, by an order of its own.
    Lot,
    /// A day: all that was laid in one session.
    Day,
}
written_words!(CauseUnit);

/// A column as what may go with a fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CauseColumn {
    /// Its usual unit. What is equal on all panels of each pot is compared over pots or days in any case.
    pub unit: CauseUnit,
    /// How it is told, where it is of the family of about a dozen that was fixed before any data.
    pub told: Option<CauseWords>,
    /// What it is called in a table of causes, where it is compared in no other way.
    pub label: Option<&'static str>,
    /// The columns that bring it about by themselves: known of the craft, never guessed from figures.
    pub by_product_of: &'static [&'static str],
}

/// A painter's words for a column: what panels had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CauseWords {
    /// Those with high figures: "stronger glue"; of words, what goes before the word.
    pub more: &'static str,
    /// Those with low ones.
    pub less: &'static str,
    /// What follows a figure: " g to 100 g of filler".
    pub unit: &'static str,
}

/// What a comparison says of a column.
#[derive(Debug, Clone, Copy)]
pub struct ComparedColumn {
    /// How it is compared.
    pub as_what: ComparedAs,
    /// What it is called in a sentence.
    pub label: &'static str,
    /// Its unit, as it follows a figure.
    pub unit: &'static str,
    /// By what figures of two groups are tested.
    pub statistic: TestStatistic,
}

/// What was done, as it is said in words of panels side by side: by the terminal, the page and the view.
#[derive(Debug, Clone, Copy)]
pub struct WorkDescription {
    /// Its place: what weighs most has the lowest.
    pub rank: u8,
    /// What it is called.
    pub name: &'static str,
    /// How it was on a panel, in words that fit behind the name, where the value itself is not enough.
    describe: Option<fn(&PanelRow) -> String>,
}

/// One column.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its name in CSV, in JSON, and among compared fields; it carries its unit last.
    pub name: &'static str,
    /// How it is read.
    pub read: Read,
    /// To how many places a person is told its figures.
    decimals: usize,
    /// It is a column of the CSV.
    pub in_csv: bool,
    /// The JSON object it is a member of.
    pub json: Option<JsonObject>,
    /// Its heading in the terminal's table.
    pub table_heading: Option<&'static str>,
    /// Its heading in the table of the page.
    pub page_heading: Option<&'static str>,
    /// How it is compared.
    pub compared: Option<ComparedColumn>,
    /// What was done, in words.
    pub work: Option<WorkDescription>,
    /// Whether it may go with a fault; so every new column does, unless it says otherwise.
    pub cause: Option<CauseColumn>,
}

/// A column that is shown nowhere yet.
pub const fn column(name: &'static str, read: Read) -> Column {
    Column {
        name,
        read,
        decimals: 1,
        in_csv: false,
        json: None,
        table_heading: None,
        page_heading: None,
        compared: None,
        work: None,
        cause: Some(CauseColumn { unit: CauseUnit::Panel, told: None, label: None, by_product_of: &[] }),
    }
}

impl Column {
    /// Tells its figures to so many places.
    pub const fn decimals(mut self, decimals: usize) -> Column {
        self.decimals = decimals;
        self
    }

    /// Puts it into the CSV.
    pub const fn csv(mut self) -> Column {
        self.in_csv = true;
        self
    }

    /// Makes it a member of the JSON of a panel.
    pub const fn json(mut self) -> Column {
        self.json = Some(JsonObject::Panel);
        self
    }

    /// Makes it a member of the JSON of what came of a panel.
    pub const fn json_outcome(mut self) -> Column {
        self.json = Some(JsonObject::Outcome);
        self.no_cause()
    }

    /// Puts it into the terminal's table.
    pub const fn table(mut self, heading: &'static str) -> Column {
        assert!(!matches!(self.read, Read::Time(_)), "the table knows no zone to tell a time in");
        self.table_heading = Some(heading);
        self
    }

    /// Puts it into the table of the page.
    pub const fn page(mut self, heading: &'static str) -> Column {
        assert!(!matches!(self.read, Read::Time(_)), "the table knows no zone to tell a time in");
        self.page_heading = Some(heading);
        self
    }

    /// Compares its words, under its name.
    pub const fn compare_words(self) -> Column {
        assert!(!self.is_number() && !matches!(self.read, Read::Time(_)), "figures are compared with `compare`");
        let name = self.name;
        self.compare_as(ComparedAs::Cause, name, "")
    }

    /// Compares its figures.
    pub const fn compare(self, label: &'static str, unit: &'static str) -> Column {
        assert!(self.is_number(), "words are compared with `compare_words`");
        self.compare_as(ComparedAs::Cause, label, unit)
    }

    /// Compares its figures as something that came of the panel.
    pub const fn compare_result(self, label: &'static str, unit: &'static str) -> Column {
        assert!(self.is_number(), "what came of a panel is compared in figures");
        self.compare_as(ComparedAs::Result, label, unit)
    }

    /// Compares which panels had cracked at equal age.
    pub const fn compare_at_equal_age(self, label: &'static str) -> Column {
        self.compare_as(ComparedAs::ResultAtEqualAge, label, "")
    }

    /// No cause of anything: a name, a result, or the same as other columns in other words.
    pub const fn no_cause(mut self) -> Column {
        self.cause = None;
        self
    }

    /// What changes places where it is asked whether it goes with a fault.
    pub const fn over(mut self, unit: CauseUnit) -> Column {
        if let Some(mut cause) = self.cause {
            cause.unit = unit;
            self.cause = Some(cause);
        }
        self
    }

    /// Names it in a table of causes.
    pub const fn called(mut self, label: &'static str) -> Column {
        if let Some(mut cause) = self.cause {
            cause.label = Some(label);
            self.cause = Some(cause);
        }
        self
    }

    /// One of the told dozen: "stronger glue", "weaker glue", and its unit.
    pub const fn told(mut self, more: &'static str, less: &'static str, unit: &'static str) -> Column {
        assert!(self.cause.is_some(), "only what may be a cause is told as one");
        if let Some(mut cause) = self.cause {
            cause.told = Some(CauseWords { more, less, unit });
            self.cause = Some(cause);
        }
        self
    }

    /// Those columns bring it about by themselves.
    pub const fn by_product_of(mut self, causes: &'static [&'static str]) -> Column {
        if let Some(mut cause) = self.cause {
            cause.by_product_of = causes;
            self.cause = Some(cause);
        }
        self
    }

    const fn compare_as(mut self, as_what: ComparedAs, label: &'static str, unit: &'static str) -> Column {
        self.compared = Some(ComparedColumn { as_what, label, unit, statistic: TestStatistic::MeanDifference });
        match as_what {
            ComparedAs::Cause => self,
            ComparedAs::Result | ComparedAs::ResultAtEqualAge => self.no_cause(),
        }
    }

    /// Tests ranks: of what a few panels have very many, these would carry the whole mean.
    pub const fn by_rank(mut self) -> Column {
        assert!(self.compared.is_some(), "only what is compared is tested");
        if let Some(mut compared) = self.compared {
            compared.statistic = TestStatistic::MeanRankDifference;
            self.compared = Some(compared);
        }
        self
    }

    /// Says it in words among what was done.
    pub const fn work(mut self, rank: u8, name: &'static str) -> Column {
        self.work = Some(WorkDescription { rank, name, describe: None });
        self
    }

    /// Says it in these words among what was done.
    pub const fn work_as(mut self, rank: u8, name: &'static str, describe: fn(&PanelRow) -> String) -> Column {
        self.work = Some(WorkDescription { rank, name, describe: Some(describe) });
        self
    }

    /// What it is called among what may go with a fault.
    pub fn cause_label(&self) -> String {
        let given = self.cause.and_then(|cause| cause.label).or(self.compared.map(|compared| compared.label));
        let given = given.or(self.work.map(|work| work.name));
        given.map_or_else(|| self.name.replace('_', " "), str::to_owned)
    }

    /// The unit of its figures among what may go with a fault.
    pub const fn cause_unit(&self) -> &'static str {
        match (self.compared, self.cause) {
            (Some(compared), _) => compared.unit,
            (None, Some(CauseColumn { told: Some(words), .. })) => words.unit,
            (None, _) => "",
        }
    }

    /// To how many places a person is told its figures.
    pub const fn places(&self) -> usize {
        self.decimals
    }

    /// Whether it is told in numbers.
    pub const fn is_number(&self) -> bool {
        match self.read {
            Read::Figure(_) | Read::Count(_) | Read::CountIfKnown(_) | Read::Grade(_) => true,
            Read::Flag(_) | Read::FlagIfKnown(_) => true,
            Read::Text(_) | Read::Word(_) | Read::Ids(_) | Read::Phrase(_) | Read::Time(_) => false,
        }
    }

    /// Whether it may be of any length, as a maker can make it.
    pub const fn is_unbounded(&self) -> bool {
        matches!(self.read, Read::Text(_) | Read::Ids(_))
    }

    /// What stands in it.
    pub fn value<'a>(&self, row: &'a PanelRow) -> Value<'a> {
        match self.read {
            Read::Text(of) => Value::Text(of(row)),
            Read::Word(of) => Value::Word(of(row)),
            Read::Ids(of) => Value::Ids(of(row)),
            Read::Phrase(of) => of(row).map_or(Value::Unknown, Value::Phrase),
            Read::Figure(of) => of(row).map_or(Value::Unknown, Value::Figure),
            Read::Count(of) => Value::Count(of(row)),
            Read::CountIfKnown(of) => of(row).map_or(Value::Unknown, Value::Count),
            Read::Grade(of) => of(row).map_or(Value::Unknown, |grade| Value::Count(u32::from(grade))),
            Read::Flag(of) => Value::Flag(of(row)),
            Read::FlagIfKnown(of) => of(row).map_or(Value::Unknown, Value::Flag),
            Read::Time(of) => Value::Time(of(row)),
        }
    }

    /// Its figure, as it is compared; yes is 1.
    pub fn number(&self, row: &PanelRow) -> Option<f64> {
        match self.value(row) {
            Value::Figure(figure) => Some(figure),
            Value::Count(count) => Some(f64::from(count)),
            Value::Flag(flag) => Some(f64::from(u8::from(flag))),
            Value::Text(_) | Value::Word(_) | Value::Ids(_) | Value::Phrase(_) | Value::Time(_) | Value::Unknown => {
                None
            }
        }
    }

    /// Its words, as they are compared; nothing where it is told in numbers.
    pub fn words(&self, row: &PanelRow) -> Option<String> {
        match self.value(row) {
            Value::Text(text) => Some(text.to_owned()),
            Value::Word(word) => Some(word.to_owned()),
            Value::Ids(ids) => Some(join_ids(ids)),
            Value::Phrase(phrase) => Some(phrase),
            Value::Unknown if !self.is_number() => Some(NOT_RECORDED.to_owned()),
            Value::Figure(_) | Value::Count(_) | Value::Flag(_) | Value::Time(_) | Value::Unknown => None,
        }
    }

    /// What a person is shown of it, safe to show; nothing where nobody recorded it.
    pub fn display(&self, row: &PanelRow) -> Option<String> {
        match self.value(row) {
            Value::Text(text) => Some(sanitize(text)),
            Value::Word(word) => Some(word.replace('-', " ")),
            Value::Ids(ids) => Some(sanitize(&join_ids(ids))),
            Value::Phrase(phrase) => Some(sanitize(&phrase)),
            Value::Figure(figure) => Some(format_number(figure, self.decimals)),
            Value::Count(count) => Some(count.to_string()),
            Value::Flag(flag) => Some(if flag { "yes" } else { "no" }.to_owned()),
            // No place that shows it knows the zone, and the list does not compile with one that would.
            Value::Time(_) | Value::Unknown => None,
        }
    }

    /// What was done, in words that fit behind the name of that description.
    pub fn describe(&self, work: &WorkDescription, row: &PanelRow) -> String {
        match work.describe {
            Some(describe) => describe(row),
            None => self.display(row).unwrap_or_else(|| NOT_RECORDED.to_owned()),
        }
    }
}

const NOT_RECORDED: &str = "not recorded";

/// Ids as one name.
pub fn join_ids(ids: &[Id]) -> String {
    if ids.is_empty() {
        return NOT_RECORDED.to_owned();
    }
    ids.iter().map(Id::as_str).collect::<Vec<_>>().join(" + ")
}
