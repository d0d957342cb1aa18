//! TIFF's tags: which of them say how the pixels look, and the file without the others.
//!
//! Layout by TIFF 6.0, sec. 2; tags by its appendix A and, for the colour profile, by ICC.1:2022, annex B.4.

/// How many directories, those of further pictures among them, are looked through.
const MOST_DIRECTORIES: usize = 64;
/// The bytes of an entry.
const ENTRY_BYTES: usize = 12;

/// The tags that stay: size, sample layout, compression, strips and tiles, colours, resolution, orientation.
const KEPT: [u16; 39] = [
    254, 255, 256, 257, 258, 259, 262, 263, 266, 273, 274, 277, 278, 279, 280, 281, 282, 283, 284, 290, 291,
    292, 293, 296, 301, 317, 318, 319, 320, 322, 323, 324, 325, 338, 339, 347, 529, 530, 34675,
];
/// Tags that point at a further directory, all of whose values go: sub-pictures, Exif, position, interoperability.
const DIRECTORIES: [u16; 4] = [330, 34665, 34853, 40965];

/// The file with the values of all other tags zeroed and their entries taken out; all offsets stay as they are. None
/// where a directory does not lie in the file, and for files of over 4 GB (BigTIFF).
pub(super) fn without_private(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut tiff = Tiff {
        little: bytes.starts_with(b"II*\0"),
        bytes: bytes.to_vec(),
        left: MOST_DIRECTORIES,
    };
    if !tiff.little && !bytes.starts_with(b"MM\0*") {
        return None;
    }
    let mut at = tiff.long(4)?;
    while at != 0 {
        at = tiff.directory(at, &KEPT)?;
    }
    Some(tiff.bytes)
}

struct Tiff {
    bytes: Vec<u8>,
    little: bool,
    left: usize,
}

impl Tiff {
    /// Cleans one directory; where the next one is, 0 for none.
    fn directory(&mut self, at: usize, kept: &[u16]) -> Option<usize> {
        self.left = self.left.checked_sub(1)?;
        let count = usize::from(self.short(at)?);
        let next_at = at + 2 + count * ENTRY_BYTES;
        let next = self.long(next_at)?;
        let mut stays = Vec::with_capacity(count);
        for index in 0..count {
            let entry_at = at + 2 + index * ENTRY_BYTES;
            let tag = self.short(entry_at)?;
            if kept.contains(&tag) {
                stays.extend_from_slice(self.bytes.get(entry_at..entry_at + ENTRY_BYTES)?);
            } else {
                self.wipe(entry_at, tag)?;
            }
        }
        let stayed = stays.len() / ENTRY_BYTES;
        let end = at + 2 + stays.len();
        self.bytes.get_mut(at..next_at + 4)?.fill(0);
        self.put_short(at, u16::try_from(stayed).ok()?)?;
        self.bytes.get_mut(at + 2..end)?.copy_from_slice(&stays);
        self.put_long(end, next)?;
        Some(next)
    }

    /// Zeroes an entry's value where it lies elsewhere in the file.
    fn wipe(&mut self, entry_at: usize, tag: u16) -> Option<()> {
        let size = match self.short(entry_at + 2)? {
            1 | 2 | 6 | 7 => 1,
            3 | 8 => 2,
            5 | 10 | 12 => 8,
            _ => 4,
        };
        let (count, value) = (self.long(entry_at + 4)?, self.long(entry_at + 8)?);
        if DIRECTORIES.contains(&tag) {
            let many = count > 1;
            for index in 0..count.min(MOST_DIRECTORIES) {
                let directory = if many {
                    self.long(value + 4 * index)?
                } else {
                    value
                };
                // A chain of further directories behind one is cut with it.
                self.directory(directory, &[])?;
            }
        }
        let length = count.checked_mul(size)?;
        if length > 4 {
            self.bytes.get_mut(value..value.checked_add(length)?)?.fill(0);
        }
        Some(())
    }

    fn short(&self, at: usize) -> Option<u16> {
        let two = *self.bytes.get(at..)?.first_chunk()?;
        Some(if self.little {
            u16::from_le_bytes(two)
        } else {
            u16::from_be_bytes(two)
        })
    }

    fn long(&self, at: usize) -> Option<usize> {
        let four = *self.bytes.get(at..)?.first_chunk()?;
        usize::try_from(if self.little {
            u32::from_le_bytes(four)
        } else {
            u32::from_be_bytes(four)
        })
        .ok()
    }

    fn put_short(&mut self, at: usize, value: u16) -> Option<()> {
        let two = if self.little {
            value.to_le_bytes()
        } else {
            value.to_be_bytes()
        };
        self.bytes.get_mut(at..at + 2)?.copy_from_slice(&two);
        Some(())
    }

    fn put_long(&mut self, at: usize, value: usize) -> Option<()> {
        let value = u32::try_from(value).ok()?;
        let four = if self.little {
            value.to_le_bytes()
        } else {
            value.to_be_bytes()
        };
        self.bytes.get_mut(at..at + 4)?.copy_from_slice(&four);
        Some(())
    }
}
