//! A line read into [`Site`]: each word is looked up as soon as it is passed.

#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "what is not taken here is left to the general reader, a new field or meaning too"
)]

use super::Fast;
use super::meaning::{self, Inside, Key, Meaning};
use super::scan::{General, Scan};
use super::site::{Called, Span};
use crate::field::{About, Field, Form};

/// What a word is used as, where it is no value of a field: tags of the memo above all fields.
mod tags {
    pub(super) const KEYS: u8 = 128;
    pub(in super::super) const THING: u8 = 136;
    pub(in super::super) const LABEL: u8 = 137;
    pub(in super::super) const KIND: u8 = 138;
    pub(in super::super) const LENGTH: u8 = 139;
    pub(super) const SCOPE: u8 = 140;
    pub(super) const DEMANDS: u8 = 144;
    /// One for each profile.
    pub(in super::super) const SOCKETS: u8 = 200;
}
pub(super) use tags::{KIND, LABEL, LENGTH, SOCKETS, THING};

/// Reads one thing of a list.
type Each = fn(&mut Fast, &str, &mut Scan<'_>) -> Result<(), General>;

/// The bit of the object of demands among the lists.
const DEMANDS: u8 = 32;

/// Keys of a kind of object that are kept as they were written.
const MOST_KEYS: usize = 48;

impl Fast {
    /// Reads a line.
    pub(super) fn read(&mut self, line: &str) -> Result<(), General> {
        self.site.clear();
        let mut scan = Scan::new(line);
        self.object(&mut scan, Inside::Site, |fast, key, scan| match key {
            Key::Things(about) if scan.stands(b'[') => fast.things(line, about, scan),
            Key::Sensors if scan.stands(b'[') => fast.things(line, About::Sensor, scan),
            Key::Sensors => fast.group_value(line, meaning::key(Inside::Demands, "sensors"), scan),
            Key::Demands if fast.is_first(DEMANDS) && scan.stands(b'{') => {
                fast.object(scan, Inside::Demands, |fast, key, scan| {
                    fast.group_value(line, key, scan)
                })
            }
            Key::Field(_) | Key::Demand(_) => fast.group_value(line, key, scan),
            _ => Err(General),
        })?;
        scan.end()
    }

    pub(super) fn object(
        &mut self,
        scan: &mut Scan<'_>,
        inside: Inside,
        mut each: impl FnMut(&mut Self, Key, &mut Scan<'_>) -> Result<(), General>,
    ) -> Result<(), General> {
        scan.sign(b'{')?;
        if scan.passes(b'}') {
            return Ok(());
        }
        let mut place = 0;
        loop {
            let key = self.key(scan, inside, &mut place)?;
            each(self, key, scan)?;
            if !scan.passes(b',') {
                return scan.sign(b'}');
            }
        }
    }

    /// A key with its colon. Objects of one kind mostly have the same keys in the same order, and
    /// at times one is left out: so each is looked for behind the one before it first.
    fn key(
        &mut self,
        scan: &mut Scan<'_>,
        inside: Inside,
        place: &mut usize,
    ) -> Result<Key, General> {
        #[allow(clippy::as_conversions, reason = "a fieldless enum has no other conversion")]
        let number = inside as u8;
        let Some(before) = self.keys.get_mut(usize::from(number)) else { return Err(General) };
        let (first, behind) = before.split_at(before.len().min(*place));
        for (step, (bytes, key)) in behind.iter().chain(first).enumerate() {
            if scan.passes_again(bytes) {
                *place = (*place + step) % before.len() + 1;
                return Ok(*key);
            }
        }
        let start = scan.at();
        let text = scan.text()?;
        scan.sign(b':')?;
        let ask = |text: &str| Meaning::Key(meaning::key(inside, text));
        let (Meaning::Key(key), _) = self.memo.meaning(tags::KEYS + number, text, ask) else {
            return Err(General);
        };
        let passed = scan.since(start);
        if passed.len() <= 64 && before.len() < MOST_KEYS {
            let at = before.len().min(*place);
            before.insert(at, (passed.into(), key));
            *place = at + 1;
        }
        Ok(key)
    }

    fn things(&mut self, line: &str, about: About, scan: &mut Scan<'_>) -> Result<(), General> {
        let (bit, each): (u8, Each) = match about {
            About::Unit => (1, Self::unit),
            About::Cable => (2, Self::cable),
            About::Pack => (4, Self::pack),
            About::Sensor => (8, Self::sensor),
            About::Device => (16, Self::device),
            About::Group => return Err(General),
        };
        if !self.is_first(bit) {
            return Err(General);
        }
        self.site.lists_cables |= about == About::Cable;
        scan.sign(b'[')?;
        if scan.passes(b']') {
            return Ok(());
        }
        loop {
            each(self, line, scan)?;
            if !scan.passes(b',') {
                return scan.sign(b']');
            }
        }
    }

    /// Notes a list. A second one, as `unit` and `units`, is left to the general reader.
    fn is_first(&mut self, list: u8) -> bool {
        let is_first = self.site.lists & list == 0;
        self.site.lists |= list;
        is_first
    }

    /// A fact about the group, or a demand.
    fn group_value(&mut self, line: &str, key: Key, scan: &mut Scan<'_>) -> Result<(), General> {
        let word = scan.word()?;
        match key {
            Key::Demand(demand) => {
                let tag = tags::DEMANDS + u8::try_from(demand.position()).unwrap_or(0);
                let ask = |text: &str| meaning::demand(demand, text);
                let Meaning::Number(bits) = self.memo.meaning(tag, word, ask).0 else {
                    return Err(General);
                };
                if self.site.demands.iter().any(|(other, _)| *other == demand) {
                    return Err(General);
                }
                self.site.demands.push((demand, bits));
                Ok(())
            }
            Key::Field(field) if self.site.group_seen.add(field) => {
                self.group_fact(line, field, word)
            }
            _ => Err(General),
        }
    }

    fn group_fact(&mut self, line: &str, field: Field, word: &str) -> Result<(), General> {
        match field {
            Field::Site => self.site.name = Some(Span::of(line, word)),
            Field::Profile => self.site.profile = Some(Span::of(line, word)),
            Field::Scope => {
                let Meaning::Scope(scope) = self.memo.meaning(tags::SCOPE, word, meaning::scope).0
                else {
                    return Err(General);
                };
                self.site.scope = Some(scope);
            }
            _ => {
                let value = self.value(field, word)?;
                return self.group_number(field, value);
            }
        }
        Ok(())
    }

    fn group_number(&mut self, field: Field, value: Meaning) -> Result<(), General> {
        let site = &mut self.site;
        let group = &mut site.group;
        match (field, value) {
            (Field::Bonds, Meaning::Bonds(bonds)) => site.bonds = Some(bonds),
            (Field::Arrays, Meaning::Arrays(arrays)) => {
                site.arrays = Some(arrays);
                return Ok(());
            }
            (Field::MeterAddressSet, Meaning::Address(address, _)) => {
                group.meter_address_set = address.into();
            }
            (Field::LeadPack, Meaning::Number(number)) => site.lead_pack = Some(number),
            (Field::PacksFitted, Meaning::Number(number)) => {
                group.packs_fitted = small(number).into();
            }
            (Field::PacksSet, Meaning::Number(number)) => group.packs_set = small(number).into(),
            (Field::CapacitySet, Meaning::Number(number)) => group.capacity_set = number.into(),
            (Field::ChangeoverNeutral, Meaning::Number(n)) => group.switches_neutral = choice(n),
            (Field::ChangeoverGap, Meaning::Number(n)) => group.changeover_gap = small(n).into(),
            (Field::SupplyBreaker, Meaning::Number(n)) => {
                group.supply_breaker = small(n / 1000).into();
            }
            (Field::Interlock, Meaning::Number(number)) => group.interlock = choice(number),
            (Field::Precharge, Meaning::Number(number)) => group.precharge = choice(number),
            _ => return Err(General),
        }
        site.known |= data(field);
        Ok(())
    }

    /// The value of a field.
    pub(super) fn value(&mut self, field: Field, word: &str) -> Result<Meaning, General> {
        // Most numbers are plain, and need not be remembered.
        if word.len() <= 5
            && let (Form::Address | Form::Whole(..), Some(number)) = (field.form(), digits(word))
        {
            return match (field.form(), u16::try_from(number)) {
                (Form::Address, Ok(address)) => Ok(Meaning::Address(address, 10)),
                (Form::Whole(least, most), _) if (least..=most).contains(&number) => {
                    Ok(Meaning::Number(number))
                }
                (_, _) => Err(General),
            };
        }
        #[allow(clippy::as_conversions, reason = "a fieldless enum has no other conversion")]
        let tag = field as u8;
        let lists = &mut self.lists;
        match self.memo.meaning(tag, word, |text| lists.value(field, text)).0 {
            Meaning::General => Err(General),
            meaning => Ok(meaning),
        }
    }

    /// The name of a thing: what is written, and the position among the things.
    pub(super) fn name(
        &mut self,
        line: &str,
        scan: &mut Scan<'_>,
    ) -> Result<(Called, u16), General> {
        let text = scan.word()?;
        let lists = &mut self.lists;
        let (meaning, word) = self.memo.meaning(THING, text, |text| lists.thing(text));
        let Meaning::Thing(thing) = meaning else { return Err(General) };
        Ok((Called { span: Span::of(line, text), word }, thing))
    }
}

/// The datum that a field declares, as a bit.
pub(super) fn data(field: Field) -> u64 {
    field.datum().map_or(0, |datum| 1u64 << datum.bit())
}

/// A serial number of plain digits.
pub(super) fn serial(word: &str) -> Result<u32, General> {
    if word.is_empty() || word.len() > 9 {
        return Err(General);
    }
    digits(word).ok_or(General)
}

/// A number of digits only, that fits.
fn digits(word: &str) -> Option<u32> {
    let mut number = 0u32;
    for byte in word.bytes() {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return None;
        }
        number = number * 10 + u32::from(digit);
    }
    (!word.is_empty()).then_some(number)
}

/// As the plan's narrower fields take it.
pub(super) fn small(number: u32) -> u16 {
    u16::try_from(number).unwrap_or(u16::MAX)
}

/// The number of a word of a closed vocabulary.
pub(super) fn choice(number: u32) -> u8 {
    u8::try_from(number).unwrap_or(0)
}
