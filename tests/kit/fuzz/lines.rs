//! What must hold for a line of `batch` of any content.

use crate::cases::request;
use coldcheck::batch::{Answer, Settings, Worker};
use coldcheck::date::Date;
use coldcheck::diagnosis::Day;
use coldcheck::engine::read_site;
use coldcheck::read::RawSheet;
use serde_json::Value;

/// One line of JSON comes out, the same by the fast way as by the general one, and again.
pub(super) fn body(bytes: &[u8]) {
    let date = Date::new(2027, 3, 31).expect("a day");
    let settings = Settings { profile: None, scope: None, day: Day { date, from_clock: false } };
    let mut worker = Worker::new(&settings);
    let (mut fast, mut again, mut general) = (Vec::new(), Vec::new(), Vec::new());
    let answer = worker.line(7, bytes, &mut fast);
    // The second time every word is known by heart.
    assert_eq!(worker.line(7, bytes, &mut again), answer);
    assert_eq!(worker.line_in_general(7, bytes, &mut general), answer);
    let text = |bytes| String::from_utf8(bytes).expect("text");
    let (fast, again, general) = (text(fast), text(again), text(general));
    assert_eq!(fast, general, "the two ways differ");
    assert_eq!(fast, again, "a line is judged otherwise the second time");
    assert!(fast.ends_with('\n') && fast.matches('\n').count() == 1, "{fast:?} is not one line");
    let report: Value = serde_json::from_str(&fast).expect("JSON");
    assert_eq!(report["errors"].is_array(), answer == Answer::Unread, "{fast}");
    if let Some(body) = worker.fast_body(bytes) {
        let files = [RawSheet { name: "line".to_owned(), bytes: bytes.to_vec() }];
        let site = read_site(&request(&files, None)).expect("the fast way takes what is right");
        assert_eq!(body, site.assembled.body, "another plan");
    }
}
