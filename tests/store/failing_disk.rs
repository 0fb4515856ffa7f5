//! A disk of which calls fail: SQLite's own way to the files, with each write, sync, cut and removal
//! counted, and told to fail from a chosen one on or at that one alone. Only the thread that asks for it
//! is let down.
#![allow(unsafe_code)]

use rusqlite::ffi;
use std::cell::Cell;
use std::collections::BTreeMap;
use std::ffi::{c_char, c_int, c_void};
use std::sync::{Mutex, OnceLock};

/// How a disk fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fails {
    /// One call, and all after it are done: a card that stumbles.
    Once,
    /// That call and all after it: full, or gone.
    FromThenOn,
}

#[derive(Clone, Copy)]
struct Plan {
    left: u32,
    how: Fails,
    reached: bool,
}

thread_local! {
    static PLAN: Cell<Option<Plan>> = const { Cell::new(None) };
}

/// Lets the call after `left` others fail, while `work` is done. True where it came to that.
pub fn failing<T>(left: u32, how: Fails, work: impl FnOnce() -> T) -> (T, bool) {
    install();
    PLAN.set(Some(Plan {
        left,
        how,
        reached: false,
    }));
    let done = work();
    let plan = PLAN.take();
    (done, plan.is_some_and(|plan| plan.reached))
}

fn fails() -> bool {
    let Some(mut plan) = PLAN.get() else {
        return false;
    };
    let now = match (plan.left, plan.reached, plan.how) {
        (_, true, how) => how == Fails::FromThenOn,
        (0, false, _) => true,
        _ => {
            plan.left -= 1;
            false
        }
    };
    plan.reached |= now;
    PLAN.set(Some(plan));
    now
}

/// The methods of a file with ours in their place, and behind them the real ones.
#[repr(C)]
struct Methods {
    ours: ffi::sqlite3_io_methods,
    real: *const ffi::sqlite3_io_methods,
}

struct Real {
    open: unsafe extern "C" fn(
        *mut ffi::sqlite3_vfs,
        *const c_char,
        *mut ffi::sqlite3_file,
        c_int,
        *mut c_int,
    ) -> c_int,
    delete: unsafe extern "C" fn(*mut ffi::sqlite3_vfs, *const c_char, c_int) -> c_int,
}

static REAL: OnceLock<Real> = OnceLock::new();
/// By the address of the real methods that of ours.
static METHODS: Mutex<BTreeMap<usize, usize>> = Mutex::new(BTreeMap::new());

fn install() {
    static ONCE: std::sync::Once = std::sync::Once::new();
    ONCE.call_once(|| {
        // SAFETY: SQLite gives its own VFS; a copy of it that is never freed takes its place, which the
        // interface of SQLite allows at any time.
        unsafe {
            let real = ffi::sqlite3_vfs_find(std::ptr::null());
            assert!(!real.is_null());
            let _ = REAL.set(Real {
                open: (*real).xOpen.expect("it opens"),
                delete: (*real).xDelete.expect("it deletes"),
            });
            let mut ours = std::ptr::read(real);
            ours.zName = c"failing".as_ptr();
            ours.xOpen = Some(open);
            ours.xDelete = Some(delete);
            ours.pNext = std::ptr::null_mut();
            assert_eq!(ffi::sqlite3_vfs_register(Box::leak(Box::new(ours)), 1), 0);
        }
    });
}

unsafe extern "C" fn open(
    vfs: *mut ffi::sqlite3_vfs,
    name: *const c_char,
    file: *mut ffi::sqlite3_file,
    flags: c_int,
    out: *mut c_int,
) -> c_int {
    // SAFETY: what SQLite hands over is handed on; the file's methods are exchanged for a copy that
    // lives for ever and has the same layout in front.
    unsafe {
        let code = (REAL.get().expect("installed").open)(vfs, name, file, flags, out);
        let real = (*file).pMethods;
        if !real.is_null() {
            let mut known = METHODS.lock().expect("no panic in it");
            let ours = *known.entry(real as usize).or_insert_with(|| {
                let mut ours = std::ptr::read(real);
                ours.xWrite = Some(write);
                ours.xSync = Some(sync);
                ours.xTruncate = Some(truncate);
                Box::leak(Box::new(Methods { ours, real })) as *mut Methods as usize
            });
            (*file).pMethods = ours as *const ffi::sqlite3_io_methods;
        }
        code
    }
}

unsafe extern "C" fn delete(vfs: *mut ffi::sqlite3_vfs, name: *const c_char, sync: c_int) -> c_int {
    if fails() {
        return ffi::SQLITE_IOERR_DELETE;
    }
    // SAFETY: handed on as it came.
    unsafe { (REAL.get().expect("installed").delete)(vfs, name, sync) }
}

unsafe fn real(file: *mut ffi::sqlite3_file) -> ffi::sqlite3_io_methods {
    // SAFETY: only files that `open` gave our methods come here.
    unsafe { std::ptr::read((*(*file).pMethods.cast::<Methods>()).real) }
}

unsafe extern "C" fn write(
    file: *mut ffi::sqlite3_file,
    bytes: *const c_void,
    count: c_int,
    at: ffi::sqlite3_int64,
) -> c_int {
    if fails() {
        return ffi::SQLITE_FULL;
    }
    // SAFETY: handed on as it came.
    unsafe { (real(file).xWrite.expect("it writes"))(file, bytes, count, at) }
}

unsafe extern "C" fn sync(file: *mut ffi::sqlite3_file, flags: c_int) -> c_int {
    if fails() {
        return ffi::SQLITE_IOERR_FSYNC;
    }
    // SAFETY: handed on as it came.
    unsafe { (real(file).xSync.expect("it syncs"))(file, flags) }
}

unsafe extern "C" fn truncate(file: *mut ffi::sqlite3_file, size: ffi::sqlite3_int64) -> c_int {
    if fails() {
        return ffi::SQLITE_IOERR_TRUNCATE;
    }
    // SAFETY: handed on as it came.
    unsafe { (real(file).xTruncate.expect("it cuts"))(file, size) }
}
