//! Numbers for names that only have to be equal or not: by their order, so that the order of
//! lines on a sheet plays no part.

use crate::value::Value;
use std::collections::BTreeSet;

/// The names that occur, in order.
pub(super) struct Interner<'v>(Vec<&'v Value>);

impl<'v> Interner<'v> {
    pub(super) fn of(values: impl Iterator<Item = &'v Value>) -> Self {
        Self(values.collect::<BTreeSet<_>>().into_iter().collect())
    }

    /// The name's number, from 1; 0 for none.
    pub(super) fn number(&self, value: Option<&Value>) -> u16 {
        value
            .and_then(|value| self.0.iter().position(|known| *known == value))
            .and_then(|position| u16::try_from(position + 1).ok())
            .unwrap_or(0)
    }
}
