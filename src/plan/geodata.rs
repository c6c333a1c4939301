//! The geodata that sites name: each file read once for all of them, within bounds on each and on all.

use std::collections::BTreeMap;

use super::sounded::Sounded;
use crate::document::{DocumentError, DocumentErrorKind, Node, ParseLimits, parse};
use crate::schema::{Fields, Problem};
use crate::source::{Limit, Limits, ReadError, SourceId, Sources, Tree, resolve};

/// What the files hold, by their paths; nothing for one that cannot be used.
#[derive(Default)]
pub(super) struct Geodata {
    texts: BTreeMap<String, Option<SourceId>>,
    read: BTreeMap<(Named, String), Option<Parsed>>,
}

/// What a site names.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Named {
    Shoreline,
    Soundings,
}

impl Named {
    /// The key that it is named under.
    fn key(self) -> &'static str {
        match self {
            Self::Shoreline => "shoreline",
            Self::Soundings => "soundings",
        }
    }

    /// The largest file of it, and of all of them together in bytes.
    fn limits(self) -> (Limit, u64) {
        match self {
            Self::Shoreline => (Limit::SHORELINE, Limits::DEFAULT.shorelines_together),
            Self::Soundings => (Limit::GEODATA, Limits::DEFAULT.geodata_together),
        }
    }

    /// What all files of it are called.
    fn together(self) -> &'static str {
        match self {
            Self::Shoreline => "files of geodata",
            Self::Soundings => "files of soundings",
        }
    }

    /// What to do with a file of it that is too large.
    fn thinner(self) -> &'static str {
        match self {
            Self::Soundings => {
                "keep the shoalest sounding of each 2 m square or so, and only those near the \
                 mission's water"
            }
            Self::Shoreline => {
                "leave out points less than 0.1 m off the line of their neighbours, and water that no \
                 mission reaches"
            }
        }
    }
}

/// The two files of a site, as far as they can be used.
pub(super) type OfSite<'a> = (&'a Node, Option<&'a Sounded>);

impl Geodata {
    /// Reads the files that a site names: its shoreline, and its soundings where it has any. What is wrong
    /// is reported on the site's lines; `None` where its shoreline cannot be used.
    pub(super) fn of_site(
        &mut self,
        (site, from): (Fields<'_>, SourceId),
        tree: &dyn Tree,
        sources: &mut Sources,
    ) -> Option<OfSite<'_>> {
        let shoreline = self.path((site, from), Named::Shoreline, tree, sources);
        let soundings = match site.map("soundings") {
            Some(_) => Some(self.path((site, from), Named::Soundings, tree, sources)?),
            None => None,
        };
        let of = |what: Named, path: String| self.read.get(&(what, path))?.as_ref();
        let Parsed::Shoreline(shoreline) = of(Named::Shoreline, shoreline?)? else {
            return None;
        };
        let soundings = match soundings.and_then(|path| of(Named::Soundings, path)) {
            Some(Parsed::Soundings(soundings)) => Some(soundings),
            _ => None,
        };
        Some((shoreline, soundings))
    }

    /// Reads a file that a site names, unless it was read for an earlier one, and returns its path.
    fn path(
        &mut self,
        (site, from): (Fields<'_>, SourceId),
        what: Named,
        tree: &dyn Tree,
        sources: &mut Sources,
    ) -> Option<String> {
        let key = what.key();
        let named = site.map(key)?.text("file")?;
        let problem = |text: String| {
            Problem::new("input-reference", named.span(), text).labelled("named here")
        };
        let path = match resolve(sources.path(from), &named.value) {
            Ok(path) => path,
            Err(error) => {
                site.problem(problem(error.to_string()));
                return None;
            }
        };
        let known = (what, path.clone());
        if !self.read.contains_key(&known) {
            let source = match self.text(&path, what, tree, sources) {
                Ok(source) => source,
                Err(error) => {
                    // It is not read again for the next site that names it.
                    self.read.insert(known, None);
                    let told = problem(error.to_string());
                    let large = matches!(
                        error,
                        ReadError::TooLarge { .. } | ReadError::TooMuch { .. }
                    );
                    site.problem(if large {
                        told.help(what.thinner())
                    } else {
                        told
                    });
                    return None;
                }
            };
            let read = source.map(|source| parsed(what, source, sources));
            let read = match read {
                Some(Ok(read)) => Some(read),
                Some(Err(errors)) => {
                    for error in errors {
                        let too_large = error.kind == DocumentErrorKind::TooLarge;
                        let here = format!("named as the {key} here");
                        let told = Problem::from(error).with(named.span(), here);
                        site.problem(if too_large {
                            told.help(what.thinner())
                        } else {
                            told
                        });
                    }
                    None
                }
                None => None,
            };
            self.read.insert(known.clone(), read);
        }
        if !matches!(self.read.get(&known), Some(Some(_))) {
            // What is wrong in it is told once; every site that names it says so on its own line.
            site.problem(problem(format!("the {key} cannot be read")));
            return None;
        }
        Some(path)
    }

    /// The text of a file, unless it is too much by itself or together with those read before; `None` where
    /// that was told of it already.
    fn text(
        &mut self,
        path: &str,
        what: Named,
        tree: &dyn Tree,
        sources: &mut Sources,
    ) -> Result<Option<SourceId>, ReadError> {
        let (limit, together) = what.limits();
        let length = |source: SourceId, sources: &Sources| {
            sources
                .get(source)
                .map_or(0, |file| file.text().len() as u64)
        };
        let known = match self.texts.get(path) {
            Some(None) => return Ok(None),
            Some(Some(source)) => Some(*source),
            None => None,
        };
        let text = match known {
            Some(source) if length(source, sources) <= limit.bytes() => None,
            _ => {
                // Whoever cannot read it once does not try again.
                self.texts.insert(path.to_owned(), None);
                Some(tree.read(path, limit)?)
            }
        };
        let others = self.read.keys().filter(|(of, _)| *of == what);
        let others = others.filter_map(|(_, other)| *self.texts.get(other)?);
        let own = match (&text, known) {
            (Some(text), _) => text.len() as u64,
            (None, Some(source)) => length(source, sources),
            (None, None) => 0,
        };
        let all: u64 = others.map(|other| length(other, sources)).sum();
        if all + own > together {
            let (what, limit) = (what.together(), together);
            return Err(ReadError::TooMuch { what, limit });
        }
        let source = match text {
            Some(text) => Some(sources.add(path, text)),
            None => known,
        };
        self.texts.insert(path.to_owned(), source);
        Ok(source)
    }
}

enum Parsed {
    Shoreline(Node),
    Soundings(Sounded),
}

fn parsed(what: Named, source: SourceId, sources: &Sources) -> Result<Parsed, Vec<DocumentError>> {
    let text = sources.get(source).map_or("", |file| file.text());
    if what == Named::Soundings {
        if let Some(sounded) = Sounded::from_text(source, text) {
            return Ok(Parsed::Soundings(sounded));
        }
        // What is read value by value is held whole, and may not be as large.
        if text.len() as u64 > Limit::SHORELINE.bytes() {
            return Err(vec![DocumentError::too_large_but_as_json(source)]);
        }
    }
    let root = parse(source, text, &ParseLimits::GEODATA)?.root;
    Ok(match what {
        Named::Shoreline => Parsed::Shoreline(root),
        Named::Soundings => Parsed::Soundings(Sounded::from_node(&root)),
    })
}
