//! Which part may import which others, as the developers' guide has it.

use std::collections::{BTreeMap, BTreeSet};

/// What one part may import.
#[derive(Clone, Default)]
pub struct Allowed {
    /// Parts of which it may use everything.
    pub all: BTreeSet<String>,
    /// Parts of which it may use types alone.
    pub types: BTreeSet<String>,
}

pub struct Table(BTreeMap<String, Allowed>);

/// The names in a cell that stand as code, each with what follows up to the next.
fn names(cell: &str) -> Vec<(String, String)> {
    let parts: Vec<&str> = cell.split('`').collect();
    let pairs = parts[1..].chunks(2);
    pairs
        .map(|pair| {
            (
                pair[0].to_owned(),
                pair.get(1).copied().unwrap_or("").to_owned(),
            )
        })
        .collect()
}

impl Table {
    /// Reads the table below `| module | may import |`.
    pub fn read(guide: &str) -> Self {
        let (_, below) = guide
            .split_once("| module | may import |\n|---|---|\n")
            .expect("the guide has the table");
        let mut rows: BTreeMap<String, Allowed> = BTreeMap::new();
        for line in below.lines().take_while(|line| line.starts_with('|')) {
            let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
            let [parts, may] = cells[..] else {
                panic!("not two cells: {line}");
            };
            let mut allowed = Allowed::default();
            match may {
                "nothing of ours" => {}
                "all above" => allowed.all.extend(rows.keys().cloned()),
                _ => {
                    for (name, after) in names(may) {
                        assert!(
                            rows.contains_key(&name),
                            "`{name}` has no row above: {line}"
                        );
                        if after.starts_with(" (types only)") {
                            allowed.types.insert(name);
                        } else {
                            allowed.all.insert(name);
                        }
                    }
                    assert!(!allowed.all.is_empty(), "not understood: {line}");
                }
            }
            for (part, _) in names(parts) {
                let before = rows.insert(part.clone(), allowed.clone());
                assert!(before.is_none(), "`{part}` has two rows");
            }
        }
        assert!(rows.len() > 4, "the table is short");
        Self(rows)
    }

    pub fn parts(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    pub fn allows(&self, part: &str) -> Option<&Allowed> {
        self.0.get(part)
    }
}
