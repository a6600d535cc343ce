//! A label that was photographed, held against the list.

use super::{Label, words_for};
use crate::engine::{Refusal, Request, Site, read_site};
use crate::fold::Folded;
use crate::picture::cell::quoted;
use crate::read::RawSheet;

/// What a label is beside the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Agreement {
    /// The list has this cable with these ends.
    Agrees,
    /// The list has no cable of this name.
    NoSuchCable,
    /// The list has this cable otherwise: its two ends as the list has them.
    Differs([String; 2]),
}

/// Holds a label against the sheets of a site. The label is read as a further row of a cable list:
/// whatever the list's own spelling allows is no difference.
///
/// # Errors
/// If the sheets cannot be read.
pub fn compare(request: &Request<'_>, site: &Site, label: &Label) -> Result<Agreement, Refusal> {
    let key = Folded::of(&label.cable);
    let Some(position) = site.declared.cables.iter().position(|cable| cable.key == key) else {
        return Ok(Agreement::NoSuchCable);
    };
    let own = &site.declared.cables[position];
    let mut files: Vec<RawSheet> = request
        .files
        .iter()
        .map(|file| RawSheet { name: file.name.clone(), bytes: file.bytes.clone() })
        .collect();
    let cells = [&label.cable, &label.here, &label.there, &label.kind].map(|cell| quoted(cell));
    let text = format!("cable,from,to,kind\n{}\n", cells.join(","));
    files.push(RawSheet { name: "the label".to_owned(), bytes: text.into_bytes() });
    let with = read_site(&Request { files: &files, ..*request })?;
    let cable = with.declared.cables.iter().find(|cable| cable.key == key);
    let agrees = cable.is_some_and(|cable| {
        cable.contradictions == own.contradictions
            && cable.ends == own.ends
            && with.declared.question_count() <= site.declared.question_count()
    });
    let ends =
        || [0, 1].map(|side| words_for(site, position, side).unwrap_or_else(|| "?".to_owned()));
    Ok(if agrees { Agreement::Agrees } else { Agreement::Differs(ends()) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile;
    use crate::read::ReadError;

    const LIST: &str = "cable,from,to,kind\nP1,Unit 1 A,unit#2 B,link\nP2,U02 A,pack 1 data,BMS\n";

    fn held(cable: &str, here: &str, there: &str, kind: &str) -> Agreement {
        let files = [RawSheet { name: "list".to_owned(), bytes: LIST.as_bytes().to_vec() }];
        let load = |name: &str| -> Result<String, ReadError> {
            Err(ReadError::file(name, "none", profile::ASSUMED))
        };
        let request = Request { files: &files, profile: None, scope: None, load_profile: &load };
        let site = read_site(&request).unwrap();
        let [cable, here, there, kind] = [cable, here, there, kind].map(ToOwned::to_owned);
        let label = Label { cable, here, there, kind, length: String::new() };
        compare(&request, &site, &label).unwrap()
    }

    #[test]
    fn either_end_and_any_spelling_agrees() {
        assert_eq!(held("P1", "Unit 1 A", "unit 2 B", "link"), Agreement::Agrees);
        assert_eq!(held("p1", "U2 B", "U1 A", "link"), Agreement::Agrees);
        assert_eq!(held("P2", "pack 1 data", "unit 2 A", "battery"), Agreement::Agrees);
    }

    #[test]
    fn another_socket_unit_or_name_is_told() {
        let differs = Agreement::Differs(["Unit 1 A".to_owned(), "unit#2 B".to_owned()]);
        assert_eq!(held("P1", "Unit 1 A", "unit 2 A", "link"), differs);
        assert_eq!(held("P1", "Unit 3 A", "unit 2 B", "link"), differs);
        assert_eq!(held("P1", "Unit 1", "blue box", "link"), differs);
        assert_eq!(held("P7", "Unit 1 A", "unit 2 B", "link"), Agreement::NoSuchCable);
    }
}
