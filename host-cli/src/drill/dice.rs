//! Choices that are the same on every machine: whole numbers out of the number of an exercise.

/// A small generator (`SplitMix64`). What it gives for a number never changes.
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Begins at a number.
    pub const fn new(number: u64) -> Self {
        Self(number)
    }

    /// The next number below `sides`; 0 if there are none.
    pub fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        bits ^= bits >> 31;
        let sides = u64::try_from(sides).unwrap_or(u64::MAX).max(1);
        usize::try_from(bits % sides).unwrap_or(0)
    }

    /// One of several.
    pub fn pick<'l, T>(&mut self, list: &'l [T]) -> Option<&'l T> {
        list.get(self.roll(list.len()))
    }

    /// Mixes a list.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            list.swap(last, self.roll(last + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Dice;

    #[test]
    fn the_numbers_are_those_of_the_published_generator() {
        // The first three outputs of SplitMix64 begun at 1234567, as its reference code prints them
        // (from memory of the public test vectors): 6457827717110365317, 3203168211198807973,
        // 9817491932198370423.
        let mut dice = Dice::new(1_234_567);
        let most = usize::MAX;
        let drawn = [dice.roll(most), dice.roll(most), dice.roll(most)];
        assert_eq!(
            drawn,
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }

    #[test]
    fn mixing_loses_nothing() {
        let mut list: Vec<u8> = (0..20).collect();
        Dice::new(7).shuffle(&mut list);
        assert_ne!(list, (0..20).collect::<Vec<u8>>());
        list.sort_unstable();
        assert_eq!(list, (0..20).collect::<Vec<u8>>());
        assert_eq!(Dice::new(1).pick::<u8>(&[]), None);
    }
}
