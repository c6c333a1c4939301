//! Figures as files: one folder a mission, one file a figure.

use std::path::{Component, Path, PathBuf};

use super::Failure;
use super::output;
use crate::check::Outcome;
use crate::report::figures::{IDS, figures};

/// Writes the figures of every mission. Each file is written whole or not at all; one of a figure
/// that is no longer drawn is taken away.
pub(super) fn write(outcome: &Outcome, folder: &Path) -> Result<(), Failure> {
    for checked in &outcome.checked {
        let drawn = figures(checked);
        let place = folder.join(&checked.mission);
        output::make_own_folder(&place)?;
        let of = format!("mission {}", checked.mission);
        for id in IDS {
            let file = place.join(format!("{id}.svg"));
            match drawn.iter().find(|figure| figure.id == *id) {
                Some(figure) => output::deliver_over(&figure.file(&of), &file)?,
                None => output::withdraw(&file)?,
            }
        }
    }
    Ok(())
}

/// The folder as a report calls it: from the report's own folder, or from here where it is printed.
pub(super) fn as_linked(folder: &Path, report: Option<&Path>) -> String {
    let beside = report.and_then(Path::parent);
    let path = match beside {
        Some(parent) if !parent.as_os_str().is_empty() => from(parent, folder),
        _ => folder.to_path_buf(),
    };
    path.to_string_lossy().trim_end_matches('/').to_owned()
}

/// A path as it is reached from a folder, by names alone; the path itself where one of them is
/// absolute and the other is not.
fn from(here: &Path, there: &Path) -> PathBuf {
    let plain = |path: &Path| -> Vec<PathBuf> {
        let all = path.components();
        all.filter(|part| *part != Component::CurDir)
            .map(|part| PathBuf::from(part.as_os_str()))
            .collect()
    };
    let (a, b) = (plain(here), plain(there));
    let up = |parts: &[PathBuf]| parts.iter().any(|part| part == Path::new(".."));
    if here.is_absolute() != there.is_absolute() || up(&a) {
        return there.to_path_buf();
    }
    let shared = a.iter().zip(&b).take_while(|(a, b)| a == b).count();
    let mut path = PathBuf::new();
    for _ in shared..a.len() {
        path.push("..");
    }
    path.extend(&b[shared..]);
    if path.as_os_str().is_empty() {
        path.push(".");
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_linked_from_where_the_report_lies() {
        let linked = |folder: &str, report: Option<&str>| {
            as_linked(Path::new(folder), report.map(Path::new))
        };
        assert_eq!(linked("out/figures", None), "out/figures");
        assert_eq!(linked("out/figures", Some("report.md")), "out/figures");
        assert_eq!(linked("out/figures/", Some("out/report.md")), "figures");
        assert_eq!(linked("figures", Some("out/report.md")), "../figures");
        assert_eq!(linked("/a/b", Some("/a/c/report.md")), "../b");
        assert_eq!(linked("/a/b", Some("c/report.md")), "/a/b");
        assert_eq!(linked("./out", Some("./out/report.md")), ".");
    }
}
