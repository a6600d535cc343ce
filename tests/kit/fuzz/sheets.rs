//! What must hold for sheets of any content.

use super::outputs;
use crate::cases::request;
use crate::tidied::{essence_of_plant, tidied_again};
use coldcheck::engine::{Refusal, Site, examine};
use coldcheck::read::RawSheet;
use coldcheck::render::json;
use coldcheck::tidy::{Untidy, tidy};
use coldcheck::{image, listing};

/// Sheets are read or refused; what was read is told soundly, tidied without loss, and gives an
/// image that reads back.
pub(super) fn body(files: &[RawSheet]) {
    let request = request(files, None);
    let (site, diagnosis) = match examine(&request) {
        Ok(outcome) => outcome,
        Err(Refusal { sheets, errors }) => return outputs::of_refusal(&sheets, &errors),
    };
    outputs::of_report(&site, &diagnosis);
    let (again, diagnosis_again) = examine(&request).expect("it was read before");
    assert_eq!(json::check(&site, &diagnosis), json::check(&again, &diagnosis_again));
    image_reads_back(&site, files);
    match tidy(&site, &request) {
        Ok(text) => {
            let (tidy_site, tidy_diagnosis, twice) = tidied_again(&text);
            assert_eq!(image::write(&tidy_site), image::write(&site), "{text}");
            assert_eq!(twice, text, "tidied twice");
            let essence = essence_of_plant(&site, &diagnosis);
            assert_eq!(essence_of_plant(&tidy_site, &tidy_diagnosis), essence, "{text}");
        }
        Err(Untidy::Questions(count)) => assert_eq!(count, site.declared.question_count()),
        Err(Untidy::NoWords(error)) => panic!("it cannot be written down: {error}"),
    }
}

/// The image gives back the plan and the names, and no bit of it can flip unseen.
fn image_reads_back(site: &Site, files: &[RawSheet]) {
    let bytes = image::write(site);
    let (plan, names) = image::read(&bytes).expect("as it was written");
    let own = coldcheck::engine::plan(site).expect("a plan");
    assert_eq!(plan, own);
    assert_eq!(listing::listing(&plan), listing::listing(&own));
    super::text::is_fit_for_a_terminal(&image::describe(&plan, &names));
    // Which bit depends on the input alone.
    let bit = files
        .iter()
        .flat_map(|file| &file.bytes)
        .fold(0_usize, |sum, byte| sum.wrapping_mul(31).wrapping_add(usize::from(*byte)))
        % (bytes.len() * 8);
    let mut flipped = bytes;
    flipped[bit / 8] ^= 1 << (bit % 8);
    assert!(image::read(&flipped).is_err(), "bit {bit} flips unseen");
}
