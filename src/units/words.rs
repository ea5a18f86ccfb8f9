//! The words that enums are written by in journals, JSON, recipes and commands.
//!
//! The lists come from the enums themselves (`strum`), so that a new variant is in every one of them. A word follows from
//! the name of its variant where nothing else is said: `cli::written_words_tests` holds each to the letter.

/// Gives enums that derive `strum::VariantArray` the list of their variants, `ALL`, in the order declared.
macro_rules! all_variants {
    ($($of:ty),+ $(,)?) => {$(
        impl $of {
            /// Every one, in the order declared.
            pub const ALL: [$of; <$of as ::strum::VariantArray>::VARIANTS.len()] =
                *<$of as ::strum::VariantArray>::VARIANTS.first_chunk().expect("a list is as long as it is");
        }
    )+};
}

/// Gives enums that derive `strum::VariantArray` and `strum::VariantNames` their lists and their word, both ways: `ALL`,
/// `WORDS`, `name()`, `from_name()`.
macro_rules! written_words {
    ($($of:ty),+ $(,)?) => {$(
        $crate::units::all_variants!($of);

        impl $of {
            /// The word of each, in the order declared.
            pub const WORDS: &[&str] = <$of as ::strum::VariantNames>::VARIANTS;
            /// The word it is written by.
            pub const fn name(self) -> &'static str {
                <$of>::WORDS[self as usize]
            }
            /// The one that is written so.
            #[allow(dead_code, reason = "not every enum is read back by its word")]
            pub fn from_name(name: &str) -> Option<$of> {
                <$of>::ALL.into_iter().find(|one| one.name() == name)
            }
        }
    )+};
}

pub(crate) use {all_variants, written_words};
