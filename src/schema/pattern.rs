//! The keyword `pattern`, compiled when a text is first compared with it.
//!
//! The library compiles every pattern of a schema at once, with an engine made for long texts. Ours are few, the
//! texts are short, and most files hold none of the longer ones.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use jsonschema::paths::Location;
use jsonschema::{Keyword, ValidationError};
use regex_lite::Regex;
use serde_json::{Map, Value as Json};

/// The keyword's name.
pub(super) const NAME: &str = "pattern";

/// One pattern, wherever it stands.
struct Pattern {
    text: String,
    compiled: OnceLock<Option<Regex>>,
}

impl Pattern {
    fn matches(&self, instance: &Json) -> bool {
        let Some(text) = instance.as_str() else {
            return true;
        };
        let compiled = self.compiled.get_or_init(|| Regex::new(&self.text).ok());
        // One that cannot be compiled holds nothing; a test holds that there is none.
        compiled.as_ref().is_some_and(|regex| regex.is_match(text))
    }
}

/// A place in a schema where a pattern stands.
struct Place(Arc<Pattern>);

impl<'i> Keyword<'i> for Place {
    fn validate(&self, instance: &'i Json) -> Result<(), ValidationError<'i>> {
        match self.0.matches(instance) {
            true => Ok(()),
            false => Err(ValidationError::custom("it does not match the pattern")),
        }
    }

    fn is_valid(&self, instance: &'i Json) -> bool {
        self.0.matches(instance)
    }
}

/// The keyword at a place of a schema.
///
/// # Errors
/// [`ValidationError`] where the pattern is no text.
pub(super) fn keyword<'a>(
    _schema: &'a Map<String, Json>,
    pattern: &'a Json,
    _at: Location,
) -> Result<Box<dyn for<'i> Keyword<'i>>, ValidationError<'a>> {
    static ALL: Mutex<BTreeMap<String, Arc<Pattern>>> = Mutex::new(BTreeMap::new());
    let Some(text) = pattern.as_str() else {
        return Err(ValidationError::custom("a pattern is a text"));
    };
    let mut all = ALL.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = all.get(text) {
        return Ok(Box::new(Place(Arc::clone(known))));
    }
    let new = Arc::new(Pattern {
        text: text.to_owned(),
        compiled: OnceLock::new(),
    });
    all.insert(text.to_owned(), Arc::clone(&new));
    Ok(Box::new(Place(new)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::Kind;
    use crate::schema::validate::schema_of;

    fn patterns(schema: &Json, found: &mut Vec<String>) {
        match schema {
            Json::Object(entries) => {
                let pattern = entries.get(NAME).and_then(Json::as_str);
                found.extend(pattern.map(str::to_owned));
                entries.values().for_each(|one| patterns(one, found));
            }
            Json::Array(items) => items.iter().for_each(|one| patterns(one, found)),
            _ => {}
        }
    }

    #[test]
    fn every_pattern_compiles_and_holds_the_whole_text() {
        let mut found = Vec::new();
        for kind in Kind::ALL {
            patterns(schema_of(kind), &mut found);
        }
        assert!(found.len() > 50);
        found.sort();
        found.dedup();
        for text in found {
            assert!(text.starts_with('^') && text.ends_with('$'), "{text}");
            assert!(Regex::new(&text).is_ok(), "{text}");
        }
    }

    #[test]
    fn what_is_no_text_has_no_pattern() {
        let json = Json::from("^[a-c]{2}$");
        let empty = Map::new();
        let pattern = keyword(&empty, &json, Location::new()).expect("a text");
        for (instance, fits) in [
            (Json::from("ab"), true),
            (Json::from("abc"), false),
            (Json::from("ab\n"), false),
            (Json::from(3), true),
        ] {
            assert_eq!(pattern.is_valid(&instance), fits, "{instance}");
            assert_eq!(pattern.validate(&instance).is_ok(), fits, "{instance}");
        }
    }
}
