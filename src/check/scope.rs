//! What one named file bears on, where not the whole tree is requested.

use std::collections::BTreeSet;

use super::load::Loaded;
use super::plural::plural;
use crate::plan::{Gathered, NotChecked, Plan};
use crate::schema::explain::first_of;
use crate::schema::{Kind, Problem};
use crate::source::{ReadError, SourceId, Sources};

/// Sources that a plan is made of.
fn used(plan: &Plan) -> Vec<SourceId> {
    let laid = plan.orders.iter().chain(&plan.repeats);
    let laid = laid.map(|laid| laid.source);
    let always = [
        plan.mission.id.span().source,
        plan.vessel.id.span().source,
        plan.site.id.span().source,
    ];
    always.into_iter().chain(laid).collect()
}

/// Leaves only what bears on the file requested: a mission itself, what a vessel, site, policy or
/// rule is used by.
pub(super) fn restrict_to(selected: Option<&str>, loaded: &mut Loaded) {
    let Some(path) = selected else { return };
    let Some(source) = loaded.sources.find(path) else {
        return;
    };
    loaded.gathered.in_doubt = loaded.gathered.unread(&loaded.sources);
    let kind = loaded
        .gathered
        .files
        .iter()
        .find(|file| file.source == source)
        .map(|f| f.kind);
    let everything = matches!(kind, Some(Kind::Policy | Kind::Rule | Kind::Baseline));
    let at_fault = |problem: &Problem| problem.span.source == source;
    if everything && loaded.problems.iter().any(at_fault) {
        // Missions judged by something else would only hide what is to be mended.
        loaded.linked.plans.clear();
        loaded.problems.retain(at_fault);
        loaded.gathered.refused.clear();
        loaded.linked.not_checked = vec![NotChecked {
            path: path.to_owned(),
            why: "it has errors, so it judged nothing".to_owned(),
        }];
        return;
    }
    if !everything {
        loaded
            .linked
            .plans
            .retain(|plan| used(plan).contains(&source));
    }
    let mut sources: BTreeSet<SourceId> = loaded.linked.plans.iter().flat_map(used).collect();
    sources.insert(source);
    let shared = loaded
        .gathered
        .files
        .iter()
        .filter(|f| matches!(f.kind, Kind::Policy | Kind::Rule | Kind::Baseline));
    sources.extend(shared.map(|file| file.source));
    // A mission that could not be made into a plan still shows what is wrong with what it names,
    // and a vessel or site that cannot be used shows which missions hang on it.
    if loaded.linked.plans.is_empty() {
        let others = match kind {
            Some(Kind::Mission) => Kind::NAMED_BY_A_MISSION.as_slice(),
            Some(Kind::Vessel | Kind::Site | Kind::Orders) => &[Kind::Mission],
            _ => &[],
        };
        let file = loaded.gathered.files.iter().find(|f| f.source == source);
        // What is wrong with the plan that a mission repeats may stand on a line of that plan.
        let repeated = file.and_then(|file| file.repeats.as_ref());
        sources.extend(repeated.map(|repeated| repeated.source));
        let id = file
            .and_then(|file| file.id.as_ref())
            .map(|(id, _)| id.as_str());
        let named = loaded.gathered.files.iter().filter(|file| {
            let names_it = || {
                let field = kind.map_or("", Kind::name);
                file.named(field) == id
            };
            others.contains(&file.kind) && (file.kind != Kind::Mission || names_it())
        });
        sources.extend(named.map(|file| file.source));
    }
    loaded.problems.retain(|problem| {
        sources.contains(&problem.span.source)
            || problem
                .related
                .iter()
                .any(|(span, _)| sources.contains(&span.source))
    });
    let shown: BTreeSet<&str> = sources.iter().map(|id| loaded.sources.path(*id)).collect();
    loaded
        .linked
        .not_checked
        .retain(|one| shown.contains(one.path.as_str()));
    loaded
        .gathered
        .refused
        .retain(|(refused, _)| refused == path);
}

/// Leaves only the missions of a folder, with what bears on them from anywhere in the repository.
pub(super) fn narrow_to_folder(within: &str, loaded: &mut Loaded) {
    let inside = |path: &str| {
        let rest = path.strip_prefix(within);
        rest.is_some_and(|rest| rest.starts_with('/'))
    };
    let Loaded {
        sources,
        gathered,
        linked,
        problems,
        ..
    } = loaded;
    gathered.in_doubt = gathered.unread(sources);
    linked.plans.retain(|plan| inside(&plan.path));
    let mut bearing: BTreeSet<SourceId> = linked.plans.iter().flat_map(used).collect();
    let mut named: BTreeSet<(Kind, &str)> = BTreeSet::new();
    for file in gathered.of_kind(Kind::Mission) {
        if inside(sources.path(file.source)) {
            bearing.insert(file.source);
            for kind in Kind::NAMED_BY_A_MISSION {
                named.extend(file.named(kind.name()).map(|id| (kind, id)));
            }
            named.extend(file.named("repeats").map(|id| (Kind::Mission, id)));
        }
    }
    for file in &gathered.files {
        let id = file.id.as_ref().map(|(id, _)| (file.kind, id.as_str()));
        let judges = matches!(file.kind, Kind::Policy | Kind::Rule | Kind::Baseline);
        if judges || id.is_some_and(|id| named.contains(&id)) {
            bearing.insert(file.source);
        }
    }
    problems.retain(|problem| {
        let related = problem.related.iter().map(|(span, _)| span.source);
        let mut all = std::iter::once(problem.span.source).chain(related);
        all.any(|source| bearing.contains(&source) || inside(sources.path(source)))
    });
    linked.not_checked.retain(|one| inside(&one.path));
    gathered.refused.retain(|(path, _)| inside(path));
    gathered.passed_over.clear();
}

/// How many files that were passed over are named.
const NAMED: usize = 5;

/// That files were passed over, and which: whoever misses one of them finds it here.
pub(super) fn passed_over(gathered: &Gathered, sources: &Sources) -> Option<String> {
    let all = gathered.passed_over.iter();
    let mut names: Vec<&str> = all.map(|source| sources.path(*source)).collect();
    names.sort_unstable();
    let count = names.len();
    if count == 0 {
        return None;
    }
    let files = plural(count, "file");
    let names = first_of(&names, NAMED);
    Some(format!(
        "{count} YAML {files} of unknown kind skipped: {names}"
    ))
}

/// What was refused and might have held a plan: YAML files, and folders and links, of which a name
/// without an ending is recognised by. What stands in a folder that was not entered is not known at all.
pub(super) fn refused(gathered: &Gathered) -> Vec<NotChecked> {
    let might_matter = |path: &str, error: &ReadError| {
        let by_name = {
            let name = path.rsplit('/').next().unwrap_or(path).to_ascii_lowercase();
            let ending = name
                .trim_start_matches('.')
                .rsplit_once('.')
                .map(|(_, end)| end);
            ending.is_none_or(|ending| {
                matches!(ending, "yaml" | "yml") || !ending.starts_with(|c: char| c.is_alphabetic())
            })
        };
        match error {
            ReadError::IsLink { .. } | ReadError::NotRegular { .. } | ReadError::BadPath { .. } => {
                by_name
            }
            _ => true,
        }
    };
    gathered
        .refused
        .iter()
        .filter(|(path, error)| might_matter(path, error))
        .map(|(path, error)| {
            let why = error.to_string();
            // The path stands beside it.
            let why = why.strip_prefix(&format!("{path}: ")).unwrap_or(&why);
            NotChecked {
                path: path.clone(),
                why: why.to_owned(),
            }
        })
        .collect()
}
