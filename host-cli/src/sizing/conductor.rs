//! The size of conductors: ampacity after ambient and grouping, terminals, earth.

use super::current::Code;
use super::given::whole;
use super::table::{
    IEC_AMBIENT, IEC_AMPACITY, NEC_AMBIENT, NEC_AMPACITY, NEC_EARTH, NEC_GROUPING,
    NEC_SMALL_CONDUCTORS,
};
use super::{Formula, to_millionth};
use crate::value::Size;

/// Size by the American code.
pub const NEC: Formula = Formula {
    id: "conductor.nec",
    text: "ampacity at the terminals >= 1.25 * continuous + other; ampacity of the insulation * \
           ambient * grouping >= current, and protected by the breaker",
    source: "NFPA 70 (NEC) 2023, 110.14(C), 215.2, 240.4, 310.15, Table 310.16",
    mark: "second-hand; numbers of clauses differ between editions",
};
/// Size by the international standard.
pub const IEC: Formula = Formula {
    id: "conductor.iec",
    text: "current <= breaker <= ampacity * ambient",
    source: "IEC 60364-4-43, 433.1; IEC 60364-5-52:2009, Tables B.52.2 to B.52.5, B.52.14",
    mark: "second-hand; ambient factors of PVC and number of the clause from memory",
};
/// Earth conductor by the American code.
pub const NEC_EARTH_CONDUCTOR: Formula = Formula {
    id: "earth.nec",
    text: "the row of the breaker, never larger than the line conductors",
    source: "NFPA 70 (NEC) 2023, Table 250.122",
    mark: "second-hand",
};
/// Earth conductor by the international standard.
pub const IEC_EARTH_CONDUCTOR: Formula = Formula {
    id: "earth.iec",
    text: "S up to 16 mm2: S; up to 35: 16; above: S / 2",
    source: "IEC 60364-5-54, Table 54.2, same metal",
    mark: "second-hand",
};

pub use crate::value::Metal;

/// The column of a metal in the tables.
const fn column(metal: Metal) -> &'static str {
    match metal {
        Metal::Copper => "cu",
        Metal::Aluminium => "al",
    }
}

/// A temperature that insulation or terminals may have, in degrees Celsius.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rated {
    /// 60 °C.
    C60,
    /// 75 °C.
    C75,
    /// 90 °C.
    C90,
}

impl Rated {
    const fn degrees(self) -> u32 {
        match self {
            Self::C60 => 60,
            Self::C75 => 75,
            Self::C90 => 90,
        }
    }
}

/// Ampacity of a size, before any correction; `None` if the table has no such cell.
pub fn nec_ampacity(size: &str, metal: Metal, rated: Rated) -> Option<f64> {
    let column = format!("{}_{}", column(metal), rated.degrees());
    NEC_AMPACITY.rows().find(|row| row.text("size") == Some(size))?.number(&column)
}

/// A size as the tables of a code have it. One of the other system counts as the next smaller one
/// that they have: a thicker conductor carries no less (common practice, no source). `None` below
/// the smallest.
///
/// ```
/// use coldcheck::sizing::conductor::listed;
/// use coldcheck::sizing::current::Code;
/// use coldcheck::value::Size;
///
/// // 70 mm2 lies between 2/0 (67.4 mm2) and 3/0 AWG (85.0 mm2).
/// assert_eq!(listed(Size::SquareMillimetres(70_000), Code::Nec), Size::of_gauge("2/0"));
/// assert_eq!(listed(Size::Awg(10), Code::Iec), Some(Size::SquareMillimetres(4_000)));
/// ```
pub fn listed(size: Size, code: Code) -> Option<Size> {
    let is_metric = size.square_millimetres().is_some();
    let all: Vec<Size> = match code {
        Code::Nec if is_metric => {
            NEC_AMPACITY.rows().filter_map(|row| Size::of_gauge(row.text("size")?)).collect()
        }
        Code::Iec if !is_metric => {
            let thousandths = |area: f64| whole(Some(area * 1000.0));
            let areas = IEC_AMPACITY.rows().filter_map(|row| row.number("mm2"));
            areas.map(|area| Size::SquareMillimetres(thousandths(area))).collect()
        }
        Code::Nec | Code::Iec => return Some(size),
    };
    let smaller = all.into_iter().filter(|own| own.area() <= size.area());
    smaller.max_by(|one, other| one.area().total_cmp(&other.area()))
}

/// Correction for the ambient temperature; `None` above the table, where nothing may be carried.
pub fn nec_ambient(degrees: f64, rated: Rated) -> Option<f64> {
    let row = NEC_AMBIENT.rows().find(|row| row.number("most_c") >= Some(degrees))?;
    row.number(&format!("factor_{}", rated.degrees()))
}

/// Adjustment for conductors that lie together and carry current.
pub fn nec_grouping(conductors: u32) -> Option<f64> {
    let wanted = f64::from(conductors);
    NEC_GROUPING.rows().find(|row| row.number("most_conductors") >= Some(wanted))?.number("factor")
}

/// How a conductor is laid, by the American code.
#[derive(Clone, Copy, Debug)]
pub struct NecWay {
    /// Its metal.
    pub metal: Metal,
    /// What its insulation stands.
    pub insulation: Rated,
    /// What the terminals at both ends stand.
    pub terminals: Rated,
    /// Ambient temperature in degrees Celsius.
    pub ambient: f64,
    /// Conductors that lie together and carry current.
    pub together: u32,
}

/// Ampacity of a size as it is laid, in amperes.
pub fn nec_corrected(size: &str, way: &NecWay) -> Option<f64> {
    let ampacity = nec_ampacity(size, way.metal, way.insulation)?;
    let factor = nec_ambient(way.ambient, way.insulation)? * nec_grouping(way.together)?;
    Some(to_millionth(ampacity * factor))
}

/// What a conductor carries, in amperes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carries {
    /// By the temperature of its terminals, without any correction.
    pub terminals: f64,
    /// By its insulation, ambient temperature and grouping.
    pub laid: f64,
}

impl Carries {
    /// The lower one of both.
    pub const fn least(self) -> f64 {
        self.terminals.min(self.laid)
    }
}

/// What so many conductors of a size carry beside each other; `None` if the table lacks the size.
pub fn nec_carries(size: &str, runs: u8, way: &NecWay) -> Option<Carries> {
    let runs = f64::from(runs);
    Some(Carries {
        terminals: runs * nec_ampacity(size, way.metal, way.terminals)?,
        laid: to_millionth(runs * nec_corrected(size, way)?),
    })
}

/// The largest breaker that protects a conductor: the next standard rating above what it carries
/// up to 800 A, none above it after that (240.4(B)); small wires have limits of their own (240.4(D)).
pub fn nec_largest_breaker(size: &str, metal: Metal, carries: Carries) -> Option<f64> {
    let least = carries.least();
    let next = super::current::next_rating(Code::Nec, least)?;
    let largest = if next <= 800.0 { next } else { least };
    let small = NEC_SMALL_CONDUCTORS.rows().find(|row| row.text("size") == Some(size));
    let most = small.and_then(|row| row.number(column(metal)));
    Some(most.map_or(largest, |most| largest.min(most)))
}

/// Whether a conductor carries a current behind a breaker. `design` is the current with its 125 %,
/// `current` without.
pub fn nec_fits(
    size: &str,
    runs: u8,
    [design, current, breaker]: [f64; 3],
    way: &NecWay,
) -> Option<bool> {
    let carries = nec_carries(size, runs, way)?;
    let largest = nec_largest_breaker(size, way.metal, carries)?;
    Some(carries.terminals >= design && carries.laid >= to_millionth(current) && breaker <= largest)
}

/// The least size that carries a current behind a breaker, with conductors beside each other where
/// one does not do: the fewest runs, then the least size; `None` if none of the table does. Only
/// 1/0 AWG and larger may run in parallel (310.10(G)).
pub fn nec_runs(
    design: f64,
    current: f64,
    breaker: f64,
    way: &NecWay,
) -> Option<(u8, &'static str)> {
    let beside = |runs: u8| {
        let allowed = |size: &&str| runs == 1 || may_run_beside(size);
        let fits =
            |size: &&str| nec_fits(size, runs, [design, current, breaker], way) == Some(true);
        Some((runs, sizes().filter(allowed).find(fits)?))
    };
    (1..=8).find_map(beside)
}

/// Whether conductors of a size may run in parallel: from 1/0 AWG up.
pub fn may_run_beside(size: &str) -> bool {
    size.ends_with("/0") || size.parse::<u32>().is_ok_and(|size| size >= 250)
}

/// The sizes of the table, the smallest first.
fn sizes() -> impl Iterator<Item = &'static str> {
    NEC_AMPACITY.rows().filter_map(|row| row.text("size"))
}

/// The earth conductor that goes with a breaker.
pub fn nec_earth(breaker: f64, metal: Metal) -> Option<&'static str> {
    NEC_EARTH.rows().find(|row| row.number("most_ampere") >= Some(breaker))?.text(column(metal))
}

/// Insulation by the international standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Insulation {
    /// PVC, 70 °C.
    Pvc,
    /// Cross-linked polyethylene, 90 °C.
    Xlpe,
}

/// How a conductor is laid, by the international standard.
#[derive(Clone, Copy, Debug)]
pub struct IecWay {
    /// Its insulation.
    pub insulation: Insulation,
    /// Conductors that carry current: two or three.
    pub loaded: u8,
    /// In a conduit on a wall (B1), or else clipped direct (C).
    pub in_conduit: bool,
    /// Ambient temperature in degrees Celsius.
    pub ambient: f64,
}

/// Ampacity of a copper section as it is laid, in amperes.
pub fn iec_corrected(square_millimetres: f64, way: &IecWay) -> Option<f64> {
    let kind = match way.insulation {
        Insulation::Pvc => "pvc",
        Insulation::Xlpe => "xlpe",
    };
    let laid = if way.in_conduit { "b1" } else { "c" };
    let row = IEC_AMPACITY.rows().find(|row| row.number("mm2") == Some(square_millimetres))?;
    let ampacity = row.number(&format!("{kind}_{}_{laid}", way.loaded))?;
    let ambient = IEC_AMBIENT.rows().find(|row| row.number("most_c") >= Some(way.ambient))?;
    Some(to_millionth(ampacity * ambient.number(kind)?))
}

/// The least copper section that a breaker protects, in square millimetres.
pub fn iec_section(breaker: f64, way: &IecWay) -> Option<f64> {
    let sections = IEC_AMPACITY.rows().filter_map(|row| row.number("mm2"));
    let mut carrying =
        sections.filter(|section| iec_corrected(*section, way).is_some_and(|most| most >= breaker));
    carrying.next()
}

/// The section of the earth conductor beside a line conductor of the same metal.
pub fn iec_earth(square_millimetres: f64) -> f64 {
    if square_millimetres <= 16.0 {
        square_millimetres
    } else if square_millimetres <= 35.0 {
        16.0
    } else {
        square_millimetres / 2.0
    }
}
