//! Values of the core in words, for every output alike.

use crate::phrase::counted;
use coldcheck_core::finding::Quantity;
use coldcheck_core::heard::BusTrouble;
use coldcheck_core::plan::{DemandKind, Scope};
use coldcheck_core::units::{MilliRatio, Millimetres};

/// Lines of text for people are no longer than this.
pub const WIDTH: usize = 80;

/// What every output that makes a person touch something says once.
pub const CAUTIONS: &str = "Before touching anything: switch off and lock off every source \
    (supply, generator, solar, battery), wait for the capacitors, and prove dead with a meter. \
    Local code and licensed practice come before anything said here. The checks cover what was \
    written down; they do not say that the plant is safe.";

/// What no person at a current transformer may forget.
pub const NEVER_OPEN: &str = "Never open the secondary of a current transformer while current \
    flows: thousands of volts stand across the gap. Short it first, or take the load off.";

/// The parts of a scope.
pub fn scope(scope: Scope) -> Vec<&'static str> {
    [(Scope::COMMUNICATION, "communication"), (Scope::POWER, "power")]
        .into_iter()
        .filter(|(part, _)| scope.covers(*part))
        .map(|(_, word)| word)
        .collect()
}

/// A length in metres: `1.5 m`.
pub fn length(length: Millimetres) -> String {
    format!("{} m", thousandths(length.0))
}

/// A ratio: `2000:1`.
pub fn ratio(ratio: MilliRatio) -> String {
    format!("{}:1", thousandths(ratio.0))
}

/// A bit rate in the largest unit that leaves a whole number.
pub fn bit_rate(bits_per_second: u32) -> String {
    match bits_per_second {
        rate if rate % 1_000_000 == 0 && rate > 0 => format!("{} Mbit/s", rate / 1_000_000),
        rate if rate % 1000 == 0 && rate > 0 => format!("{} kbit/s", rate / 1000),
        rate => format!("{rate} bit/s"),
    }
}

/// A number of thousandths with as many places as it needs.
pub(crate) fn thousandths(number: u32) -> String {
    let text = format!("{}.{:03}", number / 1000, number % 1000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The value of a demand.
pub fn demand(kind: DemandKind, bits: u32) -> String {
    match kind {
        DemandKind::Choice(words) => words
            .iter()
            .find(|(_, code)| u32::from(*code) == bits)
            .map_or_else(|| format!("number {bits}"), |(word, _)| (*word).to_owned()),
        DemandKind::Length => length(Millimetres(bits)),
        DemandKind::Resistance => format!("{bits} ohm"),
        DemandKind::BitRate => bit_rate(bits),
        DemandKind::Whole => bits.to_string(),
        DemandKind::Power if bits >= 1000 => format!("{} kVA", thousandths(bits)),
        DemandKind::Power => format!("{bits} VA"),
        DemandKind::Voltage => format!("{} V", thousandths(bits)),
        DemandKind::Current => format!("{} A", thousandths(bits)),
        DemandKind::Capacitance => format!("{bits} µF"),
        DemandKind::Time => format!("{bits} ms"),
        DemandKind::Range => format!("{}-{}", bits >> 16, bits & 0xFFFF),
        DemandKind::PinPair => format!("{} and {}", bits >> 16, bits & 0xFFFF),
        DemandKind::Ratio => ratio(MilliRatio(bits)),
        DemandKind::Pins => numbered(bits, 1),
        DemandKind::Words(words) => {
            let stated = words.iter().filter(|(_, code)| bits >> u32::from(*code) & 1 != 0);
            stated.map(|(word, _)| *word).collect::<Vec<_>>().join(", ")
        }
        DemandKind::Ports => format!("{bits:#010x}"),
    }
}

/// The numbers of the bits that are set: `1, 2, 3`.
pub fn numbered(bits: u32, first: u32) -> String {
    let set = (0..u32::BITS).filter(|bit| bits >> bit & 1 != 0);
    set.map(|bit| (bit + first).to_string()).collect::<Vec<_>>().join(", ")
}

/// A number of a finding; `None` for those whose words stand in the sheets.
pub fn quantity(quantity: Quantity) -> Option<String> {
    Some(match quantity {
        Quantity::Address(address) => address.to_string(),
        Quantity::Units(units) => units.to_string(),
        Quantity::Terminators(count) => counted(count.into(), "terminator"),
        Quantity::Pieces(pieces) => pieces.to_string(),
        Quantity::Length(millimetres) => length(millimetres),
        Quantity::Addresses(range) => format!("{} to {}", range.low, range.high),
        Quantity::Packs(packs) => packs.to_string(),
        Quantity::Resistance(ohms) => format!("{} ohm", ohms.0),
        Quantity::Ratio(number) => ratio(number),
        Quantity::BitRate(rate) => bit_rate(rate.0),
        Quantity::Current(current) => format!("{} A", thousandths(current.0)),
        Quantity::State(state) => state.word().to_owned(),
        Quantity::Setting(setting) => setting.word().to_owned(),
        Quantity::Pairing(pairing) => pairing.word().to_owned(),
        Quantity::Role(role) => role.word().to_owned(),
        Quantity::Version(parts) => version(parts),
        Quantity::Serial(serial) => serial.to_string(),
        Quantity::Trouble(trouble) => trouble_words(trouble).to_owned(),
        Quantity::Word(_) | Quantity::Capacity(_) => return None,
    })
}

/// A version as people write it: zeros at the end left out, but two parts kept.
pub(crate) fn version(parts: u32) -> String {
    let [major, minor, rest @ ..] = parts.to_be_bytes();
    match rest {
        [0, 0] => format!("{major}.{minor}"),
        [patch, 0] => format!("{major}.{minor}.{patch}"),
        [patch, build] => format!("{major}.{minor}.{patch}.{build}"),
    }
}

pub(crate) const fn trouble_words(trouble: BusTrouble) -> &'static str {
    match trouble {
        BusTrouble::NobodyConfirms => "nobody confirms its frames, so it is alone on the pair",
        BusTrouble::NothingPasses => {
            "it cannot send and hears nothing, as with a short across the pair or the two wires \
             swapped"
        }
        BusTrouble::NothingFits => {
            "it hears something and no frame is right, as with another bit rate"
        }
        BusTrouble::SomeAreLost => {
            "frames are heard and others destroyed, as with terminators, length, noise or a \
             doubled address"
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_carry_no_more_places_than_they_need() {
        assert_eq!(length(Millimetres(1500)), "1.5 m");
        assert_eq!(length(Millimetres(2000)), "2 m");
        assert_eq!(length(Millimetres(1829)), "1.829 m");
        assert_eq!(ratio(MilliRatio(2_000_000)), "2000:1");
        assert_eq!(bit_rate(500_000), "500 kbit/s");
        assert_eq!(bit_rate(9_600), "9600 bit/s");
        assert_eq!(bit_rate(1_000_000), "1 Mbit/s");
        assert_eq!(version(0x020E_0000), "2.14");
        assert_eq!(version(0x0300_0100), "3.0.1");
        assert_eq!(version(0x0100_0002), "1.0.0.2");
    }
}
