//! The core answers as it did when the answers were recorded.

#[test]
#[ignore = "cargo dev mutants makes the record first"]
fn every_recorded_plan_is_answered_as_before() {
    let record = coldcheck_answers::recorded().expect("cargo dev mutants made a record");
    let (plans, changed) = coldcheck_answers::otherwise(&record).expect("a whole record");
    assert!(plans > 1000, "{plans} plans are few");
    assert!(changed.is_empty(), "answered otherwise: {changed:?}");
}
