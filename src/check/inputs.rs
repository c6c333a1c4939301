//! What each mission is made of: the files that bear on it, each with a name of its bytes.

use std::collections::{BTreeMap, BTreeSet};

use super::Loaded;
use super::digest::sha256;
use crate::plan::FileOfKind;
use crate::schema::Kind;
use crate::source::resolve;

/// Paths of files with the SHA-256 of their bytes, whole: the same digest is the same text.
pub(crate) type Inputs = BTreeMap<String, String>;

impl Loaded {
    /// The files of every mission by its id, also of one that could not be made into a plan:
    /// itself, the one that it repeats, its vessel, its orders, its site and the geodata that this names; where
    /// several files have one id, all of these.
    #[must_use]
    pub fn inputs(&self) -> BTreeMap<String, Inputs> {
        let by_id = |kind: Kind| {
            let mut by_id: BTreeMap<&str, Vec<&FileOfKind>> = BTreeMap::new();
            for file in self.gathered.of_kind(kind) {
                if let Some((id, _)) = &file.id {
                    by_id.entry(id).or_default().push(file);
                }
            }
            by_id
        };
        let missions = by_id(Kind::Mission);
        let named_by_a_mission = Kind::NAMED_BY_A_MISSION.map(|kind| (kind, by_id(kind)));
        let mut all: BTreeMap<String, Inputs> = BTreeMap::new();
        for file in self.gathered.of_kind(Kind::Mission) {
            let Some((id, _)) = &file.id else { continue };
            let inputs = all.entry(id.clone()).or_default();
            self.take(file, inputs);
            let path = self.sources.path(file.source);
            for (_, path, signature) in self.accepting.beside(path) {
                inputs.insert(path.to_owned(), sha256(&signature.text));
            }
            let repeated = file.named("repeats").and_then(|id| missions.get(id));
            for file in repeated.into_iter().flatten() {
                self.take(file, inputs);
            }
            for (kind, by_id) in &named_by_a_mission {
                let files = file.named(kind.name()).and_then(|id| by_id.get(id));
                for file in files.into_iter().flatten() {
                    self.take(file, inputs);
                    if *kind == Kind::Site {
                        self.take_geodata(file, inputs);
                    }
                }
            }
        }
        all
    }

    /// Id and path of every file of a mission that states an id.
    pub fn missions(&self) -> impl Iterator<Item = (&str, &str)> {
        let files = self.gathered.of_kind(Kind::Mission);
        files.filter_map(|file| {
            let (id, _) = file.id.as_ref()?;
            Some((id.as_str(), self.sources.path(file.source)))
        })
    }

    /// What judges plans, by path: policies and rules of the team, the baseline, files of signers.
    #[must_use]
    pub fn judging(&self) -> Inputs {
        let mut inputs = Inputs::new();
        for kind in [Kind::Policy, Kind::Rule, Kind::Baseline] {
            for file in self.gathered.of_kind(kind) {
                self.take(file, &mut inputs);
            }
        }
        for signers in self.accepting.signers.values() {
            let text = signers.file.as_ref().map_or("", |text| text);
            let name = sha256(text);
            inputs.insert(signers.path.clone(), name);
        }
        inputs
    }

    /// Paths of the files that judge, told by what they are: policies, rules, baselines.
    #[must_use]
    pub fn judging_files(&self) -> BTreeSet<String> {
        let judges = [Kind::Policy, Kind::Rule, Kind::Baseline];
        let files = judges
            .into_iter()
            .flat_map(|kind| self.gathered.of_kind(kind));
        let paths = files.map(|file| self.sources.path(file.source).to_owned());
        paths.collect()
    }

    /// Paths of the files of signers that the policies name.
    #[must_use]
    pub fn signers_files(&self) -> BTreeSet<String> {
        let signers = self.accepting.signers.values();
        signers.map(|signers| signers.path.clone()).collect()
    }

    /// Whether a path holds a file of one of the kinds that fits its schema.
    #[must_use]
    pub fn sound_at(&self, path: &str) -> bool {
        let mut files = self.gathered.files.iter();
        files.any(|file| file.sound && self.sources.path(file.source) == path)
    }

    /// Leaves only these missions to be judged.
    pub fn retain(&mut self, missions: &BTreeSet<String>) {
        let plans = &mut self.linked.plans;
        plans.retain(|plan| missions.contains(&plan.mission.id.value));
    }

    fn take(&self, file: &FileOfKind, inputs: &mut Inputs) {
        if let Some(source) = self.sources.get(file.source) {
            let name = sha256(source.text());
            inputs.insert(source.path().to_owned(), name);
        }
    }

    fn take_geodata(&self, site: &FileOfKind, inputs: &mut Inputs) {
        let from = self.sources.path(site.source);
        for field in ["shoreline", "soundings"] {
            let group = site.document.root.get(field);
            let file = group.and_then(|group| group.get("file")?.as_text());
            let Some(path) = file.and_then(|file| resolve(from, file).ok()) else {
                continue;
            };
            let found = self.sources.find(&path).and_then(|id| self.sources.get(id));
            if let Some(source) = found {
                inputs.insert(path, sha256(source.text()));
            }
        }
    }
}
