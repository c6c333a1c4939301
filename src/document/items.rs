//! A large list of a JSON file read item by item, so that it is never held whole as values.

use std::ops::ControlFlow;

use super::json;
use super::limits::ParseLimits;
use super::node::Node;
use super::precheck;
use crate::source::SourceId;

/// Reads a JSON mapping, one list in which is handed over item by item; each is let go before the next is
/// read, and the list is empty in what is returned. After a break the rest is read and not handed over.
///
/// `None` where the text is no JSON that every reader takes alike, or has no such list, or holds more than the
/// limits: the limit of values is on each item, and on all that stands beside the list. Then [`parse`](super::parse)
/// tells what is wrong, and whatever was handed over counts for nothing.
pub(crate) fn each_item(
    (source, text): (SourceId, &str),
    list: &str,
    limits: &ParseLimits,
    take: &mut dyn FnMut(&Node) -> ControlFlow<()>,
) -> Option<Node> {
    let sound = u32::try_from(text.len()).is_ok() && precheck::check(source, text).is_empty();
    if !sound {
        return None;
    }
    #[cfg(test)]
    super::counted::note(text);
    let mut found = false;
    let mut open = true;
    let root = json::read_but(source, text, limits, &mut |key, item| {
        if key != list {
            return false;
        }
        found = true;
        if let Some(item) = item
            && open
        {
            open = take(item).is_continue();
        }
        true
    })?;
    found.then_some(root)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // a test that cannot go on ends here
mod tests {
    use std::ops::ControlFlow;

    use super::each_item;
    use crate::document::{Node, ParseLimits, parse};
    use crate::source::{SourceId, Sources};

    fn some_source() -> SourceId {
        Sources::new().add("text", "")
    }

    fn items(text: &str, limits: &ParseLimits, most: usize) -> Option<(Node, Vec<Node>)> {
        let mut items = Vec::new();
        let root = each_item((some_source(), text), "items", limits, &mut |item| {
            items.push(item.clone());
            match items.len() < most {
                true => ControlFlow::Continue(()),
                false => ControlFlow::Break(()),
            }
        });
        Some((root?, items))
    }

    #[test]
    fn each_item_is_what_the_whole_has_there_and_where_it_has_it() {
        for text in [
            "{\"items\": [1, {\"a\": [2, 3]}, \"b\"], \"after\": [4]}",
            "{\n  \"before\": {\"items\": [5]},\n  \"items\": [\n    [6, 7],\n    []\n  ]\n}\n",
            "{\"items\": []}",
        ] {
            let (root, found) = items(text, &ParseLimits::YAML, 9).unwrap();
            let whole = parse(some_source(), text, &ParseLimits::YAML).unwrap();
            assert_eq!(whole.root.get("items").unwrap().as_list().unwrap(), found);
            assert_eq!(root.get("items").unwrap().as_list().unwrap(), []);
            assert_eq!(
                root.get("items").unwrap().span,
                whole.root.get("items").unwrap().span
            );
            assert_eq!(root.get("after"), whole.root.get("after"));
            assert_eq!(root.get("before"), whole.root.get("before"));
        }
    }

    #[test]
    fn what_is_no_plain_json_or_has_no_list_there_is_left_to_the_parser() {
        for text in [
            "{\"items\": [1, 2,]}",
            "{\"items\": [1, 02]}",
            "{\"items\": [1 2]}",
            "{\"items\": [1], \"items\": [2]}",
            "{\"items\": {\"a\": 1}}",
            "{\"other\": [1]}",
            "[1]",
            "items: [1]",
            "{\"items\": [1]} x",
            "{\"items\": [\"\\u0007\"]}",
            "",
        ] {
            assert!(items(text, &ParseLimits::YAML, 9).is_none(), "{text}");
        }
    }

    #[test]
    fn the_limit_is_on_each_item_and_on_what_stands_beside_the_list() {
        let limits = ParseLimits {
            nodes: 6,
            ..ParseLimits::YAML
        };
        let many = format!("{{\"items\": [{}[1, 2, 3]]}}", "[1, 2, 3], ".repeat(99));
        assert_eq!(items(&many, &limits, 999).unwrap().1.len(), 100);
        assert!(items("{\"items\": [[1, 2, 3, 4, 5, 6]]}", &limits, 9).is_none());
        assert!(items("{\"items\": [], \"a\": [1, 2, 3, 4]}", &limits, 9).is_none());
        // After a break the rest is read all the same.
        assert_eq!(items(&many, &limits, 2).unwrap().1.len(), 2);
        let broken = many.replace("]]}", "]}");
        assert!(items(&broken, &limits, 2).is_none());
    }
}
