//! The power-up of one site: its steps in order, what each must show, and which of them hold
//! everything behind them back.
//!
//! ```text
//! site ─bands─▶ what it is made of ─off, dead, battery, live, join, sources─▶ steps ─basis─▶ what each rests on
//! steps and readings ─state─▶ what is passed, open, or open again; site ─down─▶ the way down
//! ```
//!
//! A step that is a hold keeps those behind it closed until it is passed. A hard hold (absence of
//! voltage, polarity, volts across a breaker, battery difference, earth and bond) is passed by a
//! reading only; another by a reading, or by a reason that somebody signs. What a reading rests on
//! ([`Step::basis`]) is kept with it: when a sheet changes, the steps that the change touches open
//! again, and the others stay passed.

mod bands;
mod basis;
mod battery;
mod bonds;
mod builder;
mod dead;
mod down;
mod entry;
mod fits;
mod join;
mod live;
mod made_of;
mod off;
mod one_source;
mod outline;
pub mod part;
mod power_up;
mod refused;
mod sources;
mod state;
pub mod told;

pub use down::{Down, WayDown, way_down};
pub use entry::Entry;
pub use outline::{Outline, OutlineUnit, outline};
pub use power_up::PowerUp;
pub use refused::Refused;
pub use state::{Judged, OneTaken, Progress, State, Today, progress};

use crate::engine::Site;
use crate::readings::Quantity;
use crate::site_file::SiteFile;
use builder::Builder;
use made_of::MadeOf;
use part::Part;

/// What comes after what.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Every source off, and proven off.
    Off,
    /// Tests on the dead plant.
    Dead,
    /// The battery up to the units.
    Battery,
    /// Each unit by itself, its output open.
    Alone,
    /// What the units say, and the link.
    Link,
    /// Onto the bars, one unit after the other.
    Join,
    /// Under load.
    Load,
    /// Supply and generator.
    Supply,
    /// Sensors: those at the supply see nothing before it is taken.
    Sensors,
    /// Solar arrays.
    Solar,
    /// Changeover both ways, and starts from dark.
    Changeover,
}

impl Stage {
    /// Every stage in order.
    pub const ALL: [Self; 11] = [
        Self::Off,
        Self::Dead,
        Self::Battery,
        Self::Alone,
        Self::Link,
        Self::Join,
        Self::Load,
        Self::Supply,
        Self::Sensors,
        Self::Solar,
        Self::Changeover,
    ];

    /// Its heading.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Off => "Off, and proven off",
            Self::Dead => "Dead tests",
            Self::Battery => "The battery, up to the units",
            Self::Alone => "Each unit alone, its output open",
            Self::Link => "What the units say, and the link",
            Self::Join => "Onto the bars, one unit after the other, no load",
            Self::Load => "Under load",
            Self::Supply => "Supply and generator",
            Self::Sensors => "Sensors",
            Self::Solar => "Solar arrays",
            Self::Changeover => "Changeover both ways, and from dark",
        }
    }

    /// Its word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Off => "off",
            Self::Dead => "dead",
            Self::Battery => "battery",
            Self::Alone => "alone",
            Self::Link => "link",
            Self::Join => "join",
            Self::Load => "load",
            Self::Supply => "supply",
            Self::Sensors => "sensors",
            Self::Solar => "solar",
            Self::Changeover => "changeover",
        }
    }

    /// Whether it is done while a danger stands in the sheets: nothing is live yet.
    pub const fn is_dead(self) -> bool {
        matches!(self, Self::Off | Self::Dead)
    }
}

/// Whether a step holds back what is behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// It is written down, and holds nothing back.
    None,
    /// A reading passes it, or a reason that somebody signs.
    Reason,
    /// Only a reading passes it.
    Reading,
}

impl Hold {
    /// Its word in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Reason => "reason",
            Self::Reading => "reading",
        }
    }
}

/// What a step must show.
#[derive(Clone, Debug, PartialEq)]
pub enum Expected {
    /// A number between two ends, one of which may be open, in the base unit of the quantity.
    Between {
        /// The least.
        low: Option<f64>,
        /// The most.
        high: Option<f64>,
        /// Who says so.
        source: String,
    },
    /// Amperes, beside the mean of all that feed this bar; and the mean at least so large.
    Share {
        /// The bar of which the mean is taken.
        bar: String,
        /// Parts of the mean.
        low: f64,
        /// Parts of the mean.
        high: f64,
        /// Amperes from which on a share says something; `None` if the rating is not known.
        least: Option<f64>,
        /// Who says so.
        source: String,
    },
    /// What an eye sees: the answer is yes, or no and what instead.
    Seen(String),
    /// Nobody can say, for want of this fact.
    Unknown(String),
}

/// A part of the site that a step rests on: of one thing by name, or of all.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Touch {
    /// Which part.
    pub part: Part,
    /// Of which unit, pack or sensor; `None` is the whole group.
    pub thing: Option<String>,
}

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its name: the same for the same step of a changed site.
    pub id: String,
    /// What kind of step it is: steps of one kind differ in their place alone.
    pub kind: String,
    /// When it is done.
    pub stage: Stage,
    /// Whether it holds back what is behind it.
    pub hold: Hold,
    /// What to do.
    pub act: String,
    /// Why.
    pub why: &'static str,
    /// What to do if it shows anything else.
    pub otherwise: &'static str,
    /// Where it is measured.
    pub place: String,
    /// What is measured.
    pub quantity: Quantity,
    /// What it must show.
    pub expected: Expected,
    /// So many steps of the list stand before it; the holds among them must be passed.
    pub behind: usize,
    /// What it rests on.
    pub touches: Vec<Touch>,
    /// A digest of all of that, and of what is expected.
    pub basis: String,
}

/// Kinds of steps that leave something switched on, closed or made ready for what follows, and readings
/// that hold only until it is off again.
const SWITCHED: &[&str] = &[
    "made-ready",
    "pre-charge",
    "battery-closed",
    "all-started",
    "bar-dead",
    "closed",
    "own-side",
    "bar-side",
    "across",
    "circulating",
    "supply-taken",
    "generator",
    "generator-taken",
    "generator-gone",
    "supply-back",
];

impl Step {
    /// Whether it is done anew whenever everything was locked off since.
    pub fn is_undone_by_lock(&self) -> bool {
        SWITCHED.contains(&self.kind.as_str())
    }
}

/// The steps of a site in order.
///
/// `shape` is what the sheets say in canonical form ([`crate::tidy::shape`]).
pub fn steps(site: &Site, shape: &SiteFile) -> Vec<Step> {
    let made_of = MadeOf::of(site, shape);
    let mut steps = Builder::default();
    off::add(&mut steps, &made_of);
    dead::add(&mut steps, &made_of);
    battery::add(&mut steps, &made_of);
    live::add(&mut steps, &made_of);
    join::add(&mut steps, &made_of);
    live::load(&mut steps, &made_of);
    sources::add(&mut steps, &made_of);
    let mut steps = steps.finish();
    for step in &mut steps {
        step.basis = basis::of(step, shape);
    }
    steps
}
