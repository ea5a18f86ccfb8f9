//! A line as it is read: its members in a row, looked up by name, every text borrowed from the line unless something in
//! it is escaped.
//!
//! Of ten thousand stories most of the work is reading lines, and of a line most members are passed over. So nothing is
//! sorted, and nothing is copied that the bytes hold already: a `Cow` borrows where it can, and holds a text of its own
//! where the line says `\"` or `\n`. What is inside a member (a stage, a size) is read the same way. Absent on purpose:
//! which members a fact has (`panel_line` and its like), the check (`line`).

use super::line::stamp_from_text;
use crate::units::Stamp;
use serde::de::{Deserialize, DeserializeOwned, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Number, Value};
use std::borrow::Cow;
use std::fmt;

/// An object: its members in the order written. Of two with one name the later counts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Flat<'l>(Vec<(Cow<'l, str>, Member<'l>)>);

/// What stands behind a name.
#[derive(Debug, Clone, PartialEq)]
pub enum Member<'l> {
    /// Nothing.
    Null,
    /// Yes or no.
    Flag(bool),
    /// A number.
    Number(Number),
    /// A text.
    Text(Cow<'l, str>),
    /// A list.
    List(Vec<Member<'l>>),
    /// An object.
    Object(Flat<'l>),
}

impl<'l> Flat<'l> {
    /// The members of a line.
    ///
    /// # Errors
    /// What is wrong with it, if it is no JSON object.
    pub fn of(raw: &'l [u8]) -> Result<Flat<'l>, String> {
        let text = std::str::from_utf8(raw).map_err(|e| e.to_string())?;
        serde_json::from_str(text).map_err(|e| e.to_string())
    }
    /// Ways to look its members up.
    pub fn fields(&self) -> Fields<'_> {
        Fields(&self.0)
    }
}

impl Member<'_> {
    /// A text.
    pub fn as_str(&self) -> Option<&str> {
        if let Member::Text(text) = self { Some(text) } else { None }
    }
    /// Yes or no.
    pub fn as_bool(&self) -> Option<bool> {
        if let Member::Flag(flag) = self { Some(*flag) } else { None }
    }
    /// A list.
    pub fn as_list(&self) -> Option<&[Self]> {
        if let Member::List(list) = self { Some(list) } else { None }
    }
    /// A number.
    pub fn as_f64(&self) -> Option<f64> {
        self.as_number().and_then(Number::as_f64)
    }
    fn as_number(&self) -> Option<&Number> {
        if let Member::Number(number) = self { Some(number) } else { None }
    }

    /// The value this stands for, where its type reads itself.
    ///
    /// # Errors
    /// What the type says.
    pub fn read<T: DeserializeOwned>(&self) -> Result<T, serde_json::Error> {
        serde_json::from_value(self.value())
    }

    /// The same as a value of its own.
    fn value(&self) -> Value {
        match self {
            Member::Null => Value::Null,
            Member::Flag(flag) => Value::Bool(*flag),
            Member::Number(number) => Value::Number(number.clone()),
            Member::Text(text) => Value::String(text.clone().into_owned()),
            Member::List(list) => list.iter().map(Member::value).collect(),
            Member::Object(of) => of.0.iter().map(|(name, m)| (name.clone().into_owned(), m.value())).collect(),
        }
    }
}

impl<'de> Deserialize<'de> for Flat<'de> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(Members)
    }
}

impl<'de> Deserialize<'de> for Member<'de> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Anything)
    }
}

/// A text, borrowed where it can be. Serde's own `Cow` never borrows inside of something else.
struct Text<'l>(Cow<'l, str>);

impl<'de> Deserialize<'de> for Text<'de> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Words;
        impl<'de> Visitor<'de> for Words {
            type Value = Text<'de>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text")
            }
            fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<Text<'de>, E> {
                Ok(Text(Cow::Borrowed(text)))
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<Text<'de>, E> {
                Ok(Text(Cow::Owned(text.to_owned())))
            }
        }
        from.deserialize_str(Words)
    }
}

struct Members;

impl<'de> Visitor<'de> for Members {
    type Value = Flat<'de>;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }
    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<Flat<'de>, A::Error> {
        // Twelve members are usual.
        let mut members = Vec::with_capacity(from.size_hint().unwrap_or(12).min(64));
        while let Some((Text(name), member)) = from.next_entry()? {
            members.push((name, member));
        }
        Ok(Flat(members))
    }
}

struct Anything;

impl<'de> Visitor<'de> for Anything {
    type Value = Member<'de>;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("anything")
    }
    fn visit_unit<E: Error>(self) -> Result<Member<'de>, E> {
        Ok(Member::Null)
    }
    fn visit_bool<E: Error>(self, flag: bool) -> Result<Member<'de>, E> {
        Ok(Member::Flag(flag))
    }
    fn visit_u64<E: Error>(self, n: u64) -> Result<Member<'de>, E> {
        Ok(Member::Number(n.into()))
    }
    fn visit_i64<E: Error>(self, n: i64) -> Result<Member<'de>, E> {
        Ok(Member::Number(n.into()))
    }
    fn visit_f64<E: Error>(self, n: f64) -> Result<Member<'de>, E> {
        Ok(Number::from_f64(n).map_or(Member::Null, Member::Number))
    }
    fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<Member<'de>, E> {
        Ok(Member::Text(Cow::Borrowed(text)))
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<Member<'de>, E> {
        Ok(Member::Text(Cow::Owned(text.to_owned())))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Member<'de>, A::Error> {
        let mut list = Vec::new();
        while let Some(member) = from.next_element()? {
            list.push(member);
        }
        Ok(Member::List(list))
    }
    fn visit_map<A: MapAccess<'de>>(self, from: A) -> Result<Member<'de>, A::Error> {
        Members.visit_map(from).map(Member::Object)
    }
}

/// The members of a line being read, or of an object in it.
#[derive(Debug, Clone, Copy)]
pub struct Fields<'a>(&'a [(Cow<'a, str>, Member<'a>)]);

impl<'a> Fields<'a> {
    /// The member, if it is there and not null.
    pub fn some(&self, name: &str) -> Option<&'a Member<'a>> {
        let found = self.0.iter().rev().find(|(of, _)| of == name);
        found.map(|(_, member)| member).filter(|member| **member != Member::Null)
    }
    fn must<T>(&self, name: &str, what: &str, read: impl FnOnce(&'a Member<'a>) -> Option<T>) -> Result<T, String> {
        let value = self.some(name).ok_or_else(|| format!("`{name}` is missing"))?;
        read(value).ok_or_else(|| format!("`{name}` is not {what}"))
    }
    /// A text.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn text(&self, name: &str) -> Result<&'a str, String> {
        self.must(name, "a text", Member::as_str)
    }
    /// A number.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn number(&self, name: &str) -> Result<f64, String> {
        self.must(name, "a number", Member::as_f64)
    }
    /// A whole number.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn whole(&self, name: &str) -> Result<i64, String> {
        self.must(name, "a whole number", |m| m.as_number()?.as_i64())
    }
    /// A whole number not below zero.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn count(&self, name: &str) -> Result<u64, String> {
        self.must(name, "a whole number from 0", |m| m.as_number()?.as_u64())
    }
    /// An object.
    ///
    /// # Errors
    /// If it is missing or something else.
    pub fn object(&self, name: &str) -> Result<Fields<'a>, String> {
        let inside = |m: &'a Member<'a>| if let Member::Object(of) = m { Some(of.fields()) } else { None };
        self.must(name, "an object", inside)
    }
    /// A text that `read` understands.
    ///
    /// # Errors
    /// If it is missing, no text, or not understood.
    pub fn word<T>(&self, name: &str, read: impl FnOnce(&str) -> Option<T>) -> Result<T, String> {
        let text = self.text(name)?;
        read(text).ok_or_else(|| format!("`{name}` says \"{text}\", which is not known"))
    }
    /// What `read` makes of the member, if it is there and not null.
    ///
    /// # Errors
    /// Those of `read`.
    pub fn maybe<T>(&self, name: &str, read: impl FnOnce(&Self) -> Result<T, String>) -> Result<Option<T>, String> {
        self.some(name).map(|_| read(self)).transpose()
    }
    /// A time.
    ///
    /// # Errors
    /// If it is missing, no text, or no time.
    pub fn stamp(&self, name: &str) -> Result<Stamp, String> {
        self.word(name, stamp_from_text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The whole of what is held of a text, and whether it is the line's own bytes.
    fn borrowed(flat: &Flat<'_>, name: &str) -> (String, bool) {
        match flat.fields().some(name) {
            Some(Member::Text(Cow::Borrowed(text))) => ((*text).to_owned(), true),
            Some(Member::Text(Cow::Owned(text))) => (text.clone(), false),
            other => panic!("{name} is {other:?}"),
        }
    }

    #[test]
    fn a_text_is_borrowed_unless_something_in_it_is_escaped() {
        let line = r#"{"plain":"by the window, é","quoted":"the \"good\" one\n","n\u0061me":"x","in":{"a":"b","c":"\t"},"l":["y","\\"]}"#;
        let flat = Flat::of(line.as_bytes()).unwrap();
        assert_eq!(borrowed(&flat, "plain"), ("by the window, é".into(), true));
        assert_eq!(borrowed(&flat, "quoted"), ("the \"good\" one\n".into(), false));
        assert_eq!(borrowed(&flat, "name"), ("x".into(), true));
        let inside = flat.fields().object("in").unwrap();
        assert_eq!((inside.text("a"), inside.text("c")), (Ok("b"), Ok("\t")));
        let list = flat.fields().some("l").and_then(Member::as_list).unwrap();
        assert_eq!(list.iter().filter_map(Member::as_str).collect::<Vec<_>>(), ["y", "\\"]);
    }

    #[test]
    fn members_are_what_they_are_and_nothing_else() {
        let line = br#"{"a":1,"b":-2,"c":1.5,"d":18446744073709551615,"e":null,"f":true,"g":1,"g":2,"h":"1"}"#;
        let flat = Flat::of(line).unwrap();
        let of = flat.fields();
        assert_eq!((of.count("a"), of.whole("b"), of.number("c")), (Ok(1), Ok(-2), Ok(1.5)));
        assert_eq!((of.number("a"), of.number("b"), of.count("d")), (Ok(1.0), Ok(-2.0), Ok(u64::MAX)));
        assert_eq!(of.count("g"), Ok(2), "of two with one name the later counts");
        for wrong in [of.whole("c"), of.whole("d"), of.whole("e"), of.whole("f"), of.whole("h"), of.whole("i")] {
            assert!(wrong.is_err());
        }
        assert!(of.count("b").is_err() && of.text("a").is_err() && of.some("e").is_none());
        for bad in [&b"[1]"[..], b"1", b"{\"a\":1} 2", b"{\"a\":\xff}", b"{\"a\":\"\xff\"}", b"{", b"{\"a\":NaN}"] {
            assert!(Flat::of(bad).is_err(), "{bad:?}");
        }
    }
}
