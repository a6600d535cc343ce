//! A QEMU plugin that counts the gateway's instructions and finds its deepest stack.
//!
//! Built by `tests/kit/measure.rs` with plain rustc. It knows three addresses, at which the parts
//! of a boot begin: `load`, `check` and `log`. Instructions are counted, not cycles.
#![allow(non_camel_case_types)]

use std::ffi::{CStr, CString, c_char, c_int, c_uint, c_void};
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

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

/// Addresses of the parts, and which one runs: 0 is none yet.
static PARTS: [AtomicU64; 3] = [const { AtomicU64::new(0) }; 3];
static RUNNING: AtomicU64 = AtomicU64::new(0);
/// Instructions of each part, and how often each was entered.
static COUNTS: [AtomicU64; 3] = [const { AtomicU64::new(0) }; 3];
static ENTRIES: [AtomicU64; 3] = [const { AtomicU64::new(0) }; 3];
/// Lowest address stored to while loading or checking, within the bounds of the stack.
static LOWEST: AtomicU64 = AtomicU64::new(u64::MAX);
static STACK_END: AtomicU64 = AtomicU64::new(0);
static STACK_START: AtomicU64 = AtomicU64::new(0);

extern "C" fn executed(_: c_uint, address: *mut c_void) {
    let address = address as u64;
    for (index, part) in PARTS.iter().enumerate() {
        if part.load(Relaxed) == address {
            RUNNING.store(index as u64 + 1, Relaxed);
            ENTRIES[index].fetch_add(1, Relaxed);
        }
    }
    let running = RUNNING.load(Relaxed) as usize;
    if let Some(count) = running.checked_sub(1).and_then(|index| COUNTS.get(index)) {
        count.fetch_add(1, Relaxed);
    }
}

extern "C" fn stored(_: c_uint, _: u32, address: u64, _: *mut c_void) {
    let inside = (STACK_END.load(Relaxed)..STACK_START.load(Relaxed)).contains(&address);
    if inside && matches!(RUNNING.load(Relaxed), 1 | 2) {
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
    let stack = STACK_START.load(Relaxed).saturating_sub(LOWEST.load(Relaxed));
    let [load, check, _] = COUNTS.each_ref().map(|count| count.load(Relaxed));
    let entries = ENTRIES.each_ref().map(|count| count.load(Relaxed));
    let text = format!("load {load} check {check} stack {stack} entries {entries:?}\n");
    let text = CString::new(text).unwrap_or_default();
    // SAFETY: the text ends with a zero and lives during the call.
    unsafe { qemu_plugin_outs(text.as_ptr()) };
}

/// Called once by QEMU with the arguments `load=`, `check=`, `log=`, `stack_end=`,
/// `stack_start=`, all decimal.
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
        match name {
            "load" => PARTS[0].store(value, Relaxed),
            "check" => PARTS[1].store(value, Relaxed),
            "log" => PARTS[2].store(value, Relaxed),
            "stack_end" => STACK_END.store(value, Relaxed),
            "stack_start" => STACK_START.store(value, Relaxed),
            _ => return -1,
        }
    }
    // SAFETY: the callbacks are functions that live as long as the plugin.
    unsafe {
        qemu_plugin_register_vcpu_tb_trans_cb(id, translated);
        qemu_plugin_register_atexit_cb(id, ended, std::ptr::null_mut());
    }
    0
}
