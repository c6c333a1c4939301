//! Building the tree from the parser's events, with a stack of its own and no recursion.

use std::borrow::Cow;
use std::collections::HashMap;

use granit_parser::{
    Event, Parser, ScalarStyle, ScanError, Span as EventSpan, StructureStyle, Tag,
};

use crate::source::{SourceId, Span};

use super::error::{DocumentError, DocumentErrorKind as Kind, quoted};
use super::frame::Frame;
use super::limits::ParseLimits;
use super::node::{Node, Value};
use super::offset::offset;
use super::place;
use super::{json, precheck, scalar, slip, syntax};

/// A parsed file.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// The file.
    pub source: SourceId,
    /// The whole value.
    pub root: Node,
}

/// Parses a YAML, JSON or GeoJSON file.
///
/// # Errors
/// Every fault that was found, in the order of the file; none has an empty list. A fault in the
/// syntax ends the search, others do not.
pub fn parse(
    source: SourceId,
    text: &str,
    limits: &ParseLimits,
) -> Result<Document, Vec<DocumentError>> {
    if u32::try_from(text.len()).is_err() {
        let message = "the file is longer than 4 GiB";
        let span = Span::new(source, 0, 0);
        return Err(vec![DocumentError::new(Kind::TooLarge, span, message)]);
    }
    #[cfg(test)]
    super::counted::note(text);
    let errors = precheck::check(source, text);
    if !errors.is_empty() {
        return Err(errors);
    }
    match json::read(source, text, limits) {
        Some(root) => Ok(Document { source, root }),
        None => parse_yaml(source, text, limits),
    }
}

/// The same of a text without unsettled merges and control characters, as YAML.
pub(super) fn parse_yaml(
    source: SourceId,
    text: &str,
    limits: &ParseLimits,
) -> Result<Document, Vec<DocumentError>> {
    let mut builder = Builder {
        source,
        text,
        limits,
        errors: Vec::new(),
        stopped: false,
        stack: Vec::new(),
        root: None,
        documents: 0,
        skipping: 0,
        nodes: 0,
        expanded_nodes: 0,
        expanded_text: 0,
        anchors: HashMap::new(),
    };
    builder.run();
    builder.finish()
}

pub(super) struct Builder<'text> {
    source: SourceId,
    pub(super) text: &'text str,
    pub(super) limits: &'text ParseLimits,
    pub(super) errors: Vec<DocumentError>,
    stopped: bool,
    pub(super) stack: Vec<Frame>,
    root: Option<Node>,
    documents: u32,
    /// How many lists and mappings are open within a key that was refused.
    pub(super) skipping: usize,
    pub(super) nodes: usize,
    pub(super) expanded_nodes: usize,
    pub(super) expanded_text: usize,
    /// The path of child numbers to each anchored value.
    pub(super) anchors: HashMap<usize, Vec<u32>>,
}

impl<'text> Builder<'text> {
    fn run(&mut self) {
        let nesting = self.limits.depth + 8;
        let mut options = granit_parser::options! {
            disallow_directives: true,
            emit_unresolved_aliases: true,
            flow_nesting_limit: nesting,
            block_nesting_limit: nesting,
        };
        options.set_emit_comments(false);
        let mut parser = Parser::new_from_str_with_options(self.text, options);
        while let Some(next) = parser.next_event() {
            match next {
                Ok((event, span)) => self.event(event, &span),
                Err(error) => self.syntax_error(&error),
            }
            if self.stopped {
                break;
            }
        }
    }

    fn finish(mut self) -> Result<Document, Vec<DocumentError>> {
        let left_out = |root: &Node| root.is_null() && root.span.is_empty();
        match self.root {
            Some(root) if self.errors.is_empty() && !left_out(&root) => Ok(Document {
                source: self.source,
                root,
            }),
            _ => {
                if self.errors.is_empty() {
                    let span = place::visible(self.source, self.text, 0, 0);
                    let message = "the file holds nothing";
                    self.errors
                        .push(DocumentError::new(Kind::Empty, span, message));
                }
                self.errors.sort_by_key(|error| error.span);
                Err(self.errors)
            }
        }
    }

    fn event(&mut self, event: Event<'text>, at: &EventSpan) {
        let span = self.span(at);
        match event {
            Event::DocumentStart(..) => {
                self.documents += 1;
                if self.documents > 1 {
                    let message = "a second document starts here, and a file holds one";
                    self.stop(
                        DocumentError::new(Kind::SeveralDocuments, self.visible(span), message)
                            .help("put it into a file of its own"),
                    );
                }
            }
            Event::Scalar(text, style, anchor, tag) => {
                self.refuse_tag(tag.as_deref(), at);
                self.count(1, span);
                if self.skipping == 0 {
                    self.scalar(text, style, anchor, span);
                }
            }
            Event::SequenceStart(style, anchor, tag) => {
                self.refuse_tag(tag.as_deref(), at);
                let span = match style {
                    StructureStyle::Flow => span,
                    StructureStyle::Block => place::of_dashes(self.text, self.stack.last(), span),
                };
                self.open(Frame::list(span, bracketed(style, span)), anchor, span);
            }
            Event::MappingStart(style, anchor, tag) => {
                self.refuse_tag(tag.as_deref(), at);
                self.open(Frame::map(span, bracketed(style, span)), anchor, span);
            }
            Event::SequenceEnd | Event::MappingEnd => self.close(span),
            Event::Alias(id) => self.alias(Some(id), span),
            Event::UnresolvedAlias(_) => self.alias(None, span),
            _ => {}
        }
    }

    fn scalar(&mut self, text: Cow<'text, str>, style: ScalarStyle, anchor: usize, span: Span) {
        let plain = style == ScalarStyle::Plain;
        // The parser gives a word with no bytes where a value is left out.
        let left_out = plain && span.is_empty();
        if text.len() > self.limits.text {
            let limit = self.limits.text;
            let message = format!(
                "a text of {} bytes; at most {limit} are allowed",
                text.len()
            );
            self.error(DocumentError::new(Kind::TextTooLong, span, message));
            return self.add_placeholder(span);
        }
        if self.key_is_next() {
            let name = if left_out { Cow::Borrowed("") } else { text };
            return self.key(name, plain, anchor, span);
        }
        let (span, value) = if left_out {
            (
                place::of_nothing(self.text, self.stack.last(), span),
                Value::Null,
            )
        } else if plain {
            match scalar::resolve(&text) {
                Ok(value) => (span, value),
                Err(fault) => {
                    let error = DocumentError::new(Kind::Number, span, fault.message);
                    self.error(error.help(fault.help));
                    (span, Value::Null)
                }
            }
        } else {
            let span = match style {
                ScalarStyle::Literal | ScalarStyle::Folded => place::trimmed(self.text, span),
                _ => span,
            };
            (span, Value::Text(text.into_owned()))
        };
        self.remember(anchor);
        self.add(Node { span, value, plain });
    }

    fn open(&mut self, frame: Frame, anchor: usize, span: Span) {
        self.count(1, span);
        if self.stack.len() + self.skipping >= self.limits.depth {
            return self.too_deep(span);
        }
        if self.skipping > 0 {
            self.skipping += 1;
            return;
        }
        if self.key_is_next() {
            let message = if frame.is_list() {
                "a list cannot be a key"
            } else {
                "a mapping cannot be a key"
            };
            self.error(
                DocumentError::new(Kind::ComplexKey, self.visible(span), message)
                    .help("put a key that starts with `[`, `{` or `?` in quotes"),
            );
            self.skipping = 1;
            return;
        }
        self.remember(anchor);
        self.stack.push(frame);
    }

    fn close(&mut self, at: Span) {
        if self.skipping > 0 {
            self.skipping -= 1;
            if self.skipping == 0 {
                self.refuse_key(at);
            }
        } else if let Some(frame) = self.stack.pop() {
            self.add(frame.close(at));
        }
    }

    pub(super) fn add(&mut self, node: Node) {
        match self.stack.last_mut() {
            Some(frame) => frame.add(node),
            None => self.root = Some(node),
        }
    }

    /// Stands for a key or value that was refused, so that the rest is read in step.
    pub(super) fn add_placeholder(&mut self, span: Span) {
        if self.key_is_next() {
            self.refuse_key(span);
        } else {
            self.add(Node {
                span,
                value: Value::Null,
                plain: true,
            });
        }
    }

    pub(super) fn count(&mut self, nodes: usize, span: Span) {
        self.nodes += nodes;
        if self.nodes > self.limits.nodes {
            let message = format!(
                "the file holds more than {} keys and values",
                self.limits.nodes
            );
            let span = self.visible(span);
            self.stop(DocumentError::new(Kind::TooLarge, span, message));
        }
    }

    pub(super) fn too_deep(&mut self, span: Span) {
        let message = format!(
            "lists and mappings are nested more than {} deep",
            self.limits.depth
        );
        let span = self.visible(span);
        self.stop(DocumentError::new(Kind::TooDeep, span, message));
    }

    fn refuse_tag(&mut self, tag: Option<&Tag>, at: &EventSpan) {
        let Some(tag) = tag else {
            return;
        };
        let span = at.tag_span().map_or(self.span(at), |tag| self.span(&tag));
        let message = format!("tags such as {} are not allowed", quoted(&tag.original()));
        let span = self.visible(span);
        self.error(
            DocumentError::new(Kind::Tag, span, message)
                .help("delete the word that starts with `!`, or put the text in quotes"),
        );
    }

    fn syntax_error(&mut self, error: &ScanError) {
        let start = error.marker().byte_offset().map_or(0, offset);
        let span = place::visible(self.source, self.text, start, start);
        let complaint = syntax::complaint(error.kind());
        if complaint.kind == Kind::TooDeep {
            return self.too_deep(span);
        }
        let mut error = DocumentError::new(complaint.kind, span, complaint.message);
        error.help = complaint.help.map(str::to_owned);
        if complaint.kind == Kind::Syntax {
            error = slip::explained(self.source, self.text, error);
        }
        self.stop(error);
    }

    pub(super) fn error(&mut self, error: DocumentError) {
        if self.stopped {
            return;
        }
        let span = error.span;
        self.errors.push(error);
        if self.errors.len() >= self.limits.errors {
            let message = format!(
                "there are {} errors or more; the rest is not looked for",
                self.limits.errors
            );
            self.errors
                .push(DocumentError::new(Kind::TooManyErrors, span, message));
            self.stopped = true;
        }
    }

    pub(super) fn stop(&mut self, error: DocumentError) {
        if !self.stopped {
            self.errors.push(error);
            self.stopped = true;
        }
    }

    fn span(&self, at: &EventSpan) -> Span {
        let range = at.byte_range().unwrap_or(0..0);
        Span::new(self.source, offset(range.start), offset(range.end))
    }

    pub(super) fn visible(&self, span: Span) -> Span {
        place::visible(self.source, self.text, span.start, span.end)
    }
}

/// Whether a list or mapping starts at a bracket; `[key: value]` holds a mapping that does not.
fn bracketed(style: StructureStyle, span: Span) -> bool {
    style == StructureStyle::Flow && !span.is_empty()
}
