//! A QEMU plugin that counts the gateway's instructions and finds its deepest stack.
//!
//! Built by `tests/kit/measure.rs` with plain rustc. It knows the addresses at which the parts of
//! a boot begin, and the bounds of the functions that a frame goes through. Instructions are
//! counted, not cycles; those of the interrupt that receives bytes are left out, since they come
//! when they come.
#![allow(non_camel_case_types)]

use std::ffi::{CStr, CString, c_char, c_int, c_uint, c_void};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};

/// Version of the plugin interface of QEMU 7.2.
#[unsafe(no_mangle)]
pub static qemu_plugin_version: c_int = 1;

type Translated = extern "C" fn(u64, *mut c_void);
type Executed = extern "C" fn(c_uint, *mut c_void);
type Accessed = extern "C" fn(c_uint, u32, u64, *mut c_void);

unsafe extern "C" {
    fn qemu_plugin_register_vcpu_tb_trans_cb(id: u64, call: Translated);
    fn qemu_plugin_tb_n_insns(block: *const c_void) -> usize;
    fn qemu_plugin_tb_get_insn(block: *const c_void, index: usize) -> *mut c_void;
    fn qemu_plugin_insn_vaddr(instruction: *const c_void) -> u64;
    fn qemu_plugin_register_vcpu_insn_exec_cb(
        instruction: *mut c_void,
        call: Executed,
        flags: c_int,
        user: *mut c_void,
    );
    fn qemu_plugin_register_vcpu_mem_cb(
        instruction: *mut c_void,
        call: Accessed,
        flags: c_int,
        kind: c_int,
        user: *mut c_void,
    );
    fn qemu_plugin_register_atexit_cb(id: u64, call: Translated, user: *mut c_void);
    fn qemu_plugin_outs(text: *const c_char);
}

const STORES: c_int = 2;

/// The parts of a boot, in the order of the arrays below.
const PARTS: [&str; 6] = ["load", "room", "check", "log", "listen", "compare"];

/// Where the parts begin, and which one runs: 0 is none yet.
static BEGINS: [AtomicU64; 6] = [const { AtomicU64::new(0) }; 6];
static RUNNING: AtomicU64 = AtomicU64::new(0);
/// Instructions of each part, and how often each was entered.
static COUNTS: [AtomicU64; 6] = [const { AtomicU64::new(0) }; 6];
static ENTRIES: [AtomicU64; 6] = [const { AtomicU64::new(0) }; 6];
/// Lowest address stored to while a part runs, within the bounds of the stack.
static LOWEST: AtomicU64 = AtomicU64::new(u64::MAX);
static STACK_END: AtomicU64 = AtomicU64::new(0);
static STACK_START: AtomicU64 = AtomicU64::new(0);

/// Bounds of a function.
struct Bounds(AtomicU64, AtomicU64);

impl Bounds {
    const NONE: Self = Self(AtomicU64::new(0), AtomicU64::new(0));

    fn hold(&self, address: u64) -> bool {
        (self.0.load(Relaxed)..self.1.load(Relaxed)).contains(&address)
    }

    fn begin(&self, address: u64) -> bool {
        self.0.load(Relaxed) == address
    }
}

/// The loop that listens, what takes a byte, what takes a frame, the interrupt.
static LISTEN: Bounds = Bounds::NONE;
static PUSH: Bounds = Bounds::NONE;
static HEAR: Bounds = Bounds::NONE;
static INTERRUPT: Bounds = Bounds::NONE;

/// Whether a byte or a frame is at work, and whether it is a frame.
static IN_FRAME: AtomicBool = AtomicBool::new(false);
static IS_HEARD: AtomicBool = AtomicBool::new(false);
/// Instructions for the bytes since the last frame, and for the frame.
static READING: AtomicU64 = AtomicU64::new(0);
static HEARING: AtomicU64 = AtomicU64::new(0);
static FRAMES: AtomicU64 = AtomicU64::new(0);
/// Fewest and most of a frame: hearing alone, and with reading its text.
static FEWEST: [AtomicU64; 2] = [const { AtomicU64::new(u64::MAX) }; 2];
static MOST: [AtomicU64; 2] = [const { AtomicU64::new(0) }; 2];

fn frame(address: u64) {
    if PUSH.begin(address) {
        IN_FRAME.store(true, Relaxed);
        IS_HEARD.store(false, Relaxed);
    } else if HEAR.begin(address) {
        IN_FRAME.store(true, Relaxed);
        IS_HEARD.store(true, Relaxed);
    } else if LISTEN.hold(address) && IN_FRAME.swap(false, Relaxed) && IS_HEARD.load(Relaxed) {
        let (heard, read) = (HEARING.swap(0, Relaxed), READING.swap(0, Relaxed));
        FRAMES.fetch_add(1, Relaxed);
        for (place, count) in [heard, heard + read].into_iter().enumerate() {
            FEWEST[place].fetch_min(count, Relaxed);
            MOST[place].fetch_max(count, Relaxed);
        }
    }
    if IN_FRAME.load(Relaxed) {
        let count = if IS_HEARD.load(Relaxed) { &HEARING } else { &READING };
        count.fetch_add(1, Relaxed);
    }
}

extern "C" fn executed(_: c_uint, address: *mut c_void) {
    let address = address as u64;
    if INTERRUPT.hold(address) {
        return;
    }
    for (index, part) in BEGINS.iter().enumerate() {
        if part.load(Relaxed) == address {
            RUNNING.store(index as u64 + 1, Relaxed);
            ENTRIES[index].fetch_add(1, Relaxed);
        }
    }
    let running = RUNNING.load(Relaxed) as usize;
    if let Some(count) = running.checked_sub(1).and_then(|index| COUNTS.get(index)) {
        count.fetch_add(1, Relaxed);
    }
    if PARTS.get(running.wrapping_sub(1)) == Some(&"listen") {
        frame(address);
    }
}

extern "C" fn stored(_: c_uint, _: u32, address: u64, _: *mut c_void) {
    let inside = (STACK_END.load(Relaxed)..STACK_START.load(Relaxed)).contains(&address);
    if inside {
        LOWEST.fetch_min(address, Relaxed);
    }
}

extern "C" fn translated(_: u64, block: *mut c_void) {
    // SAFETY: QEMU passes a block that lives during this call, and instructions that belong to it.
    unsafe {
        for index in 0..qemu_plugin_tb_n_insns(block) {
            let instruction = qemu_plugin_tb_get_insn(block, index);
            let address = qemu_plugin_insn_vaddr(instruction);
            qemu_plugin_register_vcpu_insn_exec_cb(
                instruction,
                executed,
                0,
                address as *mut c_void,
            );
            qemu_plugin_register_vcpu_mem_cb(
                instruction,
                stored,
                0,
                STORES,
                std::ptr::null_mut(),
            );
        }
    }
}

extern "C" fn ended(_: u64, _: *mut c_void) {
    let mut text = String::new();
    for (index, name) in PARTS.iter().enumerate() {
        let (count, entries) = (COUNTS[index].load(Relaxed), ENTRIES[index].load(Relaxed));
        text += &format!("{name} {count}\n{name}-entries {entries}\n");
    }
    let stack = STACK_START.load(Relaxed).saturating_sub(LOWEST.load(Relaxed));
    text += &format!("stack {stack}\nframes {}\n", FRAMES.load(Relaxed));
    for (name, place) in [("hear", 0), ("frame", 1)] {
        let fewest = FEWEST[place].load(Relaxed);
        let fewest = if fewest == u64::MAX { 0 } else { fewest };
        text += &format!("{name}-fewest {fewest}\n{name}-most {}\n", MOST[place].load(Relaxed));
    }
    let text = CString::new(text).unwrap_or_default();
    // SAFETY: the text ends with a zero and lives during the call.
    unsafe { qemu_plugin_outs(text.as_ptr()) };
}

/// Called once by QEMU with arguments `NAME=NUMBER`, all decimal: the address of each part; the
/// bounds `NAME_start` and `NAME_end` of `stack`, `in_listen`, `push`, `hear` and `interrupt`.
///
/// # Safety
/// QEMU passes `count` strings.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn qemu_plugin_install(
    id: u64,
    _: *const c_void,
    count: c_int,
    arguments: *const *const c_char,
) -> c_int {
    for index in 0..usize::try_from(count).unwrap_or(0) {
        // SAFETY: see the function's own contract.
        let argument = unsafe { CStr::from_ptr(*arguments.add(index)) }.to_string_lossy();
        let Some((name, value)) = argument.split_once('=') else { return -1 };
        let Ok(value) = value.parse::<u64>() else { return -1 };
        let place = match name {
            "stack_end" => &STACK_END,
            "stack_start" => &STACK_START,
            "in_listen_start" => &LISTEN.0,
            "in_listen_end" => &LISTEN.1,
            "push_start" => &PUSH.0,
            "push_end" => &PUSH.1,
            "hear_start" => &HEAR.0,
            "hear_end" => &HEAR.1,
            "interrupt_start" => &INTERRUPT.0,
            "interrupt_end" => &INTERRUPT.1,
            part => match PARTS.iter().position(|name| *name == part) {
                Some(place) => &BEGINS[place],
                None => return -1,
            },
        };
        place.store(value, Relaxed);
    }
    // SAFETY: the callbacks are functions that live as long as the plugin.
    unsafe {
        qemu_plugin_register_vcpu_tb_trans_cb(id, translated);
        qemu_plugin_register_atexit_cb(id, ended, std::ptr::null_mut());
    }
    0
}
