//! The line: one fact is one line is one JSON object, with a check over its raw bytes.
//!
//! ```text
//! {"v":1,"seq":4,"prev":"9ae0c1f3","at":...,"written_at":...,"offset_min":60,"boot":...,"boot_ms":...,"fact":"done",...,"crc":"51b2a07c"}
//! ```
//!
//! `v`, `seq` and `prev` come first and `crc` last, in every version of the format, so that an older program can
//! always check a newer line. `crc` is the CRC-32 of the bytes before `,"crc":`; `prev` is the `crc` of the line
//! before, so that a lost, doubled or moved line shows. That is protection against accidents; it proves nothing
//! against somebody who wants to deceive. The first line also tells `format` and `program`.

use super::borrowed_json::BorrowedObject;
pub use super::borrowed_json::{Fields, MemberError};
use crate::record::files::{format_boot_id, parse_boot_id};
use crate::units::{BootMark, Entry, Id, Moment, Stamp};
use chrono::{DateTime, SecondsFormat, Utc};
use serde::Serialize;
use serde_json::{Map, Value};
use std::fmt;

/// The newest version of the format, which this program knows in full.
pub const VERSION: u64 = 2;

/// The version a line is written with: the lowest whose reader folds it rightly, so that an older program goes on with
/// whatever it understands. A fact in the place of another came with version 2.
fn required_version<E: JournalEvent>(entry: &Entry<E>) -> u64 {
    let of_place = if entry.replaces.is_some() { 2 } else { 1 };
    entry.event.required_version().max(of_place)
}

/// The longest line, bytes, without its end.
pub const LINE_MAX: usize = 1 << 20;

/// The bytes of `,"crc":"xxxxxxxx"}`.
const CRC_MEMBER_LEN: usize = 18;
const CRC_HEAD: &[u8] = b",\"crc\":\"";
const CRC_FOOT: &[u8] = b"\"}";
const LINE_HEAD: &[u8] = b"{\"v\":";
const PREV_HEAD: &[u8] = b"\"prev\":\"";
const OPENED_MEMBER: &str = "\"fact\":\"opened\"";
const COPY_MEMBER: &str = "\"fact\":\"opened_copy\"";

/// The word of the line that says the opening once more, so that a story survives the loss of its first line. No fold
/// knows of it.
pub const OPENED_COPY: &str = "opened_copy";

pub use crate::work::story::LOST_EVENT;

/// What a first line says of the thing the journal is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Header<'a> {
    /// What it is filed under; nothing where there is only one, as with the air.
    pub id: Option<&'a Id>,
    /// What the maker calls it.
    pub label: &'a str,
}

/// A kind of fact that can be kept in a journal. The members `v seq prev at written_at offset_min boot boot_ms
/// raw_wall replaces fact format program crc` belong to the line itself.
///
/// Within one version a member may be added, and a new word for `fact` that the program writes by itself. A new word inside
/// an old member is read by an older program as a newer version's: it tells so, and records nothing there.
pub trait JournalEvent: Clone + PartialEq {
    /// What the first line says under `format`.
    const FORMAT: &'static str;
    /// The word under `fact`.
    fn event_name(&self) -> &str;
    /// What an opening says of the thing; nothing for any other fact.
    fn header(&self) -> Option<Header<'_>>;
    /// The lowest version whose reader folds this fact rightly.
    fn required_version(&self) -> u64 {
        1
    }
    /// Writes the fact's own members.
    fn write_members(&self, to: &mut MemberWriter);
    /// Reads the fact of that word; nothing if the word is not known.
    ///
    /// # Errors
    /// [`MemberError`] with the member that is missing, of another type, or not known.
    fn parse_members(word: &str, from: &Fields<'_>) -> Result<Option<Self>, MemberError>;
    /// What the journal is filed under from this fact on, if it says so.
    fn filed_as(&self) -> Option<&Id> {
        None
    }
    /// What the maker calls it by all that stands in the journal, where that can be another label than that of its opening.
    fn current_label(_: Vec<Entry<Self>>) -> Option<String> {
        None
    }
    /// The fact that stands for a word of a newer version.
    fn from_newer_name(word: &str) -> Self;
}

/// The members of a line being written, in order.
#[derive(Debug)]
pub struct MemberWriter {
    json: String,
    error: Option<String>,
}

impl MemberWriter {
    fn new() -> Self {
        MemberWriter { json: String::from("{"), error: None }
    }
    /// Adds a member.
    pub fn put<T: Serialize + ?Sized>(&mut self, name: &str, value: &T) {
        match (serde_json::to_string(name), serde_json::to_string(value)) {
            (Ok(name), Ok(value)) => {
                if self.json.len() > 1 {
                    self.json.push(',');
                }
                self.json.push_str(&name);
                self.json.push(':');
                self.json.push_str(&value);
            }
            (Err(e), _) | (_, Err(e)) => self.set_error(&format!("`{name}` cannot be written: {e}")),
        }
    }
    /// Says that this fact must not be written, and why.
    pub fn set_error(&mut self, reason: &str) {
        self.error.get_or_insert_with(|| reason.to_owned());
    }
    /// Adds a time.
    fn put_stamp(&mut self, name: &str, stamp: Stamp) {
        match format_stamp(stamp) {
            Some(text) => self.put(name, &text),
            None => self.set_error(&format!("`{name}` is no time of any calendar")),
        }
    }
}

/// The fact's own members, as scripts are told them: names and values are those of the line.
pub fn event_members<E: JournalEvent>(fact: &E) -> Map<String, Value> {
    let mut members = MemberWriter::new();
    fact.write_members(&mut members);
    serde_json::from_str(&(members.json + "}")).expect("the writer puts down JSON and nothing else")
}

/// Why a line is not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LineError {
    /// Its bytes do not agree with its check.
    CrcMismatch,
    /// It is longer than [`LINE_MAX`].
    TooLong,
    /// There is nothing on it.
    Blank,
    /// It passes its check and is not what a line must be.
    Malformed {
        /// What is wrong with it.
        reason: String,
    },
    /// It does not follow the line before it.
    BrokenChain {
        /// The place it has by its own account.
        found: u64,
        /// The place it should have.
        expected: u64,
    },
    /// It is the first line, and of another kind of journal.
    WrongFormat {
        /// What it says it is.
        found: String,
    },
    /// It passes its check, and what it says cannot be made out.
    InvalidEvent {
        /// What is wrong with it.
        reason: String,
    },
}

impl fmt::Display for LineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LineError::CrcMismatch => f.write_str("its bytes do not agree with its check"),
            LineError::TooLong => write!(f, "it is longer than {LINE_MAX} bytes"),
            LineError::Blank => f.write_str("it is blank; nothing is lost by that"),
            LineError::Malformed { reason: why } => write!(f, "it passes its check, but {why}"),
            LineError::BrokenChain { found, expected } if found == expected => {
                write!(f, "it is entry {found}, but does not belong to the line before it")
            }
            LineError::BrokenChain { found, expected } => {
                write!(f, "it is entry {found} where entry {expected} should be")
            }
            LineError::WrongFormat { found } => write!(f, "it begins a file of another kind ({found})"),
            LineError::InvalidEvent { reason: why } => {
                write!(f, "it passes its check, but what it says cannot be made out: {why}")
            }
        }
    }
}

/// Where the next line must hang on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ChainLink {
    /// Its place.
    pub seq: u64,
    /// The check of the line before it; 0 for the first.
    pub prev: u32,
}

/// A line taken.
#[derive(Debug, Clone, PartialEq)]
pub struct ParsedLine<E> {
    /// Its fact.
    pub entry: Entry<E>,
    /// Its check, for the next line to hang on.
    pub crc: u32,
    /// What shows that a newer version wrote it, if one did.
    pub newer: Option<NewerSign>,
}

/// What shows that a newer version wrote a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NewerSign {
    /// The version it tells.
    Version,
    /// Something in it that this version does not know.
    Member {
        /// The member, and what it says.
        reason: String,
    },
}

impl fmt::Display for NewerSign {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NewerSign::Version => Ok(()),
            NewerSign::Member { reason } => write!(f, " ({reason})"),
        }
    }
}

/// Writes `entry` as a line, without the `\n`, hanging on to `prev`. `program` stands in the first line only.
///
/// # Errors
/// Why it cannot be written.
pub fn format_line<E: JournalEvent>(entry: &Entry<E>, prev: u32, program: &str) -> Result<Vec<u8>, String> {
    let mut to = MemberWriter::new();
    to.put("v", &required_version(entry));
    to.put("seq", &entry.seq);
    to.put("prev", &format!("{prev:08x}"));
    to.put_stamp("at", entry.at);
    to.put_stamp("written_at", entry.written.wall);
    to.put("offset_min", &entry.written.offset_min);
    to.put("boot", &entry.written.boot.map(|b| format_boot_id(b.boot_id)));
    to.put("boot_ms", &entry.written.boot.map(|b| b.ms));
    if let Some(raw) = entry.raw_wall {
        to.put_stamp("raw_wall", raw);
    }
    if let Some(seq) = entry.replaces {
        to.put("replaces", &seq);
    }
    to.put("fact", entry.event.event_name());
    if entry.seq == 0 {
        to.put("format", E::FORMAT);
        to.put("program", program);
    }
    entry.event.write_members(&mut to);
    match to.error {
        Some(reason) => Err(reason),
        None => Ok(append_crc(to.json.into_bytes())),
    }
}

/// The line that stands for a fact that was lost: it keeps the place, so that what refers to later facts still does.
///
/// # Errors
/// If `at` or `written` is no time of any calendar.
pub fn format_lost_line(link: ChainLink, at: Stamp, written: Stamp) -> Result<Vec<u8>, String> {
    let mut to = MemberWriter::new();
    to.put("v", &1);
    to.put("seq", &link.seq);
    to.put("prev", &format!("{:08x}", link.prev));
    to.put_stamp("at", at);
    to.put_stamp("written_at", written);
    to.put("offset_min", &0);
    to.put("boot", &None::<&str>);
    to.put("boot_ms", &None::<i64>);
    to.put("fact", LOST_EVENT);
    match to.error {
        Some(reason) => Err(reason),
        None => Ok(append_crc(to.json.into_bytes())),
    }
}

/// The lines that pass their check inside `raw`, which is none as a whole: two run together, or one behind the
/// beginning of another. Each with where it begins.
pub fn find_lines(raw: &[u8]) -> Vec<(usize, &[u8])> {
    let mut found = Vec::new();
    let mut next = 0;
    loop {
        let rest = raw.get(next..).unwrap_or_default();
        let Some(at) = rest.windows(LINE_HEAD.len()).position(|w| w == LINE_HEAD) else { return found };
        let from = rest.get(at..).unwrap_or_default();
        let len = find_complete_line(from);
        found.extend(len.and_then(|len| from.get(..len)).map(|line| (next + at, line)));
        next += at + len.unwrap_or(1);
    }
}

/// Whether a newer version wrote that line, also where nothing else of it can be made out: its version stands first in
/// every version of the format.
pub fn is_newer_version(raw: &[u8]) -> bool {
    let digits = raw.strip_prefix(b"{\"v\":").unwrap_or_default();
    let len = digits.iter().take_while(|b| b.is_ascii_digit()).count();
    let version = digits.get(..len).and_then(|d| std::str::from_utf8(d).ok());
    verify_crc(raw).is_some() && version.is_some_and(|v| !v.is_empty() && v.parse().is_ok_and(|v: u64| v > VERSION))
}

/// Where a line hangs by its own account, if it passes its check and says so.
pub fn parse_link(raw: &[u8]) -> Option<ChainLink> {
    verify_crc(raw)?;
    let flat = BorrowedObject::parse(raw).ok()?;
    let fields = flat.fields();
    Some(ChainLink {
        seq: fields.unsigned("seq").ok()?,
        prev: fields.parse_text("prev", |t| parse_hex(t.as_bytes())).ok()?,
    })
}

/// The same line hung on to another one before it; all its other bytes stay.
pub fn relink(raw: &[u8], prev: u32) -> Option<Vec<u8>> {
    let (body, _) = verify_crc(raw)?;
    let at = body.windows(PREV_HEAD.len()).position(|w| w == PREV_HEAD)? + PREV_HEAD.len();
    let mut body = body.to_vec();
    let digits = body.get_mut(at..at + 8)?;
    parse_hex(digits)?;
    digits.copy_from_slice(format!("{prev:08x}").as_bytes());
    Some(append_crc(body))
}

/// The line that keeps a copy of that opening at `link`; every member is the opening's, so that either gives the other
/// back byte for byte.
pub fn copy_opening(opening: &[u8], link: ChainLink) -> Option<Vec<u8>> {
    move_opening(opening, ChainLink::default(), OPENED_MEMBER, link, COPY_MEMBER)
}

/// The opening that line keeps a copy of, if it passes its check and is one.
pub fn restore_opening(copy: &[u8]) -> Option<Vec<u8>> {
    move_opening(copy, parse_link(copy)?, COPY_MEMBER, ChainLink::default(), OPENED_MEMBER)
}

/// The same line with another place and another word. Both are looked for in the one form they are written in, which no
/// text of a maker can take: inside a text every quotation mark is escaped.
fn move_opening(raw: &[u8], from: ChainLink, word: &str, to: ChainLink, new_word: &str) -> Option<Vec<u8>> {
    let place = |link: ChainLink| format!("\"seq\":{},\"prev\":\"{:08x}\"", link.seq, link.prev);
    let (body, _) = verify_crc(raw)?;
    let text = std::str::from_utf8(body).ok()?;
    let (head, rest) = text.split_once(&place(from))?;
    let (times, members) = rest.split_once(word)?;
    Some(append_crc(format!("{head}{}{times}{new_word}{members}", place(to)).into_bytes()))
}

/// Closes a line, given all of its bytes before the comma, with its check.
pub fn append_crc(mut body: Vec<u8>) -> Vec<u8> {
    let crc = crc32fast::hash(&body);
    body.extend_from_slice(CRC_HEAD);
    body.extend_from_slice(format!("{crc:08x}").as_bytes());
    body.extend_from_slice(CRC_FOOT);
    body
}

/// The bytes of a line its check covers, and the check, if they agree.
pub fn verify_crc(raw: &[u8]) -> Option<(&[u8], u32)> {
    let (body, seal) = raw.split_at_checked(raw.len().checked_sub(CRC_MEMBER_LEN)?)?;
    let digits = seal.strip_prefix(CRC_HEAD)?.strip_suffix(CRC_FOOT)?;
    let said = parse_hex(digits)?;
    (said == crc32fast::hash(body)).then_some((body, said))
}

/// Eight lower-case digits and nothing else: `A` for `a` is one flipped bit, and must not pass.
fn parse_hex(digits: &[u8]) -> Option<u32> {
    let digits: &[u8; 8] = digits.try_into().ok()?;
    let mut sum = 0;
    for digit in digits {
        let value = match digit {
            b'0'..=b'9' => digit - b'0',
            b'a'..=b'f' => digit - b'a' + 10,
            _ => return None,
        };
        sum = sum << 4 | u32::from(value);
    }
    Some(sum)
}

/// How many bytes at the beginning of `tail`, which has no `\n`, are a line that passes its check. Inside a JSON
/// text every quotation mark is escaped, so the words of a maker cannot look like the end of a line.
pub fn find_complete_line(tail: &[u8]) -> Option<usize> {
    tail.windows(CRC_HEAD.len())
        .enumerate()
        .filter(|(_, w)| *w == CRC_HEAD)
        .map(|(at, _)| at + CRC_MEMBER_LEN)
        .find(|end| tail.get(..*end).is_some_and(|line| verify_crc(line).is_some()))
}

/// Reads a line, without its `\n`, that should hang on to `link`.
///
/// # Errors
/// Why it is not taken.
pub fn parse_line<E: JournalEvent>(raw: &[u8], link: ChainLink) -> Result<ParsedLine<E>, LineError> {
    if raw.len() > LINE_MAX {
        return Err(LineError::TooLong);
    }
    if raw.trim_ascii().is_empty() {
        return Err(LineError::Blank);
    }
    let (_, crc) = verify_crc(raw).ok_or(LineError::CrcMismatch)?;
    let flat = BorrowedObject::parse(raw)
        .map_err(|e| LineError::Malformed { reason: format!("it is no JSON object: {e}") })?;
    let fields = flat.fields();
    let shape = |error: MemberError| LineError::Malformed { reason: error.into() };
    let newer_version = fields.unsigned("v").map_err(shape)? > VERSION;
    let found = ChainLink {
        seq: fields.unsigned("seq").map_err(shape)?,
        prev: fields.parse_text("prev", |t| parse_hex(t.as_bytes())).map_err(shape)?,
    };
    if found != link {
        return Err(LineError::BrokenChain { found: found.seq, expected: link.seq });
    }
    let (entry, unknown) = parse_entry::<E>(&fields, link.seq, newer_version)
        .map_err(|error| LineError::InvalidEvent { reason: error.into() })?;
    let newer = if newer_version { Some(NewerSign::Version) } else { unknown };
    if link.seq == 0 && !newer_version {
        check_opening(&fields, &entry, newer.is_some())?;
    }
    Ok(ParsedLine { entry, crc, newer })
}

/// Whether a first line is the opening of this kind of journal.
fn check_opening<E: JournalEvent>(fields: &Fields<'_>, entry: &Entry<E>, newer: bool) -> Result<(), LineError> {
    let found = fields.text("format").map_err(|error| LineError::InvalidEvent { reason: error.into() })?;
    if found != E::FORMAT {
        return Err(LineError::WrongFormat { found: found.chars().take(40).collect() });
    }
    match entry.event.header() {
        Some(_) => Ok(()),
        None if newer => Ok(()),
        None => Err(LineError::InvalidEvent {
            reason: format!("a file begins with its opening, not with \"{}\"", entry.event.event_name()),
        }),
    }
}

/// The fact of a line with its times, and what in it is not known. What a newer version says and this one cannot make out
/// stands for itself.
fn parse_entry<E: JournalEvent>(
    fields: &Fields<'_>,
    seq: u64,
    newer_version: bool,
) -> Result<(Entry<E>, Option<NewerSign>), MemberError> {
    let boot = fields.optional("boot", |f| f.parse_text("boot", parse_boot_id))?;
    let boot = match boot {
        Some(boot) => Some(BootMark { boot_id: boot, ms: fields.integer("boot_ms")? }),
        None => None,
    };
    let offset_min = i32::try_from(fields.integer("offset_min")?)
        .map_err(|_| MemberError::Malformed("`offset_min` is too large".to_owned()))?;
    let word = fields.text("fact")?;
    let (event, unknown) = match E::parse_members(word, fields) {
        Ok(Some(event)) => (event, None),
        Ok(None) => (E::from_newer_name(word), None),
        Err(MemberError::NotKnown(reason)) => (E::from_newer_name(word), Some(NewerSign::Member { reason })),
        Err(MemberError::Malformed(_)) if newer_version => (E::from_newer_name(word), None),
        Err(error @ MemberError::Malformed(_)) => return Err(error),
    };
    let entry = Entry {
        seq,
        at: fields.stamp("at")?,
        written: Moment { wall: fields.stamp("written_at")?, boot, offset_min, raw_wall: None },
        raw_wall: fields.optional("raw_wall", |f| f.stamp("raw_wall"))?,
        replaces: fields.optional("replaces", |f| f.unsigned("replaces"))?,
        event,
    };
    Ok((entry, unknown))
}

/// A time as journals keep it: RFC 3339, UTC, milliseconds. Nothing for a time outside of chrono's calendar.
pub fn format_stamp(stamp: Stamp) -> Option<String> {
    let time = DateTime::<Utc>::from_timestamp_millis(stamp.ms())?;
    Some(time.to_rfc3339_opts(SecondsFormat::Millis, true))
}
