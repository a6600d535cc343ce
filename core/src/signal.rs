//! How a gateway shows its verdict where there is no screen: a lamp, and a frame on the bus.

use crate::finding::Verdict;
use crate::report::Report;

/// How a lamp blinks: so many flashes, a pause, and again.
///
/// | lamp | meaning |
/// |---|---|
/// | one short flash | nothing found in the checks that could be made |
/// | one long flash | nothing but notes |
/// | two short flashes | a fault to mend first |
/// | three short flashes | a question to answer |
/// | four short flashes | something must be declared and is not |
/// | five long flashes | the image cannot be used |
/// | quick flicker without pause | a danger |
///
/// No pattern says that anything is safe, and a dark lamp says nothing at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Lamp {
    /// Flashes before the pause.
    pub flashes: u8,
    /// How long each flash lasts, and the dark between two, in milliseconds.
    pub flash_ms: u16,
    /// How long the lamp stays dark after the last one, in milliseconds.
    pub pause_ms: u16,
}

const SHORT_MS: u16 = 150;
const LONG_MS: u16 = 600;
const PAUSE_MS: u16 = 2000;

/// The image cannot be used, so nothing was checked.
pub const REFUSED: Lamp = Lamp { flashes: 5, flash_ms: LONG_MS, pause_ms: PAUSE_MS };

/// How the lamp blinks for a verdict.
pub const fn lamp(verdict: Verdict) -> Lamp {
    let (flashes, flash_ms) = match verdict {
        Verdict::Ok => (1, SHORT_MS),
        Verdict::OkWithNotes => (1, LONG_MS),
        Verdict::FixFirst => (2, SHORT_MS),
        Verdict::Ask => (3, SHORT_MS),
        Verdict::Incomplete => (4, SHORT_MS),
        Verdict::Stop => return Lamp { flashes: 1, flash_ms: 80, pause_ms: 80 },
    };
    Lamp { flashes, flash_ms, pause_ms: PAUSE_MS }
}

impl Lamp {
    /// Whether the lamp is lit at a time, in milliseconds since the pattern began.
    pub fn is_lit(self, at_ms: u32) -> bool {
        let (flash, pause) = (u32::from(self.flash_ms), u32::from(self.pause_ms));
        // Each flash but the last has the dark that divides it from the next.
        let steps = u32::from(self.flashes).saturating_mul(2).saturating_sub(1);
        let lit = steps.saturating_mul(flash);
        let at = at_ms.checked_rem(lit.saturating_add(pause)).unwrap_or(0);
        at < lit && at.checked_div(flash).is_some_and(|step| step & 1 == 0)
    }
}

/// What a gateway may send on the bus, if its owner wants it to: by default it is silent.
///
/// | byte | what |
/// |---|---|
/// | 0 | form of these bytes: 1 |
/// | 1 | verdict: 0 ok, 1 ok with notes, 2 incomplete, 3 fix first, 4 ask, 5 stop |
/// | 2 to 5 | findings: dangers, no-start, degraded, notes; 255 is that many or more |
/// | 6, 7 | units heard, units declared |
pub fn status(report: &Report<'_>, heard: u8, declared: u8) -> [u8; 8] {
    let tally = report.tally();
    let byte = |count: u16| u8::try_from(count).unwrap_or(u8::MAX);
    let verdict = match report.verdict() {
        Verdict::Ok => 0,
        Verdict::OkWithNotes => 1,
        Verdict::Incomplete => 2,
        Verdict::FixFirst => 3,
        Verdict::Ask => 4,
        Verdict::Stop => 5,
    };
    [
        1,
        verdict,
        byte(tally.dangers),
        byte(tally.no_starts),
        byte(tally.degraded),
        byte(tally.notes),
        heard,
        declared,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial::Trial;

    /// The lamp each tenth of the flash, as a text.
    fn seen(lamp: Lamp, milliseconds: u32) -> Vec<bool> {
        let step = u32::from(lamp.flash_ms) / 2;
        (0..milliseconds / step).map(|at| lamp.is_lit(at * step + 1)).collect()
    }

    fn flashes(seen: &[bool]) -> usize {
        seen.windows(2).filter(|pair| !pair[0] && pair[1]).count() + usize::from(seen[0])
    }

    #[test]
    fn each_verdict_blinks_in_its_own_way() {
        let mut lamps: Vec<Lamp> =
            Verdict::WORDS.iter().map(|(verdict, _)| lamp(*verdict)).collect();
        lamps.push(REFUSED);
        for (index, one) in lamps.iter().enumerate() {
            assert!(lamps[..index].iter().all(|other| other != one), "{one:?}");
        }
        for (shown, count) in [(lamp(Verdict::FixFirst), 2), (REFUSED, 5), (lamp(Verdict::Ok), 1)] {
            let once = u32::from(shown.flash_ms) * (2 * u32::from(shown.flashes) - 1);
            let whole = once + u32::from(shown.pause_ms);
            assert_eq!(flashes(&seen(shown, whole)), count, "{shown:?}");
            assert_eq!(shown.is_lit(3), shown.is_lit(whole + 3));
            assert!(!shown.is_lit(whole - 1) && !shown.is_lit(once));
        }
        let danger = lamp(Verdict::Stop);
        assert!(flashes(&seen(danger, 1600)) >= 10, "a danger is a flicker");
    }

    #[test]
    fn a_lamp_without_times_stays_dark() {
        assert!(!Lamp { flashes: 0, flash_ms: 0, pause_ms: 0 }.is_lit(7));
    }

    #[test]
    fn the_status_holds_verdict_and_counts() {
        let mut findings = [crate::finding::Finding::BLANK; 8];
        let mut report = Report::new(&mut findings, &mut [], &mut []);
        assert_eq!(status(&report, 2, 3), [1, 0, 0, 0, 0, 0, 2, 3]);
        let site = Trial::line(3).unit(2, |unit| unit.address = 1.into());
        crate::check(&site.plan(), &mut report);
        assert_eq!(status(&report, 3, 3), [1, 3, 0, 1, 0, 0, 3, 3]);
    }
}
