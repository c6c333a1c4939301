//! What the tutorial says of itself: how many values a reader types.

use super::markdown::parts;
use super::text_of;

/// Values that a command wrote, or that the skeleton has or proposes.
const NOT_TYPED: &[&str] = &[
    "kind: site",
    "kind: vessel",
    "kind: orders",
    "kind: mission",
    "id: ostrell-mere",
    "id: dabchick",
    "id: standing",
    "id: south-basin",
    "format",
    "vessel",
    "site",
    "policy",
    "orders",
    "file",
    "datum",
    "control",
    "id: jetty",
    "id: shore",
    "id: owner",
    "place: jetty",
    "station: shore",
    "link: control",
    "usable_fraction: 80 %",
    "speed: { over_ground: 0.5 m/s }",
    "overdue: 30 min",
    "path: straight",
    "action: hold",
    "action: return",
    "action: stop",
    "action: drift",
    "after: 10 s",
    "below_charge: 45 %",
    "over: control",
    "charge_at_launch: 95 %",
    "zone: 30 m",
    "as: dabchick",
    "delay: 15 min",
    "over_ground: 1.0 m/s",
    "speed: { over_ground: 1.0 m/s }",
    "speed: 1.0 m/s",
    "reaction_time: 10 s",
    "after: 5 s",
    "then: the recovery crew fetches it with the safety boat",
    "within: 5 s",
    "wave_height: untried",
    // What the imports of the places, the trial, the route and the forecast wrote.
    "id: outflow",
    "kind: weir",
    "at: [46.595934, -31.200000]",
    "at: [46.600000, -31.202245]",
    "hotel_load",
    "at: [46.599982, -31.201932]",
    "visibility",
];

/// The values of a file as a reader fills it in: one for each field, position, and item of a list.
fn values(file: &str) -> usize {
    let mut count = 0;
    let mut imported: Option<usize> = None;
    for line in file.lines() {
        let line = line.split_once(" #").map_or(line, |(before, _)| before);
        let deep = line.len() - line.trim_start().len();
        // The forecast, the trial and the route are what a command wrote.
        imported = match line.trim() {
            "forecast:" | "trial:" | "route:" => Some(deep),
            _ => imported.filter(|from| deep > *from),
        };
        if imported.is_some() {
            continue;
        }
        let text = line.trim().trim_start_matches("- ");
        let typed = |field: &str| {
            let (key, value) = field.split_once(':').unwrap_or((field, ""));
            let value = value.trim();
            !value.is_empty()
                && !NOT_TYPED.contains(&key.trim())
                && !NOT_TYPED.contains(&field.trim())
        };
        count += fields(text).iter().filter(|field| typed(field)).count();
    }
    count
}

/// The fields on a line, those within braces one by one.
fn fields(text: &str) -> Vec<String> {
    let Some((before, inner)) = text.split_once('{') else {
        return vec![text.to_owned()];
    };
    let inner = inner.trim_end().trim_end_matches('}');
    // A position has a comma of its own.
    let (mut parts, mut depth) = (vec![String::new()], 0);
    for c in inner.chars() {
        depth += match c {
            '[' | '{' => 1,
            ']' | '}' => -1,
            _ => 0,
        };
        if c == ',' && depth == 0 {
            parts.push(String::new());
        } else if let Some(last) = parts.last_mut() {
            last.push(c);
        }
    }
    let before = before.trim().trim_end_matches(':');
    assert!(!before.contains(": "), "{text}");
    parts
}

#[test]
fn it_says_how_many_values_are_typed() {
    let of = |part: &str, file: &str| {
        let path = format!("docs/tutorial/{part}.md");
        let (blocks, _) = parts(&path, &text_of(&path));
        let info = format!("yaml {file}");
        let block = blocks.iter().find(|block| block.info == info);
        let text = block.unwrap_or_else(|| panic!("{file}")).lines.join("\n");
        values(&text)
    };
    let one = "1-water-and-boat";
    let site = of(one, "site/ostrell-mere.yaml");
    let vessel = of(one, "vessels/dabchick.yaml");
    let orders = of(one, "orders/standing.yaml");
    // One more caps the power.
    let mission = of("2-first-mission", "missions/south-basin.yaml") + 1;
    let all = site + vessel + orders + mission;
    let due = format!("{all}: site {site}, vessel {vessel}, orders {orders}, mission {mission} |");
    assert!(text_of("docs/tutorial/README.md").contains(&due), "{due}");
}
