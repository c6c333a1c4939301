//! One policy file, as it is written, before its chain is followed.

use std::cell::RefCell;

use super::approvals::{self, Own};
use super::checklist::{self, ItemWords};
use super::floors::{self, Floor};
use super::margins::{self, About};
use super::rule::SEVERITIES;
use super::waivable::{self, Waivable};
use crate::document::Document;
use crate::finding::{Severity, Side};
use crate::schema::{Fields, Form, Kind, Problem, Stated};
use crate::source::{SourceId, Span};
use crate::units::Ratio;

/// What a policy says of one rule.
#[derive(Clone, Debug)]
pub(super) struct Setting {
    pub rule: Stated<String>,
    /// Limits as they are written, read later with the dimension of the rule's measure.
    pub limits: Vec<(Side, Stated<String>)>,
    pub severity: Option<Stated<Severity>>,
    pub enabled: Option<Stated<bool>>,
    pub reason: Option<String>,
}

/// Which missions a policy judges, in its words, and whether these are all.
pub(super) const JUDGES: [(&str, bool); 2] =
    [("every mission", true), ("missions that name it", false)];

/// A policy file.
#[derive(Clone, Debug)]
pub(super) struct Policy {
    pub id: Stated<String>,
    pub extends: Option<Stated<String>>,
    /// Whether it judges every mission, where it says so.
    pub judges: Option<Stated<bool>>,
    /// Rules that a policy which extends this one may loosen.
    pub open: Vec<Stated<String>>,
    /// Items that a mission's checklist must have.
    pub checklist: Vec<Stated<String>>,
    /// What they say to people.
    pub checklist_words: Vec<ItemWords>,
    pub settings: Vec<Setting>,
    /// Margins for what is not known.
    pub margins: Vec<(About, Stated<Ratio>)>,
    /// Floors under what a crew and a boat are said to do.
    pub floors: Vec<(Floor, Stated<f64>)>,
    /// Rules that a mission may have waived.
    pub waivable: Vec<Waivable>,
    /// Who may sign, and whose approval a launch needs.
    pub approvals: Option<Own>,
    /// The branch from which a launch is decided.
    pub launch_from: Option<Stated<String>>,
}

impl Policy {
    /// Reads a policy from a file that fits its schema.
    pub(super) fn from_document(
        source: SourceId,
        document: &Document,
    ) -> Result<Self, Vec<Problem>> {
        let problems = RefCell::new(Vec::new());
        let fields = Fields::root(&document.root, &problems, Form::for_kind(Kind::Policy));
        let id = fields.required_text("id");
        let extends = fields.text("extends");
        let names = |key: &str| {
            let items = fields.list(key).iter();
            items
                .filter_map(|node| Some(Stated::written(node.as_text()?.to_owned(), node.span)))
                .collect()
        };
        let judges = fields.word("judges", &JUDGES);
        let open = names("open");
        let checklist = names("checklist");
        let checklist_words = checklist::parse(&fields);
        let settings = fields.map("rules").map_or_else(Vec::new, |rules| {
            rules
                .entries()
                .into_iter()
                .map(|(name, span, fields)| setting(name, span, fields))
                .collect()
        });
        let margins = margins::parse(&fields);
        let floors = floors::parse(&fields);
        let name = id.as_ref().map_or("", |id| id.value.as_str());
        let waivable = waivable::parse(&fields, name);
        let approvals = approvals::parse(&fields);
        let launch_from = fields.text("launch_from");
        let problems = problems.into_inner();
        match id {
            Some(id) if problems.is_empty() => Ok(Self {
                id,
                extends,
                judges,
                open,
                checklist,
                checklist_words,
                settings,
                margins,
                floors,
                waivable,
                approvals,
                launch_from,
            }),
            _ if problems.is_empty() => {
                let span = Span::new(source, 0, 0);
                Err(vec![Problem::new(
                    "input-policy",
                    span,
                    "the policy cannot be read",
                )])
            }
            _ => Err(problems),
        }
    }

    pub(super) fn opens(&self, rule: &str) -> bool {
        self.open.iter().any(|id| id.value == rule)
    }
}

fn setting(name: &str, span: Span, fields: Fields<'_>) -> Setting {
    let limits = [(Side::AtLeast, "at_least"), (Side::AtMost, "at_most")]
        .into_iter()
        .filter_map(|(side, key)| Some((side, fields.text(key)?)))
        .collect();
    Setting {
        rule: Stated::written(name.to_owned(), span),
        limits,
        severity: fields.word("severity", &SEVERITIES),
        enabled: fields
            .get("enabled")
            .and_then(|node| Some(Stated::written(node.as_bool()?, node.span))),
        // A reason of blanks gives none.
        reason: fields
            .text("reason")
            .map(|text| text.value)
            .filter(|reason| !reason.trim().is_empty()),
    }
}
