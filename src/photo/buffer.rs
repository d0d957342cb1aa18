//! The memory of a picture's values.

use std::fmt;
use std::ops::{Deref, DerefMut};

use image::{ImageBuffer, Rgb, RgbImage};
use memmap2::MmapMut;

/// One level of a picture: sRGB, 8 bits a channel. It works as [`RgbImage`] does.
pub type Level = ImageBuffer<Rgb<u8>, Buffer>;

/// From this many bytes on memory is asked of the system directly and in huge pages, each 2 MiB on most processors:
/// touching new memory in pages of 4 KiB takes a quarter of the time of opening a photo. Below it there would be few
/// huge pages or none.
const MAPPED_FROM: usize = 4 << 20;

/// The values of a picture: memory that behaves as a slice of bytes.
pub struct Buffer(Memory);

enum Memory {
    Heap(Vec<u8>),
    Mapped(MmapMut),
}

impl Buffer {
    /// So many bytes, all zero.
    pub(super) fn zeroed(length: usize) -> Self {
        if length >= MAPPED_FROM
            && let Ok(map) = MmapMut::map_anon(length)
        {
            // Where there are no huge pages small ones serve as well.
            #[cfg(target_os = "linux")]
            let _ = map.advise(memmap2::Advice::HugePage);
            return Self(Memory::Mapped(map));
        }
        Self(Memory::Heap(vec![0; length]))
    }
}

/// A black level of a size.
pub(super) fn blank(width: u32, height: u32) -> Level {
    let length = width as usize * height as usize * 3;
    of_size(width, height, Buffer::zeroed(length))
}

/// Takes over an image's values.
pub(super) fn level(image: RgbImage) -> Level {
    let (width, height) = image.dimensions();
    of_size(width, height, Buffer::from(image.into_raw()))
}

/// A level of values whose number is that of the size.
pub(super) fn of_size(width: u32, height: u32, values: Buffer) -> Level {
    match Level::from_raw(width, height, values) {
        Some(level) => level,
        None => unreachable!("as many values as the size takes"),
    }
}

impl From<Vec<u8>> for Buffer {
    fn from(values: Vec<u8>) -> Self {
        Self(Memory::Heap(values))
    }
}

impl Deref for Buffer {
    type Target = [u8];

    #[inline]
    fn deref(&self) -> &[u8] {
        match &self.0 {
            Memory::Heap(values) => values,
            Memory::Mapped(map) => map,
        }
    }
}

impl DerefMut for Buffer {
    #[inline]
    fn deref_mut(&mut self) -> &mut [u8] {
        match &mut self.0 {
            Memory::Heap(values) => values,
            Memory::Mapped(map) => map,
        }
    }
}

impl Clone for Buffer {
    fn clone(&self) -> Self {
        let mut copy = Self::zeroed(self.len());
        copy.copy_from_slice(self);
        copy
    }
}

impl PartialEq for Buffer {
    fn eq(&self, other: &Self) -> bool {
        **self == **other
    }
}

impl Eq for Buffer {}

impl fmt::Debug for Buffer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} bytes", self.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_and_large_buffers_begin_at_zero_and_copies_are_their_own() {
        for length in [0, 1, 1000, MAPPED_FROM - 1, MAPPED_FROM, MAPPED_FROM + 5001] {
            let mut buffer = Buffer::zeroed(length);
            assert_eq!(buffer.len(), length);
            assert!(buffer.iter().all(|v| *v == 0));
            let copy = buffer.clone();
            buffer.fill(7);
            assert!(copy.iter().all(|v| *v == 0) && buffer.iter().all(|v| *v == 7));
        }
    }
}
