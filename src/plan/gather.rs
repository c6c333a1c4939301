//! Finding a team's files by their content, and reading each of them once.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::bearing::{Bearing, Headed};
use super::gathered::{FileOfKind, Gathered};
use super::listed::Listed;
use super::out::Out;
use super::record_heading::RecordHeading;
use super::sorted::{Sorted, sort_out};
use crate::schema::{Kind, Problem};
use crate::source::{Limit, Limits, ReadError, SourceId, Sources, Span, Tree};

/// What came of reading one file.
#[derive(Clone)]
enum Read {
    Text(Sorted),
    Unreadable(Problem, ReadError),
    /// A text not parsed as yet: its lines tell what it is.
    Headed(SourceId, Headed),
}

/// What a reading of one mission takes in beside that mission.
#[derive(Clone, Copy)]
pub(crate) struct About<'a> {
    /// The mission by the path of its file.
    pub path: Option<&'a str>,
    /// Or by its id.
    pub id: Option<&'a str>,
    /// Ids of others.
    pub others: &'a BTreeSet<String>,
}

/// What was read of one tree so far: the texts, and what each turned out to be. Whoever gathers from it
/// again, from a narrower or a wider part of the tree, reads and parses only what is not in it yet.
#[derive(Default)]
pub(crate) struct Reader {
    /// Every text.
    pub(crate) sources: Sources,
    read: BTreeMap<String, Read>,
    /// How many bytes of them are parsed.
    parsed: u64,
    /// How many were, those that were let go of and parsed again as often as that.
    parsed_in_all: u64,
}

impl Reader {
    /// One that has read nothing of the tree; what is read is added to some sources.
    #[must_use]
    pub(crate) fn new(sources: Sources) -> Self {
        Self {
            sources,
            read: BTreeMap::new(),
            parsed: 0,
            parsed_in_all: 0,
        }
    }

    /// Reads every YAML file of the tree that is one of the kinds, and the one that is `wanted` whatever
    /// it holds.
    ///
    /// # Errors
    /// [`ReadError`] where the tree itself cannot be listed, or its YAML files are too many or too
    /// large together.
    pub(crate) fn gather(
        &mut self,
        tree: &dyn Tree,
        wanted: Option<&str>,
    ) -> Result<Gathered, ReadError> {
        let listed = Listed::from_tree(tree)?;
        listed.can_be_parsed()?;
        self.read_new(&listed.files, tree, |_| None, wanted)?;
        self.sort_out(&listed.files, wanted, &|_| true)?;
        // What an earlier look passed over is no longer, now that it is asked for.
        if let Some(Read::Text(one @ Sorted::PassedOver(_))) =
            wanted.and_then(|path| self.read.get_mut(path))
            && let Sorted::PassedOver(source) = *one
        {
            *one = sort_out(source, &self.sources, true);
        }
        Ok(self.gathered(&listed))
    }

    /// Reads the files of the tree that may bear on one mission: of the other missions, and of the records,
    /// only the headings of those that are certain to bear on it in no way. `None` where no mission of that
    /// name is found so.
    ///
    /// # Errors
    /// As [`gather`](Self::gather).
    pub(crate) fn gather_about(
        &mut self,
        tree: &dyn Tree,
        about: About<'_>,
    ) -> Result<Option<Gathered>, ReadError> {
        let listed = Listed::from_tree(tree)?;
        // A file that is requested by its path alone is read whatever it holds.
        let wanted = about.path.filter(|_| about.id.is_none());
        self.read_new(&listed.files, tree, Headed::parse, wanted)?;
        let meant = |path: &str, id: &str| about.path == Some(path) || about.id == Some(id);
        self.sort_out(&listed.files, None, &|(path, _, headed)| match headed {
            Headed::Mission(heading) => {
                meant(path, &heading.id) || about.others.contains(&heading.id)
            }
            Headed::Record(_) => false,
        })?;
        loop {
            let gathered = self.gathered(&listed);
            let missions = gathered.of_kind(Kind::Mission);
            let (mut asked_for, others): (Vec<&FileOfKind>, Vec<_>) = missions.partition(|file| {
                let id = file.id.as_ref().map_or("", |(id, _)| id.as_str());
                meant(self.sources.path(file.source), id)
            });
            if asked_for.is_empty() {
                return Ok(None);
            }
            // What repeats one of them is judged with it.
            let own = asked_for.iter().filter_map(|file| file.id.as_ref());
            let own: BTreeSet<String> = own.map(|(id, _)| id.clone()).collect();
            let repeats = |file: &&FileOfKind| {
                let of = file.named("repeats");
                of.is_some_and(|of| own.contains(of))
            };
            asked_for.extend(others.into_iter().filter(repeats));
            let bearing = Bearing::on(&asked_for, &gathered);
            let parsed = self.sort_out(&listed.files, None, &|(_, _, headed)| match headed {
                Headed::Mission(heading) => bearing.is_it(heading),
                Headed::Record(_) => false,
            })?;
            if !parsed {
                return Ok(Some(gathered));
            }
        }
    }

    /// Reads the records of decisions and runs that a test takes, by their headings and texts, and those
    /// without a heading; with them comes what was parsed before.
    ///
    /// # Errors
    /// As [`gather`](Self::gather).
    pub(crate) fn gather_records(
        &mut self,
        tree: &dyn Tree,
        takes: &dyn Fn(&RecordHeading, &str) -> bool,
    ) -> Result<Gathered, ReadError> {
        let listed = Listed::from_tree(tree)?;
        self.read_new(&listed.files, tree, Headed::parse, None)?;
        self.sort_out(&listed.files, None, &|(_, text, headed)| match headed {
            Headed::Mission(_) => false,
            Headed::Record(heading) => takes(heading, text),
        })?;
        Ok(self.gathered(&listed))
    }

    /// Reads every file of the tree but those missions that a test does not take by their ids, and that
    /// cannot bear on one that it takes; and the records, where these are asked for.
    ///
    /// # Errors
    /// As [`gather`](Self::gather), for what is parsed of it.
    pub(crate) fn gather_part(
        &mut self,
        tree: &dyn Tree,
        takes: &dyn Fn(&str) -> bool,
        records: bool,
    ) -> Result<Gathered, ReadError> {
        let listed = Listed::from_tree(tree)?;
        self.read_new(&listed.files, tree, Headed::parse, None)?;
        self.sort_out(&listed.files, None, &|(_, _, headed)| match headed {
            Headed::Mission(heading) => takes(&heading.id),
            Headed::Record(_) => records,
        })?;
        loop {
            let gathered = self.gathered(&listed);
            let own = gathered.of_kind(Kind::Mission).filter(|file| {
                let id = file.id.as_ref();
                id.is_none_or(|(id, _)| takes(id))
            });
            let own: Vec<&FileOfKind> = own.collect();
            let bearing = Bearing::on(&own, &gathered);
            let parsed = self.sort_out(&listed.files, None, &|(_, _, headed)| match headed {
                Headed::Mission(heading) => bearing.is_it(heading),
                Headed::Record(_) => records,
            })?;
            if !parsed {
                return Ok(gathered);
            }
        }
    }

    /// How long the missions of the tree have their boats out at most, by their ids, s, as far as their
    /// headings tell; nothing for one that was parsed, or tells it in no plain way.
    #[must_use]
    pub(crate) fn longest_out(&self) -> BTreeMap<&str, Option<i64>> {
        let mut longest = BTreeMap::new();
        for read in self.read.values() {
            match read {
                Read::Headed(_, Headed::Mission(heading)) => {
                    let known = longest.contains_key(heading.id.as_str());
                    let out = heading.out.as_ref().map(Out::longest);
                    longest.insert(heading.id.as_str(), out.filter(|_| !known));
                }
                Read::Text(Sorted::Ours(file, _)) if file.kind == Kind::Mission => {
                    let id = file.id.as_ref().map_or("", |(id, _)| id.as_str());
                    longest.insert(id, None);
                }
                _ => {}
            }
        }
        longest
    }

    /// The files of a listing as far as they were parsed.
    fn gathered(&self, listed: &Listed) -> Gathered {
        let mut gathered = Gathered {
            // A refused folder, or a refused file that looks like ours, may have held a plan.
            refused: listed.refused.clone(),
            signatures: listed.signatures.clone(),
            ..Gathered::default()
        };
        for path in &listed.files {
            match self.read.get(path) {
                Some(Read::Text(one)) => gathered.take(one.clone()),
                Some(Read::Unreadable(problem, error)) => {
                    gathered.problems.push(problem.clone());
                    gathered.refused.push((path.clone(), error.clone()));
                }
                Some(Read::Headed(_, Headed::Mission(heading))) => {
                    gathered.left.push(heading.clone())
                }
                Some(Read::Headed(_, Headed::Record(_))) | None => {}
            }
        }
        gathered.lay();
        gathered
    }

    /// How many bytes were parsed, as often as they were.
    #[must_use]
    pub(crate) fn parsed_in_all(&self) -> u64 {
        self.parsed_in_all
    }

    /// Lets go of what was parsed of missions and records that have headings: these are kept in its place.
    pub(crate) fn let_go(&mut self) {
        for read in self.read.values_mut() {
            let source = match read {
                Read::Text(Sorted::Ours(file, _)) => file.source,
                Read::Text(Sorted::Broken(source, _)) => *source,
                _ => continue,
            };
            let text = self.sources.get(source).map_or("", |file| file.text());
            if let Some(headed) = Headed::parse(text) {
                self.parsed = self.parsed.saturating_sub(text.len() as u64);
                *read = Read::Headed(source, headed);
            }
        }
    }

    /// Reads the files that were not read before. One of which its text tells enough is not parsed.
    fn read_new(
        &mut self,
        paths: &[String],
        tree: &dyn Tree,
        headed: impl Fn(&str) -> Option<Headed> + Sync,
        wanted: Option<&str>,
    ) -> Result<(), ReadError> {
        let new = paths.iter().map(String::as_str);
        let new: Vec<&str> = new.filter(|path| !self.read.contains_key(*path)).collect();
        let texts = tree.read_all(&new, Limit::YAML);
        let texts: Vec<_> = new
            .into_par_iter()
            .zip(texts)
            .map(|(path, text)| {
                let headed = text.as_ref().ok().and_then(|text| headed(text));
                (path, text, headed)
            })
            .collect();
        let mut added = Vec::new();
        for (path, text, headed) in texts {
            let read = match (text, headed) {
                (Ok(text), Some(headed)) => Read::Headed(self.sources.add(path, text), headed),
                (Ok(text), None) => {
                    added.push((path, self.sources.add(path, text)));
                    continue;
                }
                (Err(error), _) => self.unreadable(path, error),
            };
            self.read.insert(path.to_owned(), read);
        }
        self.parse(&added, wanted)
    }

    fn unreadable(&mut self, path: &str, error: ReadError) -> Read {
        // The file has no text to point into, but it has a name, and it was meant to be read.
        let source = self.sources.add(path, "");
        let text = error.to_string();
        let problem = Problem::new("input-unreadable", Span::new(source, 0, 0), text);
        let problem = match &error {
            ReadError::NotUtf8 { .. } => problem.help("save the file as UTF-8"),
            ReadError::TooLarge { .. } => problem.help("split the file"),
            _ => problem,
        };
        Read::Unreadable(problem, error)
    }

    /// Parses those of the files that only their headings are known of and that a test takes; whether there
    /// were any.
    fn sort_out(
        &mut self,
        paths: &[String],
        wanted: Option<&str>,
        takes: &dyn Fn((&str, &str, &Headed)) -> bool,
    ) -> Result<bool, ReadError> {
        let mut added = Vec::new();
        for path in paths {
            if let Some(Read::Headed(source, headed)) = self.read.get(path)
                && let Some(file) = self.sources.get(*source)
                && takes((path, file.text(), headed))
            {
                added.push((path.as_str(), *source));
            }
        }
        self.parse(&added, wanted)?;
        Ok(!added.is_empty())
    }

    fn parse(&mut self, added: &[(&str, SourceId)], wanted: Option<&str>) -> Result<(), ReadError> {
        let shared = &self.sources;
        let texts = added.iter().filter_map(|(_, source)| shared.get(*source));
        let size = texts.map(|file| file.text().len() as u64).sum::<u64>();
        self.parsed += size;
        self.parsed_in_all += size;
        let limit = Limits::DEFAULT.yaml_together;
        if self.parsed > limit {
            return Err(ReadError::TooMuchAtOnce { limit });
        }
        let sorted: Vec<(&str, Sorted)> = added
            .par_iter()
            .map(|(path, id)| (*path, sort_out(*id, shared, wanted == Some(*path))))
            .collect();
        let sorted = sorted.into_iter();
        self.read
            .extend(sorted.map(|(path, one)| (path.to_owned(), Read::Text(one))));
        Ok(())
    }
}

/// Reads every YAML file of a tree that is one of the kinds.
///
/// # Errors
/// As [`Reader::gather`].
pub(crate) fn gather(tree: &dyn Tree, sources: &mut Sources) -> Result<Gathered, ReadError> {
    let mut reader = Reader::new(std::mem::take(sources));
    let gathered = reader.gather(tree, None);
    *sources = reader.sources;
    gathered
}

/// Reads one text as a file of a kind, whatever it holds.
#[must_use]
pub fn read_file(source: SourceId, sources: &Sources) -> Gathered {
    let mut gathered = Gathered::default();
    gathered.take(sort_out(source, sources, true));
    gathered
}

impl Gathered {
    fn take(&mut self, one: Sorted) {
        match one {
            Sorted::Ours(file, problems) => {
                self.files.push(*file);
                self.problems.extend(problems);
            }
            Sorted::Broken(source, problems) => {
                self.unparsed.push(source);
                self.problems.extend(problems);
            }
            Sorted::PassedOver(source) => self.passed_over.push(source),
        }
    }
}
