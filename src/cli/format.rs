//! `offing fmt`.

use std::collections::BTreeSet;
use std::path::Path;

use super::args::Fmt;
use super::{Failure, output};
use crate::format::formatted;
use crate::plan::{FileOfKind, Gathered, SIGNATURE, gather};
use crate::schema::Kind;
use crate::source::{Opened, SourceId, Sources, WorkTree, open_argument, printable_line};

/// What came of the files.
#[derive(Default)]
struct Done {
    /// What is printed, a line for each file.
    lines: Vec<String>,
    /// What could not be read or laid out.
    complaints: Vec<String>,
    /// Files that are in form, or are now.
    in_form: usize,
    /// Files that were not.
    changed: usize,
    left: usize,
}

pub(super) fn run(options: &Fmt) -> Result<u8, Failure> {
    let mut done = Done::default();
    let mut seen = BTreeSet::new();
    for path in &options.paths {
        let opened = open_argument(path).map_err(|e| Failure::Unreadable(e.to_string()))?;
        below(&opened, path, options.check, &mut seen, &mut done)?;
    }
    for complaint in &done.complaints {
        output::complain(complaint);
    }
    done.lines.push(summary(&done, options.check));
    let text: String = done.lines.iter().map(|line| format!("{line}\n")).collect();
    output::print(&text)?;
    Ok(match (done.complaints.is_empty(), options.check) {
        (false, _) => super::failure::UNREADABLE,
        (true, true) => u8::from(done.changed > 0),
        (true, false) => 0,
    })
}

fn summary(done: &Done, check: bool) -> String {
    let files = |count: usize| match count {
        1 => "1 file".to_owned(),
        count => format!("{count} files"),
    };
    let mut text = match check {
        true => format!("{} not in form", files(done.changed)),
        false => format!("{} laid out", files(done.changed)),
    };
    text.push_str(&format!(", {} in form already", done.in_form));
    if done.left > 0 {
        text.push_str(&format!(", {} left alone", done.left));
    }
    text
}

/// Lays out the files of one path.
fn below(
    opened: &Opened,
    named: &Path,
    check: bool,
    seen: &mut BTreeSet<std::path::PathBuf>,
    done: &mut Done,
) -> Result<(), Failure> {
    let unreadable = |error: crate::source::ReadError| Failure::Unreadable(error.to_string());
    // What is signed shows in the whole repository alone.
    let whole = WorkTree::open(opened.tree.root()).map_err(unreadable)?;
    let mut sources = Sources::new();
    let gathered = gather(&whole, &mut sources).map_err(unreadable)?;
    let wanted = |path: &str| match &opened.selected {
        Some(file) => path == file,
        None => {
            let within = opened.within.as_str();
            let rest = path.strip_prefix(within);
            within.is_empty() || rest.is_some_and(|rest| rest.starts_with('/'))
        }
    };
    broken(&gathered, &sources, &wanted, done);
    let signed = Signed::of(&gathered, &sources);
    let mut any = false;
    for file in &gathered.files {
        let path = sources.path(file.source);
        if !wanted(path) {
            continue;
        }
        any = true;
        let place = opened.tree.root().join(path);
        if !seen.insert(place.clone()) {
            continue;
        }
        let shown = printable_line(path);
        if let Some(why) = left_alone(file, path, &signed) {
            done.lines.push(format!("left alone: {shown}, {why}"));
            done.left += 1;
            continue;
        }
        let text = sources.get(file.source).map_or("", |file| file.text());
        match formatted(file.kind, &file.document, text) {
            Ok(new) if new == text => done.in_form += 1,
            Ok(new) => {
                if check {
                    done.lines.push(format!("not in form: {shown}"));
                } else {
                    output::deliver_over(&new, &place)?;
                    done.lines.push(format!("laid out: {shown}"));
                }
                done.changed += 1;
            }
            Err(why) => {
                done.complaints
                    .push(format!("{shown} is left as it is: {why}"));
            }
        }
    }
    if opened.selected.is_some() && !any && done.complaints.is_empty() {
        return Err(Failure::Unreadable(format!(
            "`{}` is none of offing's files: it states no `kind` that offing knows",
            printable_line(&named.display().to_string())
        )));
    }
    Ok(())
}

/// The files that are offing's by what they say and cannot be parsed, and those that cannot be read.
fn broken(gathered: &Gathered, sources: &Sources, wanted: &dyn Fn(&str) -> bool, done: &mut Done) {
    let unparsed: BTreeSet<SourceId> = gathered.unparsed.iter().copied().collect();
    let of_broken = gathered.problems.iter().filter(|problem| {
        unparsed.contains(&problem.span.source) && wanted(sources.path(problem.span.source))
    });
    for problem in of_broken {
        let path = printable_line(sources.path(problem.span.source));
        let at = sources.position(problem.span);
        done.complaints.push(format!(
            "{path}:{}:{}: {}",
            at.line, at.column, problem.message
        ));
    }
    let refused = gathered.refused.iter();
    let refused = refused.filter(|(path, _)| crate::plan::is_yaml(path) && wanted(path));
    for (_, error) in refused {
        done.complaints.push(error.to_string());
    }
}

/// Why a file is not laid out.
fn left_alone(file: &FileOfKind, path: &str, signed: &Signed) -> Option<&'static str> {
    match file.kind {
        Kind::Run => Some("a record of a run"),
        Kind::Launch => Some("a launch decision"),
        kind if signed.covers(kind, file, path) => Some("which an approval covers byte for byte"),
        _ => None,
    }
}

/// What the approvals of a repository cover.
#[derive(Default)]
struct Signed {
    missions: BTreeSet<String>,
    /// Ids of vessels and of sites.
    named: BTreeSet<(Kind, String)>,
}

impl Signed {
    fn of(gathered: &Gathered, sources: &Sources) -> Self {
        // `north-bay-lines.survey-lead.approval` for `north-bay-lines.yaml`.
        let stems: BTreeSet<&str> = gathered
            .signatures
            .iter()
            .filter_map(|path| path.strip_suffix(SIGNATURE)?.rsplit_once('.'))
            .map(|(stem, _)| stem)
            .collect();
        let mut all = Self::default();
        for file in gathered.of_kind(Kind::Mission) {
            let path = sources.path(file.source);
            let stem = path.rsplit_once('.').map_or(path, |(stem, _)| stem);
            if !stems.contains(stem) {
                continue;
            }
            all.missions.insert(path.to_owned());
            for (kind, key) in [(Kind::Vessel, "vessel"), (Kind::Site, "site")] {
                let id = file.named(key);
                all.named.extend(id.map(|id| (kind, id.to_owned())));
            }
            let repeated = file
                .named("repeats")
                .map(|id| (Kind::Mission, id.to_owned()));
            all.named.extend(repeated);
        }
        all
    }

    fn names(&self, kind: Kind, file: &FileOfKind) -> bool {
        let id = file.id.as_ref();
        id.is_some_and(|(id, _)| self.named.contains(&(kind, id.clone())))
    }

    /// Whether an approval covers a file: the mission, its vessel and site, and whatever judges it.
    fn covers(&self, kind: Kind, file: &FileOfKind, path: &str) -> bool {
        match kind {
            Kind::Mission => self.missions.contains(path) || self.names(kind, file),
            Kind::Vessel | Kind::Site => self.names(kind, file),
            Kind::Orders | Kind::Policy | Kind::Rule => !self.missions.is_empty(),
            _ => false,
        }
    }
}
