//! Bit timing of classic CAN from first principles, in whole numbers: an outside measure for the
//! lengths that the core computes.
//!
//! Sources: segments, limits and oscillator tolerance, Bosch CAN FD specification 1.0 (April 2012);
//! registers, the classic two-byte form; choice of segments and rounding of the quantum to whole
//! nanoseconds as python-can 4.6.1 does it, so that its recorded answers can be compared.

/// Millionths of a percent in the whole.
const WHOLE: i64 = 100_000_000;

/// How a controller cuts its bits. The synchronisation segment is one quantum more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BitTiming {
    /// Clock of the controller, in hertz.
    pub clock_hz: i64,
    /// Clock ticks in one quantum: 1 to 64.
    pub prescaler: i64,
    /// Propagation and first phase segment together, in quanta: 1 to 16.
    pub segment_1: i64,
    /// Second phase segment, in quanta: 1 to 8.
    pub segment_2: i64,
    /// Synchronisation jump width, in quanta: 1 to 4, not above the second segment.
    pub jump: i64,
}

/// The quotient rounded to the nearest whole number, ties to the even one.
fn nearest(dividend: i64, divisor: i64) -> i64 {
    let (whole, rest) = (dividend.div_euclid(divisor), dividend.rem_euclid(divisor));
    whole + i64::from(2 * rest > divisor || (2 * rest == divisor && whole % 2 == 1))
}

impl BitTiming {
    /// The timing, if it keeps the limits: 8 to 25 quanta a bit, sampled not before its half.
    pub fn checked(self) -> Option<Self> {
        let bit = self.bit();
        let fits = (1..=64).contains(&self.prescaler)
            && (1..=16).contains(&self.segment_1)
            && (1..=8).contains(&self.segment_2)
            && (1..=self.segment_2.min(4)).contains(&self.jump)
            && (8..=25).contains(&bit)
            && 2 * (1 + self.segment_1) >= bit;
        fits.then_some(self)
    }

    /// The timing from the two registers.
    pub fn from_registers(clock_hz: i64, first: u8, second: u8) -> Option<Self> {
        Self {
            clock_hz,
            prescaler: i64::from(first & 0x3F) + 1,
            jump: i64::from(first >> 6) + 1,
            segment_1: i64::from(second & 0xF) + 1,
            segment_2: i64::from(second >> 4 & 7) + 1,
        }
        .checked()
    }

    /// The timing nearest to a sample point, in tenths of a percent; of several, that of the
    /// lowest prescaler. The bit rate may be off by one part in 256.
    pub fn from_sample_point(clock_hz: i64, rate: i64, permille: i64) -> Option<Self> {
        if permille < 500 {
            return None;
        }
        (1..=64)
            .filter_map(|prescaler| {
                let bit = clock_hz / (rate * prescaler);
                let off = (clock_hz - rate * bit * prescaler).abs() * 256;
                if bit < 8 || off > rate * bit * prescaler {
                    return None;
                }
                let segment_1 = (nearest(permille * bit, 1000) - 1).min(bit - 2);
                let segment_2 = bit - segment_1 - 1;
                let jump = segment_2.min(4);
                Self { clock_hz, prescaler, segment_1, segment_2, jump }.checked()
            })
            .min_by_key(|timing| (timing.sample_point_ppb() - permille * 1_000_000).abs())
    }

    /// Where a bit is sampled, in parts per thousand million of its length.
    pub fn sample_point_ppb(self) -> i64 {
        nearest((1 + self.segment_1) * 1_000_000_000, self.bit())
    }

    /// Quanta in one bit.
    pub fn bit(self) -> i64 {
        1 + self.segment_1 + self.segment_2
    }

    /// The two registers.
    pub fn registers(self) -> [i64; 2] {
        [
            (self.jump - 1) << 6 | (self.prescaler - 1),
            (self.segment_2 - 1) << 4 | (self.segment_1 - 1),
        ]
    }

    /// Length of one quantum, in whole nanoseconds.
    pub fn quantum_ns(self) -> i64 {
        nearest(self.prescaler * 1_000_000_000, self.clock_hz)
    }

    /// Propagation segment that a bus needs, in quanta.
    pub fn propagation(self, node_delay_ns: i64, length_mm: i64) -> i64 {
        quanta_for(round_trip_ps(node_delay_ns, length_mm), self.quantum_ns())
    }

    /// How far the clock of each node may be off on this bus, in millionths of a percent.
    pub fn tolerance(self, node_delay_ns: i64, length_mm: i64) -> i64 {
        let phase_1 = self.segment_1 - self.propagation(node_delay_ns, length_mm);
        tolerance(self.bit(), phase_1, self.segment_2, self.jump)
    }
}

/// Time that a bit needs to the far end and back, in picoseconds, at 5 ns a metre. The delay of a
/// node counts once each way.
pub fn round_trip_ps(node_delay_ns: i64, length_mm: i64) -> i64 {
    2 * (node_delay_ns * 1_000 + 5 * length_mm)
}

/// Whole quanta that hold this time.
pub fn quanta_for(time_ps: i64, quantum_ns: i64) -> i64 {
    (time_ps + quantum_ns * 1_000 - 1) / (quantum_ns * 1_000)
}

/// How far the clock of each node may be off, in millionths of a percent, not below zero. All
/// segments in quanta.
pub fn tolerance(bit: i64, phase_1: i64, phase_2: i64, jump: i64) -> i64 {
    let by_jump = nearest(jump * WHOLE, 20 * bit);
    let by_phase = nearest(phase_1.min(phase_2) * WHOLE, 2 * (13 * bit - phase_2));
    by_jump.min(by_phase).max(0)
}
