//! Signatures on plans, checked by OpenSSH's `ssh-keygen` (its manual, `-Y verify`; the format is
//! SSHSIG, PROTOCOL.sshsig of its sources), which knows files of allowed signers.

use std::io::Write as _;
use std::process::{Command, Stdio};

use jiff::Timestamp;
use jiff::tz::TimeZone;

/// What a signature is for: one made for anything else is no approval.
pub const NAMESPACE: &str = "offing-plan";

/// One signature to check.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// Text of the file of allowed signers.
    pub signers: &'a str,
    /// Who is to have signed.
    pub principal: &'a str,
    /// When the key has to be valid.
    pub at: Timestamp,
    /// What was signed.
    pub statement: &'a str,
    /// The signature, armoured.
    pub signature: &'a str,
}

/// Checks a signature.
///
/// # Errors
/// Why it is not good, or cannot be checked, in a clause.
pub fn verify(asked: &Asked<'_>) -> Result<(), String> {
    let kept = |what: &str, text: &str| -> std::io::Result<tempfile::NamedTempFile> {
        let mut file = tempfile::Builder::new().prefix(what).tempfile()?;
        file.write_all(text.as_bytes())?;
        file.flush()?;
        Ok(file)
    };
    let unchecked = |error: std::io::Error| format!("it could not be checked ({error})");
    let signers = kept("offing-signers", asked.signers).map_err(unchecked)?;
    let signature = kept("offing-signature", asked.signature).map_err(unchecked)?;
    let at = TimeZone::UTC
        .to_datetime(asked.at)
        .strftime("%Y%m%d%H%M%SZ");
    let mut child = Command::new("ssh-keygen")
        .args(["-Y", "verify", "-n", NAMESPACE])
        .arg("-I")
        .arg(asked.principal)
        .arg(format!("-Overify-time={at}"))
        .arg("-f")
        .arg(signers.path())
        .arg("-s")
        .arg(signature.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| match error.kind() {
            std::io::ErrorKind::NotFound => {
                "it could not be checked, because `ssh-keygen` is not installed".to_owned()
            }
            _ => unchecked(error),
        })?;
    if let Some(mut input) = child.stdin.take() {
        // It may stop reading once it has seen that the signature is none.
        let _ = input.write_all(asked.statement.as_bytes());
    }
    let output = child.wait_with_output().map_err(unchecked)?;
    if output.status.success() {
        return Ok(());
    }
    let said = String::from_utf8_lossy(&output.stderr);
    let why = if said.contains("incorrect signature") {
        "it signs something else"
    } else if said.contains("namespace") {
        "it was made for another purpose"
    } else if said.contains("missing header") || said.contains("parse") || said.contains("invalid")
    {
        "it is no signature"
    } else {
        "the key that made it may not sign for that role at the time of the launch"
    };
    Err(why.to_owned())
}
