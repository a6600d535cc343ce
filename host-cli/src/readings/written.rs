//! A reading as the line that is put behind the others.

use super::amount::split;
use super::{Moment, Quantity};
use std::fmt::Write;

/// What is written of a reading, in the order of the line.
#[derive(Clone, Debug)]
pub struct Written<'w> {
    /// When it was taken.
    pub time: Moment,
    /// Initials of who took it.
    pub by: &'w str,
    /// With what.
    pub instrument: &'w str,
    /// Where.
    pub place: &'w str,
    /// Of what.
    pub quantity: Quantity,
    /// What was shown, with or without its unit.
    pub value: &'w str,
    /// The hash of the sheets.
    pub sheets: &'w str,
    /// The step of a power-up, and what it rests on.
    pub step: Option<(&'w str, &'w str)>,
}

impl Written<'_> {
    /// The line, its end included.
    ///
    /// ```
    /// use coldcheck::readings::{Moment, Quantity, Written, read};
    /// use coldcheck::read::RawSheet;
    ///
    /// let line = Written {
    ///     time: Moment::read("2027-03-01T09:12").unwrap(),
    ///     by: "RK",
    ///     instrument: "meter 2",
    ///     place: "unit 1 A",
    ///     quantity: Quantity::PairOhms,
    ///     value: "60.4",
    ///     sheets: "5f1d0c2e9ab34471",
    ///     step: None,
    /// };
    /// let file = RawSheet { name: "readings".to_owned(), bytes: line.line().into() };
    /// assert_eq!(read(&file).unwrap().list[0].place.text, "unit 1 A");
    /// ```
    pub fn line(&self) -> String {
        let time = format!("{}", self.time).replace(' ', "T");
        let zone = match self.time.zone {
            None => String::new(),
            Some(0) => "Z".to_owned(),
            Some(ahead) => {
                let (sign, minutes) = (if ahead < 0 { '-' } else { '+' }, ahead.unsigned_abs());
                format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
            }
        };
        let time = format!("{time}{zone}");
        let has_unit = !self.quantity.unit().is_empty();
        let (value, own) = if has_unit { split(self.value) } else { (self.value, "") };
        let unit = if own.is_empty() { self.quantity.unit() } else { own };
        let mut fields = vec![
            ("time", time.as_str()),
            ("by", self.by),
            ("instrument", self.instrument),
            ("place", self.place),
            ("quantity", self.quantity.word()),
            ("value", value),
            ("unit", unit),
            ("sheets", self.sheets),
        ];
        if let Some((step, basis)) = self.step {
            fields.extend([("step", step), ("basis", basis)]);
        }
        let mut line = String::new();
        for (position, (name, value)) in fields.into_iter().enumerate() {
            let sign = if position == 0 { '{' } else { ',' };
            let _ = write!(line, "{sign}\"{name}\":{}", serde_json::Value::from(value));
        }
        line.push_str("}\n");
        line
    }
}
