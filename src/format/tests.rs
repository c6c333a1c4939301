use proptest::prelude::*;
use serde_json::Value as Json;

use super::*;

fn read(text: &str) -> Document {
    parse(SourceId(0), text, &ParseLimits::YAML)
        .unwrap_or_else(|errors| panic!("{:?}\n{text}", errors.first().map(|one| &one.message)))
}

fn form(kind: Kind, text: &str) -> String {
    let document = read(text);
    formatted(kind, &document, text).unwrap_or_else(|why| panic!("{why}:\n{text}"))
}

/// Lays out a text, and holds that laying it out again changes nothing.
fn twice(kind: Kind, text: &str) -> String {
    let once = form(kind, text);
    assert_eq!(form(kind, &once), once, "of\n{text}");
    once
}

#[test]
fn a_file_written_in_a_hurry_comes_into_form() {
    let text = "\u{feff}#a mission\r\n\
        \r\n\
        \r\n\
        kind:   mission   # what it is\r\n\
        format: 1\r\n\
        title:  \"5kn and  more\"\r\n\
        speed: {over_ground: 5kn}\r\n\
        launch:\r\n\
        \x20   at: [ +52.3980330 ,-24.308835]   #here\r\n\
        \x20   # deeper\r\n\
        \x20   delay: 1 h  30min\r\n\
        \x20   # still within\r\n\
        # at the margin\r\n\
        route:\r\n\
        - {id: a, to: 52°23.764'N 024°8.630'W}\r\n\
        -   id: b\r\n\
        \x20   to: [ '52°23''45.8\"N' , \"24°18'37''W\" ]\r\n\
        \x20   survey:\r\n\
        \x20         direction: 70deg\r\n\
        \x20         spacing: .5 km\r\n\
        \r\n\
        \r\n\
        \r\n\
        antennas: [\r\n\
        {azimuth: WSW},\r\n\
        # one more\r\n\
        {azimuth: 15°M(3° E)} ]\r\n\
        purpose: >-\r\n\
        \x20     two\r\n\
        \r\n\
        \x20      lines\r\n\
        team: { at_water: +3 }\r\n\
        \r\n\
        \r\n";
    let due = "\
# a mission

kind: mission # what it is
format: 1
title: \"5kn and  more\"
speed: { over_ground: 5 kn }
launch:
  at: [52.3980330, -24.308835] # here
  # deeper
  delay: 1 h 30 min
  # still within
# at the margin
route:
  - { id: a, to: 52°23.764′N 24°08.630′W }
  - id: b
    to: ['52°23′45.8″N', \"24°18′37″W\"]
    survey:
      direction: 070°
      spacing: 0.5 km

antennas: [
  { azimuth: WSW },
  # one more
  { azimuth: 015° M (3°E) }]
purpose: >-
  two

   lines
team: { at_water: 3 }
";
    assert_eq!(twice(Kind::Mission, text), due);
}

#[test]
fn lists_within_lists_and_texts_of_several_lines_keep_their_values() {
    let text = "\
kind: mission
a:
- - 1
  - 2
-
  - x: 1
    y:
    -
      z
-
b: |
     keeps
       its lines

     and  blanks
c: \"one
      two

   three\"
d: plain
     and more # not a comment within
e: &e
    f: [1,
2,
     3]
g: *e
h:
    &i k: 1
";
    let text = text.replace("h:\n    &i k: 1\n", "");
    let due = "\
kind: mission
a:
  - - 1
    - 2
  -
    - x: 1
      y:
        -
          z
  -
b: |
  keeps
    its lines

  and  blanks
c: \"one
  two

  three\"
d: plain
  and more # not a comment within
e: &e
  f: [1,
    2,
    3]
g: *e
";
    assert_eq!(twice(Kind::Mission, &text), due);
}

#[test]
fn a_text_that_only_looks_like_a_quantity_stays() {
    let text = "kind: mission\ntitle: 5kn\nid: 1kn\npurpose: 60mΩ\nno_field: 5kn\n";
    assert_eq!(form(Kind::Mission, text), text);
    let text = "kind: policy\nrules:\n  reserve: { at_least: 35%, reason: 5kn }\n";
    let due = text.replace("35%", "35 %");
    assert_eq!(form(Kind::Policy, text), due);
}

#[test]
fn what_is_rare_is_left_alone() {
    for text in [
        "kind: mission\n? a\n: b\n",
        "kind: mission\na: |+\n  b\n\n\n",
    ] {
        let document = read(text);
        assert!(formatted(Kind::Mission, &document, text).is_err(), "{text}");
    }
}

#[test]
fn the_schemas_say_what_is_a_direction_a_declination_and_a_limit() {
    let count = |kind: Kind| {
        let schema: Json = serde_json::from_str(kind.schema_text()).unwrap();
        marks(&schema)
    };
    let all = [Kind::Mission, Kind::Site, Kind::Policy, Kind::Rule];
    assert_eq!(all.map(count), [5, 3, 2, 2]);
}

/// How often a schema says what only this part of the program reads.
fn marks(schema: &Json) -> usize {
    match schema {
        Json::Object(map) => {
            let own = ["x-direction", "x-declination", "x-limit"];
            let own = own.into_iter().filter(|key| map.contains_key(*key)).count();
            own + map.values().map(marks).sum::<usize>()
        }
        Json::Array(all) => all.iter().map(marks).sum(),
        _ => 0,
    }
}

/// A value of a generated file.
#[derive(Clone, Debug)]
enum Value {
    Scalar(usize),
    /// A block of text, where the style allows.
    Lines,
    List(Vec<Value>, bool),
    Map(Vec<Value>, bool),
}

const SCALARS: [&str; 16] = [
    "a word",
    "1.50",
    "+3",
    "-0.5",
    "true",
    "TRUE",
    "~",
    "",
    "\"quoted: # , ]\"",
    "'it''s'",
    "\"one\n\n      two\"",
    "'one\n  two'",
    "2027-06-15T09:30",
    "5kn",
    "a:b#c",
    "\"\\u00e9 \\\"x\\\" \"",
];

fn values() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        8 => (0..SCALARS.len()).prop_map(Value::Scalar),
        1 => Just(Value::Lines),
    ];
    leaf.prop_recursive(4, 40, 5, |inner| {
        prop_oneof![
            (prop::collection::vec(inner.clone(), 0..4), any::<bool>())
                .prop_map(|(all, flow)| Value::List(all, flow)),
            (prop::collection::vec(inner, 0..4), any::<bool>())
                .prop_map(|(all, flow)| Value::Map(all, flow)),
        ]
    })
}

/// Writes values in every style that YAML allows, by numbers drawn one after another.
struct Writer {
    drawn: u64,
    out: String,
}

impl Writer {
    fn draw(&mut self, below: u64) -> usize {
        // Xorshift (Marsaglia 2003): which style comes next matters to nobody but the test.
        self.drawn ^= self.drawn << 13;
        self.drawn ^= self.drawn >> 7;
        self.drawn ^= self.drawn << 17;
        usize::try_from(self.drawn % below).unwrap()
    }

    fn blanks(&mut self, least: usize) {
        let count = least + [0, 0, 0, 1, 3][self.draw(5)];
        self.out.push_str(&" ".repeat(count));
    }

    fn end(&mut self) {
        let end = ["", "", "", "  ", " # why", "   #why", " # a: [b"][self.draw(7)];
        self.out.push_str(end);
        self.out.push('\n');
        for _ in 0..[0, 0, 0, 1, 3][self.draw(5)] {
            let column = self.draw(7);
            let line = ["", "", "# apart", "#", "## apart"][self.draw(5)];
            if line.is_empty() {
                self.out.push('\n');
            } else {
                self.out
                    .push_str(&format!("{}{line}\n", " ".repeat(column)));
            }
        }
    }

    fn flow(&mut self, value: &Value, margin: usize) {
        match value {
            Value::Scalar(index) => {
                let text = SCALARS[*index];
                let text = if text.is_empty() { "x" } else { text };
                self.out
                    .push_str(&text.replace('\n', &format!("\n{}", " ".repeat(margin + 1))));
            }
            Value::Lines => self.out.push_str("lines"),
            Value::List(all, _) => self.within('[', ']', all, margin, |writer, _, value| {
                writer.flow(value, margin);
            }),
            Value::Map(all, _) => self.within('{', '}', all, margin, |writer, index, value| {
                writer.out.push_str(&format!("k{index}:"));
                writer.blanks(1);
                writer.flow(value, margin);
            }),
        }
    }

    fn within(
        &mut self,
        open: char,
        close: char,
        all: &[Value],
        margin: usize,
        item: impl Fn(&mut Self, usize, &Value),
    ) {
        self.out.push(open);
        for (index, value) in all.iter().enumerate() {
            self.gap(margin);
            item(self, index, value);
            self.gap(margin);
            if index + 1 < all.len() {
                self.out.push(',');
            }
        }
        self.gap(margin);
        self.out.push(close);
    }

    /// Blanks or a line break between the parts of a value in brackets.
    fn gap(&mut self, margin: usize) {
        match self.draw(6) {
            0 => {
                let end = ["\n", " # c\n", "\n\n"][self.draw(3)];
                let column = margin + 1 + self.draw(4);
                self.out.push_str(end);
                self.out.push_str(&" ".repeat(column));
            }
            _ => self.blanks(0),
        }
    }

    /// A value behind a colon or a dash at a column; what lies below stands farther in.
    fn value(&mut self, value: &Value, column: usize) {
        let step = 1 + self.draw(4);
        match value {
            Value::List(all, false) if !all.is_empty() => {
                self.end();
                self.list(all, column + step);
            }
            Value::Map(all, false) if !all.is_empty() => {
                self.end();
                self.map(all, column + step);
            }
            Value::Lines => {
                let margin = " ".repeat(column + step);
                let header = [" |", " >", "  |-", " >-"][self.draw(4)];
                self.out.push_str(header);
                self.out.push_str(&format!(
                    "\n{margin}one  \n\n{margin}  two # x\n{margin}three\n"
                ));
            }
            Value::Scalar(index) if SCALARS[*index].is_empty() => self.end(),
            value => {
                if self.draw(5) == 0 {
                    self.end();
                    self.out.push_str(&" ".repeat(column + step));
                } else {
                    self.blanks(1);
                }
                self.flow(value, column + 1);
                self.end();
            }
        }
    }

    fn map(&mut self, all: &[Value], column: usize) {
        self.out.push_str(&" ".repeat(column));
        self.map_begun(all, column);
    }

    /// The keys of a mapping, the first of them behind what is written already.
    fn map_begun(&mut self, all: &[Value], column: usize) {
        for (index, value) in all.iter().enumerate() {
            if index > 0 {
                self.out.push_str(&" ".repeat(column));
            }
            let key = [format!("k{index}"), format!("\"k{index}\"")][self.draw(2)].clone();
            self.out.push_str(&format!("{key}:"));
            // Dashes may stand right below their key.
            match value {
                Value::List(items, false) if !items.is_empty() && self.draw(3) == 0 => {
                    self.end();
                    self.list(items, column);
                }
                value => self.value(value, column),
            }
        }
    }

    fn list(&mut self, all: &[Value], column: usize) {
        for value in all {
            self.out.push_str(&" ".repeat(column));
            self.out.push('-');
            match value {
                Value::Map(inner, false) if !inner.is_empty() && self.draw(2) == 0 => {
                    let blanks = 1 + self.draw(3);
                    self.out.push_str(&" ".repeat(blanks));
                    self.map_begun(inner, column + 1 + blanks);
                }
                value => self.value(value, column),
            }
        }
    }
}

proptest! {
    /// Whatever is written in whatever style, its form has the same keys, order and values, and is in form.
    #[test]
    fn the_form_of_any_file_is_the_same_file(
        all in prop::collection::vec(values(), 1..5),
        seed in 1..u64::MAX,
    ) {
        let mut writer = Writer { drawn: seed, out: String::new() };
        writer.map(&all, 0);
        let text = writer.out;
        // Comments between a text's own lines and the like are no YAML; those files prove nothing.
        let Ok(document) = parse(SourceId(0), &text, &ParseLimits::YAML) else {
            return Err(TestCaseError::reject("no YAML"));
        };
        let once = formatted(Kind::Mission, &document, &text)
            .map_err(|why| TestCaseError::fail(format!("{why}:\n{text}")))?;
        let again = read(&once);
        prop_assert_eq!(again.root.to_json(), document.root.to_json(), "{}\n{}", text, once);
        prop_assert!(keys(&again.root) == keys(&document.root), "{text}\n{once}");
        let twice = formatted(Kind::Mission, &again, &once)
            .map_err(|why| TestCaseError::fail(format!("{why}:\n{once}")))?;
        prop_assert_eq!(&twice, &once, "of\n{}", text);
        for comment in ["# why", "# apart", "# c"] {
            prop_assert_eq!(once.matches(comment).count(), text.replace("#why", "# why").matches(comment).count());
        }
    }
}

/// The keys of a file in their order, which JSON does not keep.
fn keys(node: &Node) -> Vec<String> {
    match &node.value {
        crate::document::Value::Map(entries) => entries
            .iter()
            .flat_map(|entry| {
                let mut all = vec![entry.key.clone()];
                all.extend(keys(&entry.value));
                all
            })
            .collect(),
        crate::document::Value::List(items) => items.iter().flat_map(keys).collect(),
        _ => Vec::new(),
    }
}
