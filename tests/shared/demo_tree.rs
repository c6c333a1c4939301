//! A copy of the demo that a test changes, lays into a folder of its own and checks.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use offing::door::check::{Outcome, check, on_large_stacks};
use offing::door::finding::Nature;
use offing::door::source::{MemoryTree, ReadError, Span, WorkTree};

/// Stands in a text where a finding must begin; taken out before the text is checked.
pub const MARK: char = '§';

pub const VESSEL: &str = "vessels/goosander.yaml";
pub const SITE: &str = "site/quenderby.yaml";
pub const SHORELINE: &str = "site/quenderby-shoreline.geojson";
pub const SOUNDINGS: &str = "site/quenderby-soundings.geojson";
pub const POLICY: &str = "policy/team.yaml";

/// Longitude of a vertex at the end of the demo's dam.
const DAM: &str = "-24.285339";

/// The path of a mission of the demo.
pub fn mission(id: &str) -> String {
    format!("missions/{id}.yaml")
}

/// The path of orders of the demo.
pub fn orders(id: &str) -> String {
    format!("orders/{id}.yaml")
}

/// The path of the orders that a mission's text names.
pub fn orders_named_in(text: &str) -> Option<String> {
    let named = text.lines().find_map(|line| line.strip_prefix("orders: "));
    named.map(orders)
}

/// Files by path, with marks.
#[derive(Clone, Default)]
pub struct Files(pub BTreeMap<String, Vec<u8>>);

impl Files {
    /// The demo with the named missions only, which keeps the tests quick.
    pub fn demo(missions: &[&str]) -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
        let mut files = Self::default();
        let wanted = missions.iter().map(|id| mission(id));
        let shared = [VESSEL, SITE, SHORELINE, SOUNDINGS, POLICY].map(str::to_owned);
        for path in shared.into_iter().chain(wanted) {
            let bytes = std::fs::read(root.join(&path)).expect("a file of the demo");
            files.0.insert(path, bytes);
        }
        for id in missions {
            if let Some(path) = orders_named_in(files.text(&mission(id))) {
                let bytes = std::fs::read(root.join(&path)).expect("orders of the demo");
                files.0.insert(path, bytes);
            }
        }
        files
    }

    /// The files of `docs/start`.
    pub fn start() -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/start");
        let mut files = Self::default();
        for name in [
            "boat.yaml",
            "first-lines.yaml",
            "pond.yaml",
            "pond-shoreline.geojson",
        ] {
            let bytes = std::fs::read(root.join(name)).expect("a file to start from");
            files.0.insert(name.to_owned(), bytes);
        }
        files
    }

    /// The files of `docs/start` on wider water: 7.7 km from west to east and 5.5 km from south to north, with the
    /// jetty on its west shore.
    pub fn wide() -> Self {
        let mut files = Self::start();
        let corners = "[[-24.4029, 52.28], [-24.29, 52.28], [-24.29, 52.33], [-24.4029, 52.33], [-24.4029, 52.28]]";
        let shore = format!(
            r#"{{ "type": "FeatureCollection", "features": [{{ "type": "Feature", "properties": {{}},
            "geometry": {{ "type": "Polygon", "coordinates": [{corners}] }} }}] }}"#
        );
        files.write("pond-shoreline.geojson", shore);
        files
    }

    /// The files, without marks, as a tree in memory.
    pub fn in_memory(&self) -> MemoryTree {
        let mut tree = MemoryTree::default();
        for path in self.0.keys() {
            tree.put(path.as_str(), self.text(path).replace(MARK, ""));
        }
        tree
    }

    pub fn text(&self, path: &str) -> &str {
        let bytes = self.0.get(path).unwrap_or_else(|| panic!("no file {path}"));
        std::str::from_utf8(bytes).expect("text")
    }

    /// Puts one text in place of another that stands exactly once in a file, or in the orders that it names.
    pub fn edit(&mut self, path: &str, from: &str, to: &str) {
        let text = self.text(path);
        if !text.contains(from)
            && let Some(orders) = orders_named_in(text)
        {
            return self.edit(&orders, from, to);
        }
        assert_eq!(text.matches(from).count(), 1, "`{from}` in {path}");
        let text = text.replacen(from, to, 1);
        self.write(path, text);
    }

    pub fn write(&mut self, path: &str, content: impl Into<Vec<u8>>) {
        let content = content.into();
        // A shoreline that is another has none of the vertices of the dam, which the site marks.
        let marked = content
            .windows(DAM.len())
            .any(|part| part == DAM.as_bytes());
        if path == SHORELINE && !marked && self.0.contains_key(SITE) {
            let site = self.text(SITE);
            let end = site.find("\nstraight_shores:").unwrap_or(site.len());
            let site = site[..end].to_owned();
            self.0.insert(SITE.to_owned(), site.into_bytes());
        }
        self.0.insert(path.to_owned(), content);
    }

    /// The marked places, each as path, line and column in characters from 1, counted here and
    /// not by the code under test.
    pub fn marks(&self) -> Vec<(String, u32, u32)> {
        let mut marks = Vec::new();
        for (path, bytes) in &self.0 {
            let Ok(text) = std::str::from_utf8(bytes) else {
                continue;
            };
            let (mut line, mut column) = (1, 1);
            for character in text.chars() {
                match character {
                    MARK => marks.push((path.clone(), line, column)),
                    '\n' => (line, column) = (line + 1, 1),
                    _ => column += 1,
                }
            }
        }
        marks
    }

    /// Lays the files, without marks, into a folder.
    pub fn lay_out(&self) -> tempfile::TempDir {
        let folder = super::scratch::folder().expect("a folder");
        for (path, bytes) in &self.0 {
            let at = folder.path().join(path);
            std::fs::create_dir_all(at.parent().expect("a parent")).expect("folders");
            let plain = match std::str::from_utf8(bytes) {
                Ok(text) => text.replace(MARK, "").into_bytes(),
                Err(_) => bytes.clone(),
            };
            std::fs::write(at, plain).expect("written");
        }
        folder
    }

    pub fn check(&self) -> Outcome {
        check_folder(self.lay_out().path(), None).expect("the folder can be listed")
    }
}

/// Checks a folder as the program does.
pub fn check_folder(folder: &Path, selected: Option<&str>) -> Result<Outcome, ReadError> {
    on_large_stacks(|| check(&WorkTree::open(folder)?, selected))
}

/// Where each input error points: path, line, column.
pub fn places(outcome: &Outcome) -> Vec<(String, u32, u32)> {
    let inputs = outcome
        .findings
        .iter()
        .filter(|finding| finding.nature == Nature::Input);
    let mut places: Vec<_> = inputs
        .map(|finding| {
            let span = finding.primary.span;
            let at = outcome.sources.position(span);
            let path = outcome.sources.path(span.source).to_owned();
            (path, at.line, at.column)
        })
        .collect();
    places.sort();
    places
}

/// The first line of what a span covers, at most 40 characters of it.
fn excerpt(outcome: &Outcome, span: Span) -> String {
    let text = outcome.sources.slice(span);
    let line = text.lines().next().unwrap_or_default();
    let cut: String = line.chars().take(40).collect();
    let path = outcome.sources.path(span.source);
    format!("{path} `{cut}`")
}

/// Every input error and every file that was not checked, as a snapshot has them. Places are
/// shown by what stands there, since lines and columns are compared with the marks.
pub fn told(outcome: &Outcome) -> String {
    let mut text = String::new();
    for finding in &outcome.findings {
        if finding.nature != Nature::Input {
            continue;
        }
        let at = excerpt(outcome, finding.primary.span);
        let _ = writeln!(text, "{}: {}", finding.rule, finding.message);
        let _ = writeln!(text, "    at {at}: {}", finding.primary.text);
        for label in &finding.related {
            let at = excerpt(outcome, label.span);
            let _ = writeln!(text, "    see {at}: {}", label.text);
        }
        for remedy in finding.remedies_told() {
            let _ = writeln!(text, "    help: {remedy}");
        }
    }
    for one in &outcome.not_checked {
        let _ = writeln!(text, "not checked: {}: {}", one.path, one.why);
    }
    for note in &outcome.notes {
        let _ = writeln!(text, "note: {note}");
    }
    text
}
