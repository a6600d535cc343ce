//! The meaning of settings: about the group, about a thing, a demand, or an explanation.

use super::ends::named_part;
use super::names::Meaning;
use super::{Declared, Question, SiteDemand, Subject};
use crate::field::{About, Field, Form};
use crate::fold::{Folded, nearest};
use crate::profile::demand_bits;
use crate::read::ReadError;
use crate::source::Cell;
use crate::statement::Setting;
use crate::value::{self, Value};
use crate::vocabulary;
use coldcheck_core::plan::{Demand, Scope};

impl Declared {
    /// Explanations first, because they may stand below the lines that need them; then units,
    /// because other lines refer to them; then everything else.
    pub(super) fn interpret_settings(&mut self, settings: &[Setting], errors: &mut Vec<ReadError>) {
        for setting in settings {
            self.learn_word(setting);
        }
        for setting in settings {
            self.interpret(setting, errors);
        }
        self.lists_units = !self.units.is_empty();
        for setting in settings {
            self.for_all_units(setting, errors);
            self.arrays(setting, errors);
        }
    }

    /// `name left box = unit 1` and `socket left socket = A`.
    fn learn_word(&mut self, setting: &Setting) -> bool {
        let key = Folded::of(&setting.key.text);
        let meant = Folded::of(&setting.value.text);
        if let Some(word) = key.after(&Folded::of("name")).filter(|word| !word.is_empty()) {
            self.names.units.push((word, meant));
        } else if let Some(word) = key.after(&Folded::of("socket")).filter(|word| !word.is_empty())
        {
            self.names.sockets.push((word, meant));
        } else {
            return is_column(&key);
        }
        true
    }

    fn interpret(&mut self, setting: &Setting, errors: &mut Vec<ReadError>) {
        let key = Folded::of(&setting.key.text);
        if is_explanation(&key) && setting.about.is_none() {
            return;
        }
        if let Some(about) = &setting.about
            && let Some(meaning) = self.meaning(&Folded::of(&about.text))
        {
            // A name alone says that the thing is there.
            let subject = self.subject(&meaning, about);
            match (subject, Field::find(kind_of(&meaning), &key)) {
                (Some(subject), Some(field)) => {
                    self.state(subject, field, &setting.value, errors);
                    return;
                }
                _ if key.is_empty() => return,
                // Lines about the group may stand below the last unit's section.
                _ => {}
            }
        }
        if !(self.about_group(&key, setting, errors)
            || all_units(&key).is_some()
            || self.named_in_key(&key, setting, errors)
            || self.attributes(&key, setting, errors))
        {
            self.unknown_key(setting);
        }
    }

    /// A fact about the group, a demand, or a word about the check itself.
    fn about_group(
        &mut self,
        key: &Folded,
        setting: &Setting,
        errors: &mut Vec<ReadError>,
    ) -> bool {
        if let Some(field) = Field::find(About::Group, key) {
            if field == Field::Scope {
                match scope(&setting.value.text) {
                    Some(scope) => self.scope = Some(scope),
                    None => {
                        errors
                            .push(self.wrong_value(&setting.value, "communication, power or all"));
                    }
                }
            }
            self.state(Subject::Group, field, &setting.value, errors);
            return true;
        }
        let Some(demand) = Demand::ALL.iter().find(|demand| Folded::of(demand.key()) == *key)
        else {
            return false;
        };
        match demand_bits(demand.kind(), &setting.value.text) {
            Ok(bits) => self.demands.push(SiteDemand {
                demand: *demand,
                bits,
                text: setting.value.text.clone(),
                origin: setting.value.origin,
            }),
            Err(expected) => errors.push(self.wrong_value(&setting.value, &expected)),
        }
        true
    }

    /// `unit 1 address = 1`, `pack 2 addr = 2`, `ct L1 arrow = house`, `gateway term = on`.
    fn named_in_key(
        &mut self,
        key: &Folded,
        setting: &Setting,
        errors: &mut Vec<ReadError>,
    ) -> bool {
        for about in [About::Sensor, About::Pack, About::Device, About::Unit] {
            let Some((name, field)) = Field::find_at_end(about, key) else { continue };
            let Some(meaning) = self.meaning(&name) else { continue };
            if !name.is_empty() && kind_of(&meaning) == about {
                let cell = setting.key.clone();
                self.fact(&meaning, &named_part(&cell, &name), field, &setting.value, errors);
                return true;
            }
        }
        false
    }

    fn fact(
        &mut self,
        meaning: &Meaning,
        name: &Cell,
        field: Field,
        value: &Cell,
        errors: &mut Vec<ReadError>,
    ) {
        // Facts about all sensors wait until the sensors are known.
        if let Some(subject) = self.subject(meaning, name) {
            self.state(subject, field, value, errors);
        }
    }

    /// The thing that is meant, made if it is new; `None` for all sensors together.
    fn subject(&mut self, meaning: &Meaning, name: &Cell) -> Option<Subject> {
        Some(match meaning {
            Meaning::Unit(key) => Subject::Unit(self.unit(name, key)),
            Meaning::Pack(key) => Subject::Pack(self.pack(name, key.clone())),
            Meaning::Sensor(Some(leg)) => Subject::Sensor(self.sensor(name, Some(*leg))),
            Meaning::Sensor(None) => return None,
            Meaning::Device(kind, key) => Subject::Device(self.device(name, *kind, key.clone())),
        })
    }

    /// `unit 1 = coordinator, addr 1, count 3`.
    fn attributes(&mut self, key: &Folded, setting: &Setting, errors: &mut Vec<ReadError>) -> bool {
        let Some(Meaning::Unit(name)) = self.meaning(key) else { return false };
        let unit = Subject::Unit(self.unit(&setting.key, &name));
        for item in setting.value.split(|c| c == ',') {
            match attribute(&item) {
                Some((field, value)) => self.state(unit, field, &value, errors),
                None => self.unknown_word(&item, Field::of(About::Unit).map(Field::key)),
            }
        }
        true
    }

    /// `all units ac out = straight`.
    fn for_all_units(&mut self, setting: &Setting, errors: &mut Vec<ReadError>) {
        let Some(rest) = all_units(&Folded::of(&setting.key.text)) else { return };
        let Some(field) = Field::find(About::Unit, &rest) else {
            self.unknown_key(setting);
            return;
        };
        for unit in 0..self.units.len() {
            self.state(Subject::Unit(unit), field, &setting.value, errors);
        }
    }

    /// Units that a line about arrays names must be there.
    fn arrays(&mut self, setting: &Setting, errors: &mut Vec<ReadError>) {
        if Field::find(About::Group, &Folded::of(&setting.key.text)) != Some(Field::Arrays) {
            return;
        }
        let Ok(Value::Arrays(arrays)) = value::parse(Form::Arrays, &setting.value.text) else {
            return;
        };
        for (_, unit) in arrays {
            if self.find_unit(&Folded::of(&unit)).is_none() {
                let expected = format!(
                    "a unit of this site; \u{201c}{unit}\u{201d} is none{}",
                    self.nearest_unit(&unit)
                        .map(|near| format!(", the nearest known name is {near}"))
                        .unwrap_or_default()
                );
                errors.push(self.wrong_value(&setting.value, &expected));
            }
        }
    }

    /// `ct ratio on part = 2000:1` is about every sensor, and sensors are known last.
    pub(super) fn settle_sensors(&mut self, settings: &[Setting], errors: &mut Vec<ReadError>) {
        for setting in settings {
            let key = Folded::of(&setting.key.text);
            let Some((name, field)) = Field::find_at_end(About::Sensor, &key) else { continue };
            if setting.about.is_none() && self.meaning(&name) == Some(Meaning::Sensor(None)) {
                for sensor in 0..self.sensors.len() {
                    self.state(Subject::Sensor(sensor), field, &setting.value, errors);
                }
            }
        }
    }

    /// States a fact, or says why its value cannot be read.
    pub(super) fn state(
        &mut self,
        subject: Subject,
        field: Field,
        cell: &Cell,
        errors: &mut Vec<ReadError>,
    ) {
        match value::parse(field.form(), &cell.text) {
            Ok(value) => self.say(subject, field, value, cell.origin),
            Err(expected) => {
                let error = self.wrong_value(cell, &format!("{}: {expected}", field.key()));
                if !errors.contains(&error) {
                    errors.push(error);
                }
            }
        }
    }

    pub(super) fn wrong_value(&self, cell: &Cell, expected: &str) -> ReadError {
        let says = if cell.is_empty() {
            "nothing stands here".to_owned()
        } else {
            format!("\u{201c}{}\u{201d} is not understood", cell.text)
        };
        ReadError::at(&self.sheets, cell.origin, says, expected)
    }

    /// A near miss is asked about; anything else is listed as not understood.
    fn unknown_key(&mut self, setting: &Setting) {
        let words = Field::ALL
            .iter()
            .map(|field| field.key())
            .chain(Demand::ALL.iter().map(|demand| demand.key()));
        let mut whole = setting.key.clone();
        whole.origin.end = setting.value.origin.end.max(whole.origin.end);
        whole.text = format!("{} = {}", setting.key.text, setting.value.text);
        let keys: Vec<_> = words.collect();
        // The last words of `unit 1 adress` are the misspelt field.
        let key = Folded::of(&setting.key.text);
        let near = nearest(&setting.key.text, keys.iter().copied()).or_else(|| {
            let tail = key.tokens().last()?;
            (key.tokens().len() > 1).then(|| nearest(tail, keys.iter().copied()))?
        });
        match near {
            Some(near) => self.ask_word(&setting.key, near),
            None => self.not_understood.push(whole),
        }
    }

    pub(super) fn unknown_word(&mut self, cell: &Cell, known: impl Iterator<Item = &'static str>) {
        let first = cell.text.split_whitespace().next().unwrap_or("");
        match nearest(first, known) {
            Some(near) => self.ask_word(cell, near),
            None => self.not_understood.push(cell.clone()),
        }
    }

    fn ask_word(&mut self, cell: &Cell, near: &str) {
        self.ask(
            cell.origin,
            format!("\u{201c}{}\u{201d} is not known; is \u{201c}{near}\u{201d} meant?", cell.text),
            format!("write {near}, or take the line out"),
        );
    }

    /// Headings that nobody knows: a near miss is asked about.
    pub(super) fn ask_about_columns(&mut self, columns: Vec<Cell>) {
        for column in columns {
            match nearest(&column.text, crate::read::heading_words()) {
                Some(near) => {
                    let question = Question {
                        says: format!(
                            "column \u{201c}{}\u{201d} is not known; is \u{201c}{near}\u{201d} meant?",
                            column.text
                        ),
                        answer: format!(
                            "write {near} over it, or say: column {} = {near}",
                            column.text
                        ),
                        origins: vec![column.origin],
                    };
                    self.questions.push(question);
                }
                None => self.not_understood.push(column),
            }
        }
    }
}

/// `column von = from` was read together with the table.
fn is_column(key: &Folded) -> bool {
    key.after(&Folded::of("column")).is_some_and(|word| !word.is_empty())
}

fn is_explanation(key: &Folded) -> bool {
    ["name", "socket", "column"]
        .iter()
        .any(|word| key.after(&Folded::of(word)).is_some_and(|rest| !rest.is_empty()))
}

fn all_units(key: &Folded) -> Option<Folded> {
    ["all units", "every unit", "all inverters"]
        .iter()
        .find_map(|words| key.after(&Folded::of(words)))
}

const fn kind_of(meaning: &Meaning) -> About {
    match meaning {
        Meaning::Unit(_) => About::Unit,
        Meaning::Pack(_) => About::Pack,
        Meaning::Sensor(_) => About::Sensor,
        Meaning::Device(..) => About::Device,
    }
}

/// A field and its value, in one item of an attribute list: `addr 1`, `term built in`, or just
/// `coordinator`.
fn attribute(item: &Cell) -> Option<(Field, Cell)> {
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

/// A scope in words.
pub(super) fn scope(text: &str) -> Option<Scope> {
    match Folded::of(text).to_string().as_str() {
        "communication" | "comms" | "link" => Some(Scope::COMMUNICATION),
        "power" => Some(Scope::POWER),
        "all" | "everything" | "communication power" | "communication and power" => {
            Some(Scope::ALL)
        }
        _ => None,
    }
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
        assert_eq!(item("2"), None);
        assert_eq!(item("purple 4"), None);
    }
}
