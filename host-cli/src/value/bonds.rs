//! Places where neutral and earth are joined, and when.

use crate::fold::Folded;
use coldcheck_core::plan::{BondPlace, OperatingState};

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
    let has = |word: &str| place.runs().any(|run| run == word);
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fixed_bond_is_closed_in_every_state() {
        let bonds = bonds("main board (fixed); unit 2 relay (closed on generator, open on island)")
            .expect("well formed");
        let found: Vec<_> =
            bonds.iter().map(|bond| (bond.kind, bond.closed, bond.stated)).collect();
        assert_eq!(found, [(BondPlace::MainBoard, 7, 7), (BondPlace::UnitRelay, 4, 6)]);
    }

    #[test]
    fn lists_may_have_commas() {
        let with = |sign: char| {
            bonds(&format!("main board (fixed, upstream){sign} generator frame (open)"))
        };
        assert_eq!(with(','), with(';'));
        assert_eq!(with(',').map(|bonds| bonds.len()), Ok(2));
        assert_eq!(bonds("main board, kitchen (fixed)").map(|bonds| bonds.len()), Ok(1));
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
