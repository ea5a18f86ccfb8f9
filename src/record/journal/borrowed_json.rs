//! A line as it is read: its members in a row, looked up by name, every text borrowed from the line unless something in
//! it is escaped.
//!
//! Of ten thousand stories most of the work is reading lines, and of a line most members are passed over. So nothing is
//! sorted, and nothing is copied that the bytes hold already: a `Cow` borrows where it can, and holds a text of its own
//! where the line says `\"` or `\n`. What is inside a member (a stage, a size) is read the same way.

use crate::units::Stamp;
use chrono::{DateTime, NaiveDate};
use serde::de::value::{Error as ValueError, MapDeserializer, SeqDeserializer};
use serde::de::{Deserialize, DeserializeOwned, Deserializer, Error, IntoDeserializer, MapAccess, SeqAccess, Visitor};
use serde_json::Number;
use std::borrow::Cow;
use std::fmt;

/// An object: its members in the order written. Of two with one name the later counts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BorrowedObject<'l>(Vec<(Cow<'l, str>, BorrowedValue<'l>)>);

/// What stands behind a name.
#[derive(Debug, Clone, PartialEq)]
pub enum BorrowedValue<'l> {
    /// Nothing.
    Null,
    /// Yes or no.
    Bool(bool),
    /// A number.
    Number(Number),
    /// A text.
    Text(Cow<'l, str>),
    /// A list.
    List(Vec<BorrowedValue<'l>>),
    /// An object.
    Object(BorrowedObject<'l>),
}

impl<'l> BorrowedObject<'l> {
    /// The members of a line.
    ///
    /// # Errors
    /// What is wrong with it, if it is no JSON object.
    pub fn parse(raw: &'l [u8]) -> Result<BorrowedObject<'l>, String> {
        let text = std::str::from_utf8(raw).map_err(|e| e.to_string())?;
        serde_json::from_str(text).map_err(|e| e.to_string())
    }
    /// Ways to look its members up.
    pub fn fields(&self) -> Fields<'_> {
        Fields(&self.0)
    }
}

impl BorrowedValue<'_> {
    /// A text.
    pub fn as_str(&self) -> Option<&str> {
        if let BorrowedValue::Text(text) = self { Some(text) } else { None }
    }
    /// Yes or no.
    pub fn as_bool(&self) -> Option<bool> {
        if let BorrowedValue::Bool(flag) = self { Some(*flag) } else { None }
    }
    /// A list.
    pub fn as_list(&self) -> Option<&[Self]> {
        if let BorrowedValue::List(list) = self { Some(list) } else { None }
    }
    /// A number.
    pub fn as_f64(&self) -> Option<f64> {
        self.as_number().and_then(Number::as_f64)
    }
    fn as_number(&self) -> Option<&Number> {
        if let BorrowedValue::Number(number) = self { Some(number) } else { None }
    }

    /// The value this stands for, where its type reads itself.
    ///
    /// # Errors
    /// What the type says.
    pub fn deserialize_into<T: DeserializeOwned>(&self) -> Result<T, ValueError> {
        T::deserialize(self)
    }
}

/// A value handed on to a type as it stands, without a copy of it as a tree of its own, which would sort every object.
impl<'de> Deserializer<'de> for &'de BorrowedValue<'_> {
    type Error = ValueError;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ValueError> {
        match self {
            BorrowedValue::Null => visitor.visit_unit(),
            BorrowedValue::Bool(flag) => visitor.visit_bool(*flag),
            BorrowedValue::Number(number) => match (number.as_u64(), number.as_i64(), number.as_f64()) {
                (Some(n), _, _) => visitor.visit_u64(n),
                (None, Some(n), _) => visitor.visit_i64(n),
                (None, None, Some(n)) => visitor.visit_f64(n),
                (None, None, None) => Err(ValueError::custom("a number that is none")),
            },
            BorrowedValue::Text(text) => visitor.visit_borrowed_str(text),
            BorrowedValue::List(list) => {
                let mut members = SeqDeserializer::new(list.iter());
                let value = visitor.visit_seq(&mut members)?;
                members.end().map(|()| value)
            }
            BorrowedValue::Object(of) => {
                let mut members = MapDeserializer::new(of.0.iter().map(|(name, member)| (&**name, member)));
                let value = visitor.visit_map(&mut members)?;
                members.end().map(|()| value)
            }
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ValueError> {
        if *self == BorrowedValue::Null { visitor.visit_none() } else { visitor.visit_some(self) }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Result<V::Value, ValueError> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, ValueError> {
        match self.as_str() {
            Some(word) => word.into_deserializer().deserialize_enum(name, words, visitor),
            // Words alone are written for enums; the visitor says what it wants instead of anything else.
            None => self.deserialize_any(visitor),
        }
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map struct identifier ignored_any
    }
}

impl<'de> IntoDeserializer<'de, ValueError> for &'de BorrowedValue<'_> {
    type Deserializer = Self;
    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> Deserialize<'de> for BorrowedObject<'de> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(ObjectVisitor)
    }
}

impl<'de> Deserialize<'de> for BorrowedValue<'de> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(ValueVisitor)
    }
}

/// A text, borrowed where it can be. Serde's own `Cow` never borrows inside of something else.
struct BorrowedText<'l>(Cow<'l, str>);

impl<'de> Deserialize<'de> for BorrowedText<'de> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct TextVisitor;
        impl<'de> Visitor<'de> for TextVisitor {
            type Value = BorrowedText<'de>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text")
            }
            fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<BorrowedText<'de>, E> {
                Ok(BorrowedText(Cow::Borrowed(text)))
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<BorrowedText<'de>, E> {
                Ok(BorrowedText(Cow::Owned(text.to_owned())))
            }
        }
        from.deserialize_str(TextVisitor)
    }
}

struct ObjectVisitor;

impl<'de> Visitor<'de> for ObjectVisitor {
    type Value = BorrowedObject<'de>;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }
    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<BorrowedObject<'de>, A::Error> {
        // Sixteen members are those of a coat; other facts have fewer.
        let mut members = Vec::with_capacity(from.size_hint().unwrap_or(16).min(64));
        while let Some((BorrowedText(name), member)) = from.next_entry()? {
            members.push((name, member));
        }
        Ok(BorrowedObject(members))
    }
}

struct ValueVisitor;

impl<'de> Visitor<'de> for ValueVisitor {
    type Value = BorrowedValue<'de>;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("anything")
    }
    fn visit_unit<E: Error>(self) -> Result<BorrowedValue<'de>, E> {
        Ok(BorrowedValue::Null)
    }
    fn visit_bool<E: Error>(self, flag: bool) -> Result<BorrowedValue<'de>, E> {
        Ok(BorrowedValue::Bool(flag))
    }
    fn visit_u64<E: Error>(self, n: u64) -> Result<BorrowedValue<'de>, E> {
        Ok(BorrowedValue::Number(n.into()))
    }
    fn visit_i64<E: Error>(self, n: i64) -> Result<BorrowedValue<'de>, E> {
        Ok(BorrowedValue::Number(n.into()))
    }
    fn visit_f64<E: Error>(self, n: f64) -> Result<BorrowedValue<'de>, E> {
        Ok(Number::from_f64(n).map_or(BorrowedValue::Null, BorrowedValue::Number))
    }
    fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<BorrowedValue<'de>, E> {
        Ok(BorrowedValue::Text(Cow::Borrowed(text)))
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<BorrowedValue<'de>, E> {
        Ok(BorrowedValue::Text(Cow::Owned(text.to_owned())))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<BorrowedValue<'de>, A::Error> {
        let mut list = Vec::new();
        while let Some(member) = from.next_element()? {
            list.push(member);
        }
        Ok(BorrowedValue::List(list))
    }
    fn visit_map<A: MapAccess<'de>>(self, from: A) -> Result<BorrowedValue<'de>, A::Error> {
        ObjectVisitor.visit_map(from).map(BorrowedValue::Object)
    }
}

/// Why a member of a line cannot be taken, in words. The two are told apart, since a line that passes its check and says
/// something unknown comes from a newer version, and is not damaged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MemberError {
    /// It is missing, or not of the JSON type it always has.
    Malformed(String),
    /// It is of the right type and says what this version does not know.
    NotKnown(String),
}

impl From<MemberError> for String {
    fn from(error: MemberError) -> String {
        match error {
            MemberError::Malformed(reason) | MemberError::NotKnown(reason) => reason,
        }
    }
}

/// The members of a line being read, or of an object in it.
#[derive(Debug, Clone, Copy)]
pub struct Fields<'a>(&'a [(Cow<'a, str>, BorrowedValue<'a>)]);

impl<'a> Fields<'a> {
    /// The member, if it is there and not null.
    pub fn get(&self, name: &str) -> Option<&'a BorrowedValue<'a>> {
        let found = self.0.iter().rev().find(|(of, _)| of == name);
        found.map(|(_, member)| member).filter(|member| **member != BorrowedValue::Null)
    }
    fn require<T>(
        &self,
        name: &str,
        what: &str,
        read: impl FnOnce(&'a BorrowedValue<'a>) -> Option<T>,
    ) -> Result<T, MemberError> {
        let value = self.get(name).ok_or_else(|| MemberError::Malformed(format!("`{name}` is missing")))?;
        read(value).ok_or_else(|| MemberError::Malformed(format!("`{name}` is not {what}")))
    }
    /// A text.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn text(&self, name: &str) -> Result<&'a str, MemberError> {
        self.require(name, "a text", BorrowedValue::as_str)
    }
    /// A number.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn number(&self, name: &str) -> Result<f64, MemberError> {
        self.require(name, "a number", BorrowedValue::as_f64)
    }
    /// A whole number.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn integer(&self, name: &str) -> Result<i64, MemberError> {
        self.require(name, "a whole number", |m| m.as_number()?.as_i64())
    }
    /// A whole number not below zero.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn unsigned(&self, name: &str) -> Result<u64, MemberError> {
        self.require(name, "a whole number from 0", |m| m.as_number()?.as_u64())
    }
    /// A whole number not below zero that fits its type.
    ///
    /// # Errors
    /// If it is missing, something else, or too large.
    pub fn small<T: TryFrom<u64>>(&self, name: &str) -> Result<T, MemberError> {
        T::try_from(self.unsigned(name)?).map_err(|_| MemberError::NotKnown(format!("`{name}` is too large")))
    }
    /// Yes or no.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn flag(&self, name: &str) -> Result<bool, MemberError> {
        self.require(name, "yes or no", BorrowedValue::as_bool)
    }
    /// An object.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn object(&self, name: &str) -> Result<Fields<'a>, MemberError> {
        let inside =
            |m: &'a BorrowedValue<'a>| if let BorrowedValue::Object(of) = m { Some(of.fields()) } else { None };
        self.require(name, "an object", inside)
    }
    /// A text that `read` understands.
    ///
    /// # Errors
    /// If it is missing, no text, or not understood.
    pub fn parse_text<T>(&self, name: &str, read: impl FnOnce(&str) -> Option<T>) -> Result<T, MemberError> {
        let text = self.text(name)?;
        read(text).ok_or_else(|| MemberError::NotKnown(format!("`{name}` says \"{text}\", which is not known")))
    }
    /// What `read` makes of the member, if it is there and not null.
    ///
    /// # Errors
    /// Those of `read`.
    pub fn optional<T>(
        &self,
        name: &str,
        read: impl FnOnce(&Self) -> Result<T, MemberError>,
    ) -> Result<Option<T>, MemberError> {
        self.get(name).map(|_| read(self)).transpose()
    }
    /// A time.
    ///
    /// # Errors
    /// If it is missing, no text, or no time.
    pub fn stamp(&self, name: &str) -> Result<Stamp, MemberError> {
        self.parse_text(name, parse_stamp)
    }
}

/// The time a text tells, as journals keep it: RFC 3339.
fn parse_stamp(text: &str) -> Option<Stamp> {
    parse_written_stamp(text.as_bytes())
        .or_else(|| DateTime::parse_from_rfc3339(text).ok().map(|t| Stamp::from_ms(t.timestamp_millis())))
}

/// The one form this program writes, `2026-03-29T12:40:00.000Z`, which takes a tenth of the time of any form; a line has two.
fn parse_written_stamp(text: &[u8]) -> Option<Stamp> {
    let number = |from: usize, to: usize| {
        let digits = text.get(from..to)?;
        digits.iter().try_fold(0_u32, |sum, d| d.is_ascii_digit().then(|| sum * 10 + u32::from(d - b'0')))
    };
    let marks = [(4, b'-'), (7, b'-'), (10, b'T'), (13, b':'), (16, b':'), (19, b'.'), (23, b'Z')];
    if text.len() != 24 || marks.iter().any(|(at, mark)| text.get(*at) != Some(mark)) {
        return None;
    }
    let day = NaiveDate::from_ymd_opt(i32::try_from(number(0, 4)?).ok()?, number(5, 7)?, number(8, 10)?)?;
    let time = day.and_hms_milli_opt(number(11, 13)?, number(14, 16)?, number(17, 19)?, number(20, 23)?)?;
    Some(Stamp::from_ms(time.and_utc().timestamp_millis()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The whole of what is held of a text, and whether it is the line's own bytes.
    fn borrowed(flat: &BorrowedObject<'_>, name: &str) -> (String, bool) {
        match flat.fields().get(name) {
            Some(BorrowedValue::Text(Cow::Borrowed(text))) => ((*text).to_owned(), true),
            Some(BorrowedValue::Text(Cow::Owned(text))) => (text.clone(), false),
            other => panic!("{name} is {other:?}"),
        }
    }

    #[test]
    fn a_text_is_borrowed_unless_something_in_it_is_escaped() {
        let line = r#"{"plain":"by the window, é","quoted":"the \"good\" one\n","n\u0061me":"x","in":{"a":"b","c":"\t"},"l":["y","\\"]}"#;
        let flat = BorrowedObject::parse(line.as_bytes()).unwrap();
        assert_eq!(borrowed(&flat, "plain"), ("by the window, é".into(), true));
        assert_eq!(borrowed(&flat, "quoted"), ("the \"good\" one\n".into(), false));
        assert_eq!(borrowed(&flat, "name"), ("x".into(), true));
        let inside = flat.fields().object("in").unwrap();
        assert_eq!((inside.text("a"), inside.text("c")), (Ok("b"), Ok("\t")));
        let list = flat.fields().get("l").and_then(BorrowedValue::as_list).unwrap();
        assert_eq!(list.iter().filter_map(BorrowedValue::as_str).collect::<Vec<_>>(), ["y", "\\"]);
    }

    /// Held against chrono's reader of any form; a leap second and what is no time stay its to judge.
    #[test]
    fn a_time_is_read_as_chrono_reads_it() {
        for text in [
            "2026-03-29T12:40:00.000Z",
            "2024-02-29T23:59:59.999Z",
            "1969-12-31T23:59:59.001Z",
            "0001-01-01T00:00:00.000Z",
            "2026-02-29T00:00:00.000Z",
            "2026-03-29T24:00:00.000Z",
            "2016-12-31T23:59:60.000Z",
            "2026-03-29T12:40:00.000z",
            "2026-03-29 12:40:00.000Z",
            "2026-03-29T12:40:00Z",
            "2026-03-29T12:40:00.000+02:00",
            "+026-03-29T12:40:00.000Z",
            "2026-03-29T12:40:00.0000Z",
            "",
        ] {
            let chrono = DateTime::parse_from_rfc3339(text).ok().map(|t| Stamp::from_ms(t.timestamp_millis()));
            assert_eq!(parse_stamp(text), chrono, "{text}");
        }
        assert!(parse_written_stamp(b"2026-03-29T12:40:00.000Z").is_some());
    }

    #[test]
    fn members_are_what_they_are_and_nothing_else() {
        let line = br#"{"a":1,"b":-2,"c":1.5,"d":18446744073709551615,"e":null,"f":true,"g":1,"g":2,"h":"1"}"#;
        let flat = BorrowedObject::parse(line).unwrap();
        let of = flat.fields();
        assert_eq!((of.unsigned("a"), of.integer("b"), of.number("c")), (Ok(1), Ok(-2), Ok(1.5)));
        assert_eq!((of.number("a"), of.number("b"), of.unsigned("d")), (Ok(1.0), Ok(-2.0), Ok(u64::MAX)));
        assert_eq!(of.unsigned("g"), Ok(2), "of two with one name the later counts");
        for wrong in
            [of.integer("c"), of.integer("d"), of.integer("e"), of.integer("f"), of.integer("h"), of.integer("i")]
        {
            assert!(wrong.is_err());
        }
        assert!(of.unsigned("b").is_err() && of.text("a").is_err() && of.get("e").is_none());
        for bad in [&b"[1]"[..], b"1", b"{\"a\":1} 2", b"{\"a\":\xff}", b"{\"a\":\"\xff\"}", b"{", b"{\"a\":NaN}"] {
            assert!(BorrowedObject::parse(bad).is_err(), "{bad:?}");
        }
    }
}
