//! What physics and the open standards allow on a shared pair: how long, how many, which pins.
//!
//! Nothing here is looked up that can be computed. Two media are known: controller area network
//! (CAN high speed) and TIA/EIA-485. Lengths come out in millimetres and are rounded down.
//!
//! # CAN
//!
//! A bit must get from one end of the bus to the other and back before it is sampled. Of the
//! quanta before the sample point, two passes through a node take 1.5 each; the others, 3 of 8, 5
//! of 10 or 11 of 16, are left to the line. From this one time, at 5 ns a metre, follow
//!
//! - the longest bus: the line there and back, cut to the next of the series 1, 2.5, 5, 10, …;
//! - all stubs together: a tenth of the time, one way;
//! - one stub: a fiftieth of the time, one way.
//!
//! *Computed*: the time, and with it every stub and the bound of the bus. *Conventions*: the
//! quanta and the sample points; 1.5 quanta a node; the factors 10 and 50; the series. They give
//! every row of the published table (`CiA` DS-102 v2.0 and 303-1, read second-hand; the stub
//! factors from memory). The table itself assumes 300 ns a node at 500 kbit/s and 210 ns above,
//! which is more than 1.5 quanta; cutting to the series covers that, as `tests/bus.rs` shows. It
//! does not cover nodes behind opto-couplers above 500 kbit/s.
//!
//! *Between two rows* a bus is as long as at the faster row, though the bound may reach a longer
//! step of the series: where it only just does, it leaves less room for the nodes than any row.
//! Stubs follow from the rate itself, with the quanta of the faster row. Below the slowest row
//! nothing grows.
//!
//! # TIA/EIA-485
//!
//! Bit rate times length is at most 100,000,000 bit m/s, and no pair is longer than 1,200 m
//! (maker's notes, read second-hand). The often printed 1,200 m at 100 kbit/s and 12 m at
//! 10 Mbit/s are a fifth more than that; the shorter is taken. A stub depends on the edge, not on
//! the bit rate.

use crate::plan::{Medium, Wiring};
use crate::units::{BitsPerSecond, Millimetres, Ohms};

/// Delay of a twisted pair, in picoseconds a metre.
///
/// Source: ISO 11898, nominal 5 ns/m (read second-hand).
pub const LINE_DELAY_PS_PER_M: u32 = 5_000;

/// The bit rates of the rows of the table. The last is also the fastest outside a data phase.
static CAN_ROWS: [u32; 8] = [10_000, 20_000, 50_000, 125_000, 250_000, 500_000, 800_000, 1_000_000];
/// The fastest rate of the published curve of TIA/EIA-485.
const RS485_FASTEST: u32 = 10_000_000;
/// The longest pair of TIA/EIA-485.
const RS485_LONGEST: u32 = 1_200_000;
/// The lowest load that a CAN driver must work into. Source: a maker's note on ISO 11898-2.
const CAN_LOWEST_LOAD: u32 = 45;
/// The lowest load that a driver of TIA/EIA-485 must work into (read second-hand).
const RS485_LOWEST_LOAD: u32 = 54;
/// 32 unit loads across the pair: each is 12 kΩ from either wire to common, so 24 kΩ from wire to
/// wire (TIA/EIA-485-A, read second-hand).
const RS485_UNIT_LOADS_OHMS: u32 = 750;

/// Into how many quanta a bit of CAN is cut, and after how many of them it is sampled.
///
/// Source: `CiA` DS-102 v2.0 (read second-hand). Between the rows of its table, those of the next
/// faster row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Quanta {
    /// Quanta in one bit.
    pub bit: u32,
    /// Quanta before the sample point.
    pub sample_point: u32,
}

/// The quanta of a bit at this rate.
///
/// `None` at zero and above 1 Mbit/s, where the table says nothing.
///
/// ```
/// use coldcheck_core::bus::{Quanta, quanta};
/// use coldcheck_core::units::BitsPerSecond;
///
/// assert_eq!(quanta(BitsPerSecond(500_000)), Some(Quanta { bit: 16, sample_point: 14 }));
/// assert_eq!(quanta(BitsPerSecond(2_000_000)), None);
/// ```
pub const fn quanta(rate: BitsPerSecond) -> Option<Quanta> {
    match rate.0 {
        1..=500_000 => Some(Quanta { bit: 16, sample_point: 14 }),
        500_001..=800_000 => Some(Quanta { bit: 10, sample_point: 8 }),
        800_001..=1_000_000 => Some(Quanta { bit: 8, sample_point: 6 }),
        _ => None,
    }
}

/// Length of one bit, in nanoseconds, rounded down.
fn bit_time_ns(rate: BitsPerSecond) -> Option<u32> {
    1_000_000_000_u32.checked_div(rate.0)
}

/// What a bit of CAN leaves to the line, there and back, in nanoseconds: at most 68,750.
///
/// Out of line: three callers share it.
#[inline(never)]
fn line_time_ns(rate: BitsPerSecond) -> Option<u32> {
    let quanta = quanta(rate)?;
    let [slowest, ..] = CAN_ROWS;
    let bit = bit_time_ns(rate.max(BitsPerSecond(slowest)))?;
    // Two passes through a node, 1.5 quanta each.
    bit.wrapping_mul(quanta.sample_point.wrapping_sub(3)).checked_div(quanta.bit)
}

/// The next lower length of the series 1, 2.5, 5, 10, 25, 50, …
fn cut_to_series(length: u32) -> u32 {
    let mut decade = 1_u32;
    while let Some(next) = decade.checked_mul(10).filter(|next| *next <= length) {
        decade = next;
    }
    let two_and_a_half = decade.wrapping_mul(2).wrapping_add(decade >> 1);
    match decade.checked_mul(5) {
        Some(five) if five <= length => five,
        _ if two_and_a_half <= length => two_and_a_half,
        _ => decade.min(length),
    }
}

/// The longest bus, from end to end.
///
/// `None` where no published rule speaks of the rate: zero, above 1 Mbit/s (CAN), above 10 Mbit/s
/// (TIA/EIA-485). Sources: head of this module.
///
/// ```
/// use coldcheck_core::bus::longest_link;
/// use coldcheck_core::plan::Medium;
/// use coldcheck_core::units::{BitsPerSecond, Millimetres};
///
/// assert_eq!(longest_link(Medium::Can, BitsPerSecond(250_000)), Some(Millimetres(250_000)));
/// // Between the rows of 125 and 50 kbit/s: as long as at 125 kbit/s.
/// assert_eq!(longest_link(Medium::Can, BitsPerSecond(100_000)), Some(Millimetres(500_000)));
/// assert_eq!(longest_link(Medium::Rs485, BitsPerSecond(1_000_000)), Some(Millimetres(100_000)));
/// ```
pub fn longest_link(medium: Medium, rate: BitsPerSecond) -> Option<Millimetres> {
    match medium {
        // There and back at 5 ns a metre: a tenth of a metre for each nanosecond.
        Medium::Can if rate.0 > 0 => {
            let row = CAN_ROWS.iter().find(|row| **row >= rate.0)?;
            let time = line_time_ns(BitsPerSecond(*row))?;
            Some(Millimetres(cut_to_series(time.wrapping_mul(100))))
        }
        // 100,000,000 bit m/s: again a tenth of a metre for each nanosecond of a bit.
        Medium::Rs485 if rate.0 <= RS485_FASTEST => {
            Some(Millimetres(bit_time_ns(rate)?.saturating_mul(100).min(RS485_LONGEST)))
        }
        Medium::Can | Medium::Rs485 => None,
    }
}

/// The longest single side branch off the line, at this bit rate.
///
/// `None` where [`longest_link`] gives none, and for TIA/EIA-485: see [`longest_stub_for_edge`].
/// At 1 Mbit/s ISO 11898-2 itself allows only 0.3 m (read second-hand).
///
/// ```
/// use coldcheck_core::bus::longest_stub;
/// use coldcheck_core::plan::Medium;
/// use coldcheck_core::units::{BitsPerSecond, Millimetres};
///
/// assert_eq!(longest_stub(Medium::Can, BitsPerSecond(500_000)), Some(Millimetres(5_500)));
/// ```
pub fn longest_stub(medium: Medium, rate: BitsPerSecond) -> Option<Millimetres> {
    stubs(medium, rate, 4)
}

/// The longest sum of all side branches, at this bit rate. `None` as for [`longest_stub`].
///
/// ```
/// use coldcheck_core::bus::longest_stubs_together;
/// use coldcheck_core::plan::Medium;
/// use coldcheck_core::units::{BitsPerSecond, Millimetres};
///
/// let together = longest_stubs_together(Medium::Can, BitsPerSecond(500_000));
/// assert_eq!(together, Some(Millimetres(27_500)));
/// ```
pub fn longest_stubs_together(medium: Medium, rate: BitsPerSecond) -> Option<Millimetres> {
    stubs(medium, rate, 20)
}

/// So many millimetres for each nanosecond left to the line: 1,000 / (50 × 5) or 1,000 / (10 × 5).
fn stubs(medium: Medium, rate: BitsPerSecond, millimetres_per_ns: u32) -> Option<Millimetres> {
    match medium {
        Medium::Can => Some(Millimetres(line_time_ns(rate)?.wrapping_mul(millimetres_per_ns))),
        Medium::Rs485 => None,
    }
}

/// The longest side branch for a driver whose edge rises in so many nanoseconds: one way takes a
/// tenth of the rise time.
///
/// The line delay is in picoseconds a metre, [`LINE_DELAY_PS_PER_M`] if the cable's own is not
/// known; `None` if it is zero. Source: a maker's guide to TIA/EIA-485 (read second-hand); another
/// maker counts both ways and so allows half.
///
/// ```
/// use coldcheck_core::bus::{LINE_DELAY_PS_PER_M, longest_stub_for_edge};
/// use coldcheck_core::units::Millimetres;
///
/// assert_eq!(longest_stub_for_edge(100, LINE_DELAY_PS_PER_M), Some(Millimetres(2_000)));
/// ```
pub fn longest_stub_for_edge(rise_ns: u32, line_delay_ps_per_m: u32) -> Option<Millimetres> {
    // An edge slower than 42 microseconds saturates: the stub comes out shorter than it may be.
    rise_ns.saturating_mul(100_000).checked_div(line_delay_ps_per_m).map(Millimetres)
}

/// What a terminator has where nobody states another value. Source: ISO 11898-2 and TIA/EIA-485-A
/// (both read second-hand).
pub const TERMINATOR: Ohms = Ohms(120);

/// The most nodes that a driver can work into, beside two terminators of this value.
///
/// The resistance is the least of one node, from wire to wire, in ohms. Data sheets for TIA/EIA-485
/// give that from one wire to common: from wire to wire it is twice as much, and there the count
/// also ends at 32 unit loads. Zero if the terminators alone load a driver too much. Sources:
/// lowest load 45 Ω for CAN (maker's note on ISO 11898-2), 54 Ω and 32 unit loads of 12 kΩ for
/// TIA/EIA-485-A (read second-hand).
///
/// ```
/// use coldcheck_core::bus::most_nodes;
/// use coldcheck_core::plan::Medium;
/// use coldcheck_core::units::Ohms;
///
/// assert_eq!(most_nodes(Medium::Can, Ohms(120), 40_000), 222);
/// assert_eq!(most_nodes(Medium::Rs485, Ohms(120), 24_000), 32);
/// assert_eq!(most_nodes(Medium::Can, Ohms(60), 40_000), 0);
/// ```
pub fn most_nodes(medium: Medium, terminator: Ohms, least_node_ohms: u32) -> u32 {
    let lowest = match medium {
        Medium::Can => CAN_LOWEST_LOAD,
        Medium::Rs485 => RS485_LOWEST_LOAD,
    };
    // From n / node + 2 / terminator <= 1 / lowest. Where the product saturates, more than 1,200
    // nodes are left: more than a plan can hold.
    let terminator = u32::from(terminator.0);
    let spare = terminator.saturating_sub(lowest.wrapping_mul(2));
    let whole = terminator.wrapping_mul(lowest);
    let by_load = least_node_ohms.saturating_mul(spare).checked_div(whole).unwrap_or(0);
    match medium {
        Medium::Can => by_load,
        Medium::Rs485 => {
            by_load.min(least_node_ohms.checked_div(RS485_UNIT_LOADS_OHMS).unwrap_or(0))
        }
    }
}

/// Where a pin of one RJ45 plug (1 to 8) comes out at the other plug of the lead.
///
/// `None` for a lead made specially, and for a pin that there is not. A lead wired to T568A at one
/// end and to T568B at the other is the two-pair crossover. Sources: straight and two-pair
/// crossover from a maker's manual; four-pair crossover and rollover from memory.
///
/// ```
/// use coldcheck_core::bus::far_pin;
/// use coldcheck_core::plan::Wiring;
///
/// assert_eq!(far_pin(Wiring::CrossoverTwo, 1), Some(3));
/// assert_eq!(far_pin(Wiring::Rollover, 1), Some(8));
/// ```
pub fn far_pin(wiring: Wiring, pin: u8) -> Option<u8> {
    // The far pins of pins 8 to 1, a nibble each, that of pin 1 in the lowest.
    let far: u32 = match wiring {
        Wiring::Straight => 0x8765_4321,
        Wiring::CrossoverTwo => 0x8725_4163,
        Wiring::CrossoverFour => 0x5428_7163,
        Wiring::Rollover => 0x1234_5678,
        Wiring::Special => return None,
    };
    let nibbles = u32::from(pin.checked_sub(1)?);
    u8::try_from(far.checked_shr(nibbles.wrapping_mul(4))? & 0xF).ok()
}

/// What becomes of a pair on its way through a lead, between sockets that use the same two pins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Landing {
    /// Both wires come out on their own pins.
    InPlace,
    /// Both wires come out on the pair, each on the other's pin.
    Swapped,
    /// A wire of the pair, or both, come out on a pin that is not of the pair.
    Open,
}

/// What becomes of the pair on these two pins, the one of CAN-H (or A) first.
///
/// `None` for a lead made specially, for a pin that there is not, and for one pin named twice.
/// [`far_pin`] says where a wire comes out instead.
///
/// ```
/// use coldcheck_core::bus::{Landing, through};
/// use coldcheck_core::plan::Wiring;
///
/// assert_eq!(through(Wiring::CrossoverTwo, [1, 2]), Some(Landing::Open));
/// assert_eq!(through(Wiring::CrossoverTwo, [4, 5]), Some(Landing::InPlace));
/// assert_eq!(through(Wiring::Rollover, [4, 5]), Some(Landing::Swapped));
/// ```
pub fn through(wiring: Wiring, pair: [u8; 2]) -> Option<Landing> {
    let [first, second] = pair;
    if first == second {
        return None;
    }
    let far = [far_pin(wiring, first)?, far_pin(wiring, second)?];
    Some(if far == pair {
        Landing::InPlace
    } else if far == [second, first] {
        Landing::Swapped
    } else {
        Landing::Open
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_series_is_cut_downwards_and_its_members_stay() {
        assert_eq!([0, 1, 9, 10, 24, 25, 49].map(cut_to_series), [0, 1, 5, 10, 10, 25, 25]);
        assert_eq!(
            [1_375_000, 2_499_999, 2_500_000].map(cut_to_series),
            [1_000_000, 1_000_000, 2_500_000]
        );
        assert_eq!([6_875_000, 10_000_000].map(cut_to_series), [5_000_000, 10_000_000]);
        assert_eq!([2_499_999_999, u32::MAX].map(cut_to_series), [1_000_000_000, 2_500_000_000]);
    }

    #[test]
    fn no_published_rule_speaks_of_rates_past_either_end() {
        let link = |medium, rate| longest_link(medium, BitsPerSecond(rate));
        assert_eq!(link(Medium::Can, 0), None);
        assert!(link(Medium::Can, 1).is_some() && link(Medium::Can, 1_000_001).is_none());
        assert_eq!(link(Medium::Can, 1_000_000), Some(Millimetres(25_000)));
        assert!(link(Medium::Rs485, RS485_FASTEST).is_some());
        assert_eq!(link(Medium::Rs485, RS485_FASTEST + 1), None);
    }

    #[test]
    fn stubs_follow_the_rate_and_the_edge() {
        let rate = BitsPerSecond(500_000);
        assert_eq!(longest_stub(Medium::Can, rate), Some(Millimetres(5_500)));
        assert_eq!(longest_stubs_together(Medium::Can, rate), Some(Millimetres(27_500)));
        assert_eq!(longest_stub(Medium::Rs485, rate), None);
        let stub = longest_stub_for_edge(100, LINE_DELAY_PS_PER_M);
        assert_eq!(stub, Some(Millimetres(2_000)));
        assert_eq!(longest_stub_for_edge(100, 0), None);
    }

    #[test]
    fn a_pair_of_one_pin_goes_nowhere() {
        assert_eq!(through(Wiring::Straight, [4, 4]), None);
        assert_eq!(through(Wiring::Straight, [4, 5]), Some(Landing::InPlace));
        assert_eq!(through(Wiring::Rollover, [4, 5]), Some(Landing::Swapped));
        assert_eq!(through(Wiring::CrossoverTwo, [1, 2]), Some(Landing::Open));
    }
}
