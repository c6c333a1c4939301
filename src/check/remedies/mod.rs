//! What a solver offers, as changes of the text of files, and in words.

mod place;
mod said;

use std::collections::BTreeMap;

use crate::document::{Document, ParseLimits, parse};
use crate::finding::{Edit, Remedy};
use crate::measures::{At, Fix, Setting};
use crate::plan::Plan;
use crate::source::{SourceId, Sources, Span};
use place::Placed;

/// A file as it stands.
struct File<'a> {
    text: &'a str,
    document: Document,
}

/// The files that settings are made in, each parsed once.
struct Files<'a> {
    sources: &'a Sources,
    mission: SourceId,
    orders: Option<SourceId>,
    parsed: BTreeMap<SourceId, Option<File<'a>>>,
}

/// A fix as it is offered: its settings as changes of files. Where one of them cannot be written where it
/// belongs, what it comes to is left to whoever plans.
pub(super) fn remedy(plan: &Plan, fix: Fix, sources: &Sources) -> Remedy {
    let mut files = Files {
        sources,
        mission: plan.mission.id.span().source,
        orders: plan.orders.as_ref().map(|orders| orders.source),
        parsed: BTreeMap::new(),
    };
    let placed = files.place(&fix.settings);
    let text = match &placed {
        Some(placed) if !placed.is_empty() => {
            let files = |file: SourceId| (file != files.mission).then(|| sources.path(file));
            said::sentence(&fix, placed, files)
        }
        _ if fix.says.is_empty() => said::by_hand(&fix, &files.fields(&fix.settings)),
        _ => said::deed(&fix),
    };
    let edits = placed.unwrap_or_default().into_iter();
    let mut edits: Vec<Edit> = edits.map(|one| one.edit).collect();
    edits.sort_by_key(|edit| edit.replaced);
    Remedy {
        who: Some(fix.who),
        text,
        edits,
    }
}

impl<'a> Files<'a> {
    fn file(&mut self, id: SourceId) -> Option<&File<'a>> {
        let sources = self.sources;
        let parsed = self.parsed.entry(id).or_insert_with(|| {
            let text = sources.get(id)?.text();
            let document = parse(id, text, &ParseLimits::YAML).ok()?;
            Some(File { text, document })
        });
        parsed.as_ref()
    }

    /// The fields that settings set, in words.
    fn fields(&mut self, settings: &[Setting]) -> Vec<String> {
        let mission = self.mission;
        let fields = settings.iter().map(|setting| {
            let (source, field) = match &setting.at {
                At::Stated(span) => {
                    let file = self.file(span.source)?;
                    (span.source, place::field_of(&file.document.root, *span)?)
                }
                At::Field(field) | At::Item(field, _) => (mission, (*field).to_owned()),
            };
            let (_, words) = place::named(&self.file(source)?.document.root, &field);
            Some(format!("`{words}` to {}", said::value(&setting.value)))
        });
        fields.flatten().collect()
    }

    /// All settings as changes of text; `None` where one has no place.
    fn place(&mut self, settings: &[Setting]) -> Option<Vec<Placed>> {
        let mut fields: Vec<(String, String)> = Vec::new();
        let mut placed = Vec::new();
        for setting in settings {
            let value = &setting.value;
            match &setting.at {
                At::Stated(span) => match self.stated(*span, value)? {
                    Stands::There(one) => placed.push(one),
                    Stands::InOrders(field, value) => fields.push((field, value)),
                },
                At::Field(field) => fields.push(((*field).to_owned(), value.clone())),
                At::Item(list, ahead) => {
                    let mission = self.mission;
                    let file = self.file(mission)?;
                    placed.push(place::item(file, mission, (list, ahead.as_deref()), value)?);
                }
            }
        }
        let mission = self.mission;
        let file = self.file(mission)?;
        placed.extend(place::fields(file, mission, fields)?);
        Some(placed)
    }

    /// A value that a file states, replaced where it stands; one of the orders is stated otherwise by the
    /// mission, since other missions follow them too.
    fn stated(&mut self, span: Span, value: &str) -> Option<Stands> {
        let in_orders = self.orders == Some(span.source);
        let file = self.file(span.source)?;
        let field = place::field_of(&file.document.root, span)?;
        if !in_orders {
            let one = place::replaced(file, field, span, value);
            return Some(Stands::There(one));
        }
        let (field, value) = place::instead_of_orders(file, &field, span, value)?;
        Some(Stands::InOrders(field, value))
    }
}

/// Where a stated value is replaced.
enum Stands {
    There(Placed),
    /// In the orders: the mission's field that states it otherwise, and its value.
    InOrders(String, String),
}
