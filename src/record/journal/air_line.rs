//! How a reading of the air stands on a line: degrees Celsius and per cent.
//!
//! Absent on purpose: the line around it (`line`), which readings are believed (`work::air`).

use super::line::{Fact, Fields, Header, Members};
use crate::units::{Humidity, Temperature};
use crate::work::air::Event;

impl Fact for Event {
    const FORMAT: &'static str = "sottile-air";

    fn word(&self) -> &str {
        self.name()
    }

    /// There is one journal of the air, so every reading can be its first line.
    fn header(&self) -> Option<Header<'_>> {
        Some(Header { id: None, label: "air" })
    }

    fn put(&self, to: &mut Members) {
        match self {
            Event::Read { temp, rh } => {
                to.put("temp_c", &temp.c());
                to.put("rh_pct", &rh.pct());
            }
            Event::Newer { fact } => to.refuse(&format!("\"{fact}\" is a fact of a newer version")),
        }
    }

    fn take(word: &str, from: &Fields<'_>) -> Result<Option<Self>, String> {
        Ok(match word {
            "read" => Some(Event::Read {
                temp: Temperature::from_c(from.number("temp_c")?),
                rh: Humidity::from_pct(from.number("rh_pct")?),
            }),
            _ => None,
        })
    }

    fn newer(word: &str) -> Self {
        Event::Newer { fact: word.to_owned() }
    }
}
