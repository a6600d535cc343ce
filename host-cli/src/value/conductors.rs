//! The power lines of a settings list: which terminal goes where, and which array feeds which unit.

use crate::fold::Folded;
use coldcheck_core::plan::Leg;

/// A terminal of one side of a unit, and the bar or conductor that it is joined to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Conductor {
    /// The pole: L1, L2, L3, N or earth.
    pub pole: Pole,
    /// Name of what it is joined to.
    pub to: Folded,
}

/// What bars are named for.
const NEUTRAL: &[&str] = &["n", "neutral", "neutrals"];
const LINE: &[&str] = &["l", "line", "leg", "phase", "hot", "live"];
const EARTH: &[&str] = &["pe", "earth", "ground", "gnd"];

impl Conductor {
    /// The lines of a unit, each to the bar of this leg; neutral and earth to their own bars.
    pub fn straight(lines: &[(Pole, Leg)]) -> Vec<Self> {
        let line = |(pole, leg): &(Pole, Leg)| Self {
            pole: *pole,
            to: Folded::of(&format!("bar {}", leg.word())),
        };
        let others = [(Pole::N, "bar N"), (Pole::Earth, "earth bar")];
        let others = others.map(|(pole, bar)| Self { pole, to: Folded::of(bar) });
        lines.iter().map(line).chain(others).collect()
    }

    /// Whether it is a line that comes from a generator, by the name of the bar.
    pub fn is_line_of_generator(&self) -> bool {
        self.is_line_of(&["generator", "gen", "genset"])
    }

    /// Whether it is a line that comes from the supply, by the name of the bar.
    pub fn is_line_of_supply(&self) -> bool {
        self.is_line_of(&["supply", "grid", "mains", "utility", "street"])
    }

    fn is_line_of(&self, words: &[&str]) -> bool {
        self.is_line() && self.to.runs().any(|run| words.contains(&run))
    }

    /// Whether it is a line.
    pub const fn is_line(&self) -> bool {
        matches!(self.pole, Pole::L1 | Pole::L2 | Pole::L3)
    }

    /// What is wrong with its bar, by the bar's name: a line at neutrals or at earth, a neutral at a
    /// line, an earth conductor at a line. A name that tells of both tells nothing.
    pub fn is_misplaced(&self) -> Option<&'static str> {
        let is_neutral = self.is_at(NEUTRAL);
        let is_line = self.is_at(LINE);
        let is_earth = self.is_at(EARTH);
        match (self.is_line(), is_line, is_neutral, is_earth) {
            (true, false, true, false) => Some("by its name that is a bar of neutrals"),
            (true, false, false, true) => Some("by its name that is a bar of earth conductors"),
            (false, true, false, false) => Some("by its name that is the bar of a line"),
            _ => None,
        }
    }

    /// The same of a neutral at earth, or of an earth conductor at neutrals: a second bond.
    pub fn is_bonded(&self) -> Option<&'static str> {
        let is_neutral = self.is_at(NEUTRAL);
        let is_earth = self.is_at(EARTH);
        match (self.pole, is_neutral, is_earth) {
            (Pole::N, false, true) => Some("by its name that is a bar of earth conductors"),
            (Pole::Earth, true, false) => Some("by its name that is a bar of neutrals"),
            _ => None,
        }
    }

    /// Whether it is a line on a bar that by its name is of earth conductors.
    pub fn is_on_earth(&self) -> bool {
        self.is_line() && self.is_at(EARTH) && self.is_misplaced().is_some()
    }

    /// Whether its bar is named for this: the word is beside one for a bar, or ends the name. A `ground
    /// floor board` is no bar of earth conductors.
    fn is_at(&self, words: &[&str]) -> bool {
        const BARS: &[&str] =
            &["bar", "bars", "bus", "busbar", "rail", "terminal", "block", "strip"];
        let mut before = "";
        let mut runs = self.to.runs();
        while let Some(run) = runs.next() {
            let mut behind = runs.clone().skip_while(|run| run.parse::<u16>().is_ok());
            let is_bar = |run: &str| BARS.contains(&run);
            if words.contains(&run) && (behind.next().is_none_or(is_bar) || is_bar(before)) {
                return true;
            }
            before = run;
        }
        false
    }

    /// What stands for a terminal that is joined to nothing.
    pub fn nowhere() -> Folded {
        Folded::of("nothing")
    }
}

/// What people write for a terminal that nothing is joined to; a dash folds to nothing.
fn is_nowhere(to: &str) -> bool {
    let folded = Folded::of(to);
    !to.is_empty()
        && ["", "none", "nothing", "open", "free", "not connected", "nc", "missing"]
            .iter()
            .any(|word| folded.is(word))
}

/// A pole of an AC connection.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pole {
    /// First leg; also the only one of a single-phase unit.
    L1,
    /// Second leg.
    L2,
    /// Third leg.
    L3,
    /// Neutral.
    N,
    /// Protective earth.
    Earth,
}

impl Pole {
    /// As it stands at a terminal.
    pub const fn word(self) -> &'static str {
        match self {
            Self::L1 => "L1",
            Self::L2 => "L2",
            Self::L3 => "L3",
            Self::N => "N",
            Self::Earth => "earth",
        }
    }

    pub(super) fn read(text: &str) -> Option<Self> {
        match Folded::of(text).to_string().as_str() {
            "l 1" | "l" | "leg 1" => Some(Self::L1),
            "l 2" | "leg 2" => Some(Self::L2),
            "l 3" | "leg 3" => Some(Self::L3),
            "n" | "neutral" => Some(Self::N),
            "pe" | "e" | "earth" | "ground" | "gnd" | "protective earth" => Some(Self::Earth),
            _ => None,
        }
    }
}

const ARROWS: &[&str] = &["->", "=>", "→", "►", "⇒", "➜", "–>", "—>"];

/// Left and right of an arrow.
fn arrow(text: &str) -> Option<(&str, &str)> {
    ARROWS.iter().find_map(|sign| text.split_once(sign)).map(|(from, to)| (from.trim(), to.trim()))
}

/// Whether a value says that every pole goes to the bar of its own name; perhaps with a remark.
pub fn is_straight(text: &str) -> bool {
    let bare = text.split_once('(').filter(|_| text.ends_with(')'));
    Folded::of(bare.map_or(text, |(bare, _)| bare)).is("straight")
}

/// `L1->bar L1; N->bar N`, or `straight` for every pole to the bar of its own name: of a unit of
/// which nothing else is known, two legs.
pub(super) fn conductors(text: &str) -> Result<Vec<Conductor>, String> {
    const EXPECTED: &str = "straight, or terminals and where they go: L1->bar L1; L2->bar L2; \
                            N->bar N; PE->earth bar";
    if Folded::of(text).is("straight") {
        return Ok(Conductor::straight(&[(Pole::L1, Leg::L1), (Pole::L2, Leg::L2)]));
    }
    let mut conductors = Vec::new();
    for part in text.split([';', ',']).map(str::trim).filter(|part| !part.is_empty()) {
        let (pole, to) = arrow(part).ok_or(EXPECTED)?;
        let pole = Pole::read(pole).ok_or(EXPECTED)?;
        let to = if is_nowhere(to) { Conductor::nowhere() } else { Folded::of(to) };
        if to.is_empty() || conductors.iter().any(|other: &Conductor| other.pole == pole) {
            return Err(EXPECTED.to_owned());
        }
        conductors.push(Conductor { pole, to });
    }
    conductors.sort();
    if conductors.is_empty() { Err(EXPECTED.to_owned()) } else { Ok(conductors) }
}

/// `roof south -> unit 1; roof west -> unit 2`.
pub(super) fn arrays(text: &str) -> Result<Vec<(Folded, String)>, String> {
    const EXPECTED: &str = "arrays and the units they feed: roof south -> unit 1; \
                            roof west -> unit 2; or none";
    let mut arrays = Vec::new();
    if ["none", "no"].iter().any(|word| Folded::of(text).is(word)) {
        return Ok(arrays);
    }
    for part in text.split([';', ',']).map(str::trim).filter(|part| !part.is_empty()) {
        let (array, unit) = arrow(part).ok_or(EXPECTED)?;
        if Folded::of(array).is_empty() || unit.is_empty() {
            return Err(EXPECTED.to_owned());
        }
        arrays.push((Folded::of(array), unit.to_owned()));
    }
    if arrays.is_empty() { Err(EXPECTED.to_owned()) } else { Ok(arrays) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_is_short_for_every_pole_to_its_own_bar() {
        assert_eq!(
            conductors("straight"),
            conductors("PE -> Earth bar; L1→bar L1; L2 => bar L2; N->bar N")
        );
    }

    #[test]
    fn a_pole_that_is_named_twice_is_refused() {
        assert!(conductors("L1->bar L1; L1->bar L2").is_err());
        assert!(conductors("L9->bar L1").is_err());
        assert!(conductors("").is_err());
    }

    #[test]
    fn no_array_is_one_word() {
        assert_eq!(arrays("none"), Ok(Vec::new()));
        assert!(arrays("").is_err() && arrays("roof").is_err());
    }

    #[test]
    fn a_bar_that_is_named_for_another_pole_is_told() {
        for (text, is_misplaced) in [
            ("L1->bar L1; N->bar N; PE->earth bar", false),
            ("L1->bar N", true),
            ("L2->neutral bar", true),
            ("N->bar L2", true),
            ("L1->earth bar", true),
            ("N->earth bar", false),
            ("L1->bus 7; N->bus 9", false),
            ("L1->ground floor board", false),
            ("N->line side of meter", false),
            ("N->hot tub panel", false),
            ("L1->neutral rail 2", true),
            ("N->supply L2", true),
        ] {
            let all = conductors(text).expect("well formed");
            assert_eq!(all.iter().any(|one| one.is_misplaced().is_some()), is_misplaced, "{text}");
        }
    }
}
