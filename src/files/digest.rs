//! A file's bytes known again by their SHA-256.

use std::io::Read;
use std::path::Path;

use sha2::{Digest as _, Sha256};

use super::limits::MOST_PICTURE_BYTES;
use super::read::{ReadError, open};

/// The SHA-256 of some bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Digest([u8; 32]);

impl Digest {
    /// Its first hexadecimal digits, for a name that no other file of the folder has.
    #[must_use]
    pub fn start(self, digits: usize) -> String {
        self.to_string().chars().take(digits).collect()
    }
}

/// As 64 hexadecimal digits.
impl std::fmt::Display for Digest {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

/// The SHA-256 of bytes in memory.
#[must_use]
pub fn digest(bytes: &[u8]) -> Digest {
    Digest(Sha256::digest(bytes).into())
}

/// The SHA-256 of a file of at most [`MOST_PICTURE_BYTES`], read in bounded memory.
///
/// # Errors
/// [`ReadError`].
pub fn digest_file(file: &Path) -> Result<Digest, ReadError> {
    let mut handle = open(file)?.take(MOST_PICTURE_BYTES + 1);
    let mut read = 0;
    let mut hasher = Sha256::new();
    let mut buffer = vec![0; 1 << 16];
    loop {
        let n = handle
            .read(&mut buffer)
            .map_err(|error| ReadError::new(file, &error))?;
        if n == 0 {
            return Ok(Digest(hasher.finalize().into()));
        }
        hasher.update(&buffer[..n]);
        read += n as u64;
        if read > MOST_PICTURE_BYTES {
            return Err(ReadError::TooLarge {
                file: file.to_owned(),
                most_bytes: MOST_PICTURE_BYTES,
            });
        }
    }
}
