//! How orders are laid under a mission.

use serde_json::Value as Json;

use super::orders::{OF_ORDERS, Under, lay_under};
use crate::document::{Node, ParseLimits, parse};
use crate::schema::Kind;
use crate::source::Sources;

fn node(text: &str) -> Node {
    let mut sources = Sources::default();
    let source = sources.add("one.yaml", text.to_owned());
    parse(source, text, &ParseLimits::YAML).unwrap().root
}

fn laid(mission: &str, orders: &str) -> (Json, Vec<String>) {
    let (laid, differs) = lay_under(&node(mission), &node(orders));
    let told = differs.iter();
    let told = told.map(|one| format!("{}: {}, not {}", one.field, one.own.0, one.other.0));
    (laid.to_json(), told.collect())
}

#[test]
fn what_is_not_stated_is_that_of_the_orders() {
    let (laid, differs) = laid("id: one\n", "id: all\nteam: { lookout: helper }\n");
    assert_eq!(
        laid,
        serde_json::json!({"id": "one", "team": {"lookout": "helper"}})
    );
    assert!(differs.is_empty());
}

#[test]
fn a_group_is_completed_field_by_field() {
    let (laid, differs) = laid(
        "team: { lookout: second helper }\n",
        "team: { person_in_charge: lead, lookout: helper }\n",
    );
    let team = serde_json::json!({"lookout": "second helper", "person_in_charge": "lead"});
    assert_eq!(laid, serde_json::json!({ "team": team }));
    assert_eq!(differs, ["team.lookout: second helper, not helper"]);
}

/// A trigger of the orders is not to stand beside an action that the mission has in its place.
#[test]
fn an_action_is_replaced_as_a_whole() {
    let (laid, differs) = laid(
        "on_low_battery: { action: stop, below_voltage: 14 V }\n",
        "on_low_battery: { action: return, below_charge: 45 % }\n",
    );
    let own = serde_json::json!({"action": "stop", "below_voltage": "14 V"});
    assert_eq!(laid, serde_json::json!({ "on_low_battery": own }));
    assert_eq!(
        differs,
        [
            "on_low_battery: { action: stop, below_voltage: 14 V }, not { action: return, \
          below_charge: 45 % }"
        ]
    );
}

#[test]
fn lists_are_joined_by_what_names_an_item() {
    let (laid, differs) = laid(
        "checklist: [{ item: rope, text: two ropes }, { item: lamp }]\n",
        "checklist: [{ item: gauge }, { item: rope, text: a rope }]\n",
    );
    let all = laid["checklist"].as_array().unwrap();
    let names: Vec<&str> = all
        .iter()
        .map(|one| one["item"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["gauge", "rope", "lamp"]);
    assert_eq!(all[1]["text"], "two ropes");
    assert_eq!(
        differs,
        ["checklist.rope: { item: rope, text: two ropes }, not { item: rope, text: a rope }"]
    );
}

#[test]
fn a_safety_boat_lies_in_one_place() {
    let (laid, differs) = laid(
        "safety_boat: { at: [1.5, 2.5] }\n",
        "safety_boat: { place: slip, speed: 2 m/s }\n",
    );
    let boat = serde_json::json!({"at": [1.5, 2.5], "speed": "2 m/s"});
    assert_eq!(laid, serde_json::json!({ "safety_boat": boat }));
    assert_eq!(differs, ["safety_boat.place: [1.5, 2.5], not slip"]);
}

#[test]
fn where_and_how_a_run_begins_and_ends_may_be_that_of_the_orders() {
    let (laid, differs) = laid(
        "launch: { time: 2027-05-04T09:00 }\nrecovery: { speed: { over_ground: 0.4 m/s } }\n",
        "launch: { place: slip, delay: 15 min }\nrecovery: { place: slip, speed: { over_ground: 0.5 m/s } }\n",
    );
    let launch =
        serde_json::json!({"time": "2027-05-04T09:00", "place": "slip", "delay": "15 min"});
    let recovery = serde_json::json!({"speed": {"over_ground": "0.4 m/s"}, "place": "slip"});
    assert_eq!(
        laid,
        serde_json::json!({ "launch": launch, "recovery": recovery })
    );
    assert_eq!(
        differs,
        ["recovery.speed: { over_ground: 0.4 m/s }, not { over_ground: 0.5 m/s }"]
    );
}

#[test]
fn the_same_stated_again_is_no_difference() {
    let (_, differs) = laid(
        "alarm: { overdue: 30 min }\n",
        "alarm: { overdue: 30 min }\n",
    );
    assert!(differs.is_empty());
}

/// A schema without what it says of files begun, which differ by kind.
fn without_begun(schema: &Json) -> Json {
    match schema {
        Json::Object(fields) => {
            let fields = fields.iter().filter(|(key, _)| *key != "x-begun");
            let fields = fields.map(|(key, field)| (key.clone(), without_begun(field)));
            Json::Object(fields.collect())
        }
        Json::Array(items) => Json::Array(items.iter().map(without_begun).collect()),
        other => other.clone(),
    }
}

/// A group of the orders is that of a mission, but that the mission may complete it.
#[test]
fn orders_have_the_fields_of_a_mission() {
    let schema =
        |kind: Kind| -> Json { without_begun(&serde_json::from_str(kind.schema_text()).unwrap()) };
    let (orders, mission) = (schema(Kind::Orders), schema(Kind::Mission));
    let own = ["kind", "format", "id", "title"];
    let fields = orders["properties"].as_object().unwrap();
    let fields: Vec<&str> = fields.keys().map(String::as_str).collect();
    let mut known: Vec<&str> = own.to_vec();
    known.extend(OF_ORDERS.iter().map(|(field, _)| *field));
    let mut sorted = (fields.clone(), known);
    sorted.0.sort_unstable();
    sorted.1.sort_unstable();
    assert_eq!(sorted.0, sorted.1);
    for (field, under) in OF_ORDERS {
        let mut there = mission["properties"][field].clone();
        let mut here = orders["properties"][field].clone();
        if *under == Under::Fields {
            there.as_object_mut().unwrap().remove("required");
            there.as_object_mut().unwrap().remove("oneOf");
        }
        // What of these belongs to one mission, such as a time, orders do not have.
        if ["launch", "recovery"].contains(field) {
            let own = here["properties"].as_object().unwrap().clone();
            let fields = there["properties"].as_object_mut().unwrap();
            assert!(
                own.len() < fields.len() && !own.contains_key("time"),
                "{field}"
            );
            fields.retain(|name, _| own.contains_key(name));
            here["description"] = there["description"].clone();
        }
        assert_eq!(here, there, "{field}");
    }
    for (name, definition) in orders["$defs"].as_object().unwrap() {
        assert_eq!(*definition, mission["$defs"][name], "{name}");
    }
}
