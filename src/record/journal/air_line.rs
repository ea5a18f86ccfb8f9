//! How a reading of the air stands on a line: degrees Celsius and per cent.

use super::line::{Fields, Header, JournalEvent, MemberError, MemberWriter};
use crate::units::{Humidity, Temperature};
use crate::work::air::AirEvent;

impl JournalEvent for AirEvent {
    const FORMAT: &'static str = "sottile-air";

    fn event_name(&self) -> &str {
        self.name()
    }

    /// There is one journal of the air, so every reading can be its first line.
    fn header(&self) -> Option<Header<'_>> {
        Some(Header { id: None, label: "air" })
    }

    fn write_members(&self, to: &mut MemberWriter) {
        match self {
            AirEvent::Read { temp, rh } => {
                to.put("temp_c", &temp.c());
                to.put("rh_pct", &rh.pct());
            }
            AirEvent::Unknown { name: fact } => to.set_error(&format!("\"{fact}\" is a word of a newer version")),
        }
    }

    fn parse_members(word: &str, from: &Fields<'_>) -> Result<Option<Self>, MemberError> {
        Ok(match word {
            "read" => Some(AirEvent::Read {
                temp: Temperature::from_c(from.number("temp_c")?),
                rh: Humidity::from_pct(from.number("rh_pct")?),
            }),
            _ => None,
        })
    }

    fn from_newer_name(word: &str) -> Self {
        AirEvent::Unknown { name: word.to_owned() }
    }
}
