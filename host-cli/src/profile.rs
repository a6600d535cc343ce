//! Profiles: what the maker's manual, the standards and common practice demand.
//!
//! A profile is a TOML file, built in or given. Nothing about one make of unit is in code.

mod contradictions;
mod frames;
mod read;

use crate::fold::Folded;
use crate::image::Names;
use crate::value;
use crate::vocabulary::Vocabulary;
use coldcheck_core::place::PortId;
use coldcheck_core::plan::{AddressRange, DataSet, Demand, DemandKind, Plan, PortClass};
use std::collections::BTreeMap;

pub use frames::{FrameKind, told};
pub use read::{builtin, builtin_names, kept, parse};

/// The profile that is assumed when no sheet names one.
pub const ASSUMED: &str = "plain";

/// A socket of a unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Port {
    /// Its name.
    pub name: String,
    /// What it is made for.
    pub class: PortClass,
    /// Other words for it, folded.
    pub words: Vec<Folded>,
}

/// A demand with its origin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Demanded {
    /// Its value as bits.
    pub bits: u32,
    /// Its value as written.
    pub text: String,
    /// Where it comes from: manual, standard, common practice, ours.
    pub from: String,
}

/// What is demanded of a group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Profile {
    /// Its name.
    pub name: String,
    /// What it is for.
    pub summary: String,
    /// The sockets, in order.
    pub ports: Vec<Port>,
    /// The demands.
    pub demands: BTreeMap<Demand, Demanded>,
    /// Data that must be declared.
    pub must_declare: DataSet,
    /// Frames by which a gateway understands the units.
    pub frames: Vec<FrameKind>,
}

impl Profile {
    /// What a plan image still tells of its profile: the name and the sockets.
    pub(crate) fn of_image(plan: &Plan<'_>, names: &Names) -> Self {
        let classes = plan.demands.ports();
        let port = |(position, name): (usize, &String)| {
            let id = PortId(u8::try_from(position).ok()?);
            let class = classes.and_then(|classes| classes.class(id))?;
            Some(Port { name: name.clone(), class, words: vec![Folded::of(name)] })
        };
        Self {
            name: names.profile.clone(),
            summary: String::new(),
            ports: names.ports.iter().enumerate().map_while(port).collect(),
            demands: BTreeMap::new(),
            must_declare: plan.demands.must_declare(),
            frames: Vec::new(),
        }
    }

    /// The socket that a word means.
    pub fn port(&self, word: &Folded) -> Option<PortId> {
        let position = self.ports.iter().position(|port| port.words.contains(word))?;
        u8::try_from(position).ok().map(PortId)
    }

    /// The names of the sockets.
    pub fn port_names(&self) -> Vec<&str> {
        self.ports.iter().map(|port| port.name.as_str()).collect()
    }

    /// The name of a socket.
    pub fn port_name(&self, port: PortId) -> &str {
        self.ports.get(port.index()).map_or("?", |port| port.name.as_str())
    }
}

/// The bits of a demand's value as it is written, or what was expected.
pub fn demand_bits(kind: DemandKind, text: &str) -> Result<u32, String> {
    match kind {
        DemandKind::Choice(words) => {
            let vocabulary = Vocabulary::over(words);
            vocabulary.code(&Folded::of(text)).map(u32::from).ok_or_else(|| vocabulary.phrase())
        }
        DemandKind::Length => value::length(text, None)
            .map(|length| length.0)
            .ok_or_else(|| "a length with its unit, such as 30 m or 100 ft".to_owned()),
        DemandKind::Resistance => value::resistance(text)
            .map(|ohms| ohms.0.into())
            .ok_or_else(|| "a resistance such as 120 ohm".to_owned()),
        DemandKind::BitRate => value::bit_rate(text)
            .map(|rate| rate.0)
            .ok_or_else(|| "a bit rate such as 500 kbit/s".to_owned()),
        DemandKind::Power => scaled(text, &[("kva", 1000), ("kw", 1000), ("va", 1), ("w", 1)])
            .ok_or_else(|| "a power such as 8 kVA".to_owned()),
        DemandKind::Voltage => scaled(text, &[("mv", 1), ("v", 1000)])
            .ok_or_else(|| "a voltage such as 450 V".to_owned()),
        DemandKind::Current => scaled(text, &[("ma", 1), ("a", 1000)])
            .ok_or_else(|| "a current such as 32 A".to_owned()),
        DemandKind::Capacitance => scaled(text, &[("uf", 1), ("µf", 1), ("mf", 1000)])
            .ok_or_else(|| "a capacitance such as 12 mF".to_owned()),
        DemandKind::Time => {
            scaled(text, &[("ms", 1), ("s", 1000)]).ok_or_else(|| "a time such as 20 ms".to_owned())
        }
        DemandKind::Whole => text.trim().parse().map_err(|_| "a whole number".to_owned()),
        DemandKind::Range => range(text)
            .map(AddressRange::to_bits)
            .ok_or_else(|| "a range of numbers such as 1-16, the lower one first".to_owned()),
        DemandKind::PinPair => pin_pair(text)
            .map(AddressRange::to_bits)
            .ok_or_else(|| "two pins from 1 to 8 such as 4 and 5".to_owned()),
        DemandKind::Ratio => value::ratio(text)
            .map(|ratio| ratio.0)
            .ok_or_else(|| "a ratio such as 2000:1".to_owned()),
        DemandKind::Pins => value::pins(text)
            .map(u32::from)
            .ok_or_else(|| "pins from 1 to 8 such as 1, 2, 3".to_owned()),
        DemandKind::Words(words) => several_words(words, text),
        DemandKind::Ports => Err("ports are listed in the profile, one table each".to_owned()),
    }
}

/// A bit for each word of a list, by the number of the word.
fn several_words(words: &'static [(&'static str, u8)], text: &str) -> Result<u32, String> {
    let vocabulary = Vocabulary::over(words);
    let mut bits = 0;
    for word in text.split([',', ';']).map(Folded::of).filter(|word| !word.is_empty()) {
        let code = vocabulary
            .code(&word)
            .ok_or_else(|| format!("words with commas between them: {}", vocabulary.phrase()))?;
        bits |= 1u32.checked_shl(code.into()).unwrap_or(0);
    }
    Ok(bits)
}

/// A number with one of these units, times the unit's factor.
fn scaled(text: &str, units: &[(&str, u64)]) -> Option<u32> {
    units.iter().find_map(|(unit, factor)| value::scaled(text, &[unit], *factor))
}

/// Two pins, in either order and with any sign between them.
fn pin_pair(text: &str) -> Option<AddressRange> {
    let folded = Folded::of(text).without(&["and", "pin", "pins", "to"]);
    let (one, two) = folded.pair()?;
    let (one, two): (u16, u16) = (one.parse().ok()?, two.parse().ok()?);
    let range = AddressRange { low: one.min(two), high: one.max(two) };
    ((1..=8).contains(&one) && (1..=8).contains(&two) && one != two).then_some(range)
}

fn range(text: &str) -> Option<AddressRange> {
    let folded = text.replace(['–', '—', '−'], "-").replace("to", "-").replace("..", "-");
    let (low, high) = folded.split_once('-')?;
    let (low, high) = (low.trim().parse().ok()?, high.trim().parse().ok()?);
    (low <= high).then_some(AddressRange { low, high })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_pins_are_written_in_any_way() {
        for text in ["4, 5", "4-5", "5 and 4", "pins 4/5", "4 5"] {
            assert_eq!(pin_pair(text), Some(AddressRange { low: 4, high: 5 }), "{text}");
        }
        for text in ["4", "4, 4", "4, 5, 6", "0, 1", "8 9", "a b"] {
            assert_eq!(pin_pair(text), None, "{text}");
        }
    }

    #[test]
    fn ranges_are_written_with_any_dash() {
        for text in ["1-16", "1 – 16", "1..16", "1 to 16"] {
            assert_eq!(range(text), Some(AddressRange { low: 1, high: 16 }), "{text}");
        }
        assert_eq!(range("16-1"), None);
        assert_eq!(range("1"), None);
    }

    #[test]
    fn a_demand_takes_the_words_that_people_use() {
        assert_eq!(demand_bits(Demand::ArrowTowards.kind(), "load"), Ok(1));
        assert_eq!(demand_bits(Demand::LinkShape.kind(), "RING"), Ok(2));
        assert_eq!(demand_bits(Demand::LinkShape.kind(), "star"), Err("line or ring".to_owned()));
    }
}
