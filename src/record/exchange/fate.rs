//! What becomes of a story that is brought.

/// What becomes of a story of the other shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StoryFate {
    /// It was not here.
    New,
    /// The other side went on with it.
    Continued,
    /// Nothing of it is missing here.
    AlreadyHere,
    /// Another story has its id here, so that it has a new one.
    Renamed,
    /// Both sides went on with it: the other is kept beside, under a new id.
    Parted,
    /// It is not taken.
    LeftOut {
        /// Why.
        reason: String,
        /// Something of it is lost.
        is_damaged: bool,
    },
}
