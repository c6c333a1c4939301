//! `offing history seal`.

use std::path::Path;

use super::records::{git_error, opened};
use super::{Failure, output};
use crate::check::principal;
use crate::git::{Git as _, commit};
use crate::history::seal;
use crate::source::printable_line;

/// Makes the seal of a chain, as a tag that git has `ssh-keygen` sign.
pub(super) fn sealed(plans: &Path, key: &Path, by: &str) -> Result<u8, Failure> {
    let Some(name) = principal(by) else {
        return Err(Failure::Usage(
            "--by: a role of letters and digits, as the file of signers names it".to_owned(),
        ));
    };
    let key = key
        .canonicalize()
        .map_err(|error| Failure::Unreadable(format!("{}: {error}", key.display())))?;
    let Some(key) = key.to_str() else {
        return Err(Failure::Usage("--key: the path is not UTF-8".to_owned()));
    };
    let (git, tree) = opened(plans)?;
    let head = commit(&git, "HEAD").map_err(git_error)?;
    let seal = seal(&tree, &git, &head)?;
    let setting = |key: &str, value: &str| format!("{key}={value}");
    let settings = [
        setting("gpg.format", "ssh"),
        setting("gpg.ssh.program", "ssh-keygen"),
        setting("user.signingKey", key),
        setting("user.name", by.trim()),
        setting("user.email", &format!("{name}@localhost")),
    ];
    let mut arguments: Vec<&str> = Vec::new();
    for setting in &settings {
        arguments.extend(["-c", setting]);
    }
    arguments.extend(["tag", "--sign", "--cleanup=verbatim", "-m", &seal.message]);
    arguments.extend(["--end-of-options", &seal.tag, &seal.commit]);
    git.output(&arguments)
        .map_err(|error| Failure::NotWritten(std::io::Error::other(error.to_string())))?;
    let records = match seal.records {
        1 => "1 record".to_owned(),
        many => format!("{many} records"),
    };
    let tag = printable_line(&seal.tag);
    output::print(&format!(
        "sealed {records} in tag {tag}\ngive it to somebody else, who can verify the chain against \
         it later:\n  git push origin refs/tags/{tag}\n"
    ))?;
    Ok(0)
}
