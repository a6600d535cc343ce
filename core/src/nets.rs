//! Tables of the power side: which terminals lie on which net.

use crate::alike::{Agreement, Values};
use crate::limits;
use crate::links::Known;
use crate::plan::{Net, Plan, Terminal};
use crate::sets::UnitSet;
use zerocopy::byteorder::little_endian::U32;

/// Terminals by net.
pub struct Nets<'p> {
    /// The plan that the tables were built from.
    pub plan: &'p Plan<'p>,
    /// Which data are declared.
    pub known: &'p Known,
    /// Terminals that do not lie on one net for all units, one bit each by position.
    differs: u32,
}

/// Words that are compared: the terminals that rules ask of all units at once, up to the neutral of
/// the generator input.
const COMPARED: usize = 4;

/// Of all others nothing is known beforehand: each unit is looked at.
const NOT_COMPARED: u32 = 0xFFFF_0000;

/// The nets of one unit's terminals, four to a word.
type Words = [U32; limits::TERMINALS.div_ceil(4)];

fn words(nets: &[u8; limits::TERMINALS]) -> &Words {
    zerocopy::transmute_ref!(nets)
}

/// One bit for each of the four bytes of a word that is not zero, without a look at each.
const fn nonzero_bytes(word: u32) -> u32 {
    const ALL_BUT_HIGHEST: u32 = 0x7F7F_7F7F;
    // Bits 24, 17, 10 and 3: each brings one byte's bit into the highest byte.
    const GATHER: u32 = 0x0102_0408;
    let carried = (word & ALL_BUT_HIGHEST).wrapping_add(ALL_BUT_HIGHEST) | word;
    let ones = (carried & !ALL_BUT_HIGHEST).wrapping_shr(7);
    ones.wrapping_mul(GATHER).wrapping_shr(24)
}

impl<'p> Nets<'p> {
    /// Compares the records of all units with the first one's.
    #[inline(never)]
    pub fn build(plan: &'p Plan<'p>, known: &'p Known) -> Self {
        let mut differs = NOT_COMPARED;
        if let Some((first, others)) = plan.power.split_first() {
            let owns = words(&first.nets);
            // Word for word: a loop over them takes three times as long.
            let [own_one, own_two, own_three, own_four, ..] = owns;
            let mut differences = [0u32; COMPARED];
            let [in_one, in_two, in_three, in_four] = &mut differences;
            for power in others {
                let [one, two, three, four, ..] = words(&power.nets);
                *in_one |= own_one.get() ^ one.get();
                *in_two |= own_two.get() ^ two.get();
                *in_three |= own_three.get() ^ three.get();
                *in_four |= own_four.get() ^ four.get();
            }
            let mut first_bit = 0u32;
            for (difference, own) in differences.iter().zip(owns) {
                let (difference, own) = (*difference, own.get());
                // Alike and each alone is not together.
                let apart = nonzero_bytes(difference) | !nonzero_bytes(!own) & 0xF;
                differs |= apart.wrapping_shl(first_bit);
                first_bit = first_bit.wrapping_add(4);
            }
        }
        Self { plan, known, differs }
    }

    /// Whether the like-named terminals of all units lie on one net, or none is declared.
    pub fn is_common(&self, terminal: Terminal) -> bool {
        self.differs.wrapping_shr(terminal.bit()) & 1 == 0
    }

    /// The same for several at once.
    #[inline(always)]
    pub const fn are_common(&self, terminals: &[Terminal]) -> bool {
        let (mut mask, mut rest) = (0u32, terminals);
        while let [first, tail @ ..] = rest {
            mask |= 1u32.wrapping_shl(first.bit());
            rest = tail;
        }
        self.differs & mask == 0
    }

    /// Units whose terminal does not lie on the net of most; all of them, if nobody can be
    /// singled out. Units whose terminal was not declared are left out.
    ///
    /// A terminal that is joined to no other one counts as a net of its own, so each gets a
    /// number that no net has.
    pub fn odd_units(&self, terminal: Terminal) -> UnitSet {
        self.odd_at([terminal; 2])
    }

    /// The same for a function that two terminals have: the first one that is declared counts.
    pub fn odd_at(&self, terminals: [Terminal; 2]) -> UnitSet {
        if self.are_common(&terminals) { UnitSet::EMPTY } else { self.singled_out(terminals) }
    }

    #[inline(never)]
    fn singled_out(&self, [first, second]: [Terminal; 2]) -> UnitSet {
        const FIRST_LONELY: u32 = 0x100;
        let mut nets = Values::NONE;
        for ((unit, _), power) in self.plan.units().zip(self.plan.power) {
            match power.net(first).or_else(|| power.net(second)) {
                Some(Net::ALONE) => nets.set(unit, FIRST_LONELY | u32::from(unit.0)),
                Some(net) => nets.set(unit, u32::from(net.0)),
                None => {}
            }
        }
        Agreement::of(&nets).odd_ones().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::nonzero_bytes;

    #[test]
    fn each_byte_that_is_not_zero_has_its_bit() {
        for bytes in [[0, 0, 0, 0], [1, 0, 0, 0], [0, 128, 0, 0], [0, 0, 255, 1], [127, 2, 64, 80]]
        {
            let bits = bytes.iter().rev().fold(0, |bits, byte| bits << 1 | u32::from(*byte != 0));
            assert_eq!(nonzero_bytes(u32::from_le_bytes(bytes)), bits, "{bytes:?}");
        }
    }
}
