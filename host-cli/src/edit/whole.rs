//! A site written anew.

use crate::engine::Site;
use crate::read::RawSheet;
use crate::site_file::{List, REMARK, REMARKS, SiteFile};
use crate::tidy::HEAD;
use std::fmt::Write;

/// The forms to try: a cable list with a settings list if the sheets have such a form, else one
/// site file.
pub(super) fn forms(site: &Site, wanted: &SiteFile) -> Vec<Vec<RawSheet>> {
    let sheets = &site.declared.sheets.0;
    let is_list = |text: &str| !crate::read::is_site_file(text);
    let mut forms = Vec::new();
    // Only a site file has a form for waivers and for acts that are to do.
    let needs_site_file =
        wanted.tables.iter().any(|table| matches!(table.list, List::Waiver | List::ToDo));
    if !needs_site_file && sheets.iter().all(|sheet| is_list(&sheet.text)) {
        let mut settings = SiteFile { head: Vec::new(), ..wanted.clone() }.settings_list();
        if !wanted.remarks.is_empty() {
            let _ = writeln!(settings, "\n# {REMARKS}");
            for remark in &wanted.remarks {
                let _ = writeln!(settings, "{REMARK}{remark}");
            }
        }
        let cables = SiteFile { head: Vec::new(), ..wanted.clone() }.cable_list();
        let mut files = vec![("settings.txt", settings)];
        if wanted.lists_cables {
            files.insert(0, ("cables.csv", cables));
        }
        forms.push(files);
    }
    let head = HEAD.iter().map(|line| (*line).to_owned()).collect();
    forms.push(vec![("site.toml", SiteFile { head, ..wanted.clone() }.toml())]);
    forms.into_iter().map(|files| files.into_iter().map(sheet).collect()).collect()
}

fn sheet((name, text): (&str, String)) -> RawSheet {
    RawSheet { name: name.to_owned(), bytes: text.into_bytes() }
}
