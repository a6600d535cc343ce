//! Sizes of conductors, in the trade's gauges and in square millimetres.

use crate::fold::Folded;
use crate::vocabulary;
use std::fmt;

/// What a conductor is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Metal {
    /// Copper.
    Copper,
    /// Aluminium.
    Aluminium,
}

impl Metal {
    /// By its number in the vocabulary.
    pub const fn from_code(code: u32) -> Option<Self> {
        match code {
            1 => Some(Self::Copper),
            2 => Some(Self::Aluminium),
            _ => None,
        }
    }

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Copper => "copper",
            Self::Aluminium => "aluminium",
        }
    }
}

/// The size of one conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Size {
    /// A gauge number: 14 down to 1, then 0 for 1/0 and -1, -2, -3 for 2/0 to 4/0.
    Awg(i8),
    /// Thousands of circular mils.
    Kcmil(u16),
    /// Thousandths of a square millimetre.
    SquareMillimetres(u32),
}

impl Size {
    /// The name in the tables of the American code; `None` for a metric section.
    pub fn gauge(self) -> Option<String> {
        match self {
            Self::Awg(number @ ..=0) => Some(format!("{}/0", 1 - number)),
            Self::Awg(number) => Some(number.to_string()),
            Self::Kcmil(area) => Some(area.to_string()),
            Self::SquareMillimetres(_) => None,
        }
    }

    /// The section, if it is given in square millimetres.
    pub fn square_millimetres(self) -> Option<f64> {
        match self {
            Self::SquareMillimetres(thousandths) => Some(f64::from(thousandths) / 1000.0),
            Self::Awg(_) | Self::Kcmil(_) => None,
        }
    }

    /// The area in square millimetres, whatever it is given in: ASTM B258 for gauges (diameter
    /// 0.005 in * 92^((36 - n) / 39)), and 0.5067 mm2 for a kcmil.
    pub fn area(self) -> f64 {
        match self {
            Self::Awg(number) => {
                let exponent = (36.0 - f64::from(number)) / 39.0;
                let millimetres = 0.127 * libm::pow(92.0, exponent);
                std::f64::consts::FRAC_PI_4 * millimetres * millimetres
            }
            Self::Kcmil(area) => f64::from(area) * 0.506_707,
            Self::SquareMillimetres(thousandths) => f64::from(thousandths) / 1000.0,
        }
    }

    /// A name of the tables of the American code as a size.
    pub fn of_gauge(name: &str) -> Option<Self> {
        if let Some(zeros) = name.strip_suffix("/0") {
            let zeros = zeros.parse::<i8>().ok().filter(|zeros| (1..=4).contains(zeros))?;
            return Some(Self::Awg(1 - zeros));
        }
        match name.parse::<u16>().ok()? {
            area @ 250..=2000 => Some(Self::Kcmil(area)),
            number => i8::try_from(number).ok().filter(|n| (1..=40).contains(n)).map(Self::Awg),
        }
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Awg(_) => write!(f, "{} AWG", self.gauge().unwrap_or_default()),
            Self::Kcmil(area) => write!(f, "{area} kcmil"),
            Self::SquareMillimetres(area) => write!(f, "{} mm2", crate::words::thousandths(*area)),
        }
    }
}

/// A conductor: its size, and how many run beside each other for one line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Section {
    /// How many run beside each other.
    pub runs: u8,
    /// The size of each.
    pub size: Size,
    /// What it is made of, if it is written with the size; else what all are made of.
    pub metal: Option<Metal>,
}

impl Section {
    /// One conductor of this size.
    pub const fn one(size: Size) -> Self {
        Self { runs: 1, size, metal: None }
    }

    /// The area of all runs in square millimetres.
    pub fn area(self) -> f64 {
        self.size.area() * f64::from(self.runs)
    }
}

impl fmt::Display for Section {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.runs > 1 {
            write!(f, "{} x ", self.runs)?;
        }
        self.size.fmt(f)?;
        self.metal.map_or(Ok(()), |metal| write!(f, " {}", metal.word()))
    }
}

/// What is expected where a conductor is to be written.
pub(super) fn phrase() -> String {
    "a conductor such as 8 AWG, 1/0 AWG, 250 kcmil, 16 mm2, 2 x 500 kcmil, or with its metal: 250 \
     kcmil aluminium"
        .to_owned()
}

/// `8 AWG`, `AWG 8`, `#8`, `1/0`, `250 kcmil`, `16 mm2`, `2 x 500 kcmil`, `250 kcmil aluminium`.
pub(super) fn section(text: &str) -> Option<Section> {
    let text = text.trim().to_lowercase().replace('\u{d7}', "x");
    let (text, metal) = without_metal(&text);
    let (runs, size) = match text.split_once('x') {
        Some((runs, size)) => (runs.trim().parse().ok()?, size),
        None => (1, text),
    };
    (1..=16).contains(&runs).then_some(())?;
    Some(Section { runs, size: size_of(size.trim())?, metal })
}

/// The metal that stands behind a size or in front of it, and the size.
fn without_metal(text: &str) -> (&str, Option<Metal>) {
    let metal = |word: &str| Metal::from_code(vocabulary::METAL.code(&Folded::of(word))?.into());
    let behind = text.rsplit_once(' ').and_then(|(size, word)| Some((size, metal(word)?)));
    let before = || text.split_once(' ').and_then(|(word, size)| Some((size, metal(word)?)));
    match behind.or_else(before) {
        Some((size, metal)) => (size.trim(), Some(metal)),
        None => (text, None),
    }
}

fn size_of(text: &str) -> Option<Size> {
    for unit in ["mm2", "mm\u{b2}", "mm^2", "sqmm", "sq mm"] {
        if let Some(number) = text.strip_suffix(unit) {
            let area = super::scaled(number.trim(), &[""], 1000)?;
            return (area > 0).then_some(Size::SquareMillimetres(area));
        }
    }
    for unit in ["kcmil", "mcm"] {
        if let Some(number) = text.strip_suffix(unit) {
            let area = number.trim().parse().ok().filter(|area| (100..=2000).contains(area))?;
            return Some(Size::Kcmil(area));
        }
    }
    let gauge = text.strip_suffix("awg").or_else(|| text.strip_prefix("awg"));
    let gauge = gauge.or_else(|| text.strip_prefix('#'));
    // A bare number could be square millimetres; `1/0` can be nothing else.
    let gauge = gauge.or_else(|| text.ends_with("/0").then_some(text))?;
    match Size::of_gauge(gauge.trim().trim_start_matches('#'))? {
        size @ Size::Awg(_) => Some(size),
        Size::Kcmil(_) | Size::SquareMillimetres(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_as_people_write_them() {
        for (text, size) in [
            ("8 AWG", Size::Awg(8)),
            ("AWG 8", Size::Awg(8)),
            ("#8", Size::Awg(8)),
            ("1/0", Size::Awg(0)),
            ("4/0 awg", Size::Awg(-3)),
            ("250 kcmil", Size::Kcmil(250)),
            ("500 MCM", Size::Kcmil(500)),
            ("16 mm2", Size::SquareMillimetres(16_000)),
            ("2,5 mm\u{b2}", Size::SquareMillimetres(2_500)),
        ] {
            assert_eq!(section(text), Some(Section::one(size)), "{text}");
        }
        let two = Section { runs: 2, size: Size::Kcmil(500), metal: None };
        assert_eq!(section("2 x 500 kcmil"), Some(two));
        for text in ["2 x 500 kcmil aluminium", "2 x 500 kcmil Al", "Al 2 x 500 kcmil"] {
            let metal = Some(Metal::Aluminium);
            assert_eq!(section(text), Some(Section { metal, ..two }), "{text}");
        }
        let metal = Some(Metal::Copper);
        let copper = Section { metal, ..Section::one(Size::SquareMillimetres(16_000)) };
        assert_eq!(section("16 mm2 Cu"), Some(copper));
        for text in
            ["8", "0 AWG", "5/0", "250 AWG", "0 x 8 AWG", "3 kcmil", "0 mm2", "thick", "copper"]
        {
            assert_eq!(section(text), None, "{text}");
        }
    }

    #[test]
    fn a_conductor_reads_back_from_its_words() {
        for text in
            ["8 AWG", "1/0 AWG", "4/0 AWG", "250 kcmil", "2.5 mm2", "3 x 4/0 AWG", "1 AWG copper"]
        {
            let found = section(text).expect("a conductor");
            assert_eq!(found.to_string(), text);
        }
    }

    #[test]
    fn areas_of_gauges_are_those_of_the_standard() {
        // NFPA 70 (NEC), Chapter 9 Table 8 (second-hand): 8.366 mm2 for 8, 53.49 for 1/0.
        assert!((Size::Awg(8).area() - 8.366).abs() < 0.01);
        assert!((Size::Awg(0).area() - 53.49).abs() < 0.05);
        assert!((Size::Kcmil(250).area() - 126.7).abs() < 0.1);
    }
}
