//! The proof that no panic is left: a handler that cannot be linked.
//!
//! In the profile `firmware` the optimiser removes this handler if nothing can reach it. If
//! anything can, the linker asks for a function that nobody defines, and the build fails. Builds
//! without optimisation keep unreachable panics, so there the handler just stops.

#![allow(unsafe_code, reason = "a call to a function that does not exist is the guard")]

use core::panic::PanicInfo;

#[cfg(not(debug_assertions))]
#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    unsafe extern "C" {
        fn a_panic_path_is_linked() -> !;
    }
    // SAFETY: never linked, so never run.
    unsafe { a_panic_path_is_linked() }
}

#[cfg(debug_assertions)]
#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    loop {
        cortex_m::asm::bkpt();
    }
}
