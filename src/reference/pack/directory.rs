//! A first look at a zip's list of files, before the zip reader makes room for all that it claims.
//!
//! Layout by PKWARE's APPNOTE.TXT 6.3.10, sec. 4.3.12 and 4.3.16 (field offsets from memory).

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};

use crate::files::limits::MOST_PACK_FILES;

/// The most bytes of the list of files: a generous name for each.
const MOST_LIST_BYTES: u64 = 8_000_000;
/// The most bytes of a name.
const MOST_NAME_BYTES: usize = 1_000;

const END_BYTES: usize = 22;
const ENTRY_BYTES: usize = 46;

/// Why a zip's list of files is refused; each continues 'was refused: '.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub(super) enum DirectoryFault {
    #[error("it is no packed set, or is cut short")]
    NoEnd,
    #[error("it lists more than {MOST_PACK_FILES} files")]
    TooMany,
    #[error("its list of files is damaged")]
    Damaged,
    #[error("a file name in it is longer than {MOST_NAME_BYTES} bytes")]
    LongName,
}

/// Walks the list of files; gives their number.
pub(super) fn check_directory(file: &mut File) -> io::Result<Result<usize, DirectoryFault>> {
    let length = file.seek(SeekFrom::End(0))?;
    let Some(end_at) = length.checked_sub(END_BYTES as u64) else {
        return Ok(Err(DirectoryFault::NoEnd));
    };
    // Packs carry no comment, so the end record is the last thing and cannot be mistaken.
    let mut end = [0_u8; END_BYTES];
    file.seek(SeekFrom::Start(end_at))?;
    file.read_exact(&mut end)?;
    if !end.starts_with(b"PK\x05\x06") || half(&end, 20) != 0 {
        return Ok(Err(DirectoryFault::NoEnd));
    }
    let count = half(&end, 10);
    let (size, start) = (u64::from(word(&end, 12)), u64::from(word(&end, 16)));
    if count > MOST_PACK_FILES || size > MOST_LIST_BYTES {
        return Ok(Err(DirectoryFault::TooMany));
    }
    if start + size != end_at {
        return Ok(Err(DirectoryFault::Damaged));
    }
    file.seek(SeekFrom::Start(start))?;
    let mut list = Vec::new();
    file.take(size).read_to_end(&mut list)?;
    Ok(walk(&list, count))
}

fn walk(mut list: &[u8], count: usize) -> Result<usize, DirectoryFault> {
    for _ in 0..count {
        let Some((entry, rest)) = list.split_at_checked(ENTRY_BYTES) else {
            return Err(DirectoryFault::Damaged);
        };
        if !entry.starts_with(b"PK\x01\x02") {
            return Err(DirectoryFault::Damaged);
        }
        let name = half(entry, 28);
        if name > MOST_NAME_BYTES {
            return Err(DirectoryFault::LongName);
        }
        let variable = name + half(entry, 30) + half(entry, 32);
        list = rest.get(variable..).ok_or(DirectoryFault::Damaged)?;
    }
    if list.is_empty() {
        Ok(count)
    } else {
        Err(DirectoryFault::Damaged)
    }
}

/// Two bytes, little end first; 0 beyond the end.
fn half(bytes: &[u8], at: usize) -> usize {
    let byte = |i: usize| usize::from(bytes.get(i).copied().unwrap_or_default());
    byte(at) | byte(at + 1) << 8
}

/// Four bytes, little end first; 0 beyond the end.
fn word(bytes: &[u8], at: usize) -> u32 {
    let byte = |i: usize| u32::from(bytes.get(i).copied().unwrap_or_default());
    byte(at) | byte(at + 1) << 8 | byte(at + 2) << 16 | byte(at + 3) << 24
}
