//! A site as borrowed structs, for parsers that do nothing but parse, and for the peer.

#![allow(dead_code, reason = "a parser fills what nobody reads")]

use serde::Deserialize;
use serde::de::{Deserializer, Error, Visitor};
use std::fmt;

/// A word or a number, as a fact is written.
#[derive(Clone, Copy, Debug)]
pub enum Word<'l> {
    Text(&'l str),
    Number(u32),
}

impl<'de: 'l, 'l> Deserialize<'de> for Word<'l> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Words;
        impl<'de> Visitor<'de> for Words {
            type Value = Word<'de>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a word or a number")
            }
            fn visit_borrowed_str<E: Error>(self, text: &'de str) -> Result<Word<'de>, E> {
                Ok(Word::Text(text))
            }
            fn visit_u64<E: Error>(self, number: u64) -> Result<Word<'de>, E> {
                u32::try_from(number).map(Word::Number).map_err(E::custom)
            }
            fn visit_i64<E: Error>(self, number: i64) -> Result<Word<'de>, E> {
                u32::try_from(number).map(Word::Number).map_err(E::custom)
            }
        }
        deserializer.deserialize_any(Words)
    }
}

#[derive(Debug, Deserialize)]
pub struct SiteRow<'l> {
    pub profile: &'l str,
    pub scope: &'l str,
    #[serde(borrow)]
    pub demands: DemandsRow<'l>,
    #[serde(borrow)]
    pub unit: Vec<UnitRow<'l>>,
    #[serde(borrow)]
    pub device: Vec<DeviceRow<'l>>,
    #[serde(borrow)]
    pub cable: Vec<CableRow<'l>>,
}

#[derive(Debug, Deserialize)]
pub struct DemandsRow<'l> {
    #[serde(rename = "link shape")]
    pub shape: &'l str,
    #[serde(rename = "terminators at")]
    pub terminators_at: &'l str,
    pub coordinators: &'l str,
    #[serde(rename = "unit count set on")]
    pub count_on: &'l str,
    #[serde(rename = "battery link at")]
    pub battery_at: &'l str,
    #[serde(rename = "sensors at")]
    pub sensors_at: &'l str,
    #[serde(rename = "addresses without gaps")]
    pub contiguous: Option<&'l str>,
    #[serde(rename = "coordinator place")]
    pub coordinator_place: Option<&'l str>,
    pub sockets: Option<&'l str>,
    #[serde(rename = "address range")]
    pub address_range: Option<&'l str>,
    #[serde(rename = "coordinator address", borrow)]
    pub coordinator_address: Option<Word<'l>>,
    #[serde(rename = "max units", borrow)]
    pub max_units: Option<Word<'l>>,
}

#[derive(Debug, Deserialize)]
pub struct UnitRow<'l> {
    pub name: &'l str,
    pub role: &'l str,
    #[serde(borrow)]
    pub address: Word<'l>,
    pub count: u16,
    pub terminator: &'l str,
    pub serial: Option<&'l str>,
    pub phase: Option<&'l str>,
}

#[derive(Debug, Deserialize)]
pub struct DeviceRow<'l> {
    pub name: &'l str,
    pub terminator: &'l str,
    pub asks: &'l str,
}

#[derive(Debug, Deserialize)]
pub struct CableRow<'l> {
    pub label: &'l str,
    pub kind: &'l str,
    pub from: &'l str,
    pub from_port: Option<&'l str>,
    pub to: &'l str,
    pub to_port: Option<&'l str>,
}
