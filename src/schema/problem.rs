//! Something wrong with what a file says, before it becomes a finding.

use crate::document::DocumentError;
use crate::finding::{Finding, Nature, Severity};
use crate::source::{Sources, Span};

/// Something wrong with what a file says.
#[derive(Clone, PartialEq, Debug)]
pub struct Problem {
    /// What kind of input error: `input-syntax`, `input-schema`, `input-value`, …
    pub code: &'static str,
    /// The sentence that says it.
    pub message: String,
    /// Where it stands.
    pub span: Span,
    /// A few words beside the line.
    pub label: String,
    /// Another line that belongs to it.
    pub related: Vec<(Span, String)>,
    /// What to write instead.
    pub help: Option<String>,
}

impl Problem {
    /// A problem with a value.
    #[must_use]
    pub fn value(span: Span, message: impl Into<String>) -> Self {
        Self::new("input-value", span, message)
    }

    /// A problem of the given code.
    #[must_use]
    pub fn new(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            span,
            label: "here".to_owned(),
            related: Vec::new(),
            help: None,
        }
    }

    /// The same with words beside the line.
    #[must_use]
    pub fn labelled(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// The same with another line.
    #[must_use]
    pub fn with(mut self, span: Span, text: impl Into<String>) -> Self {
        self.related.push((span, text.into()));
        self
    }

    /// The same with advice.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// The problem as a finding.
    #[must_use]
    pub fn finding(self, sources: &Sources) -> Finding {
        let mut builder = Finding::builder(self.code, Severity::Error, Nature::Input)
            .message(self.message)
            .primary(self.span, self.label);
        for (span, text) in self.related {
            builder = builder.related(span, text);
        }
        if let Some(help) = self.help {
            builder = builder.remedy(help);
        }
        builder.build(sources)
    }
}

impl From<DocumentError> for Problem {
    fn from(error: DocumentError) -> Self {
        let mut problem = Self::new("input-syntax", error.span, error.message);
        problem.related.extend(error.related);
        problem.help = error.help;
        problem
    }
}
