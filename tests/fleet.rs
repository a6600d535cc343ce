//! A small fleet on Dask workers: killed, taken up again, and the same as one run.

use coldcheck_tests::python::FLEET;
use coldcheck_tests::{fleet, program};

#[test]
#[ignore = "needs Python with distributed; cargo dev fleet runs it on many sites"]
fn a_run_that_was_killed_is_taken_up_and_tells_the_same_as_one_call() {
    FLEET.set_up().expect("the packages can be had");
    fleet::prove(program::program(), &program::folder("fleet"), 600, 60);
}
