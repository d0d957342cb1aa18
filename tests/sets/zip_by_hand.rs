//! Zip files written byte by byte, so that they can lie. Layout by PKWARE's APPNOTE.TXT, sec. 4.3.

/// One file of a pack, true or not.
pub struct Member {
    pub name: Vec<u8>,
    /// The bytes as they stand in the pack.
    pub data: Vec<u8>,
    /// 0 stored, 8 deflated.
    pub method: u16,
    /// The unpacked size that it claims.
    pub claimed: u32,
    pub crc: u32,
    /// Bit 0 locked, bit 11 UTF-8.
    pub flags: u16,
    /// Unix mode in the upper half.
    pub attributes: u32,
}

impl Member {
    pub fn stored(name: &str, data: &[u8]) -> Self {
        Self {
            name: name.as_bytes().to_vec(),
            data: data.to_vec(),
            method: 0,
            claimed: data.len() as u32,
            crc: crc32(data),
            flags: 1 << 11,
            attributes: 0o100_644 << 16,
        }
    }
}

/// CRC-32 as in ISO 3309, bit by bit.
pub fn crc32(data: &[u8]) -> u32 {
    let mut crc = u32::MAX;
    for byte in data {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 {
                crc >> 1 ^ 0xedb8_8320
            } else {
                crc >> 1
            };
        }
    }
    !crc
}

/// The whole pack.
pub fn zip(members: &[Member]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut list = Vec::new();
    for member in members {
        let start = out.len() as u32;
        let mut common = Vec::new();
        for half in [20, member.flags, member.method, 0, 0x21] {
            common.extend(half.to_le_bytes());
        }
        for word in [member.crc, member.data.len() as u32, member.claimed] {
            common.extend(word.to_le_bytes());
        }
        common.extend((member.name.len() as u16).to_le_bytes());
        common.extend(0_u16.to_le_bytes());
        out.extend(b"PK\x03\x04");
        out.extend(&common);
        out.extend(&member.name);
        out.extend(&member.data);
        list.extend(b"PK\x01\x02");
        // Made on Unix.
        list.extend(0x031e_u16.to_le_bytes());
        list.extend(&common);
        for half in [0_u16, 0, 0] {
            list.extend(half.to_le_bytes());
        }
        list.extend(member.attributes.to_le_bytes());
        list.extend(start.to_le_bytes());
        list.extend(&member.name);
    }
    let start = out.len() as u32;
    out.extend(&list);
    out.extend(end(members.len() as u16, list.len() as u32, start));
    out
}

/// The record at the end.
pub fn end(files: u16, size: u32, start: u32) -> Vec<u8> {
    let mut out = b"PK\x05\x06".to_vec();
    for half in [0, 0, files, files] {
        out.extend(half.to_le_bytes());
    }
    out.extend(size.to_le_bytes());
    out.extend(start.to_le_bytes());
    out.extend(0_u16.to_le_bytes());
    out
}
