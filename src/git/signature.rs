//! Signatures on plans, on records of runs and on commits, checked by OpenSSH's `ssh-keygen` (its manual, `-Y verify`; the format is
//! SSHSIG, PROTOCOL.sshsig of its sources), which knows files of allowed signers.

use std::io::Write as _;
use std::process::{Command, Stdio};

use jiff::Timestamp;
use jiff::tz::TimeZone;
use tempfile::NamedTempFile;

use crate::source::program;

/// What a signature is for: one made for anything else is none.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Purpose {
    /// To approve of a plan.
    Plan,
    /// To stand for the record of a run.
    Record,
    /// To stand for a commit, as git has it made (its documentation: signature format).
    Commit,
}

impl Purpose {
    /// Its name, the namespace of the format.
    #[must_use]
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Plan => "offing-plan",
            Self::Record => "offing-record",
            Self::Commit => "git",
        }
    }
}

/// One signature to check.
#[derive(Clone, Copy, Debug)]
pub(crate) struct VerifyRequest<'a> {
    /// What it is to be for.
    pub purpose: Purpose,
    /// Text of the file of allowed signers.
    pub signers: &'a str,
    /// Who is to have signed.
    pub principal: &'a str,
    /// When the key has to be valid.
    pub at: Timestamp,
    /// What was signed.
    pub statement: &'a [u8],
    /// The signature, armoured.
    pub signature: &'a str,
}

/// Checks a signature.
///
/// # Errors
/// Why it is not good, or cannot be checked, in a clause.
pub(crate) fn verify(asked: &VerifyRequest<'_>) -> Result<(), String> {
    let signers = kept("offing-signers", asked.signers)?;
    let signature = kept("offing-signature", asked.signature)?;
    let mut command = about("verify", (&signers, &signature), asked.at);
    command.args(["-n", asked.purpose.name(), "-I", asked.principal]);
    let said = match run(&mut command, asked.statement)? {
        (true, _) => return Ok(()),
        (false, said) => said,
    };
    let why = if said.contains("incorrect signature") {
        "it signs something else"
    } else if said.contains("namespace") {
        "it was made for another purpose"
    } else if said.contains("missing header") || said.contains("parse") || said.contains("invalid")
    {
        "it is no signature"
    } else {
        "the key that made it may not sign for that role at that time"
    };
    Err(why.to_owned())
}

/// Whether a signature is one of this statement, whoever made it.
///
/// # Errors
/// Why it is not, or cannot be checked, in a clause.
pub(crate) fn intact(purpose: Purpose, statement: &[u8], signature: &str) -> Result<(), String> {
    let signature = kept("offing-signature", signature)?;
    let mut command = program("ssh-keygen");
    command.args(["-Y", "check-novalidate", "-n", purpose.name()]);
    command.arg("-s").arg(signature.path());
    match run(&mut command, statement)? {
        (true, _) => Ok(()),
        (false, _) => Err("it signs something else".to_owned()),
    }
}

/// The roles for which the key of a signature may sign, at a time. What was signed is not looked at.
///
/// # Errors
/// Why none may, or why it cannot be determined, in a clause.
pub(crate) fn principals(
    signers: &str,
    signature: &str,
    at: Timestamp,
) -> Result<Vec<String>, String> {
    let signers = kept("offing-signers", signers)?;
    let signature = kept("offing-signature", signature)?;
    let mut command = about("find-principals", (&signers, &signature), at);
    let (found, said) = run(&mut command, b"")?;
    if !found && said.contains("No principal matched") {
        return Err("no signer has the key that made it".to_owned());
    }
    if !found {
        let said = said.lines().next().unwrap_or_default();
        return Err(format!("could not find out who made it ({said})"));
    }
    Ok(said.lines().map(str::to_owned).collect())
}

fn unchecked(error: &std::io::Error) -> String {
    format!("it could not be checked ({error})")
}

/// A text in a file of its own, which goes with the value.
fn kept(what: &str, text: &str) -> Result<NamedTempFile, String> {
    let write = || -> std::io::Result<NamedTempFile> {
        let mut file = tempfile::Builder::new().prefix(what).tempfile()?;
        file.write_all(text.as_bytes())?;
        file.flush()?;
        Ok(file)
    };
    write().map_err(|error| unchecked(&error))
}

fn about(
    what: &str,
    (signers, signature): (&NamedTempFile, &NamedTempFile),
    at: Timestamp,
) -> Command {
    let at = TimeZone::UTC.to_datetime(at).strftime("%Y%m%d%H%M%SZ");
    let mut command = program("ssh-keygen");
    command.args(["-Y", what]);
    command.arg(format!("-Overify-time={at}"));
    command.arg("-f").arg(signers.path());
    command.arg("-s").arg(signature.path());
    command
}

/// Whether it succeeds on that input, and what it says.
fn run(command: &mut Command, input: &[u8]) -> Result<(bool, String), String> {
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| match error.kind() {
            std::io::ErrorKind::NotFound => {
                "it could not be checked, because `ssh-keygen` is not installed".to_owned()
            }
            _ => unchecked(&error),
        })?;
    if let Some(mut pipe) = child.stdin.take() {
        // It may stop reading once it has seen that the signature is none.
        let _ = pipe.write_all(input);
    }
    let output = child
        .wait_with_output()
        .map_err(|error| unchecked(&error))?;
    let (good, text) = match output.status.success() {
        true => (true, output.stdout),
        false => (false, output.stderr),
    };
    Ok((good, String::from_utf8_lossy(&text).into_owned()))
}
