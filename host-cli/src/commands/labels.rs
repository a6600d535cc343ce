//! `coldcheck labels`.

use super::form::write_pages;
use super::{Failure, files, pictures};
use crate::args::{Cli, LabelsArgs};
use crate::engine::{Request, Site, read_site};
use crate::labels::compare::{Agreement, compare};
use crate::labels::{Label, of_site, sheet};
use crate::phrase::{all_of, counted};
use crate::read::ReadError;
use crate::words::{CAUTIONS, WIDTH};
use std::io::Write;

/// Exit code if a label does not agree with the list.
const DIFFERS: u8 = 1;

pub(super) fn run(
    cli: &Cli,
    args: &LabelsArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let site = read_site(request)?;
        if !args.held.is_empty() {
            return held(cli, args, request, &site, out);
        }
        let (labels, left_out) = of_site(&site);
        if labels.is_empty() {
            let says = "no cable of these sheets can have a label";
            return Err(ReadError::file("labels", says, "cables with labels and both ends").into());
        }
        let name = site.declared.site_name().unwrap_or("a site without a name");
        let pages =
            sheet::pages(&labels, args.paper.paper(), name).map_err(|sheet::TooLong(cable)| {
                let says = format!("the words of cable {cable} do not fit into a code");
                ReadError::file("labels", says, "shorter names")
            })?;
        let inputs = files::inputs(&args.site, &site);
        write_pages(&inputs, &args.output, out, (args.format, "Cable labels"), &pages)?;
        if !cli.quiet {
            for reason in &left_out {
                writeln!(err, "note: no label: {reason}")?;
            }
            if args.output.output.is_some() {
                let labels = counted(labels.len(), "label");
                let sheets = counted(pages.len(), "sheet");
                let paper = args.paper.paper().word();
                writeln!(err, "written: {labels} on {sheets} of {paper}")?;
            }
        }
        Ok(0)
    })
}

/// Holds photographed labels against the list.
fn held(
    cli: &Cli,
    args: &LabelsArgs,
    request: &Request<'_>,
    site: &Site,
    out: &mut dyn Write,
) -> Result<u8, Failure> {
    let mut code = 0;
    for path in &args.held {
        let name = files::name(path);
        let labels: Vec<Label> =
            pictures::codes(path)?.iter().filter_map(|text| Label::of_text(text)).collect();
        if labels.is_empty() {
            return Err(ReadError::file(
                &name,
                "no label of ours can be read in this picture",
                "a sharp picture of one label or a few, taken from near",
            )
            .into());
        }
        for label in labels {
            let says = match compare(request, site, &label)? {
                Agreement::Agrees => "agrees with the list".to_owned(),
                Agreement::NoSuchCable => {
                    code = DIFFERS;
                    "DIFFERS: the list has no such cable".to_owned()
                }
                Agreement::Differs(ends) => {
                    code = DIFFERS;
                    let [one, other] = &ends;
                    format!("DIFFERS: the list has {}", all_of(&[one.as_str(), other.as_str()]))
                }
            };
            let line = format!(
                "{name}: cable {}, this end in {}, other end in {}: {says}",
                label.cable, label.here, label.there
            );
            writeln!(out, "{}", textwrap::fill(&crate::visible::visible(&line), WIDTH))?;
        }
    }
    if !cli.quiet {
        let note = "A label says what its cable should be, and not where its plug sits.";
        writeln!(out, "\n{}", textwrap::fill(&format!("{note} {CAUTIONS}"), WIDTH))?;
    }
    Ok(code)
}
