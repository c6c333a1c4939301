//! The name that git gives to a file's bytes: whether a file is the one that a revision holds is
//! told by it without reading the other.

use std::fmt::LowerHex;

use sha1::Sha1;
use sha2::digest::Output;
use sha2::{Digest, Sha256};

/// Whether git would name these bytes so, in a repository of either of its hashes: the hash of
/// `blob`, the length, a zero byte and the bytes.
///
/// Other bytes can be made to have the SHA-1 of some, but both then bear the marks of it, and git
/// takes no object that does: what it has a name for is not one of such a pair.
#[must_use]
pub(crate) fn is_object(text: &str, name: &str) -> bool {
    match name.len() {
        40 => hashed::<Sha1>(text) == name,
        64 => hashed::<Sha256>(text) == name,
        _ => false,
    }
}

fn hashed<Hash>(text: &str) -> String
where
    Hash: Digest,
    Output<Hash>: LowerHex,
{
    let mut hash = Hash::new();
    hash.update(format!("blob {}\0", text.len()));
    hash.update(text);
    format!("{:x}", hash.finalize())
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
