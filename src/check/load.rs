//! Reading a tree: files, plans, rules, policies.

use std::sync::OnceLock;

use super::accept::Accepting;
use super::digest::Digester;
use crate::document::Document;
use crate::measures::{CATALOGUE, Measure};
use crate::plan::decision::decided;
use crate::plan::run::run_record;
use crate::plan::{About, Gathered, Linked, Reader, link, read_file};
use crate::rules::{Policies, RuleSet};
use crate::schema::{Kind, Problem};
use crate::source::{Limit, ReadError, SourceId, Sources, Span, Tree};

/// Everything that a repository holds, read and linked, with the rules that apply to it.
pub struct Loaded {
    /// Everything that was read.
    pub sources: Sources,
    /// Files by kind.
    pub gathered: Gathered,
    /// Plans, and what could not be made into one.
    pub linked: Linked,
    /// Built-in and team rules.
    pub rules: RuleSet,
    /// Built-in and team policies.
    pub policies: Policies,
    /// By what findings may be accepted.
    pub accepting: Accepting,
    /// What is wrong with files.
    pub problems: Vec<Problem>,
}

impl Loaded {
    /// The digests of its plans.
    #[must_use]
    pub fn digester(&self) -> Digester<'_> {
        Digester::new(&self.gathered, &self.sources)
    }
}

/// The measures, as rules are checked against them.
#[must_use]
pub(crate) fn catalogue() -> Vec<Measure> {
    CATALOGUE.iter().map(|entry| entry.measure).collect()
}

/// Reads a tree: files, plans, rules, policies.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed.
pub fn load(tree: &dyn Tree, selected: Option<&str>) -> Result<Loaded, ReadError> {
    load_on(tree, selected, &mut reader())
}

/// A reader of a tree that has read nothing of it, to [load on](load_on).
pub(crate) fn reader() -> Reader {
    let (_, sources, _) = builtin();
    Reader::new(sources.clone())
}

/// As [`load`], of a tree that a reader may have read some of.
///
/// # Errors
/// As [`load`].
pub(crate) fn load_on(
    tree: &dyn Tree,
    selected: Option<&str>,
    reader: &mut Reader,
) -> Result<Loaded, ReadError> {
    let gathered = reader.gather(tree, selected)?;
    of_gathered(tree, selected, (gathered, reader))
}

/// As [`load_on`], of what may bear on one mission, with its others as asked for. `None`
/// where there is no mission of that name.
///
/// # Errors
/// As [`load`].
pub(crate) fn load_about(
    tree: &dyn Tree,
    about: About<'_>,
    reader: &mut Reader,
) -> Result<Option<Loaded>, ReadError> {
    let gathered = reader.gather_about(tree, about)?;
    let loaded = gathered.map(|gathered| of_gathered(tree, None, (gathered, reader)));
    loaded.transpose()
}

/// As [`load_on`], of the missions of one part and of what may bear on them, and of records where these are asked for.
///
/// # Errors
/// As [`load`].
pub(crate) fn load_part(
    tree: &dyn Tree,
    takes: &dyn Fn(&str) -> bool,
    records: bool,
    reader: &mut Reader,
) -> Result<Loaded, ReadError> {
    let gathered = reader.gather_part(tree, takes, records)?;
    of_gathered(tree, None, (gathered, reader))
}

fn of_gathered(
    tree: &dyn Tree,
    selected: Option<&str>,
    (mut gathered, reader): (Gathered, &Reader),
) -> Result<Loaded, ReadError> {
    let catalogue = catalogue();
    let (builtin, _, problems) = builtin();
    let mut problems = problems.clone();
    let mut sources = reader.sources.clone();
    require_selected(selected, tree, &mut gathered, &mut sources)?;
    problems.append(&mut gathered.problems);
    let mut linked = link(&gathered, tree, &mut sources);
    problems.append(&mut linked.problems);
    let (files, broken) = of_kind(&gathered, Kind::Rule);
    let (rules, found) = builtin
        .clone()
        .with_team(&files, &broken, &catalogue, &sources);
    problems.extend(found);
    let (files, broken) = of_kind(&gathered, Kind::Policy);
    let (policies, found) = Policies::load(&files, &broken, &rules);
    problems.extend(found);
    let accepting = Accepting::load(tree, &gathered, &policies, &mut sources, &mut problems);
    // Records bear on no plan, and one that is not in order is reported all the same.
    let sound = |kind| gathered.of_kind(kind).filter(|file| file.sound);
    problems.extend(
        sound(Kind::Launch)
            .filter_map(|file| decided(file).err())
            .flatten(),
    );
    problems.extend(
        sound(Kind::Run)
            .filter_map(|file| run_record(file).err())
            .flatten(),
    );
    Ok(Loaded {
        sources,
        gathered,
        linked,
        rules,
        policies,
        accepting,
        problems,
    })
}

/// Makes sure that the file requested is read as one of ours, and says what is wrong where it
/// is not, even where a sweep of the folder would have passed it over.
fn require_selected(
    selected: Option<&str>,
    tree: &dyn Tree,
    gathered: &mut Gathered,
    sources: &mut Sources,
) -> Result<(), ReadError> {
    let Some(path) = selected else { return Ok(()) };
    let listed = sources.find(path);
    let source = match listed {
        Some(source) => source,
        None => sources.add(path, tree.read(path, Limit::YAML)?),
    };
    let known = gathered.files.iter().any(|file| file.source == source)
        || gathered.unparsed.contains(&source)
        || gathered.refused.iter().any(|(refused, _)| refused == path);
    let geodata = [".geojson", ".json"];
    if !known && geodata.iter().any(|ending| path.ends_with(ending)) {
        let text = "a shoreline or sounding file is checked through the site that names it";
        let problem = Problem::new("input-schema", Span::new(source, 0, 0), text);
        let help = "check the file of that site, or the folder that holds it";
        gathered.problems.push(problem.help(help));
    } else if !known {
        let one = read_file(source, sources);
        gathered.files.extend(one.files);
        gathered.problems.extend(one.problems);
        gathered.unparsed.extend(one.unparsed);
    }
    Ok(())
}

/// The built-in rules with their sources, which are read once a process. Every loading begins with them,
/// so that their numbers are the same in each.
fn builtin() -> &'static (RuleSet, Sources, Vec<Problem>) {
    static ONCE: OnceLock<(RuleSet, Sources, Vec<Problem>)> = OnceLock::new();
    ONCE.get_or_init(|| {
        let mut sources = Sources::new();
        match RuleSet::builtin(&mut sources, &catalogue()) {
            Ok(rules) => (rules, sources, Vec::new()),
            Err(found) => (RuleSet::default(), sources, found),
        }
    })
}

/// The files of a kind that fit their schema, and the ids of those that do not.
fn of_kind(gathered: &Gathered, kind: Kind) -> (Vec<(SourceId, &Document)>, Vec<&str>) {
    let sound = gathered.of_kind(kind).filter(|file| file.sound);
    let broken = gathered.of_kind(kind).filter(|file| !file.sound);
    (
        sound.map(|file| (file.source, &*file.document)).collect(),
        broken
            .filter_map(|file| file.id.as_ref().map(|(id, _)| id.as_str()))
            .collect(),
    )
}
