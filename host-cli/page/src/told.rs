//! The report's text cut into its parts, so that a page says what the command line says, word for
//! word, and only sets it out otherwise.

use coldcheck::diagnosis::Diagnosis;
use coldcheck::render::told::open_dangers;
use serde_json::{Value, json};

/// The first two sentences: `head`, with the verdict's `word` and what it `says`, and the `subject`;
/// then the `lists`, each with its `title` and `items`; and whether `dangers_open` are among them.
pub(crate) fn parts(text: &str, diagnosis: &Diagnosis) -> Value {
    let mut blocks = text.split("\n\n");
    let (head, subject) = head(blocks.next().unwrap_or(""));
    let (word, says) = head.split_once(": ").unwrap_or((head.as_str(), ""));
    let lists: Vec<Value> = blocks.filter_map(list).collect();
    json!({ "word": word, "says": says, "subject": subject, "lists": lists,
            "dangers_open": !open_dangers(diagnosis).is_empty() })
}

/// Lines below the first one hang behind its head; the subject begins where one does not.
fn head(block: &str) -> (String, String) {
    let hanging = block.lines().skip(1).take_while(|line| line.starts_with(' ')).count();
    let joined = |lines: Vec<&str>| lines.into_iter().map(str::trim).collect::<Vec<_>>().join(" ");
    (
        joined(block.lines().take(hanging + 1).collect()),
        joined(block.lines().skip(hanging + 1).collect()),
    )
}

fn list(block: &str) -> Option<Value> {
    let (title, rest) = block.split_once('\n')?;
    let rest = rest.strip_prefix("  - ").filter(|_| title.ends_with(':'))?;
    let item = |item: &str| item.lines().map(str::trim).collect::<Vec<_>>().join(" ");
    let items: Vec<String> = rest.split("\n  - ").map(item).collect();
    Some(json!({ "title": title, "items": items }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::request::{Asked, Examined};
    use coldcheck::render::terminal::{Style, check};

    #[test]
    fn no_word_of_the_text_is_lost_but_the_findings_own() {
        let sheet =
            "site = Mill\nunit 1 = coordinator, addr 1\nunit 2 = follower, addr 1, colour red\n";
        let asked = Asked::of(&json!({ "sheets": [{ "name": "s", "text": sheet }] }));
        let examined = asked.examined().ok().expect("it can be read");
        let Examined { site, diagnosis } = &*examined;
        let text = check(site, diagnosis, Style { colour: false, quiet: false });
        let parts = parts(&text, diagnosis);
        assert!(
            parts["subject"]
                .as_str()
                .is_some_and(|subject| subject.starts_with("Mill; profile plain"))
        );
        assert!(["STOP", "FIX FIRST", "ASK"].iter().any(|word| parts["word"] == *word));
        let words = |text: &str| text.split_whitespace().map(ToOwned::to_owned).collect::<Vec<_>>();
        let lists = parts["lists"].as_array().expect("lists");
        let mut told = Vec::new();
        for list in lists {
            told.extend(words(list["title"].as_str().expect("a title")));
            for item in list["items"].as_array().expect("items") {
                told.push("-".to_owned());
                told.extend(words(item.as_str().expect("an item")));
            }
        }
        let from = text.find("\nNot checked:").expect("something is not checked");
        let to = text.find("\n\nBefore touching anything").expect("the cautions");
        let in_text = words(&text[from..to]);
        assert!(told.ends_with(&in_text), "{told:?}\n{in_text:?}");
    }
}
