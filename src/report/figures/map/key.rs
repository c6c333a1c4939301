//! The legend of a map on a page: text that wraps to whatever room there is, with its samples.

use svg::Document;
use svg::Node as _;

use super::Drawn;
use super::legend::{self, Entry, Sample};
use crate::report::figures::style::{self, Figure, inlined};

/// A map and its legend.
#[derive(Clone, Debug)]
pub(crate) struct MapOnPage {
    /// The map.
    pub figure: Figure,
    /// The legend.
    pub key: Vec<KeyItem>,
}

/// An entry of a legend.
#[derive(Clone, Debug)]
pub(crate) struct KeyItem {
    /// Its sample as a drawing, where it has one.
    pub sample: Option<maud::PreEscaped<String>>,
    /// The letter that stands on the map in place of a name.
    pub letter: Option<String>,
    /// What it is.
    pub words: String,
}

/// Puts a map together with its legend.
pub(super) fn on_page(figure: Figure, entries: &[Entry], drawn: &Drawn) -> MapOnPage {
    let samples = entries.iter().map(|(sample, words)| KeyItem {
        sample: Some(drawing(&figure, *sample)),
        letter: None,
        words: words.clone(),
    });
    let letters = drawn.letters.iter().map(|(letter, words)| KeyItem {
        sample: None,
        letter: Some(letter.clone()),
        words: words.clone(),
    });
    let unnamed = legend::unnamed(drawn).map(|words| KeyItem {
        sample: None,
        letter: None,
        words,
    });
    let key = samples.chain(letters).chain(unnamed).collect();
    MapOnPage { figure, key }
}

fn drawing(figure: &Figure, sample: Sample) -> maud::PreEscaped<String> {
    let mut group = style::group("");
    for part in legend::sample_parts(figure, sample, (1.0, 12.0)) {
        group.append(part);
    }
    let document = Document::new()
        .set("viewBox", "0 0 26 14")
        .set("aria-hidden", "true")
        .add(group);
    inlined(&document)
}
