//! Quantities: whole numbers with their unit in the type.
//!
//! Sums saturate: a length of 4,294 km is over every limit that a bus can have, so a saturated sum
//! gives the same answer as the true one.

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident($inner:ty)) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        pub struct $name(pub $inner);

        impl $name {
            /// The sum, or the largest value that the type holds.
            #[must_use]
            pub const fn saturating_add(self, other: Self) -> Self {
                Self(self.0.saturating_add(other.0))
            }
        }
    };
}

quantity! {
    /// Length of a cable, in thousandths of a metre: 0 to 4,294,967,295 mm.
    Millimetres(u32)
}
quantity! {
    /// Value of a terminator, in whole ohms: 0 to 65,535 Ω.
    Ohms(u16)
}
quantity! {
    /// A resistance that a meter shows, in thousandths of an ohm; the largest number is open.
    Milliohms(u32)
}

impl Milliohms {
    /// No connection, or more than a number can say: above 4.29 MΩ.
    pub const OPEN: Self = Self(u32::MAX);
}

quantity! {
    /// Speed of a bus, in bits per second.
    BitsPerSecond(u32)
}
quantity! {
    /// Charge or discharge limit, in thousandths of an ampere.
    Milliamperes(u32)
}
quantity! {
    /// Rating of a breaker, a fuse or a sensor, in whole amperes.
    Amperes(u16)
}
quantity! {
    /// Capacity of a pack or a bank, in watt hours; in thousandths of an ampere hour where the sheets
    /// give all of them so. A rule only compares them with each other.
    Capacity(u32)
}
quantity! {
    /// Primary to secondary current of a sensor, times 1,000: `2000:1` is 2,000,000.
    MilliRatio(u32)
}
quantity! {
    /// Cross section of a conductor, in hundredths of a square millimetre.
    SquareHundredths(u16)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_past_the_top_stays_at_the_top() {
        assert_eq!(Millimetres(u32::MAX).saturating_add(Millimetres(1)), Millimetres(u32::MAX));
    }
}
