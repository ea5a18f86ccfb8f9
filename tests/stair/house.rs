//! The tables: which rooms there are, and what each may say. Whoever renames a module changes its name here and nowhere
//! else in this test.

/// Every room from the top of the stair to its foot, and what it may say that others may not.
pub const ROOMS: &[(&str, &[Charge])] = &[
    ("units", &[]),
    ("clock", &[Charge::Time, Charge::Clock]),
    ("text", &[]),
    ("stats", &[]),
    ("craft/physics", &[]),
    ("craft/materials", &[]),
    ("craft/recipe", &[Charge::Serde]),
    ("craft/quantities", &[]),
    ("config", &[Charge::Serde, Charge::Files]),
    ("work/story", &[]),
    ("work/panel", &[]),
    ("work/pot", &[]),
    ("work/air", &[]),
    ("work/learn", &[]),
    ("work/plan", &[]),
    ("work/stock", &[]),
    ("work/advice", &[]),
    ("work/trial", &[]),
    ("record/files", &[Charge::Files]),
    ("record/watch", &[Charge::Files]),
    ("record/journal", &[Charge::Files, Charge::Serde]),
    ("record/shelf", &[Charge::Files, Charge::Serde]),
    ("record/demo", &[Charge::Files]),
    ("record/exchange", &[Charge::Files]),
    ("review", &[Charge::Serde]),
    ("bench", &[Charge::Clock]),
    ("app", &[]),
    ("ui", &[Charge::Clock, Charge::Terminal]),
    ("cli", &[Charge::Clock, Charge::Files, Charge::Serde, Charge::Anyhow]),
    ("main", &[Charge::Clock, Charge::Anyhow]),
];

/// Words that only some rooms may say, as tokens separated by spaces; what they are, and what to do instead. A word that
/// begins with `crate ::` is the use of a room, however it is written.
pub const WORDS: &[(Charge, &[&str], &str, &str)] = &[
    (Charge::Time, &[":: now (", "Instant", "SystemTime"], "the machine's time", ""),
    (Charge::Clock, &["crate :: clock"], "a clock", "; elsewhere time is an argument"),
    (Charge::Serde, &["serde", "serde_json", "Serialize", "Deserialize"], "serde", ""),
    (Charge::Terminal, &["ratatui", "crossterm"], "the terminal", ""),
    (Charge::Files, &["fs"], "files", ""),
    (Charge::Anyhow, &["anyhow"], "anyhow", "; elsewhere a failure is a named variant"),
    (Charge::Nobody, &[". unwrap (", ". expect ("], "unwrap, and an expect that gives no reason,", ""),
];

/// What a room can be allowed to say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Charge {
    Time,
    Clock,
    Serde,
    Terminal,
    Files,
    Anyhow,
    Nobody,
}

/// Where a module stands on the stair: a room, or the head of a wing, which stands at the foot of its wing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    pub level: usize,
    pub room: Option<usize>,
}

impl Place {
    /// Below every room, where `lib.rs` names them all.
    pub const FOOT: Place = Place { level: ROOMS.len(), room: None };

    /// The place of a module or of something in it; none if the table has no such room.
    pub fn of(module: &[String]) -> Option<Place> {
        let within = |room: &str| {
            let mut given = module.iter();
            room.split('/').all(|part| given.next().is_some_and(|g| g == part))
        };
        if let Some(room) = ROOMS.iter().position(|(room, _)| within(room)) {
            return Some(Place { level: room, room: Some(room) });
        }
        let wing = module.first()?;
        let foot = ROOMS.iter().rposition(|(room, _)| room.split_once('/').is_some_and(|(w, _)| w == wing))?;
        Some(Place { level: foot, room: None })
    }

    /// The name of the wing or room, for a finding.
    pub fn name(self) -> String {
        let Some((room, _)) = ROOMS.get(self.level) else { return "the head of the house".to_owned() };
        match (self.room, room.split_once('/')) {
            (None, Some((wing, _))) => format!("{wing} (its head stands at the foot of the wing)"),
            (Some(_), _) | (None, None) => (*room).to_owned(),
        }
    }
}

/// Whether a module may say what only some may. The head of a wing may say what any room of its wing may.
pub fn may(module: &[String], charge: Charge) -> bool {
    match Place::of(module) {
        None => false,
        Some(Place { room: Some(room), .. }) => ROOMS[room].1.contains(&charge),
        Some(Place { room: None, .. }) => ROOMS
            .iter()
            .any(|(room, may)| room.split('/').next() == module.first().map(String::as_str) && may.contains(&charge)),
    }
}

/// The rule of a word, with the rooms that may say it.
pub fn rule(charge: Charge, what: &str, instead: &str) -> String {
    let rooms: Vec<&str> = ROOMS.iter().filter(|(_, may)| may.contains(&charge)).map(|(room, _)| *room).collect();
    let rooms = if rooms.is_empty() { "tests".to_owned() } else { rooms.join(", ") };
    format!("{what} only in {rooms}{instead}")
}
