//! Tables of standards as data: `assets/tables`, each file with its source and how sure it is.

use std::sync::LazyLock;

/// A table, its cells as text.
#[derive(Debug)]
pub struct Table {
    /// Standard, table and edition.
    pub source: String,
    /// How sure the figures are.
    pub mark: String,
    columns: Vec<String>,
    rows: Vec<Vec<Cell>>,
}

/// A cell, read once.
#[derive(Debug)]
struct Cell {
    text: String,
    number: Option<f64>,
}

impl Table {
    pub(crate) fn parse(text: &str) -> Self {
        let told = |key: &str| {
            let line = text.lines().find_map(|line| line.strip_prefix(key));
            line.unwrap_or("not given").to_owned()
        };
        let mut lines = text.lines().filter(|line| !line.starts_with('#'));
        let words = |line: &str| line.split(',').map(ToOwned::to_owned).collect();
        let cell = |text: &str| Cell { text: text.to_owned(), number: text.parse().ok() };
        Self {
            source: told("# source: "),
            mark: told("# mark: "),
            columns: lines.next().map(words).unwrap_or_default(),
            rows: lines.map(|line| line.split(',').map(cell).collect()).collect(),
        }
    }

    /// The rows, each to be asked by the names of columns.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> + Clone {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }
}

/// One row of a table.
#[derive(Clone, Copy, Debug)]
pub struct Row<'t> {
    table: &'t Table,
    cells: &'t [Cell],
}

impl<'t> Row<'t> {
    /// The text in a column; `None` if the cell is empty or there is no such column.
    pub fn text(&self, column: &str) -> Option<&'t str> {
        Some(self.cell(column)?.text.as_str()).filter(|text| !text.is_empty())
    }

    fn cell(&self, column: &str) -> Option<&'t Cell> {
        let position = self.table.columns.iter().position(|name| name == column)?;
        self.cells.get(position)
    }

    /// The number in a column.
    pub fn number(&self, column: &str) -> Option<f64> {
        self.cell(column)?.number
    }
}

macro_rules! tables {
    ($($(#[$doc:meta])* $name:ident = $file:literal;)+) => {$(
        $(#[$doc])*
        pub static $name: LazyLock<Table> =
            LazyLock::new(|| Table::parse(include_str!(concat!("../../assets/tables/", $file))));
    )+
        #[cfg(test)]
        const ALL: &[&LazyLock<Table>] = &[$(&$name,)+];
    };
}

tables! {
    /// Ampacity by size, metal and temperature of the insulation.
    NEC_AMPACITY = "nec_ampacity.csv";
    /// Correction for the ambient temperature.
    NEC_AMBIENT = "nec_ambient.csv";
    /// Adjustment for conductors that lie together.
    NEC_GROUPING = "nec_grouping.csv";
    /// Ratings of breakers and fuses.
    NEC_RATINGS = "nec_ratings.csv";
    /// The largest breaker for small conductors.
    NEC_SMALL_CONDUCTORS = "nec_small_conductors.csv";
    /// Earth conductor by breaker.
    NEC_EARTH = "nec_earth.csv";
    /// Resistance of conductors.
    NEC_RESISTANCE = "nec_resistance.csv";
    /// Losses of voltage that are advised at most.
    DROP_LIMITS = "drop_limits.csv";
    /// Factor on the open-circuit voltage of strings in the cold.
    NEC_SOLAR_COLD = "nec_solar_cold.csv";
    /// Ampacity by section, insulation, loaded conductors and way of laying.
    IEC_AMPACITY = "iec_ampacity.csv";
    /// Correction for the ambient temperature.
    IEC_AMBIENT = "iec_ambient.csv";
    /// Ratings of breakers.
    IEC_RATINGS = "iec_ratings.csv";
    /// Resistance of conductors.
    IEC_RESISTANCE = "iec_resistance.csv";
    /// Errors of measuring transformers by class.
    IEC_SENSOR_CLASSES = "iec_sensor_classes.csv";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_has_a_source_and_full_rows() {
        for table in ALL {
            assert!(table.source.contains("NFPA") || table.source.contains("IEC"), "{table:?}");
            assert_ne!(table.mark, "not given", "{}", table.source);
            assert!(table.rows.len() >= 3, "{}", table.source);
            for row in &table.rows {
                assert_eq!(row.len(), table.columns.len(), "{}: {row:?}", table.source);
            }
        }
    }

    #[test]
    fn an_empty_cell_is_nothing() {
        let row = NEC_AMPACITY.rows().next().expect("a row");
        assert_eq!((row.text("size"), row.number("cu_75")), (Some("14"), Some(20.0)));
        assert_eq!((row.number("al_75"), row.text("gold")), (None, None));
    }
}
