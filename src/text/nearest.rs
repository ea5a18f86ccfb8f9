//! Which known word a mistyped one was meant to be: one measure and one bound for settings, recipes and names.

/// The least likeness, of 1, at which a known word is offered. Tried on every slip of one letter in the words of settings
/// and recipes, and on words that mean something else: 0.85 misses `ise` for `size`, 0.75 offers `birch` for `brush`.
const MIN_LIKENESS: f64 = 0.8;
/// A word longer than this is no slip of any known one, and comparing it would take time.
const MAX_COMPARED_BYTES: usize = 200;

/// The one of `known` most like `given`, if any is like it; the first of several as like. Likeness is that of Jaro and
/// Winkler, which counts a common beginning: what is left off at the end of a name is missed least.
pub fn find_nearest_word<'k>(given: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    if given.len() > MAX_COMPARED_BYTES {
        return None;
    }
    let given = given.to_lowercase();
    let mut best: Option<(f64, &str)> = None;
    for word in known {
        let likeness = strsim::jaro_winkler(&given, &word.to_lowercase());
        if likeness >= MIN_LIKENESS && best.is_none_or(|(most, _)| likeness > most) {
            best = Some((likeness, word));
        }
    }
    best.map(|(_, word)| word)
}
