//! One writer at a time: what is read, changed and saved again is held against every other program meanwhile.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::Path;
use std::time::{Duration, Instant};

use super::names::LOCK_FILE;
use super::write::WriteError;

/// How long another program's saving is waited for.
const PATIENCE: Duration = Duration::from_secs(30);
/// How long until the lock is tried again, at first; then twice as long each time up to the longest.
const FIRST_PAUSE: Duration = Duration::from_millis(1);
const LONGEST_PAUSE: Duration = Duration::from_millis(16);

/// A folder's lock. The system gives it back when this is dropped, and when the program is killed.
#[derive(Debug)]
pub struct Lock {
    _held: File,
}

/// Takes a folder's lock and waits for it where another program has it. `file` is what will be saved, and stands in the
/// messages. The folder must be there.
///
/// # Errors
/// [`WriteError`]: for a file system that knows no locks, and where another program does not finish, too.
pub fn lock(folder: &Path, file: &Path) -> Result<Lock, WriteError> {
    let mut options = OpenOptions::new();
    options.read(true).write(true).create(true).truncate(false);
    let held = options
        .open(folder.join(LOCK_FILE))
        .map_err(|error| WriteError::new(file, &error))?;
    let (begun, mut pause) = (Instant::now(), FIRST_PAUSE);
    loop {
        match held.try_lock() {
            Ok(()) => return Ok(Lock { _held: held }),
            Err(TryLockError::Error(error)) if error.kind() == std::io::ErrorKind::Unsupported => {
                return Err(WriteError::NoLocks {
                    file: file.to_owned(),
                });
            }
            Err(TryLockError::Error(error)) => return Err(WriteError::new(file, &error)),
            Err(TryLockError::WouldBlock) if begun.elapsed() < PATIENCE => {
                std::thread::sleep(pause);
                pause = (2 * pause).min(LONGEST_PAUSE);
            }
            Err(TryLockError::WouldBlock) => {
                return Err(WriteError::Busy {
                    file: file.to_owned(),
                });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_one_holds_a_folder_at_a_time() {
        use std::sync::atomic::{AtomicU32, Ordering};
        let home = tempfile::tempdir().unwrap();
        let (inside, entered) = (AtomicU32::new(0), AtomicU32::new(0));
        std::thread::scope(|scope| {
            for _ in 0..8 {
                scope.spawn(|| {
                    for _ in 0..20 {
                        let _lock = lock(home.path(), &home.path().join("a")).unwrap();
                        assert_eq!(inside.fetch_add(1, Ordering::SeqCst), 0);
                        entered.fetch_add(1, Ordering::SeqCst);
                        assert_eq!(inside.fetch_sub(1, Ordering::SeqCst), 1);
                    }
                });
            }
        });
        assert_eq!(entered.into_inner(), 160);
    }
}
