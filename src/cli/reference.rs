//! Chapters of the documentation that are made from the program itself.

use std::fmt::Write as _;

use serde_json::{Map, Value as Json};

use crate::check::catalogue;
use crate::measures::Type;
use crate::rules::{Policies, RuleSet, catalogue_markdown};
use crate::schema::{Form, Kind};
use crate::source::Sources;

/// Said at the top of each, so that nobody edits it by hand.
fn made_by(chapter: &str) -> String {
    format!("<!-- Made by `offing docs {chapter}`. A test fails where it is stale. -->\n\n")
}

/// What kind of value a measure has, in words.
pub(super) fn value_kind(of: Type) -> String {
    match of {
        Type::Quantity(dimension) => dimension.to_string(),
        Type::Truth => "true or false".to_owned(),
    }
}

/// The rules, with their own limits.
pub(super) fn rules_chapter() -> Result<String, String> {
    let mut sources = Sources::new();
    let catalogue = catalogue();
    let rules = RuleSet::builtin(&mut sources, &catalogue).map_err(|problems| {
        problems
            .into_iter()
            .map(|p| p.message)
            .collect::<Vec<_>>()
            .join("; ")
    })?;
    let (policies, _) = Policies::load(&[], &[], &rules);
    let mut text = made_by("rules");
    text.push_str("# Rules\n\n");
    text.push_str(
        "Every built-in rule with its own limit. A team's policy may set another; a check shows \
         the limit in force and the line that sets it. A rule that cannot be evaluated is a \
         finding of its own severity, never a pass.\n\n",
    );
    text.push_str(&catalogue_markdown(
        &policies.builtin().rules,
        &catalogue,
        &sources,
    ));
    Ok(text)
}

/// The measures that rules can speak of.
pub(super) fn measures_chapter() -> Result<String, String> {
    let mut text = made_by("measures");
    text.push_str("# Measures\n\n");
    text.push_str(
        "The named quantities that rules limit. `docs/reference/models/README.md` leads to the equations. A rule's \
         `measure` is one of these names, or an expression over them \
         (`docs/how-to/rules-of-your-own.md`).\n\n",
    );
    for measure in catalogue() {
        let _ = write!(
            text,
            "## `{}`\n\n{}. A {}.\n\n{}\n\nNeeds: {}.\n\n",
            measure.name,
            measure.title,
            value_kind(measure.of),
            measure.meaning,
            measure.needs.join(", ")
        );
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
    Ok(text)
}

/// The files and their fields.
pub(super) fn files_chapter() -> Result<String, String> {
    chapter(|kind| serde_json::from_str(kind.schema_text()).map_err(|e| e.to_string()))
}

/// The forms of values.
const VALUES: &str = "\
## Values

Several spellings of a value are accepted. The first in each row is the one that `offing fmt` writes \
([one form](../how-to/writing-plans.md#one-form-for-all-files)); it converts no unit and no form into another.

| value | written | accepted too |
|---|---|---|
| speed | `1.2 m/s`, `4 km/h`, `5 kn` | `5kn` |
| length | `850 m`, `3 km`, `2 nmi` | `2 NM` |
| resistance | `60 mohm`, `0.06 ohm` | `60 mΩ`, `60 mOhm` |
| area, temperature, angle | `0.06 m2`, `12 °C`, `40°` | `0.06 m²`, `12 degC`, `40 deg` |
| number | `0.5`, `-3` | `.5`, `+3`, and in a quantity `−3` |
| position, decimal degrees | `[52.396067, -24.310500]` | |
| position, degrees and minutes | `52°23.764′N 24°18.630′W` | `N 52° 23.764' W 024° 18.630'`; a comma between the two |
| position, degrees, minutes and seconds | `52°23′45.8″N 24°18′37.8″W` | `52°23'45.8\"N 24°18'37.8\"W` |
| position, degrees with letters | `52.396067°N 24.310500°W` | |
| position, the string of ISO 6709 | `+52.396067-024.310500/` | |
| position, in two texts | `[52°23.764′N, 24°18.630′W]` | the same forms |
| direction | `063°` | `63°`, `63 deg`, `063° T` |
| direction, a point of the compass | `WSW`, `NEbN`; all 32 | |
| direction, magnetic | `015° M`, `015° M (3°E)` | `15°M`, `015° M (3° E)` |
| declination | `3°E`, `3°12′W` | `3° E` |

North and east are positive in decimal degrees. With letters there is no sign. Latitude comes first.

A direction is from true north unless it says `M`. A magnetic one requires a declination: its own, in brackets, or \
the site's `declination`. Without one it is an error. True is magnetic plus east, minus west.

A point of the compass counts as its middle: `WSW` is 247.5°. Winds are seldom told more finely than to 22.5°, so \
state a `spread` that covers what the point leaves open.

";

/// The chapter, from schemas.
fn chapter(schema_of: impl Fn(Kind) -> Result<Json, String>) -> Result<String, String> {
    let mut text = made_by("files");
    text.push_str("# Files\n\n");
    text.push_str(
        "What each kind of file may hold, from the schemas in `schemas/`. A quantity is a text \
         with its unit, such as `1.2 m/s`; a bare number where a unit is due is an error. Fields \
         marked **needed** are required. A field left out has the default on its line, and the \
         check lists it as an assumption.\n\n",
    );
    text.push_str(VALUES);
    for kind in Kind::ALL {
        let schema = schema_of(kind)?;
        let _ = write!(
            text,
            "## `kind: {kind}`\n\n{}\n\n",
            text_of(&schema, "description")
        );
        text.push_str("| field | what it is | form |\n|---|---|---|\n");
        rows(&mut text, &schema, &schema, "");
        text.push('\n');
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
    Ok(text)
}

fn text_of<'a>(schema: &'a Json, key: &str) -> &'a str {
    schema.get(key).and_then(Json::as_str).unwrap_or("")
}

/// What a reference stands for.
fn resolved<'a>(root: &'a Json, schema: &'a Json) -> &'a Json {
    Form::of_schema(root).at(schema).json()
}

fn rows(text: &mut String, root: &Json, schema: &Json, prefix: &str) {
    let empty = Map::new();
    let properties = schema
        .get("properties")
        .and_then(Json::as_object)
        .unwrap_or(&empty);
    let needed: Vec<&str> = schema
        .get("required")
        .and_then(Json::as_array)
        .map(|names| names.iter().filter_map(Json::as_str).collect())
        .unwrap_or_default();
    for (name, stated) in properties {
        let property = resolved(root, stated);
        let described = Form::of_schema(root).at(stated).says(stated, "description");
        let path = if prefix.is_empty() {
            name.clone()
        } else {
            format!("{prefix}.{name}")
        };
        let (default, range, page) = {
            let form = Form::of_schema(root).at(property);
            let needed = needed.contains(&name.as_str());
            (
                form.default_told().filter(|_| !needed),
                form.range_told(),
                form.measured(),
            )
        };
        let mark = if needed.contains(&name.as_str()) {
            " **needed**"
        } else {
            ""
        };
        let _ = writeln!(
            text,
            "| `{path}`{mark} | {}{}{} | {}{} |",
            described.unwrap_or_default().replace('|', "\\|"),
            default.map_or_else(String::new, |default| format!(" Default: {default}.")),
            page.map_or_else(String::new, |page| {
                format!(" [How to measure it](../how-to/measuring/{page}.md).")
            }),
            form(root, property),
            range.map_or_else(String::new, |range| format!("; {range}")),
        );
        rows(text, root, property, &path);
        if let Some(items) = property.get("items") {
            rows(text, root, resolved(root, items), &format!("{path}[]"));
        }
        if let Some(values) = property
            .get("additionalProperties")
            .filter(|v| v.is_object())
        {
            rows(text, root, resolved(root, values), &format!("{path}.…"));
        }
    }
}

fn form(root: &Json, property: &Json) -> String {
    if let Some(constant) = property.get("const") {
        return format!("`{}`", constant.to_string().trim_matches('"'));
    }
    if let Some(words) = property.get("enum").and_then(Json::as_array) {
        let words: Vec<String> = words
            .iter()
            .filter_map(Json::as_str)
            .map(|word| format!("`{word}`"))
            .collect();
        return words.join(", ");
    }
    let example = property
        .get("examples")
        .and_then(|e| e.get(0))
        .and_then(Json::as_str);
    let direction = property.get("x-direction").is_some();
    let quantity = property.get("x-quantity").and_then(Json::as_str);
    match (
        quantity.map(|of| if direction { "direction" } else { of }),
        example,
    ) {
        (Some(quantity), Some(example)) => return format!("{quantity}, `{example}`"),
        (None, Some(example)) => return format!("`{example}`"),
        _ => {}
    }
    if property.get("prefixItems").is_some() {
        return "`[latitude, longitude]`".to_owned();
    }
    match text_of(property, "type") {
        "string" => "text".to_owned(),
        "number" => "number".to_owned(),
        "integer" => "whole number".to_owned(),
        "boolean" => "`true` or `false`".to_owned(),
        "object" => "mapping".to_owned(),
        "array" => {
            let items = property.get("items").map(|items| resolved(root, items));
            match items.map(|items| text_of(items, "type")) {
                Some("object") => "list of mappings".to_owned(),
                _ if items.is_some_and(|items| items.get("prefixItems").is_some()) => {
                    "list of positions".to_owned()
                }
                _ => "list".to_owned(),
            }
        }
        _ => String::new(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // a test that cannot go on ends here
mod tests {
    use std::cell::RefCell;

    use super::*;
    use crate::document::{ParseLimits, parse};
    use crate::schema::Fields;
    use crate::source::Sources;
    use crate::units::Ratio;

    /// A default and a bound that stand otherwise in the schema are others for the reader, with what it says
    /// of them, and in the chapter on files.
    #[test]
    fn reader_and_chapter_take_defaults_and_bounds_from_the_schema() {
        let mut vessel: Json = serde_json::from_str(Kind::Vessel.schema_text()).unwrap();
        let read = |schema: &Json, text: &str| {
            let document = parse(
                Sources::new().add("vessel.yaml", text),
                text,
                &ParseLimits::YAML,
            )
            .unwrap();
            let problems = RefCell::new(Vec::new());
            let fields = Fields::root(&document.root, &problems, Form::of_schema(schema));
            let leeway = fields
                .map("windage")
                .unwrap()
                .quantity_or::<Ratio>("leeway");
            let told = leeway.assumption().map(str::to_owned);
            let problems = problems.borrow();
            let problems: Vec<String> = problems.iter().map(|one| one.message.clone()).collect();
            (leeway.value.get(), told, problems)
        };
        let without = "windage:\n  frontal_area: 0.1 m²\n";
        let with = "windage:\n  leeway: 16 %\n";
        let (value, told, problems) = read(&vessel, without);
        assert!((value - 0.15).abs() < 1e-12 && problems.is_empty());
        assert!(told.unwrap().contains("15 %"));
        assert!(read(&vessel, with).2[0].contains("and 15 %"));
        let lines = |vessel: &Json| {
            let all = |kind: Kind| match kind {
                Kind::Vessel => Ok(vessel.clone()),
                _ => serde_json::from_str(kind.schema_text()).map_err(|e| e.to_string()),
            };
            let text = chapter(all).unwrap();
            let line = text.lines().find(|line| line.contains("`windage.leeway`"));
            line.unwrap().to_owned()
        };
        assert!(lines(&vessel).contains("Default: 15 %, the most."));

        let leeway = vessel
            .pointer_mut("/properties/windage/properties/leeway")
            .unwrap();
        leeway["default"] = "14 %".into();
        leeway["x-at-most"] = "17 %".into();
        leeway["x-range"] = "between 1 % and 17 %".into();
        let (value, told, problems) = read(&vessel, without);
        assert!((value - 0.14).abs() < 1e-12 && problems.is_empty());
        assert!(told.unwrap().contains("14 %"));
        assert!(read(&vessel, with).2.is_empty());
        let line = lines(&vessel);
        assert!(line.contains("Default: 14 %, the most."), "{line}");
        assert!(line.contains("between 1 % and 17 %"), "{line}");

        // Without one there is a problem, and no other figure in its place.
        let leeway = vessel
            .pointer_mut("/properties/windage/properties/leeway")
            .unwrap();
        leeway.as_object_mut().unwrap().remove("default");
        let (_, _, problems) = read(&vessel, without);
        assert!(
            problems[0].contains("no figure for `leeway`"),
            "{problems:?}"
        );
    }
}
