//! What one text is: a file of a kind, another program's, or one that cannot be read.

use super::claim::{claims_a_kind, slip};
use super::gathered::FileOfKind;
use super::{orders, repeats};
use crate::document::{DocumentError, DocumentErrorKind, Node, ParseLimits, Value, parse};
use crate::schema::{
    Former, Kind, Problem, explain, needed_fields, renamed, validate, validate_but,
};
use crate::source::{SourceId, Sources, Span};

/// What one text turned out to be.
#[derive(Clone)]
pub(super) enum Sorted {
    Ours(Box<FileOfKind>, Vec<Problem>),
    Broken(SourceId, Vec<Problem>),
    PassedOver(SourceId),
}

/// Whether a text is no YAML, or empty: what it was, and whether a rule went with it, nobody can
/// tell. Sound YAML that offing does not take, such as several documents, may be another program's.
fn is_nothing_at_all(error: &DocumentError) -> bool {
    use DocumentErrorKind::{ConflictMarker, ControlCharacter, Empty, Syntax};
    matches!(
        error.kind,
        Syntax | Empty | ConflictMarker | ControlCharacter
    )
}

/// That the line which was meant to state the kind has no colon, where there is such a line.
fn lost_colon(source: SourceId, text: &str) -> Option<Problem> {
    let slip = slip(text)?;
    let at = |byte: usize| u32::try_from(byte).ok();
    let span = Span::new(source, at(slip.from)?, at(slip.to)?);
    let kind = slip.kind;
    let problem = Problem::new(
        "input-schema",
        span,
        format!("this is not `kind: {kind}`, so offing cannot read the file as a {kind}"),
    );
    Some(problem.help(format!("write `kind: {kind}`, with a colon and a space")))
}

pub(super) fn sort_out(source: SourceId, sources: &Sources, wanted: bool) -> Sorted {
    let text = sources.get(source).map_or("", |file| file.text());
    let document = match parse(source, text, &ParseLimits::YAML) {
        Ok(document) => document,
        Err(errors) => {
            if let Some(problem) = lost_colon(source, text) {
                return Sorted::Broken(source, vec![problem]);
            }
            let nobody_knows = errors.iter().any(is_nothing_at_all);
            if !wanted && !nobody_knows && !claims_a_kind(text) {
                return Sorted::PassedOver(source);
            }
            return Sorted::Broken(source, errors.into_iter().map(Problem::from).collect());
        }
    };
    let root = &document.root;
    if root.entry("kind").is_none()
        && let Some(problem) = lost_colon(source, text)
    {
        return Sorted::Broken(source, vec![problem]);
    }
    let Value::Map(_) = &root.value else {
        if wanted {
            let text = format!(
                "a file of offing is a mapping that begins with `kind:`; this is {}",
                root.kind_name()
            );
            return Sorted::Broken(source, vec![Problem::new("input-schema", root.span, text)]);
        }
        return Sorted::PassedOver(source);
    };
    let kind = match kind_of(root, wanted) {
        Ok(Some(kind)) => kind,
        Ok(None) => return Sorted::PassedOver(source),
        Err(problem) => return Sorted::Broken(source, vec![problem]),
    };
    // What a mission leaves to its orders, or to the one that it repeats, is requested once they are laid.
    let mut problems = match kind {
        Kind::Mission if root.get("repeats").is_some() => {
            validate_but(kind, &document, repeats::may_be_left)
        }
        Kind::Mission if root.get("orders").is_some() => {
            validate_but(kind, &document, orders::may_be_left)
        }
        _ => validate(kind, &document),
    };
    if kind == Kind::Mission && root.get("repeats").is_some() {
        problems.extend(repeats::not_of_day(root));
    }
    let id = root
        .get("id")
        .and_then(|node| node.as_text().map(|text| (text.to_owned(), node.span)));
    let sound = problems.is_empty();
    Sorted::Ours(
        Box::new(FileOfKind::new(kind, source, (document, id), sound)),
        problems,
    )
}

/// The kind of a parsed file; `None` where it is another program's.
fn kind_of(root: &Node, wanted: bool) -> Result<Option<Kind>, Problem> {
    let names: Vec<&str> = Kind::ALL.iter().map(|kind| kind.name()).collect();
    let all = names
        .iter()
        .map(|name| format!("`{name}`"))
        .collect::<Vec<_>>()
        .join(", ");
    let Some(entry) = root.entry("kind") else {
        let Value::Map(entries) = &root.value else {
            return Ok(None);
        };
        let near = entries
            .iter()
            .find(|e| explain::nearest(&e.key, &["kind"]).is_some());
        // What columns hold judges no plan: without its kind it is only passed over.
        let judges = |kind: &Kind| *kind != Kind::TrackColumns;
        let mut kinds = Kind::ALL.into_iter().filter(judges);
        let meant = kinds.find(|kind| looks_like(root, *kind));
        if let Some(entry) = near {
            // `format: 1` or the name of a kind beside a misspelt `kind` is ours all the same.
            let named = entry.value.as_text().and_then(Kind::named);
            if wanted || named.is_some() || meant.is_some() || root.get("format").is_some() {
                let text = format!("unknown field `{}`", entry.key);
                let problem = Problem::new("input-schema", entry.key_span, text);
                return Err(problem.help("did you mean `kind`?"));
            }
        }
        if !wanted && meant.is_none() {
            return Ok(None);
        }
        let first = entries.first().map_or(root.span, |e| e.key_span);
        let problem = Problem::new("input-schema", first, "`kind` is missing");
        return Err(match meant {
            Some(kind) => problem.help(format!("begin the file with `kind: {kind}`")),
            None => problem.help(format!("begin the file with `kind:` and one of {all}")),
        });
    };
    let written = entry.value.as_text().unwrap_or("");
    if let Some(kind) = Kind::named(written) {
        return Ok(Some(kind));
    }
    if let Some(now) = renamed::kind(written) {
        let span = entry.value.span;
        return Err(Former::Renamed(now).problem("input-schema", span, written));
    }
    let lower = written.to_ascii_lowercase();
    let near = explain::nearest(&lower, &names);
    let is_text = entry.value.as_text().is_some();
    if is_text && near.is_none() && root.get("format").is_none() && !wanted {
        return Ok(None);
    }
    let shown = match entry.value.as_text() {
        Some(text) => format!("`{text}`"),
        None => entry.value.kind_name().to_owned(),
    };
    let problem = Problem::new(
        "input-schema",
        entry.value.span,
        format!("{shown} is an unknown kind of file; the kinds are {all}"),
    );
    Err(match near {
        Some(near) => problem.help(format!("did you mean `{near}`?")),
        None => problem,
    })
}

/// Whether a file that states no kind has the fields that one kind needs, one of them missing at
/// most: a plan does not drop out of the check with its first line.
fn looks_like(root: &Node, kind: Kind) -> bool {
    let needed: Vec<&str> = needed_fields(kind)
        .into_iter()
        .filter(|name| !matches!(*name, "kind" | "format"))
        .collect();
    let there = needed.iter().filter(|name| root.get(name).is_some());
    let there = there.count();
    there >= 2 && there + 1 >= needed.len()
}
