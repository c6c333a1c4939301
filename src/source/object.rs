//! The name that git gives to a file's bytes: whether a file is the one that a revision holds is
//! told by it without reading the other.

use std::fmt::Write as _;

use sha1_checked::{Digest as _, Sha1};
use sha2::Sha256;

/// Whether git would name these bytes so, in a repository of either of its hashes: the hash of
/// `blob`, the length, a zero byte and the bytes.
///
/// Bytes that were made to have the hash of others (which SHA-1 allows, and which shows in them)
/// have no name here: they count as different, and are read.
#[must_use]
pub fn is_object(text: &str, name: &str) -> bool {
    let head = format!("blob {}\0", text.len());
    let hex = |digest: &[u8]| {
        digest.iter().fold(String::new(), |mut hex, byte| {
            // Writing to a String cannot fail.
            let _ = write!(hex, "{byte:02x}");
            hex
        })
    };
    let known = match name.len() {
        40 => {
            let mut hash = Sha1::new();
            hash.update(head.as_bytes());
            hash.update(text.as_bytes());
            let result = hash.try_finalize();
            (!result.has_collision()).then(|| hex(result.hash()))
        }
        64 => {
            let mut hash = Sha256::new();
            hash.update(head.as_bytes());
            hash.update(text.as_bytes());
            Some(hex(&hash.finalize()))
        }
        _ => None,
    };
    known.is_some_and(|known| known == name)
}

#[cfg(test)]
mod tests {
    use super::is_object;

    /// The names of the empty file in git's two kinds of repository (from memory; the tests of the
    /// review hold others against git itself).
    #[test]
    fn the_empty_file_has_the_names_that_git_gives_it() {
        let sha1 = "e69de29bb2d1d6434b8b29ae775ad8c2e48c5391";
        let sha256 = "473a0f4c3be8a93681a267e3b1e9a7dcda1185436fe141f7749120a303721813";
        assert!(is_object("", sha1) && is_object("", sha256));
        assert!(!is_object("\n", sha1) && !is_object("\n", sha256));
        assert!(!is_object("", "") && !is_object("", &sha1[..39]));
    }
}
