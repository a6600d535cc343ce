//! Boards of which it must be known on which side of a changeover they stand.

use super::{Declared, Question, Subject};
use crate::field::Field;
use crate::phrase::one_of;
use crate::value::Value;
use coldcheck_core::plan::YesNo;

impl Declared {
    /// A changeover that switches the neutral cuts off every bond before it: with the board on the
    /// one side neutral and earth stay joined on the group's own supply, on the other they do not.
    pub(crate) fn ask_for_side_of_boards(&mut self) {
        let (bonds, changeover) = (Field::Bonds, Field::ChangeoverNeutral);
        if self.number(Subject::Group, changeover) != Some(u32::from(YesNo::Yes.code())) {
            return;
        }
        let Some(Value::Bonds(agreed)) = self.agreed(Subject::Group, bonds) else { return };
        let places: Vec<_> = agreed
            .iter()
            .filter(|bond| bond.hangs_on_side())
            .map(|bond| format!("\u{201c}{}\u{201d}", bond.place))
            .collect();
        let Some(first) = agreed.iter().find(|bond| bond.hangs_on_side()) else { return };
        let verb = if places.len() == 1 { "does" } else { "do" };
        let (told, key) = (crate::phrase::all_of(&places), bonds.key());
        let mut origins = self.origins(Subject::Group, bonds);
        origins.extend(self.origins(Subject::Group, changeover));
        let question = Question {
            says: format!(
                "where {verb} {told} stand: before the changeover or behind it? It switches the \
                 neutral, so a bond before it is cut off while the group feeds the loads"
            ),
            answer: one_of(
                &["before", "behind"]
                    .map(|side| format!("{key} = {} (fixed, {side} the changeover)", first.place)),
            ),
            origins,
        };
        self.questions.push(question);
    }
}
