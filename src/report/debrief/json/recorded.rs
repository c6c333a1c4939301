//! What was recorded beside the way: gaps, depths and the link.

use schemars::JsonSchema;
use serde::Serialize;

use crate::debrief;
use crate::report::output::Quantity;

/// A time without a fix.
#[derive(Serialize, JsonSchema)]
pub(super) struct Unseen {
    /// For how long.
    time: Quantity,
    /// How far apart the fixes before and after it are.
    apart: Quantity,
    /// Where along the route it begins.
    along: Quantity,
}

impl From<debrief::Unseen> for Unseen {
    fn from(unseen: debrief::Unseen) -> Self {
        Self {
            time: Quantity::typed(unseen.time),
            apart: Quantity::typed(unseen.apart),
            along: Quantity::typed(unseen.along),
        }
    }
}

/// Depths as they were sounded.
#[derive(Serialize, JsonSchema)]
pub(super) struct Depths<'a> {
    /// Fixes with a depth.
    count: usize,
    /// Fixes of the run.
    of: usize,
    /// Of those, over the site's soundings.
    compared: usize,
    /// Mean of sounded less charted.
    mean_difference: Option<Quantity>,
    /// Least water under the keel.
    under_keel: Quantity,
    /// Least that the policy asks for.
    limit: Option<Quantity>,
    /// The worst stretch that is shoaler than the errors allow.
    shoal: Option<Shoal>,
    /// Why depths are not compared, where they are not.
    not_compared: Option<&'a str>,
}

/// A stretch that is shoaler than the errors allow.
#[derive(Serialize, JsonSchema)]
struct Shoal {
    /// Charted less sounded.
    by: Quantity,
    /// Depth as it was sounded.
    sounded: Quantity,
    /// Depth by the site.
    charted: Quantity,
    /// What the errors allow.
    allowed: Quantity,
    /// Fixes running that tell of it.
    fixes: usize,
}

impl<'a> Depths<'a> {
    pub(super) fn from_depths(depths: &'a debrief::Depths) -> Self {
        Self {
            count: depths.count,
            of: depths.of,
            compared: depths.compared,
            mean_difference: depths.mean_difference.map(Quantity::typed),
            under_keel: Quantity::typed(depths.under_keel),
            limit: depths.asked.map(|(asked, _)| Quantity::typed(asked)),
            shoal: depths.shoal.map(|shoal| Shoal {
                by: Quantity::typed(shoal.by),
                sounded: Quantity::typed(shoal.sounded),
                charted: Quantity::typed(shoal.charted),
                allowed: Quantity::typed(shoal.allowed),
                fixes: shoal.fixes,
            }),
            not_compared: depths.not_compared.as_deref(),
        }
    }
}

/// The link as it was recorded.
#[derive(Serialize, JsonSchema)]
pub(super) struct Link {
    /// Which link of the plan it is held against.
    link: &'static str,
    /// Whether a share was recorded, and not a power.
    share: bool,
    /// Fixes with a figure.
    count: usize,
    /// Fixes on the route.
    of: usize,
    /// The longest stretch without a figure where the plan promises the margin that the policy asks for.
    silent: Option<Silent>,
    /// Pearson's, of what was recorded and the margin predicted; null where one of them does not vary.
    correlation: Option<f64>,
    /// By the margin that is predicted, least first.
    rows: Vec<Row>,
    /// The worst half minute, or longer up to the next figure.
    worst: Option<Worst>,
}

/// A stretch without a figure.
#[derive(Serialize, JsonSchema)]
struct Silent {
    /// For how long.
    time: Quantity,
    /// Where along the route it begins.
    along: Quantity,
}

/// Fixes by the margin that is predicted.
#[derive(Serialize, JsonSchema)]
struct Row {
    /// Least margin.
    margin_from: Quantity,
    /// Up to this one.
    margin_to: Quantity,
    /// Fixes.
    count: usize,
    /// Their mean.
    mean: Quantity,
    /// The least.
    least: Quantity,
}

/// The worst stretch.
#[derive(Serialize, JsonSchema)]
struct Worst {
    /// For how long.
    time: Quantity,
    /// Its mean.
    mean: Quantity,
    /// What is due there.
    due: Quantity,
    /// Margin predicted there.
    margin: Quantity,
    /// Where along the route it begins.
    along: Quantity,
    /// Whether the plan promises the margin that the policy asks for all along it.
    promised: bool,
}

impl Link {
    pub(super) fn from_link(link: &debrief::LinkKept) -> Self {
        let rows = link.rows.iter().map(|row| Row {
            margin_from: Quantity::typed(row.from),
            margin_to: Quantity::typed(row.to),
            count: row.count,
            mean: row.mean.into(),
            least: row.least.into(),
        });
        Self {
            link: link.link,
            share: link.share,
            count: link.count,
            of: link.of,
            silent: link.silent.map(|silent| Silent {
                time: Quantity::typed(silent.time),
                along: Quantity::typed(silent.along),
            }),
            correlation: link.correlation,
            rows: rows.collect(),
            worst: link.worst.map(|worst| Worst {
                time: Quantity::typed(worst.time),
                mean: worst.mean.into(),
                due: worst.due.into(),
                margin: Quantity::typed(worst.margin),
                along: Quantity::typed(worst.along),
                promised: worst.promised,
            }),
        }
    }
}
