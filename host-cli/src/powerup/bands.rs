//! What is expected where the site itself does not say it: `assets/powerup/bands.csv`.

use crate::sizing::table::Table;
use std::sync::LazyLock;

static BANDS: LazyLock<Table> =
    LazyLock::new(|| Table::parse(include_str!("../../assets/powerup/bands.csv")));

/// A band of the table, in its own unit, and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Band {
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
    pub(super) source: &'static str,
}

/// The band of a name; an open one for a name that the table lacks, which a test excludes.
pub(super) fn band(name: &str) -> Band {
    let row = BANDS.rows().find(|row| row.text("name") == Some(name));
    Band {
        low: row.and_then(|row| row.number("low")),
        high: row.and_then(|row| row.number("high")),
        source: row.and_then(|row| row.text("source")).unwrap_or("no source"),
    }
}

impl Band {
    /// Where it comes from, and of what the percents are.
    pub(super) fn of(self, what: &str) -> String {
        format!("{what}; {}", self.source)
    }

    /// Its ends, which are percent, of a whole.
    pub(super) fn percent_of(self, whole: f64) -> (Option<f64>, Option<f64>) {
        (self.low.map(|end| end * whole / 100.0), self.high.map(|end| end * whole / 100.0))
    }
}
