//! `coldcheck profile`.

use super::{Failure, files};
use crate::args::{Format, ProfileAction, ProfileArgs};
use crate::profile::{self, Profile};
use crate::render;
use std::io::Write;

pub(super) fn run(args: &ProfileArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    match &args.action {
        ProfileAction::List { format } => {
            let profiles =
                profile::builtin_names().into_iter().map(load).collect::<Result<Vec<_>, _>>()?;
            match format {
                Format::Text => out.write_all(render::profile::list(&profiles).as_bytes())?,
                Format::Json => writeln!(out, "{:#}", render::profile::list_json(&profiles))?,
            }
        }
        ProfileAction::Show { profile, format } => {
            let profile = load(profile)?;
            match format {
                Format::Text => out.write_all(render::profile::show(&profile).as_bytes())?,
                Format::Json => writeln!(out, "{:#}", render::profile::json(&profile))?,
            }
        }
        ProfileAction::Check { profile } => {
            let profile = load(profile)?;
            out.write_all(render::profile::in_short(&profile).as_bytes())?;
        }
    }
    Ok(0)
}

/// A profile by name or file.
pub(super) fn load(name: &str) -> Result<Profile, Failure> {
    let text = match profile::builtin(name) {
        Some(text) => text.to_owned(),
        None => files::load_profile(name)?,
    };
    profile::parse(name, &text).map_err(|(sheets, errors)| Failure::Errors(sheets, errors))
}
