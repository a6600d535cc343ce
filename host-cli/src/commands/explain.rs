//! `coldcheck explain`.

use super::Failure;
use crate::args::{Cli, ExplainArgs, Format};
use crate::drill;
use crate::fold::nearest;
use crate::read::ReadError;
use crate::render::explain;
use coldcheck_core::rules::{RULES, RuleId};
use std::io::Write;

pub(super) fn run(_: &Cli, args: &ExplainArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    if let (Some(kind), Format::Text) = (&args.rule, args.format)
        && let Some(words) = drill::words::of_plant(kind)
    {
        out.write_all(explain::plant(&words).as_bytes())?;
        return Ok(0);
    }
    let chosen: Vec<RuleId> = match &args.rule {
        None => RULES.iter().map(|(id, _)| *id).collect(),
        Some(slug) => vec![find(slug)?],
    };
    match args.format {
        Format::Json => writeln!(out, "{:#}", explain::json(&chosen))?,
        Format::Text => out.write_all(explain::text(&chosen).as_bytes())?,
    }
    Ok(0)
}

fn find(slug: &str) -> Result<RuleId, ReadError> {
    let known = RULES.iter().find(|(_, rule)| rule.slug == slug).map(|(id, _)| *id);
    known.ok_or_else(|| {
        let expected = match nearest(slug, RULES.iter().map(|(_, rule)| rule.slug)) {
            Some(near) => format!("{near}, perhaps; `coldcheck explain --all` lists every rule"),
            None => "a rule's name; `coldcheck explain --all` lists every rule".to_owned(),
        };
        ReadError::file(slug, "no rule has this name", expected)
    })
}
