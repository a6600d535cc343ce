//! Attribute lists: the items of `unit 1 = coordinator, addr 1, term built in`.

use super::settings::is_item_separator;
use crate::field::{About, Field};
use crate::fold::Folded;
use crate::source::Cell;
use crate::value::resistance;
use crate::vocabulary;

/// The fields that the items of a value name; none if the value is no attribute list.
pub(super) fn attributes_of(value: &Cell) -> Vec<Field> {
    let items = value.split(is_item_separator);
    items.iter().filter_map(attribute).map(|(field, _)| field).collect()
}

/// A field and its value, in one item: `addr 1`, `term built in`, or just `coordinator`.
pub(super) fn attribute(item: &Cell) -> Option<(Field, Cell)> {
    let whole = Folded::of(&item.text);
    for (field, vocabulary) in [
        (Field::Role, vocabulary::ROLE),
        (Field::Mode, vocabulary::MODE),
        (Field::Phase, vocabulary::LEG),
    ] {
        // A bare number is no word of these, though a leg may be written so in a table.
        if vocabulary.code(&whole).is_some() && item.text.contains(char::is_alphabetic) {
            return Some((field, item.clone()));
        }
    }
    // `term on, 120 ohm`: only a terminator has ohms.
    if item.text.to_lowercase().contains(['\u{3C9}', 'o']) && resistance(&item.text).is_some() {
        return Some((Field::TerminatorOhms, item.clone()));
    }
    // The longest beginning that is a field, cut where a word ends.
    item.text
        .char_indices()
        .rev()
        .filter(|(_, c)| c.is_whitespace() || *c == '=' || *c == ':')
        .find_map(|(at, c)| {
            let key = Folded::of(item.text.get(..at)?);
            let field = Field::find(About::Unit, &key)?;
            Some((field, item.part(at + c.len_utf8()..item.text.len())))
        })
        .or_else(|| {
            // `addr1`, without a space.
            let at = item.text.find(|c: char| c.is_ascii_digit())?;
            let field = Field::find(About::Unit, &Folded::of(item.text.get(..at)?))?;
            Some((field, item.part(at..item.text.len())))
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SheetId;

    fn item(text: &str) -> Option<(Field, String)> {
        attribute(&Cell::of(SheetId(0), text, 0..text.len()))
            .map(|(field, value)| (field, value.text))
    }

    #[test]
    fn items_of_an_attribute_list() {
        assert_eq!(item("coordinator"), Some((Field::Role, "coordinator".into())));
        assert_eq!(item("addr 0x0A"), Some((Field::Address, "0x0A".into())));
        assert_eq!(item("addr1"), Some((Field::Address, "1".into())));
        assert_eq!(item("term built in"), Some((Field::Terminator, "built in".into())));
        assert_eq!(item("battery bank A"), Some((Field::Bank, "A".into())));
        assert_eq!(item("L2"), Some((Field::Phase, "L2".into())));
        assert_eq!(item("120 ohm"), Some((Field::TerminatorOhms, "120 ohm".into())));
        assert_eq!(item("term plug 120 ohm"), Some((Field::Terminator, "plug 120 ohm".into())));
        assert_eq!(item("2"), None);
        assert_eq!(item("purple 4"), None);
    }
}
