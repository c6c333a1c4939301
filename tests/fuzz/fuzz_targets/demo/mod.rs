//! The demo's files in memory.

use offing::door::source::MemoryTree;

pub const VESSEL: &str = include_str!("../../../../plans/vessels/goosander.yaml");
pub const SITE: &str = include_str!("../../../../plans/site/quenderby.yaml");
const SHORELINE: &str = include_str!("../../../../plans/site/quenderby-shoreline.geojson");
const POLICY: &str = include_str!("../../../../plans/policy/team.yaml");

/// Everything but a mission.
pub fn tree() -> MemoryTree {
    let mut tree = MemoryTree::default();
    tree.put("vessel.yaml", VESSEL);
    tree.put("site.yaml", SITE);
    tree.put("quenderby-shoreline.geojson", SHORELINE);
    tree.put("policy.yaml", POLICY);
    tree
}
