//! What must hold for any bytes that somebody gives as a readings file.

use coldcheck::read::RawSheet;
use coldcheck::readings::{Amount, read};

/// Either readings whose parts are what they are said to be, or errors with a place in the file.
pub(super) fn body(bytes: &[u8]) {
    let file = RawSheet { name: "readings".to_owned(), bytes: bytes.to_vec() };
    match read(&file) {
        Ok(readings) => {
            let text = &readings.sheets.0[0].text;
            for reading in &readings.list {
                assert!(text.get(reading.origin.range()).is_some(), "{reading:?}");
                assert!(text.get(reading.place.origin.range()).is_some(), "{reading:?}");
                assert!(!reading.by.is_empty() && !reading.instrument.is_empty(), "{reading:?}");
                assert_eq!(reading.sheets.len(), 16);
                if let Amount::Number { value, resolution } = reading.value {
                    assert!(value.is_finite() && resolution > 0.0, "{reading:?}");
                }
            }
            // What was read does not hang on how the lines end.
            let other: Vec<u8> = String::from_utf8_lossy(bytes).replace("\r\n", "\n").into_bytes();
            let again = read(&RawSheet { name: "readings".to_owned(), bytes: other });
            assert!(again.is_ok_and(|again| again.list.len() == readings.list.len()));
        }
        Err((sheets, errors)) => {
            assert!(!errors.is_empty());
            for error in errors {
                assert!(!error.says.is_empty() && error.expected.is_some(), "{error:?}");
                if let Some(origin) = error.origin {
                    let position = sheets.position(origin);
                    assert!(position.line > 0 && position.end_column >= position.column);
                }
            }
        }
    }
}

/// A file of every form.
pub(super) fn corpus() -> Vec<Vec<u8>> {
    let json = r#"{"time":"2027-03-01T09:12","by":"RK","instrument":"meter 2","place":"unit 1 A","quantity":"pair ohms","value":"60.4","unit":"ohm","sheets":"0123456789abcdef"}
{"time":"2027-03-01T09:14:30+01:00","by":"RK","instrument":"meter 2","place":"plug C1","quantity":"pair ohms","value":"OL","unit":"ohm","sheets":"0123456789abcdef","pulled":"C1 at unit 2","note":"damp \"plug\", cleaned"}
# a remark
{"time":"2027-03-01 09:20","by":"RK","instrument":"eye","place":"unit 3","quantity":"seen","value":"lamp green","unit":"","sheets":"0123456789abcdef","weather":1e3}
"#;
    let comma = "time,by,instrument,place,quantity,value,unit,sheets,pulled\n\
        2027-03-01T09:12,RK,meter 2,unit 1 A,pair ohms,60.4,ohm,0123456789abcdef,\n\
        2027-03-01T09:12Z,RK,\"meter, 2\",plug C1,pair ohms,>2,kohm,0123456789abcdef,C1\n";
    let semicolon = "\u{feff}sheets;unit;value;quantity;place;instrument;by;time\r\n\
        0123456789abcdef;V;0,003;pair volts;unit 1;meter 2;RK;2027-03-01T09:11\r\n";
    [json, comma, semicolon].map(|text| text.as_bytes().to_vec()).to_vec()
}
