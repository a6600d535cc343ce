//! JSON under the schema `coldcheck.size.v1`.

use super::{finding, words};
use crate::dial::Dial;
use crate::engine::Site;
use crate::sizing::current::Code;
use crate::sizing::site::Sizes;
use crate::sizing::work::{Item, Number, Quantity, Uncomputed, Whose};
use crate::words::CAUTIONS;
use serde_json::{Value, json};

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.size.v1";

/// The sizes of a site.
pub fn sizes(site: &Site, sizes: &Sizes) -> Value {
    let sheets = &site.declared.sheets;
    let rest = json!({
        "scope": words::scope(site.scope),
        "code": sizes.code.map(code),
        "quantities": sizes.sheet.quantities.iter().map(|one| quantity(site, one)).collect::<Vec<_>>(),
        "not_computed":
            sizes.sheet.uncomputed.iter().map(|one| uncomputed(site, one)).collect::<Vec<_>>(),
        "findings": sizes.findings.iter().map(|one| finding(sheets, one)).collect::<Vec<_>>(),
        "settings": sizes.settings.iter().map(dial).collect::<Vec<_>>(),
        "must_agree": sizes.must_agree,
        "cautions": CAUTIONS,
    });
    super::of_site(SCHEMA, site, rest)
}

const fn code(code: Code) -> &'static str {
    match code {
        Code::Nec => "NEC",
        Code::Iec => "IEC",
    }
}

fn quantity(site: &Site, quantity: &Quantity) -> Value {
    let mut value = item(site, &quantity.item);
    value["value"] = json!(rounded(quantity.answer.number));
    value["text"] = json!(quantity.answer.text);
    value["inputs"] = quantity.inputs.iter().map(input).collect();
    value
}

fn uncomputed(site: &Site, uncomputed: &Uncomputed) -> Value {
    let mut value = item(site, &uncomputed.item);
    value["missing"] = uncomputed.lacks.iter().map(|lack| json!(lack.text())).collect();
    value
}

fn item(site: &Site, item: &Item) -> Value {
    json!({
        "id": item.id,
        "label": item.label,
        "part": item.part.word(),
        "unit": item.unit,
        "where": whose(site, &item.whose),
        "formula": item.formula.id,
        "formula_text": item.formula.text,
        "source": item.formula.source,
        "mark": item.formula.mark,
    })
}

fn whose(site: &Site, whose: &Whose) -> Value {
    let names = |units: &[usize]| -> Vec<&str> {
        let order = &site.assembled.map.units;
        let own = order.iter().filter(|unit| units.contains(unit));
        own.map(|unit| site.declared.units[*unit].name.as_str()).collect()
    };
    match whose {
        Whose::Group => json!({ "group": true }),
        Whose::Units(units) => json!({ "units": names(units) }),
        Whose::Sensor(sensor) => json!({ "sensor": site.declared.sensors[*sensor].0.name }),
        Whose::Array(array, units) => json!({ "strings_of": array, "units": names(units) }),
    }
}

fn input(input: &Number) -> Value {
    json!({
        "name": input.name,
        "value": input.get().map(rounded),
        "text": input.text,
        "unit": input.unit,
        "from": input.from.word(),
    })
}

fn dial(dial: &Dial) -> Value {
    let settings = dial.settings.iter().map(|setting| {
        json!({
            "setting": setting.key,
            "value": setting.value,
            "by": setting.by.word(),
            "declared": setting.declared,
            "disputed_by": setting.disputed.map(|rule| rule.rule().slug),
        })
    });
    json!({ "of": dial.name, "settings": settings.collect::<Vec<_>>() })
}

/// To a billionth: what is behind it comes from binary fractions.
fn rounded(number: f64) -> f64 {
    (number * 1e9).round() / 1e9
}
