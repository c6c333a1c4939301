//! Why a command ends without its result, and the exit statuses that say so.

use crate::check::NoAnswer;

/// The command line could not be understood (`EX_USAGE` of sysexits.h).
pub(super) const USAGE: u8 = 64;
/// The input could not be read or judged.
pub(super) const UNREADABLE: u8 = 2;
/// Something could not be written (`EX_IOERR` of sysexits.h).
pub(super) const NOT_WRITTEN: u8 = 74;

/// Why a command ends without its result.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The words of the command line are off.
    Usage(String),
    /// The input could not be read.
    Unreadable(String),
    /// The output could not be written.
    NotWritten(std::io::Error),
}

impl From<NoAnswer> for Failure {
    fn from(error: NoAnswer) -> Self {
        match error {
            NoAnswer::BadRequest(text) => Self::Usage(text),
            NoAnswer::Unreadable(text) => Self::Unreadable(text),
        }
    }
}
