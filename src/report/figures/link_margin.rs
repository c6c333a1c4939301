//! The margin of each needed link along the route.

use super::axis::Axis;
use super::chart::Chart;
use super::style::Figure;
use super::{marks, stations};
use crate::picture::Picture;

/// The chart; `None` where no link has a margin.
#[must_use]
pub(super) fn link_margin(picture: &Picture) -> Option<Figure> {
    let along = &picture.along;
    let links: Vec<_> = along
        .links
        .iter()
        .filter(|link| !link.margin.is_empty())
        .collect();
    if links.is_empty() {
        return None;
    }
    let limit = along.link_margin.map(|level| level.get());
    let values = links
        .iter()
        .flat_map(|link| link.margin.iter().map(|level| level.get()));
    let y = Axis::around("link margin, dB", values.chain(limit), 0.0);
    let x = super::distance_axis(along);
    let mut chart = Chart::new("link-margin", "Link margin along the route", (x, y), 1);
    stations(&mut chart, along);
    let mut words = Vec::new();
    for (link, class) in links.iter().zip(["one", "two", "three"]) {
        let line: Vec<_> = along
            .distance
            .iter()
            .zip(&link.margin)
            .map(|(at, margin)| (at.get(), margin.get()))
            .collect();
        chart.line(&line, class, link.link);
        let least = line.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((at, margin)) = least {
            words.push(format!(
                "The {} link has its least margin, {margin:.1} dB, {at:.0} m along the route.",
                link.link
            ));
        }
    }
    for (row, hand) in picture.orders.hand_overs.iter().take(3).enumerate() {
        chart.mark(hand.along.get(), &format!("to {}", hand.to), row);
    }
    if picture.orders.hand_overs.is_empty() {
        marks(&mut chart, along);
    }
    if let Some(limit) = limit {
        chart.limit(limit, &format!("at least {limit} dB"));
        words.push(format!("The limit is at least {limit} dB."));
    }
    Some(chart.finish(&words.join(" ")))
}
