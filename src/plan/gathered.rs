//! What a team's repository holds: its files by kind, and what of it could not be read.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use super::heading::Heading;
use super::laid::Laid;
use super::{orders, repeats};
use crate::document::{Document, Node};
use crate::schema::{Fields, Form, Kind, Problem, validate, validate_but};
use crate::source::{ReadError, SourceId, Sources, Span};

/// Ending of files that hold signatures.
pub(crate) const SIGNATURE: &str = ".approval";

/// A file of one of the kinds, parsed and found to fit its schema or not.
#[derive(Clone, Debug)]
pub struct FileOfKind {
    /// What it is.
    pub kind: Kind,
    /// Which source.
    pub source: SourceId,
    /// Its id, where it states one.
    pub id: Option<(String, Span)>,
    /// The parsed file.
    pub document: Arc<Document>,
    /// Whether it fits its schema; one that does not is not judged.
    pub sound: bool,
    /// The orders that a mission names.
    pub orders: Option<Laid>,
    /// The mission that it repeats.
    pub repeats: Option<Laid>,
    /// A mission with these two laid under it, where it names either.
    laid: Option<Arc<Node>>,
}

impl FileOfKind {
    /// One by itself, as it was parsed.
    pub(super) fn new(
        kind: Kind,
        source: SourceId,
        (document, id): (Document, Option<(String, Span)>),
        sound: bool,
    ) -> Self {
        Self {
            kind,
            source,
            id,
            document: Arc::new(document),
            sound,
            orders: None,
            repeats: None,
            laid: None,
        }
    }

    /// What the file holds; of a mission with what it leaves to its orders, and to the mission that it repeats.
    #[must_use]
    pub fn whole(&self) -> &Node {
        self.laid.as_deref().unwrap_or(&self.document.root)
    }

    /// The id under which it names something, itself or by what is laid under it.
    #[must_use]
    pub fn named(&self, field: &str) -> Option<&str> {
        self.whole().get(field).and_then(Node::as_text)
    }

    /// Reads the file, which fits its schema, into a value.
    ///
    /// # Errors
    /// Every [`Problem`] that was met.
    pub(super) fn parse_with<T>(
        &self,
        with: impl FnOnce(Fields<'_>) -> Option<T>,
    ) -> Result<T, Vec<Problem>> {
        let problems = RefCell::new(Vec::new());
        let read = with(Fields::root(
            &self.document.root,
            &problems,
            Form::for_kind(self.kind),
        ));
        let problems = problems.into_inner();
        match read {
            Some(value) if problems.is_empty() => Ok(value),
            _ => Err(problems),
        }
    }
}

/// What a repository holds.
#[derive(Debug, Default)]
pub struct Gathered {
    /// Files of the kinds, in order of path.
    pub files: Vec<FileOfKind>,
    /// What is wrong with files.
    pub problems: Vec<Problem>,
    /// Paths that were refused or could not be read, with the reason.
    pub refused: Vec<(String, ReadError)>,
    /// Files of a kind that could not even be parsed, so that nothing is known of them.
    pub unparsed: Vec<SourceId>,
    /// Paths of files that hold signatures.
    pub signatures: Vec<String>,
    /// Paths of files that cannot be read, kept where the rest is narrowed to what is requested.
    pub in_doubt: Vec<String>,
    /// YAML files that are no business of ours.
    pub passed_over: Vec<SourceId>,
    /// Headings of missions that were not parsed, as they cannot bear on what was requested.
    pub left: Vec<Heading>,
}

impl Gathered {
    /// Lays under each mission the one that it repeats, then its orders. Which of them are meant, where it is
    /// not one sound file, is reported where missions are brought together with what they name.
    pub(super) fn lay(&mut self) {
        self.lay_repeated();
        self.lay_orders();
    }

    fn lay_repeated(&mut self) {
        let plans = self.only_ones(Kind::Mission);
        let mut chained = Vec::new();
        let mut laid = Vec::new();
        for (number, file) in self.files.iter().enumerate() {
            let named = file.sound.then(|| file.document.root.get("repeats"));
            let Some(node) = named.flatten() else {
                continue;
            };
            let Some(named) = node.as_text().filter(|_| file.kind == Kind::Mission) else {
                continue;
            };
            let Some(&Some(plan)) = plans.get(named) else {
                continue;
            };
            let root = &plan.document.root;
            if let Some(further) = root.get("repeats") {
                let what = further.as_text().unwrap_or_default();
                let problem = repeats::of_a_repeat(node.span, named, (what, further.span));
                chained.push((number, problem));
                continue;
            }
            let (root, differs) = repeats::lay_under(&file.document.root, root);
            let repeated = Laid {
                id: named.to_owned(),
                source: plan.source,
                differs,
            };
            laid.push((number, root, repeated));
        }
        for (number, problem) in chained {
            self.files[number].sound = false;
            self.problems.push(problem);
        }
        for (number, root, repeated) in laid {
            self.files[number].repeats = Some(repeated);
            // What is left to orders is requested once they are laid.
            let left = root.get("orders").is_some();
            self.put(number, root, left);
        }
    }

    fn lay_orders(&mut self) {
        let orders = self.only_ones(Kind::Orders);
        let laid: Vec<(usize, Node, Laid)> = self
            .files
            .iter()
            .enumerate()
            .filter(|(_, file)| file.kind == Kind::Mission && file.sound)
            .filter_map(|(number, file)| {
                let named = file.named("orders")?;
                let orders = (*orders.get(named)?)?;
                let (root, differs) = orders::lay_under(file.whole(), &orders.document.root);
                let laid = Laid {
                    id: named.to_owned(),
                    source: orders.source,
                    differs,
                };
                Some((number, root, laid))
            })
            .collect();
        for (number, root, orders) in laid {
            self.files[number].orders = Some(orders);
            self.put(number, root, false);
        }
    }

    /// The one sound file of each id of a kind; of several under one id none.
    fn only_ones(&self, kind: Kind) -> BTreeMap<&str, Option<&FileOfKind>> {
        let mut only: BTreeMap<&str, Option<&FileOfKind>> = BTreeMap::new();
        for file in self.of_kind(kind) {
            if let Some((id, _)) = &file.id {
                let taken = only.contains_key(id.as_str());
                only.insert(id, Some(file).filter(|file| file.sound && !taken));
            }
        }
        only
    }

    /// Has a mission hold what was laid. Each part fits by itself: what is wrong now neither states, or they
    /// do together.
    fn put(&mut self, number: usize, root: Node, orders_follow: bool) {
        let source = self.files[number].source;
        let document = Document { source, root };
        let problems = match orders_follow {
            true => validate_but(Kind::Mission, &document, orders::may_be_left),
            false => validate(Kind::Mission, &document),
        };
        let file = &mut self.files[number];
        file.sound = problems.is_empty();
        file.laid = Some(Arc::new(document.root));
        for problem in problems {
            if !self.problems.contains(&problem) {
                self.problems.push(problem);
            }
        }
    }

    /// Paths of YAML files that could not be read and may hold anything; a few of them. One that
    /// plainly is a mission holds neither a vessel nor a policy, whatever is wrong with it.
    #[must_use]
    pub fn unread(&self, sources: &Sources) -> Vec<String> {
        let mut paths = self.may_hold_anything(sources);
        paths.truncate(5);
        paths
    }

    /// All of them.
    #[must_use]
    pub fn may_hold_anything(&self, sources: &Sources) -> Vec<String> {
        let refused = self.refused.iter().map(|(path, _)| path.as_str());
        let mission = |source: &&SourceId| {
            let text = sources.get(**source).map(|file| file.text());
            text.and_then(Heading::parse).is_some()
        };
        let unparsed = self.unparsed.iter().filter(|source| !mission(source));
        let unparsed = unparsed.map(|source| sources.path(*source));
        let mut paths: Vec<String> = refused
            .filter(|path| is_yaml(path))
            .chain(unparsed)
            .map(str::to_owned)
            .collect();
        paths.sort();
        paths
    }

    /// The files of one kind.
    pub fn of_kind(&self, kind: Kind) -> impl Iterator<Item = &FileOfKind> {
        self.files.iter().filter(move |file| file.kind == kind)
    }
}

/// Whether a file's name says that it is YAML, so that it is looked into.
#[must_use]
pub(crate) fn is_yaml(path: &str) -> bool {
    let ends = |end: &str| {
        let from = path.len().checked_sub(end.len());
        let last = from.and_then(|from| path.get(from..));
        last.is_some_and(|last| last.eq_ignore_ascii_case(end))
    };
    ends(".yaml") || ends(".yml")
}
