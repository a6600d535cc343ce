//! `coldcheck profile`.

use super::{Failure, files};
use crate::args::{Format, ProfileAction, ProfileArgs, ProfileFormat};
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
            let read = load(profile)?;
            match format {
                ProfileFormat::Text => out.write_all(render::profile::show(&read).as_bytes())?,
                ProfileFormat::Json => writeln!(out, "{:#}", render::profile::json(&read))?,
                ProfileFormat::File => out.write_all(text_of(profile)?.as_bytes())?,
            }
        }
        ProfileAction::Check { profile } => {
            let profile = load(profile)?;
            out.write_all(render::profile::in_short(&profile).as_bytes())?;
        }
    }
    Ok(0)
}

/// The text of a profile by name or file.
fn text_of(name: &str) -> Result<String, Failure> {
    match profile::builtin(name) {
        Some(text) => Ok(text.to_owned()),
        None => Ok(files::load_profile(name)?),
    }
}

/// A profile by name or file.
pub(super) fn load(name: &str) -> Result<Profile, Failure> {
    let text = text_of(name)?;
    profile::parse(name, &text).map_err(|(sheets, errors)| Failure::Errors(sheets, errors))
}
