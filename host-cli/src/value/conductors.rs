//! The power lines of a settings list: which terminal goes where, where neutral meets earth,
//! which array feeds which unit.

use crate::fold::Folded;
use coldcheck_core::plan::{BondPlace, Leg, OperatingState};

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
        self.is_line() && self.to.tokens().iter().any(|token| words.contains(&token.as_str()))
    }

    /// Whether it is a line.
    pub const fn is_line(&self) -> bool {
        matches!(self.pole, Pole::L1 | Pole::L2 | Pole::L3)
    }

    /// What is wrong with its bar, by the bar's name: a line at neutrals or at earth, a neutral at a
    /// line. A name that tells of both tells nothing.
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
        let tokens = self.to.tokens();
        let is_bar = |at: usize| tokens.get(at).is_some_and(|token| BARS.contains(&token.as_str()));
        let is_number = |token: &crate::fold::Run| token.parse::<u16>().is_ok();
        tokens.iter().enumerate().any(|(at, token)| {
            let rest = tokens.get(at.saturating_add(1)..).unwrap_or_default();
            let behind = rest.iter().take_while(|token| is_number(token)).count();
            words.contains(&token.as_str())
                && (rest.len() == behind
                    || is_bar(at.saturating_add(1).saturating_add(behind))
                    || at > 0 && is_bar(at.saturating_sub(1)))
        })
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

/// A place where neutral and earth are joined, and when.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Bond {
    /// The place, in folded words.
    pub place: Folded,
    /// What kind of place it is.
    pub kind: BondPlace,
    /// Operating states in which it is closed, one bit each.
    pub closed: u8,
    /// Operating states for which that is stated, one bit each.
    pub stated: u8,
}

impl Bond {
    /// Whether it hangs on where its board stands that it is closed while the group feeds the
    /// loads and the changeover has cut the neutral of the supply.
    pub const fn hangs_on_side(&self) -> bool {
        matches!(self.kind, BondPlace::MainBoard | BondPlace::Other)
            && self.closed & OperatingState::Island.code() != 0
    }
}

/// Words for the two sides of a changeover.
const SIDES: [(BondPlace, &[&str]); 2] = [
    (
        BondPlace::BeforeChangeover,
        &[
            "before the changeover",
            "before changeover",
            "upstream of the changeover",
            "upstream",
            "supply side of the changeover",
            "supply side",
        ],
    ),
    (
        BondPlace::BehindChangeover,
        &[
            "behind the changeover",
            "behind changeover",
            "after the changeover",
            "downstream of the changeover",
            "downstream",
            "load side of the changeover",
            "load side",
        ],
    ),
];

/// The parts of a list: separators inside brackets belong to what stands there, and a comma behind no
/// bracket to a name.
fn outside_brackets(text: &str) -> impl Iterator<Item = &str> {
    let (mut depth, mut before) = (0_u32, ' ');
    text.split(move |sign: char| {
        match sign {
            '(' => depth = depth.saturating_add(1),
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        let is_end = depth == 0 && (sign == ';' || sign == ',' && before == ')');
        if !sign.is_whitespace() {
            before = sign;
        }
        is_end
    })
}

/// `main board (fixed); unit 1 relay (closed on island, open on supply)`.
pub(super) fn bonds(text: &str) -> Result<Vec<Bond>, String> {
    const EXPECTED: &str = "places where neutral and earth are joined: main board (fixed); \
                            sub board (fixed, behind the changeover); unit 1 relay (closed on \
                            island, open on supply); or none";
    let mut bonds = Vec::new();
    if Folded::of(text).is("none") {
        return Ok(bonds);
    }
    for part in outside_brackets(text).map(str::trim).filter(|part| !part.is_empty()) {
        let (place, when) = match part.split_once('(') {
            Some((place, rest)) => (place, rest.strip_suffix(')').ok_or(EXPECTED)?),
            None => (part, ""),
        };
        let place = Folded::of(place);
        if place.is_empty() {
            return Err(EXPECTED.to_owned());
        }
        let unknown = || {
            format!(
                "fixed, open, closed on island, open on supply, before or behind the changeover, in \
                 place of \u{201c}{}\u{201d} behind {place}",
                when.trim()
            )
        };
        let When { closed, stated, side } = when_closed(when).ok_or_else(unknown)?;
        let kind = match (bond_place(&place), side) {
            (kind, None) => kind,
            // Where these are needs no word; one against it is a slip.
            (BondPlace::GeneratorFrame, Some(BondPlace::BeforeChangeover)) => {
                BondPlace::GeneratorFrame
            }
            (BondPlace::GeneratorFrame | BondPlace::UnitRelay, Some(_)) => {
                return Err(EXPECTED.to_owned());
            }
            (_, Some(side)) => side,
        };
        bonds.push(Bond { place, kind, closed, stated });
    }
    bonds.sort();
    if bonds.is_empty() { Err(EXPECTED.to_owned()) } else { Ok(bonds) }
}

fn bond_place(place: &Folded) -> BondPlace {
    let words = place.tokens();
    let has = |word: &str| words.iter().any(|token| token == word);
    if has("relay") {
        BondPlace::UnitRelay
    } else if has("generator") || has("gen") {
        BondPlace::GeneratorFrame
    } else if has("backup") || has("sub") || has("critical") {
        BondPlace::BackupBoard
    } else if has("main") || has("service") {
        BondPlace::MainBoard
    } else {
        BondPlace::Other
    }
}

/// What stands in brackets behind the place of a bond.
#[derive(Default)]
struct When {
    closed: u8,
    stated: u8,
    side: Option<BondPlace>,
}

/// The states in which a bond is closed, those that are stated, and the side of the changeover.
fn when_closed(text: &str) -> Option<When> {
    let all = OperatingState::WORDS.iter().fold(0, |mask, (_, code)| mask | code);
    let mut when = When::default();
    for part in text.split(',').map(Folded::of).filter(|part| !part.is_empty()) {
        let words = part.to_string();
        if ["fixed", "always", "open", "none", "never", "no bond"].contains(&words.as_str()) {
            when.closed |= if words == "fixed" || words == "always" { all } else { 0 };
            when.stated |= all;
            continue;
        }
        if let Some((side, _)) = SIDES.iter().find(|(_, known)| known.contains(&words.as_str())) {
            if when.side.replace(*side).is_some_and(|other| other != *side) {
                return None;
            }
            continue;
        }
        let (verb, state) = words.split_once(" on ").or_else(|| words.split_once(" in "))?;
        let (_, code) = OperatingState::WORDS.iter().find(|(word, _)| *word == state)?;
        when.stated |= code;
        match verb {
            "closed" => when.closed |= code,
            "open" => {}
            _ => return None,
        }
    }
    Some(when)
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
    fn a_fixed_bond_is_closed_in_every_state() {
        let bonds = bonds("main board (fixed); unit 2 relay (closed on generator, open on island)")
            .expect("well formed");
        let found: Vec<_> =
            bonds.iter().map(|bond| (bond.kind, bond.closed, bond.stated)).collect();
        assert_eq!(found, [(BondPlace::MainBoard, 7, 7), (BondPlace::UnitRelay, 4, 6)]);
    }

    #[test]
    fn lists_may_have_commas_and_no_array_is_one_word() {
        let with = |sign: char| {
            bonds(&format!("main board (fixed, upstream){sign} generator frame (open)"))
        };
        assert_eq!(with(','), with(';'));
        assert_eq!(with(',').map(|bonds| bonds.len()), Ok(2));
        assert_eq!(bonds("main board, kitchen (fixed)").map(|bonds| bonds.len()), Ok(1));
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

    #[test]
    fn the_side_of_the_changeover_makes_a_board_one_of_that_side() {
        let kind = |text| bonds(text).map(|bonds| bonds.into_iter().map(|one| one.kind).collect());
        for (text, wanted) in [
            ("main board (fixed, before the changeover)", BondPlace::BeforeChangeover),
            ("main board (upstream, fixed)", BondPlace::BeforeChangeover),
            ("meter box (fixed, load side)", BondPlace::BehindChangeover),
            ("meter box (fixed)", BondPlace::Other),
            ("generator frame (open)", BondPlace::GeneratorFrame),
            ("generator frame (fixed, before the changeover)", BondPlace::GeneratorFrame),
        ] {
            assert_eq!(kind(text), Ok(vec![wanted]), "{text}");
        }
        assert!(bonds("main board (fixed, upstream, downstream)").is_err());
        assert!(bonds("unit 1 relay (closed on island, upstream)").is_err());
        // A place alone says nothing of when.
        let bare = bonds("no idea").expect("any word names a place");
        assert_eq!((bare[0].kind, bare[0].stated), (BondPlace::Other, 0));
        // No word in brackets is swallowed.
        let unknown = bonds("main board (fixed); generator frame (whatever)");
        assert!(unknown.expect_err("a word that nobody knows").contains("whatever"));
    }
}
