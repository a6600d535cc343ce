//! Sizes for people: by part of the plant, each number with its inputs, formulas and sources below.

use super::{Ink, Style, Text};
use crate::dial::{By, Dial, Setting};
use crate::engine::Site;
use crate::field::Field;
use crate::phrase::{all_of, counted};
use crate::sizing::Formula;
use crate::sizing::current::Code;
use crate::sizing::site::Sizes;
use crate::sizing::work::{From, Lack, Number, Part, Quantity, Uncomputed, Whose, with_unit};
use crate::visible::visible;
use crate::words::CAUTIONS;

/// The width of the column of numbers.
const NUMBERS: usize = 13;

/// What the numbers are, and what they are not.
pub(crate) const PAPER_CHECK: &str = "A paper check of what was written down: `coldcheck check` \
     gives the verdict. Where a source is second-hand or from memory, look it up in the edition \
     that applies.";

/// Above what was not computed.
pub(crate) const NOT_COMPUTED: &str = "Not computed, by what is missing";

/// Which code the numbers follow, or that none is chosen.
pub(crate) const fn code(sizes: &Sizes) -> &'static str {
    match sizes.code {
        Some(Code::Nec) => "Code: NEC (NFPA 70), edition 2023 unless said otherwise.",
        Some(Code::Iec) => "Code: IEC 60364.",
        None => {
            "No code is chosen (write: code = NEC, or code = IEC): only what hangs on no code is \
             computed."
        }
    }
}

/// What was not computed, by what is missing.
pub(crate) fn not_computed(all: &[Uncomputed]) -> Vec<(String, Vec<&str>)> {
    let mut causes: Vec<(String, Vec<&str>)> = Vec::new();
    for one in all {
        let lacks: Vec<_> = one.lacks.iter().map(Lack::text).collect();
        let lacks = lacks.join(", ");
        match causes.iter_mut().find(|(known, _)| *known == lacks) {
            Some((_, labels)) if labels.contains(&one.item.id) => {}
            Some((_, labels)) => labels.push(one.item.id),
            None => causes.push((lacks, vec![one.item.id])),
        }
    }
    causes
}

/// The sizes of a site.
pub fn sizes(site: &Site, sizes: &Sizes, style: Style) -> String {
    let mut out = Text { out: String::new(), style };
    let head = out.bold("SIZES:", Ink::Calm);
    let count = counted(sizes.sheet.quantities.len(), "number");
    let missing = sizes.sheet.uncomputed.len();
    let code = code(sizes);
    out.wrapped(&format!("{head} "), &format!("{count} computed, {missing} not. {code}"));
    out.subject(site);
    out.left_out(site);
    out.blank();
    out.wrapped("", CAUTIONS);
    for finding in &sizes.findings {
        out.finding(&site.declared.sheets, finding);
    }
    for part in Part::ALL {
        out.part(site, sizes, part);
    }
    if !style.quiet {
        out.uncomputed(&sizes.sheet.uncomputed);
    }
    out.settings(sizes);
    out.blank();
    out.wrapped("", PAPER_CHECK);
    out.out
}

impl Text {
    fn part(&mut self, site: &Site, sizes: &Sizes, part: Part) {
        let own: Vec<&Quantity> =
            sizes.sheet.quantities.iter().filter(|one| one.item.part == part).collect();
        if own.is_empty() {
            return;
        }
        let (first, rest) = part.word().split_at(1);
        self.heading(&format!("{}{rest}:", first.to_uppercase()));
        let mut formulas: Vec<&Formula> = Vec::new();
        for quantity in &own {
            self.quantity(site, quantity);
            if !formulas.contains(&quantity.item.formula) {
                formulas.push(quantity.item.formula);
            }
        }
        if self.style.quiet {
            return;
        }
        for formula in formulas {
            let Formula { id, text, source, mark } = formula;
            self.wrapped(&format!("  [{id}] "), &format!("{text}. Source: {source} ({mark})"));
        }
    }

    fn quantity(&mut self, site: &Site, quantity: &Quantity) {
        let number = number(quantity);
        let label = format!("{} [{}]", label(site, quantity), quantity.item.formula.id);
        self.wrapped(&format!("  {number:<NUMBERS$} "), &label);
        if !self.style.quiet {
            let inputs = inputs(&quantity.inputs);
            let indent = " ".repeat(NUMBERS + 5);
            self.wrapped(&indent, &format!("from {}", inputs.join("; ")));
        }
    }

    /// Grouped by what is missing.
    fn uncomputed(&mut self, all: &[Uncomputed]) {
        if all.is_empty() {
            return;
        }
        self.heading(&format!("{NOT_COMPUTED}:"));
        for (lacks, ids) in not_computed(all) {
            self.item(&format!("{lacks}: {}", ids.join(", ")));
        }
    }

    /// One paragraph for each unit and sensor. What must agree and is open everywhere is said once.
    fn settings(&mut self, sizes: &Sizes) {
        self.heading("Settings to dial in:");
        if !sizes.must_agree.is_empty() {
            self.wrapped("  must agree on all units: ", &sizes.must_agree.join(", "));
        }
        for (name, settings) in settings(sizes) {
            self.wrapped(&format!("  {}: ", visible(name)), &settings.join("; "));
        }
    }
}

/// A number with its unit, or the words that the trade has for it.
pub(crate) fn number(quantity: &Quantity) -> String {
    let answer = &quantity.answer;
    answer.text.clone().unwrap_or_else(|| with_unit(answer.number, quantity.item.unit))
}

/// What a number is, and what it is about.
pub(crate) fn label(site: &Site, quantity: &Quantity) -> String {
    let item = &quantity.item;
    let whose = match item.whose {
        Whose::Group if item.id.starts_with("feeder.") && item.id != "feeder.current" => {
            ", feeder".to_owned()
        }
        Whose::Group | Whose::Units(_) | Whose::Sensor(_) | Whose::Array(..) => {
            whose(site, &item.whose)
        }
    };
    format!("{}{whose}", item.label)
}

/// The settings of each unit and sensor. What must agree and is open everywhere is left out.
pub(crate) fn settings(sizes: &Sizes) -> Vec<(&str, Vec<String>)> {
    let told = |one: &&Setting| one.by != By::Open || !sizes.must_agree.contains(&one.key);
    let dials = sizes.settings.iter().map(|Dial { name, settings }| {
        (name.as_str(), settings.iter().filter(told).map(setting).collect::<Vec<_>>())
    });
    dials.filter(|(_, settings)| !settings.is_empty()).collect()
}

fn setting(setting: &Setting) -> String {
    let key = setting.key;
    let value = setting.value.as_deref().unwrap_or("(open)");
    if let Some(objection) = setting.objection() {
        return format!("{key} {value} {objection}");
    }
    match (setting.by, &setting.declared) {
        (_, Some(declared)) => format!("{key} {value} (declared: {declared})"),
        (By::Alike, None) => format!("{key} {value} (as the others)"),
        (By::Demanded | By::Declared | By::Open, None) => format!("{key} {value}"),
    }
}

fn whose(site: &Site, whose: &Whose) -> String {
    let declared = &site.declared;
    let named = |units: &[usize]| {
        let order = site.assembled.map.units.iter().filter(|unit| units.contains(unit));
        let names: Vec<&str> = order.map(|unit| declared.units[*unit].name.as_str()).collect();
        match names.as_slice() {
            [first, .., last] if names.len() == declared.units.len() && names.len() > 2 => {
                format!("{first} to {last}")
            }
            _ => all_of(&names),
        }
    };
    match whose {
        Whose::Group => String::new(),
        Whose::Units(units) => format!(", {}", named(units)),
        Whose::Sensor(sensor) => format!(", {}", declared.sensors[*sensor].0.name),
        Whose::Array(array, units) if array.is_empty() && units.is_empty() => String::new(),
        Whose::Array(array, units) if array.is_empty() => {
            format!(", every array of {}", named(units))
        }
        Whose::Array(array, _) => format!(", {array}"),
    }
}

/// What conductors have in common: said in one breath.
const LAID: &[Field] = &[
    Field::Code,
    Field::Metal,
    Field::Insulation,
    Field::Terminals,
    Field::Laid,
    Field::Ambient,
    Field::Together,
];

fn inputs(all: &[Number]) -> Vec<String> {
    let is_laid = |number: &&Number| LAID.iter().any(|field| field.key() == number.name);
    let laid: Vec<&Number> = all.iter().filter(is_laid).collect();
    if laid.len() < 5 {
        return all.iter().map(input).collect();
    }
    let mut told: Vec<String> = all.iter().filter(|one| !is_laid(one)).map(input).collect();
    let words = laid.iter().map(|one| {
        let value = input_value(one);
        if one.name == Field::Code.key() || one.name == Field::Metal.key() {
            value
        } else {
            format!("{} {value}", one.name)
        }
    });
    told.push(words.collect::<Vec<_>>().join(", "));
    told
}

fn input_value(input: &Number) -> String {
    let value = match (&input.text, input.get()) {
        (Some(text), _) => text.clone(),
        (None, Some(number)) => with_unit(number, input.unit),
        (None, None) => String::new(),
    };
    match input.from {
        From::Demanded | From::Assumed => format!("{value} ({})", input.from.word()),
        From::Declared | From::Computed => value,
    }
}

fn input(input: &Number) -> String {
    format!("{} {}", input.name, input_value(input))
}
