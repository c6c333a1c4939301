//! A file out of a ZIP archive, as far as archives of geodata need it: stored or deflated, not encrypted, in one
//! piece (the layout as in the vendors' published application note, from memory).

use std::io::Read as _;

use flate2::read::DeflateDecoder;
use flate2::{Crc, CrcReader};

use super::fault::{Fault, excerpt};

/// Most files in an archive.
const MOST_ENTRIES: usize = 1000;
/// How far before its end the directory's own end may stand: its fixed part and the longest comment.
const LONGEST_END: usize = 22 + 65_535;

const END: [u8; 4] = *b"PK\x05\x06";
const CENTRAL: [u8; 4] = *b"PK\x01\x02";
const LOCAL: [u8; 4] = *b"PK\x03\x04";

/// Whether bytes begin as an archive does.
pub(super) fn is_zip(bytes: &[u8]) -> bool {
    bytes.starts_with(&LOCAL) || bytes.starts_with(&END)
}

/// A file in an archive.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Entry {
    /// Its name, as the archive has it.
    pub name: String,
    encrypted: bool,
    method: u16,
    crc: u32,
    packed: usize,
    size: usize,
    local: usize,
}

/// The files of an archive.
///
/// # Errors
/// A directory that is not sound, or one of more than [`MOST_ENTRIES`].
pub(super) fn entries(archive: &[u8]) -> Result<Vec<Entry>, Fault> {
    let broken = || Fault::whole("the archive is cut off or damaged: its directory cannot be read");
    let from = archive.len().saturating_sub(LONGEST_END);
    let tail = archive.get(from..).unwrap_or_default();
    let at = tail.windows(4).rposition(|four| *four == END);
    let end = from + at.ok_or_else(broken)?;
    let count = usize::from(u16_at(archive, end + 10).ok_or_else(broken)?);
    let comment = usize::from(u16_at(archive, end + 20).ok_or_else(broken)?);
    if end + 22 + comment != archive.len() {
        return Err(broken());
    }
    let begins = u32_at(archive, end + 16).ok_or_else(broken)?;
    if begins == u32::MAX || count == usize::from(u16::MAX) {
        return Err(Fault::whole(
            "the archive is a ZIP64, which is not read; take the files out of it",
        ));
    }
    if count > MOST_ENTRIES {
        return Err(Fault::whole(format!(
            "the archive holds {count} files; at most {MOST_ENTRIES} are read"
        )));
    }
    let mut all = Vec::new();
    let mut at = usize::try_from(begins).unwrap_or(usize::MAX);
    for _ in 0..count {
        if archive.get(at..at.saturating_add(4)) != Some(&CENTRAL[..]) {
            return Err(broken());
        }
        let short = |offset: usize| u16_at(archive, at + offset).ok_or_else(broken);
        let long = |offset: usize| {
            let value = u32_at(archive, at + offset).ok_or_else(broken)?;
            usize::try_from(value).map_err(|_| broken())
        };
        let (name, extra, comment) = (short(28)?, short(30)?, short(32)?);
        let named = archive.get(at + 46..at + 46 + usize::from(name));
        all.push(Entry {
            name: String::from_utf8_lossy(named.ok_or_else(broken)?).into_owned(),
            encrypted: short(8)? & 1 == 1,
            method: short(10)?,
            crc: u32_at(archive, at + 16).ok_or_else(broken)?,
            packed: long(20)?,
            size: long(24)?,
            local: long(42)?,
        });
        at += 46 + usize::from(name) + usize::from(extra) + usize::from(comment);
    }
    Ok(all)
}

impl Entry {
    /// Whether its name ends like this, whichever letters are capital.
    pub(super) fn ends_with(&self, ending: &str) -> bool {
        self.name.to_ascii_lowercase().ends_with(ending)
    }

    /// What it holds, in at most so many bytes: what unpacks to more is refused, whatever the archive says.
    ///
    /// # Errors
    /// What is encrypted, packed in another way, too large or damaged.
    pub(super) fn read(&self, archive: &[u8], most: usize) -> Result<Vec<u8>, Fault> {
        let off =
            |why: &str| Fault::whole(format!("`{}` in the archive {why}", excerpt(&self.name)));
        if self.encrypted {
            return Err(off("is encrypted"));
        }
        if self.size > most {
            return Err(off(&format!(
                "unpacks to {} bytes; at most {most} are allowed",
                self.size
            )));
        }
        let broken = || off("is cut off or damaged");
        let at = self.local;
        if archive.get(at..at.saturating_add(4)) != Some(&LOCAL[..]) {
            return Err(broken());
        }
        let name = u16_at(archive, at + 26).ok_or_else(broken)?;
        let extra = u16_at(archive, at + 28).ok_or_else(broken)?;
        let begins = at + 30 + usize::from(name) + usize::from(extra);
        let ends = begins.checked_add(self.packed).ok_or_else(broken)?;
        let packed = archive.get(begins..ends).ok_or_else(broken)?;
        let mut bytes = Vec::new();
        let limit = most as u64 + 1;
        let crc = match self.method {
            0 => {
                let mut crc = Crc::new();
                crc.update(packed);
                bytes.extend_from_slice(packed);
                crc.sum()
            }
            8 => {
                let mut reader = CrcReader::new(DeflateDecoder::new(packed)).take(limit);
                reader.read_to_end(&mut bytes).map_err(|_| broken())?;
                reader.into_inner().crc().sum()
            }
            _ => {
                return Err(off(
                    "is packed by another method than deflate; pack it again",
                ));
            }
        };
        if bytes.len() > most {
            return Err(off(&format!("unpacks to more than {most} bytes")));
        }
        if bytes.len() != self.size || crc != self.crc {
            return Err(broken());
        }
        Ok(bytes)
    }
}

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    let two = bytes.get(at..at.checked_add(2)?)?;
    Some(u16::from_le_bytes(two.try_into().ok()?))
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_le_bytes(four.try_into().ok()?))
}

#[cfg(test)]
pub(super) mod tests {
    use std::io::Write as _;

    use flate2::Compression;
    use flate2::write::DeflateEncoder;

    use super::*;

    /// An archive of files, deflated.
    pub(in crate::import) fn packed(files: &[(&str, &[u8])]) -> Vec<u8> {
        let mut out = Vec::new();
        let mut central = Vec::new();
        for (name, bytes) in files {
            let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
            encoder.write_all(bytes).unwrap();
            let packed = encoder.finish().unwrap();
            let mut crc = Crc::new();
            crc.update(bytes);
            let mut head = Vec::new();
            for value in [20_u16, 0, 8, 0, 0] {
                head.extend(value.to_le_bytes());
            }
            for value in [crc.sum(), packed.len() as u32, bytes.len() as u32] {
                head.extend(value.to_le_bytes());
            }
            head.extend((name.len() as u16).to_le_bytes());
            head.extend(0_u16.to_le_bytes());
            let local = out.len() as u32;
            out.extend(LOCAL);
            out.extend(&head);
            out.extend(name.as_bytes());
            out.extend(&packed);
            central.extend(CENTRAL);
            central.extend(20_u16.to_le_bytes());
            central.extend(&head);
            central.extend([0; 6]);
            central.extend([0; 4]);
            central.extend(local.to_le_bytes());
            central.extend(name.as_bytes());
        }
        let begins = out.len() as u32;
        out.extend(&central);
        out.extend(END);
        out.extend([0; 4]);
        for _ in 0..2 {
            out.extend((files.len() as u16).to_le_bytes());
        }
        out.extend((central.len() as u32).to_le_bytes());
        out.extend(begins.to_le_bytes());
        out.extend([0; 2]);
        out
    }

    #[test]
    fn a_file_comes_out_as_it_went_in() {
        let archive = packed(&[("a.txt", b"one"), ("b/c.SHP", &[7; 5000])]);
        assert!(is_zip(&archive));
        let all = entries(&archive).unwrap();
        assert_eq!(all.len(), 2);
        assert!(all[1].ends_with(".shp"));
        assert_eq!(all[0].read(&archive, 10).unwrap(), b"one");
        assert_eq!(all[1].read(&archive, 5000).unwrap(), [7; 5000]);
    }

    #[test]
    fn what_unpacks_to_too_much_is_refused_whatever_the_archive_says() {
        let zeros = vec![0_u8; 4 << 20];
        let mut archive = packed(&[("bomb.shp", &zeros)]);
        assert!(archive.len() < 10_000);
        let told = entries(&archive).unwrap()[0]
            .read(&archive, 1 << 20)
            .unwrap_err();
        assert!(
            told.message.contains("unpacks to 4194304 bytes"),
            "{told:?}"
        );
        // A directory that lies about it.
        let at = archive.windows(4).position(|four| four == CENTRAL).unwrap() + 24;
        archive[at..at + 4].copy_from_slice(&100_u32.to_le_bytes());
        let told = entries(&archive).unwrap()[0]
            .read(&archive, 1 << 20)
            .unwrap_err();
        assert!(told.message.contains("more than 1048576 bytes"), "{told:?}");
    }

    #[test]
    fn damage_is_found_wherever_it_is() {
        let whole = packed(&[("a.shp", b"some bytes of a shapefile")]);
        for cut in 0..whole.len() {
            let read = entries(&whole[..cut]).and_then(|all| all[0].read(&whole[..cut], 100));
            assert!(read.is_err(), "{cut}");
        }
        for at in 0..whole.len() {
            let mut bytes = whole.clone();
            bytes[at] ^= 0x55;
            // What counts is that it neither panics nor gives other bytes.
            if let Ok(all) = entries(&bytes)
                && let Some(Ok(read)) = all.first().map(|one| one.read(&bytes, 100))
            {
                assert_eq!(read, b"some bytes of a shapefile", "{at}");
            }
        }
    }
}
