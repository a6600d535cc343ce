//! What was not understood: a near miss is asked about, anything else is listed.

use super::settings::whole;
use super::{Declared, Question};
use crate::demand_words;
use crate::field::{About, Field};
use crate::fold::{Folded, nearest};
use crate::phrase::all_of;
use crate::profile::Profile;
use crate::source::{Cell, Origin};
use crate::statement::Setting;
use crate::vocabulary;
use coldcheck_core::plan::{Demand, Dialect};

impl Declared {
    pub(super) fn ask(
        &mut self,
        origin: Origin,
        says: impl Into<String>,
        answer: impl Into<String>,
    ) {
        let question = Question { says: says.into(), answer: answer.into(), origins: vec![origin] };
        if !self.questions.contains(&question) {
            self.questions.push(question);
        }
    }

    /// A key that nobody knows: a known field of an unknown name, a slip, or something else.
    pub(super) fn unknown_key(&mut self, setting: &Setting) {
        let key = Folded::of(&setting.key.text);
        if let Some((name, field)) = Field::find_at_end(About::Unit, &key)
            && !name.is_empty()
        {
            self.ask(
                setting.key.origin,
                format!("who is \u{201c}{name}\u{201d}? A {} is given to it", field.key()),
                format!(
                    "if it is a unit, give it a role: {name} = follower; if it is another name of \
                     one: name {name} = unit 1"
                ),
            );
            return;
        }
        let words = || Field::ALL.iter().map(|field| field.key()).chain(demand_words::all_words());
        // The last word of `unit 1 adress` is the misspelt field.
        let near = nearest(&setting.key.text, words()).or_else(|| {
            let tail = key.runs().next_back()?;
            (key.count() > 1).then(|| nearest(tail, words()))?
        });
        match near {
            Some(near) => self.ask_word(&setting.key, near),
            None => self.not_understood.push(whole(setting)),
        }
    }

    /// A frame map that the site demands and the profile does not list: nothing could be heard.
    pub(super) fn ask_for_frames(&mut self, profile: &Profile) {
        let frame_map = u32::from(Dialect::FrameMap.code());
        if !profile.frames.is_empty() {
            return;
        }
        let origins: Vec<_> = self
            .demands()
            .filter(|(demand, _)| *demand == Demand::Dialect)
            .flat_map(|(_, facts)| facts)
            .filter(|fact| fact.value.number() == Some(frame_map))
            .flat_map(|fact| fact.origins.iter().copied())
            .collect();
        if origins.is_empty() {
            return;
        }
        self.questions.push(Question {
            says: format!(
                "which frames tell what? A frame map is demanded, and profile {} lists no frame",
                profile.name
            ),
            answer:
                "dialect = canopen or j1939, or a profile with a table [[frame]] for each kind \
                     of frame"
                    .to_owned(),
            origins,
        });
    }

    /// An item of an attribute list that nobody knows.
    pub(super) fn unknown_attribute(&mut self, item: &Cell) {
        if Field::find(About::Unit, &Folded::of(&item.text)).is_some() {
            self.ask(
                item.origin,
                format!("\u{201c}{}\u{201d} has no value", item.text),
                "write its value behind it, or take it out",
            );
            return;
        }
        let words = Field::of(About::Unit)
            .map(Field::key)
            .chain(vocabulary::ROLE.words())
            .chain(vocabulary::MODE.words());
        self.unknown_word(item, words);
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
                Some(near) => self.ask(
                    column.origin,
                    format!(
                        "column \u{201c}{}\u{201d} is not known; is \u{201c}{near}\u{201d} meant?",
                        column.text
                    ),
                    format!("write {near} over it, or say: column {} = {near}", column.text),
                ),
                None => self.not_understood.push(column),
            }
        }
    }

    /// A table of which nobody knows what it lists.
    pub(super) fn ask_about_table(&mut self, columns: &[Cell]) {
        let Some(first) = columns.first() else { return };
        let words: Vec<_> =
            columns.iter().map(|column| format!("\u{201c}{}\u{201d}", column.text)).collect();
        self.ask(
            first.origin,
            format!(
                "which of these columns say where a cable starts and ends: {}?",
                all_of(&words)
            ),
            format!(
                "say it in a settings list, for example: column {} = from, and the same for to",
                first.text
            ),
        );
    }
}
