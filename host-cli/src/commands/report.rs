//! `coldcheck report`.

use super::{Failure, check, files, powerup};
use crate::args::ReportPageArgs;
use crate::engine::{Request, Site, examine};
use crate::powerup::{PowerUp, outline};
use crate::profile;
use crate::read::ReadError;
use crate::render::html::{FirstPage, Made, all, one_page, report_with_pictures};
use crate::tidy;
use std::io::Write;

pub(super) fn run(args: &ReportPageArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    files::with_pictures(&args.site, |request, pictures| {
        let (site, mut diagnosis) = examine(request)?;
        check::weigh(&site, &mut diagnosis, args.date, args.strict)?;
        let made = Made {
            sheets: request.files,
            profile: &profile_text(request, &site)?,
            day: check::day(args.date)?,
        };
        let readings = powerup::read(args.readings.as_deref())?;
        let shape = tidy::shape(&site, request)?;
        let power_up = PowerUp::of(&site, &diagnosis, &shape, request.files);
        let told = power_up.told(&readings);
        let outline = outline(&site, &shape);
        let first_page = FirstPage { told: &told, outline: &outline };
        let inputs = files::inputs(&args.site, &site);
        if args.one_page {
            let html = one_page(&site, &made, first_page);
            files::write(&inputs, &args.output, out, html.as_bytes())?;
            return Ok(diagnosis.verdict.exit_code());
        }
        let tables = all(&site, &diagnosis).map_err(|error| {
            ReadError::file("the plan", format!("it is damaged ({error:?})"), "a plan")
        })?;
        let html =
            report_with_pictures(&site, &diagnosis, &made, &tables, Some(first_page), pictures);
        files::write(&inputs, &args.output, out, html.as_bytes())?;
        Ok(diagnosis.verdict.exit_code())
    })
}

/// The text that the profile was read from.
fn profile_text(request: &Request<'_>, site: &Site) -> Result<String, ReadError> {
    let named = site.profile_named.as_deref().unwrap_or(profile::ASSUMED);
    profile::builtin(named)
        .map_or_else(|| (request.load_profile)(named), |text| Ok(text.to_owned()))
}
