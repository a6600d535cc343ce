//! What must hold for a profile of any content.

use super::text::is_fit_for_a_terminal;
use super::{outputs, raw};
use coldcheck::engine::{Request, examine};
use coldcheck::profile;
use coldcheck::read::ReadError;
use coldcheck::render;
use coldcheck::source::Sheets;
use coldcheck::start::start;

/// A profile is refused with a place, or shown, and can be checked against and started from.
pub(super) fn body(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let parsed = match profile::parse("mine.toml", text) {
        Ok(parsed) => parsed,
        Err((sheets, errors)) => return outputs::of_refusal(&sheets, &errors),
    };
    assert_eq!(profile::parse("mine.toml", text).ok().as_ref(), Some(&parsed));
    is_fit_for_a_terminal(&render::profile::show(&parsed));
    is_fit_for_a_terminal(&render::profile::in_short(&parsed));
    let list = render::profile::list(std::slice::from_ref(&parsed));
    is_fit_for_a_terminal(&list);
    let shown = render::profile::json(&parsed);
    assert!(serde_json::from_str::<serde_json::Value>(&shown.to_string()).is_ok());
    let load = |name: &str| {
        if name == "mine" {
            Ok(text.to_owned())
        } else {
            Err(ReadError::file(name, "no such profile", "mine"))
        }
    };
    let site = match start(&parsed, "mine", 3) {
        Ok(site) => site.toml(),
        Err(errors) => return outputs::of_refusal(&Sheets::default(), &errors),
    };
    let files = [raw("site.toml", site.as_bytes())];
    let request =
        Request { files: &files, profile: Some("mine"), scope: None, load_profile: &load };
    match examine(&request) {
        Ok((site, diagnosis)) => outputs::of_report(&site, &diagnosis),
        Err(refusal) => panic!("a new site is refused: {:?}\n{site}", refusal.errors),
    }
}
