//! JSON under the schema `coldcheck.mend.v1`.

use crate::engine::Site;
use crate::mend::Told;
use crate::render::mend;
use crate::words::{self, CAUTIONS};
use coldcheck_core::rules::RuleId;
use serde_json::{Value, json};

/// The schema's name; a change that is no addition makes the next version.
pub const SCHEMA: &str = "coldcheck.mend.v1";

/// The acts.
pub fn told(site: &Site, told: &Told) -> Value {
    let (_, says) = mend::head(told);
    let rest = json!({
        "scope": words::scope(site.scope),
        "verdict": told.before.word(),
        "asks": told.asks,
        "asked": told.asked,
        "says": says,
        "cost": told.cost,
        "ways": told.ways.0,
        "more_ways_possible": told.ways.1,
        "waived": slugs(&told.waived),
        "to_declare": told.undeclared,
        "first_say": told.unclear_bars,
        "answers": told.answers.iter().map(|answer| json!({
            "acts": answer.acts.iter().map(|act| json!({
                "act": act.word,
                "says": act.says,
                "cost": act.cost,
                "mends": slugs(&act.mends),
                "with_it": (!act.cautions.is_empty()).then(|| act.cautions.join(" ")),
                "cautions": act.cautions,
            })).collect::<Vec<_>>(),
            "verdict_after": answer.after.word(),
            "left": slugs(&answer.left),
            "to_declare": answer.undeclared,
        })).collect::<Vec<_>>(),
        "beyond": told.beyond.iter().map(|one| json!({
            "rule": one.rule.rule().slug,
            "says": one.says,
            "do": one.rule.rule().text.act,
            "is_certain": one.gave_up.is_none(),
            "no_set_below": one.gave_up.map(|far| far.below),
        })).collect::<Vec<_>>(),
        "why_no_cheaper": {
            "least": told.least.iter().map(|(rules, takes)| json!({
                "rules": slugs(rules),
                "cost": takes,
            })).collect::<Vec<_>>(),
            "costs_tried": told.bounds,
            "states_judged": told.judged,
            "given_up_below": told.given_up.map(|far| far.below),
            "says": mend::why(told),
        },
        "costs": mend::COSTS,
        "cautions": CAUTIONS,
    });
    super::of_site(SCHEMA, site, rest)
}

fn slugs(rules: &[RuleId]) -> Vec<&'static str> {
    rules.iter().map(|rule| rule.rule().slug).collect()
}
