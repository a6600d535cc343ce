//! Names of sheets as relative references (RFC 3986), without a path of the machine.

use crate::source::Sheets;
use std::fmt::Write;

/// One reference for each sheet. An absolute name is cut to its last parts: to as few as keep
/// two sheets apart.
pub(super) fn of_sheets(sheets: &Sheets) -> Vec<String> {
    let names: Vec<Vec<&str>> = sheets.0.iter().map(|sheet| parts(&sheet.name)).collect();
    let longest = names.iter().map(Vec::len).max().unwrap_or(0);
    let absolute: Vec<bool> = sheets.0.iter().map(|sheet| is_absolute(&sheet.name)).collect();
    let cut = |kept: usize| -> Vec<String> {
        names
            .iter()
            .zip(&absolute)
            .map(|(parts, absolute)| {
                let from = if *absolute { parts.len().saturating_sub(kept) } else { 0 };
                encoded(parts.get(from..).unwrap_or(&[]))
            })
            .collect()
    };
    (1..=longest).map(cut).find(|uris| all_differ(uris)).unwrap_or_else(|| cut(1))
}

fn all_differ(uris: &[String]) -> bool {
    uris.iter().enumerate().all(|(position, uri)| !uris[..position].contains(uri))
}

fn parts(name: &str) -> Vec<&str> {
    name.split(['/', '\\']).filter(|part| !part.is_empty() && *part != ".").collect()
}

fn is_absolute(name: &str) -> bool {
    name.starts_with(['/', '\\']) || name.as_bytes().get(1) == Some(&b':')
}

fn encoded(parts: &[&str]) -> String {
    let mut uri = String::new();
    for (position, part) in parts.iter().enumerate() {
        if position > 0 {
            uri.push('/');
        }
        for byte in part.bytes() {
            if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
                uri.push(char::from(byte));
            } else {
                let _ = write!(uri, "%{byte:02X}");
            }
        }
    }
    uri
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Sheet;

    fn uris(names: &[&str]) -> Vec<String> {
        let sheet = |name: &&str| Sheet { name: (*name).to_owned(), text: String::new() };
        of_sheets(&Sheets(names.iter().map(sheet).collect()))
    }

    #[test]
    fn no_path_of_the_machine_is_told() {
        assert_eq!(uris(&["/home/me/site/cables.csv"]), ["cables.csv"]);
        assert_eq!(uris(&["C:\\sites\\a.csv", "C:\\sites\\b.csv"]), ["a.csv", "b.csv"]);
        assert_eq!(uris(&["/a/one/s.csv", "/a/two/s.csv"]), ["one/s.csv", "two/s.csv"]);
        assert_eq!(uris(&["./sheets/one two.csv"]), ["sheets/one%20two.csv"]);
        assert_eq!(uris(&["standard input", "ä:b"]), ["standard%20input", "%C3%A4%3Ab"]);
    }
}
