//! Terminators: how many, and where.

pub(super) mod term_listed_two_ways;
pub(super) mod term_missing_both_ends;
pub(super) mod term_missing_one_end;
pub(super) mod term_on_middle_unit;
pub(super) mod term_plug_wrong_socket;
pub(super) mod term_too_many;
pub(super) mod term_wrong_value;

use crate::links::Links;
use crate::plan::{DataSet, Datum};
use crate::report::Sink;
use crate::rules::RuleId;
use crate::sets::NodeSet;

/// The two ends of the line; says in the report why there are none.
#[inline(never)]
pub(super) fn ends_of_line(links: &Links<'_>, sink: &mut Sink<'_, '_>) -> Option<NodeSet> {
    // A cable that is not listed, or of which nobody knows where it goes, may go on from an end.
    let unsaid =
        const { DataSet::of(&[Datum::CableList, Datum::CableEnds]) }.without(links.known.whole);
    if let Some(datum) = unsaid.first() {
        sink.open(datum);
        return None;
    }
    let ends = links.line_ends();
    // A single unit has no line.
    if ends.is_none() && links.units.is_plural() {
        // Where a unit lacks the link and that is no fault of the link, it is there by another
        // name, and the list is what is wrong.
        if links.units.without(links.on_link.units()).is_empty() {
            sink.open(Datum::LineEnds);
        } else {
            sink.blocked_by(RuleId::UnitListedTwice);
        }
    }
    ends
}
