//! How what was just recorded gets into git, which its history is held to.

use std::path::Path;

use crate::source::printable_line;

/// The command that commits files, paths from the root of the repository, for whoever called the
/// program: from the folder that is worked in where that lies in the repository, and from the one that was
/// named otherwise.
pub(super) fn command(
    root: &Path,
    plans: &Path,
    files: &[&str],
    message: &str,
    signed: bool,
) -> String {
    let here = Path::new(".").canonicalize().ok();
    let at_root = here.as_deref() == Some(root);
    let within = here.is_some_and(|here| here.starts_with(root));
    let git = if within {
        "git".to_owned()
    } else {
        format!("git -C {}", word(&plans.display().to_string()))
    };
    let named: Vec<String> = files
        .iter()
        .map(|file| {
            // From a folder below the root, or from outside, a path is reported from the root on.
            let top = if at_root { "" } else { ":/" };
            word(&format!("{top}{file}"))
        })
        .collect();
    let sign = if signed { " -S" } else { "" };
    format!(
        "{git} add -- {} && {git} commit{sign} -m {}",
        named.join(" "),
        word(message)
    )
}

/// A word as a shell takes it for one, with nothing in it that a terminal would act on.
fn word(text: &str) -> String {
    let shown = printable_line(text);
    let plain = |c: char| c.is_ascii_alphanumeric() || "_./:@%+=-".contains(c);
    if !shown.is_empty() && !shown.starts_with('-') && shown.chars().all(plain) {
        return shown.into_owned();
    }
    format!("'{}'", shown.replace('\'', r"'\''"))
}

#[cfg(test)]
mod tests {
    use super::word;

    #[test]
    fn a_word_stays_one_in_a_shell() {
        for (text, shown) in [
            ("launches/a-1.yaml", "launches/a-1.yaml"),
            ("a b", "'a b'"),
            ("it's", r"'it'\''s'"),
            ("", "''"),
            ("-x", "'-x'"),
            ("$(rm)", "'$(rm)'"),
        ] {
            assert_eq!(word(text), shown);
        }
    }
}
