//! Files that come and go: the site file, the plan image, and text in any encoding.

use crate::request::{Asked, Examined};
use coldcheck::image;
use coldcheck::phrase::counted;
use coldcheck::profile;
use coldcheck::read::{RawSheet, text_of};
use coldcheck::render::html::{self, Made};
use coldcheck::tidy::{self, Untidy};
use coldcheck_core::finding::Verdict;
use serde_json::{Value, json};

/// The canonical site file.
pub(crate) fn tidy(asked: &Asked) -> Value {
    let examined = match asked.examined() {
        Ok(examined) => examined,
        Err(errors) => return json!({ "refused": errors.text }),
    };
    let site = &examined.site;
    if site.is_image {
        return json!({ "refused": "a plan image holds no sheets that could be written down" });
    }
    match tidy::tidy(site, &asked.request()) {
        Ok(text) => json!({ "text": text }),
        Err(Untidy::Questions(count)) => json!({
            "refused": format!(
                "{} to answer first. Nothing is decided for you, and nothing is written.",
                counted(count, "question")
            ),
        }),
        Err(Untidy::NoWords(error)) => json!({ "refused": error.to_string() }),
    }
}

/// The report to print and sign, as the command line writes it.
pub(crate) fn report(asked: &Asked) -> Value {
    let examined = match asked.examined() {
        Ok(examined) => examined,
        Err(errors) => return json!({ "refused": errors.text }),
    };
    let Examined { site, diagnosis } = &*examined;
    let named = site.profile_named.as_deref().unwrap_or(profile::ASSUMED);
    let (Ok(Some(day)), Some(text)) = (asked.day.clone(), profile::builtin(named)) else {
        return json!({ "refused": "a report bears a day, and the profile that it was made with" });
    };
    let made = Made { sheets: &asked.sheets, profile: text, day };
    match html::all(site, diagnosis) {
        Ok(tables) => json!({ "html": html::report(site, diagnosis, &made, &tables, None) }),
        Err(error) => json!({ "refused": format!("the plan is damaged ({error:?})") }),
    }
}

/// The plan image.
pub(crate) fn image(asked: &Asked) -> Value {
    match asked.examined() {
        Ok(examined) => {
            let verdict = examined.diagnosis.verdict;
            let note = (verdict != Verdict::Ok).then(|| {
                format!("this site's verdict is {}; the findings tell why", verdict.word())
            });
            json!({ "bytes": image::write(&examined.site), "note": note })
        }
        Err(errors) => json!({ "refused": errors.text }),
    }
}

/// The text of a file. A plan image has none: that it is one, and whole, is all that is said.
pub(crate) fn text(bytes: &[u8]) -> Value {
    if image::is_one(bytes) {
        return match image::read(bytes) {
            Ok(_) => json!({ "image": true }),
            Err(error) => json!({ "refused": format!("a plan image, but {error}") }),
        };
    }
    match text_of(&RawSheet { name: "this file".to_owned(), bytes: bytes.to_vec() }) {
        Ok(text) => json!({ "text": text }),
        Err(error) => json!({ "refused": error.to_string() }),
    }
}

/// What a plan image among the sheets holds, in words.
pub(crate) fn held(asked: &Asked) -> Option<String> {
    let image = asked.sheets.iter().find(|sheet| image::is_one(&sheet.bytes))?;
    let (plan, names) = image::read(&image.bytes).ok()?;
    Some(image::describe(&plan, &names))
}
