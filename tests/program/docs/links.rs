//! Links between documents.

use super::markdown::{anchors, links, parts};
use super::{documents, root, text_of};

#[test]
fn every_link_leads_somewhere() {
    let mut followed = 0;
    for path in documents() {
        let (_, prose) = parts(&path, &text_of(&path));
        for target in links(&prose) {
            if target.starts_with("https://") {
                continue;
            }
            let (file, anchor) = target.split_once('#').unwrap_or((&target, ""));
            let from = root().join(&path);
            let to = match file {
                "" => from,
                _ => from.parent().unwrap().join(file),
            };
            assert!(to.exists(), "{path}: nothing is at {target}");
            assert!(
                to.canonicalize()
                    .unwrap()
                    .starts_with(root().canonicalize().unwrap()),
                "{path}: {target} leads out of the repository"
            );
            if !anchor.is_empty() {
                let (_, prose) = parts(file, &std::fs::read_to_string(&to).unwrap());
                assert!(
                    anchors(&prose).iter().any(|name| name == anchor),
                    "{path}: {target} names no heading"
                );
            }
            followed += 1;
        }
    }
    assert!(followed >= 15, "only {followed} links");
}

/// What stands in a folder of its own is led to by the chapter of that name, or by the folder's own README.
#[test]
fn the_readme_leads_to_every_chapter() {
    let leads = |from: &str, to: &str| {
        let (_, prose) = parts(from, &text_of(from));
        let folder = from.rsplit_once('/').map_or("", |(folder, _)| folder);
        let to = to
            .strip_prefix(folder)
            .unwrap_or(to)
            .trim_start_matches('/');
        links(&prose).iter().any(|target| target == to)
    };
    for path in documents() {
        let folder = path
            .strip_prefix("docs/")
            .and_then(|rest| rest.split_once('/'));
        let index = match folder {
            Some((_, "README.md")) => "README.md".to_owned(),
            Some((folder, _)) => [".md", "/README.md"]
                .map(|end| format!("docs/{folder}{end}"))
                .into_iter()
                .find(|index| root().join(index).exists())
                .unwrap_or_else(|| panic!("nothing leads to {path}")),
            None if path.starts_with("docs/") || path.starts_with("plans/") => {
                "README.md".to_owned()
            }
            None => continue,
        };
        assert!(leads(&index, &path), "{index} does not lead to {path}");
    }
}
