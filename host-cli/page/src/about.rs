//! What a person chooses from, and what is always said.

use coldcheck::drill::words::{kinds, words_of};
use coldcheck::field::{About, Field, Form};
use coldcheck::fold::Folded;
use coldcheck::profile::{builtin, builtin_names, demand_bits, parse};
use coldcheck::render::explain as render;
use coldcheck::vocabulary::CABLE_KIND;
use coldcheck::words::CAUTIONS;
use coldcheck_core::limits;
use coldcheck_core::plan::Demand;
use coldcheck_core::rules::RULES;
use serde_json::{Map, Value, json};

/// The answer to `about`.
pub(crate) fn about() -> Value {
    let profiles = builtin_names().into_iter().filter_map(|name| {
        let profile = parse(name, builtin(name)?).ok()?;
        let number = |demand: Demand| Some(profile.demands.get(&demand)?.bits);
        Some(json!({
            "name": profile.name,
            "summary": profile.summary,
            "least": number(Demand::UnitsMin).unwrap_or(1),
            "most": number(Demand::UnitsMax)
                .and_then(|most| usize::try_from(most).ok())
                .map_or(limits::UNITS, |most| most.min(limits::UNITS)),
        }))
    });
    let fields = |about: About| Field::of(about).map(field).collect::<Vec<_>>();
    json!({
        "version": env!("CARGO_PKG_VERSION"),
        "cautions": CAUTIONS,
        "most_units": limits::UNITS,
        "profiles": profiles.collect::<Vec<_>>(),
        "kinds": CABLE_KIND.words().collect::<Vec<_>>(),
        "fields": {
            "group": fields(About::Group).into_iter().chain(demands()).collect::<Vec<_>>(),
            "unit": fields(About::Unit),
            "cable": fields(About::Cable),
            "pack": fields(About::Pack),
            "sensor": fields(About::Sensor),
            "device": fields(About::Device),
        },
        "drill_kinds": kinds().filter_map(words_of).map(|words| json!({ "kind": words.kind, "title": words.title })).collect::<Vec<_>>(),
        "rules": RULES.iter().map(|(_, rule)| (rule.slug.to_owned(), json!(rule.text.title))).collect::<Map<_, _>>(),
    })
}

/// What a site may demand beside or against its profile; a rating of its units is one of these.
fn demands() -> impl Iterator<Item = Value> {
    let is_fact = |demand: &Demand| Field::find(About::Group, &Folded::of(demand.key())).is_some();
    let own = Demand::ALL.iter().filter(move |demand| !is_fact(demand));
    own.map(
        |demand| json!({ "key": demand.key(), "demanded": true, "hint": demand_bits(demand.kind(), "\u{1}").err() }),
    )
}

/// A fact: its key, the words to choose from, or what is expected there.
fn field(field: Field) -> Value {
    if let Form::Choice(vocabulary) = field.form() {
        return json!({ "key": field.key(), "choices": vocabulary.words().collect::<Vec<_>>() });
    }
    json!({ "key": field.key(), "hint": field.expected() })
}

/// The answer to `explain_rule`.
pub(crate) fn explain(request: &Value) -> Value {
    let slug = request["rule"].as_str().unwrap_or("");
    match RULES.iter().find(|(_, rule)| rule.slug == slug) {
        Some((rule, _)) => json!({ "text": render::text(&[*rule]) }),
        None => json!({ "refused": format!("no rule is called {slug}") }),
    }
}
