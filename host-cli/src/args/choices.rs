//! Words that a person chooses from on the command line.

use clap::ValueEnum;
use coldcheck_core::plan::{Dialect, Scope};

/// How a new site is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// One site file.
    Toml,
    /// A cable list and a settings list.
    Sheets,
}

/// Form of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ReportFormat {
    /// For people.
    Text,
    /// For programs.
    Json,
    /// For programs that take results of checks in the open SARIF 2.1.0 format.
    Sarif,
}

/// Form of an output.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    Text,
    /// For programs.
    Json,
}

/// When to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal.
    Auto,
    /// In any case.
    Always,
    /// Not at all.
    Never,
}

/// Parts of a site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ScopeArg {
    /// Link, termination, addresses, roles, settings, battery link, sensors.
    Communication,
    /// Battery, AC, neutral, earth, solar.
    Power,
    /// Both.
    All,
}

impl ScopeArg {
    /// The parts.
    pub const fn scope(self) -> Scope {
        match self {
            Self::Communication => Scope::COMMUNICATION,
            Self::Power => Scope::POWER,
            Self::All => Scope::ALL,
        }
    }
}

/// How units make themselves known on the bus.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DialectArg {
    /// Heartbeat, boot-up and identity object of CANopen.
    Canopen,
    /// Address claim of SAE J1939.
    J1939,
    /// The frames that the profile lists.
    #[value(alias = "frame map")]
    FrameMap,
}

impl DialectArg {
    /// The dialect.
    pub const fn dialect(self) -> Dialect {
        match self {
            Self::Canopen => Dialect::CanOpen,
            Self::J1939 => Dialect::J1939,
            Self::FrameMap => Dialect::FrameMap,
        }
    }
}
