//! What a team's repository holds: its files by kind, and what of it could not be read.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use super::heading::Heading;
use super::orders::{Laid, lay_under};
use crate::document::{Document, Node};
use crate::schema::{Fields, Form, Kind, Problem, validate};
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
    /// The orders that a mission names, and itself with these laid under it.
    pub orders: Option<(Laid, Arc<Node>)>,
}

impl FileOfKind {
    /// What the file holds; of a mission with what it leaves to its orders.
    #[must_use]
    pub fn whole(&self) -> &Node {
        let laid = self.orders.as_ref().map(|(_, laid)| laid.as_ref());
        laid.unwrap_or(&self.document.root)
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
    /// Paths of files that cannot be read, kept where the rest is narrowed to what is asked for.
    pub in_doubt: Vec<String>,
    /// YAML files that are no business of ours.
    pub passed_over: Vec<SourceId>,
}

impl Gathered {
    /// Lays orders under the missions that name them. Which orders are meant, where it is not those of one
    /// sound file, is told where missions are brought together with what they name.
    pub(super) fn lay_orders(&mut self) {
        let mut orders: BTreeMap<&str, Option<&FileOfKind>> = BTreeMap::new();
        for file in self.of_kind(Kind::Orders) {
            if let Some((id, _)) = &file.id {
                let taken = orders.contains_key(id.as_str());
                orders.insert(id, Some(file).filter(|file| file.sound && !taken));
            }
        }
        let laid: Vec<(usize, Document, Laid)> = self
            .files
            .iter()
            .enumerate()
            .filter(|(_, file)| file.kind == Kind::Mission && file.sound)
            .filter_map(|(number, file)| {
                let root = &file.document.root;
                let named = root.get("orders").and_then(Node::as_text)?;
                let orders = (*orders.get(named)?)?;
                let (root, differs) = lay_under(root, &orders.document.root);
                let document = Document {
                    source: file.source,
                    root,
                };
                let laid = Laid {
                    id: named.to_owned(),
                    source: orders.source,
                    differs,
                };
                Some((number, document, laid))
            })
            .collect();
        for (number, document, orders) in laid {
            // Both fit by themselves: what is wrong now neither states, or the two together.
            let problems = validate(Kind::Mission, &document);
            let file = &mut self.files[number];
            file.sound = problems.is_empty();
            file.orders = Some((orders, Arc::new(document.root)));
            self.problems.extend(problems);
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
    let lower = path.to_ascii_lowercase();
    lower.ends_with(".yaml") || lower.ends_with(".yml")
}
