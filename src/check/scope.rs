//! What one named file bears on, where not the whole tree is asked for.

use std::collections::BTreeSet;

use super::Loaded;
use crate::plan::{Gathered, NotChecked, Plan, read_file};
use crate::schema::Kind;
use crate::source::{Limit, ReadError, SourceId, Sources, Tree};

/// Makes sure that the file asked for is read as one of ours, and says what is wrong where it
/// is not, even where a sweep of the folder would have passed it over.
pub(super) fn insist_on(
    selected: Option<&str>,
    tree: &dyn Tree,
    gathered: &mut Gathered,
    sources: &mut Sources,
) -> Result<(), ReadError> {
    let Some(path) = selected else { return Ok(()) };
    let source = match sources.find(path) {
        Some(source) => source,
        None => sources.add(path, tree.read(path, Limit::YAML)?),
    };
    let known = gathered.files.iter().any(|file| file.source == source)
        || gathered.unparsed.contains(&source);
    if !known {
        let one = read_file(source, sources);
        gathered.files.extend(one.files);
        gathered.problems.extend(one.problems);
        gathered.unparsed.extend(one.unparsed);
    }
    Ok(())
}

/// Sources that a plan is made of.
fn used(plan: &Plan) -> [SourceId; 3] {
    [
        plan.mission.id.span().source,
        plan.vessel.id.span().source,
        plan.site.id.span().source,
    ]
}

/// Leaves only what bears on the file asked for: a mission itself, what a vessel, site, policy or
/// rule is used by.
pub(super) fn narrow(selected: Option<&str>, loaded: &mut Loaded) {
    let Some(path) = selected else { return };
    let Some(source) = loaded.sources.find(path) else {
        return;
    };
    let kind = loaded
        .gathered
        .files
        .iter()
        .find(|file| file.source == source)
        .map(|f| f.kind);
    let everything = matches!(kind, Some(Kind::Policy | Kind::Rule));
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
        .filter(|f| matches!(f.kind, Kind::Policy | Kind::Rule));
    sources.extend(shared.map(|file| file.source));
    // A mission that could not be made into a plan still shows what is wrong with what it names.
    if loaded.linked.plans.is_empty() && kind == Some(Kind::Mission) {
        let named = loaded
            .gathered
            .files
            .iter()
            .filter(|f| matches!(f.kind, Kind::Vessel | Kind::Site));
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

/// What was refused and might have held a plan: YAML files, and folders and links, which have no
/// ending to tell them by.
pub(super) fn refused(gathered: &Gathered) -> Vec<NotChecked> {
    let might_matter = |path: &str| {
        let name = path.rsplit('/').next().unwrap_or(path).to_ascii_lowercase();
        name.ends_with(".yaml")
            || name.ends_with(".yml")
            || !name.trim_start_matches('.').contains('.')
    };
    gathered
        .refused
        .iter()
        .filter(|(path, _)| might_matter(path))
        .map(|(path, error)| NotChecked {
            path: path.clone(),
            why: error.to_string(),
        })
        .collect()
}
