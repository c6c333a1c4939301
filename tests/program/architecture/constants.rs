//! Where the numbers of the models and measures are from: each constant says it.

use std::path::Path;

/// What a constant's comment says of its value, one of these, in any case: a source; that it is from memory or
/// common practice; that it follows from other numbers or a definition; that we chose it; that it is a step, a
/// rounding or a bound on the work, which no verdict rests on.
const MARKS: [&str; 8] = [
    "source: ",
    "from memory",
    "common practice, no source",
    "arithmetic",
    "definition",
    "our own choice",
    "our own proposal",
    "numerical",
];

/// Types whose constants are descriptions; the numbers in them are of examples and texts.
const DESCRIPTIONS: [&str; 4] = ["Entry", "Subject", "Type", "&str"];

/// A constant: its line, its comment, its type and what it is set to.
struct Constant {
    line: usize,
    comment: String,
    kind: String,
    value: String,
}

/// The constants of a file above its tests.
fn constants(text: &str) -> Vec<Constant> {
    let code = text.split("#[cfg(test)]").next().unwrap_or_default();
    let mut all = Vec::new();
    let mut comment = String::new();
    let mut lines = code.lines().enumerate();
    while let Some((index, line)) = lines.next() {
        let line = line.trim();
        if let Some(words) = line.strip_prefix("///") {
            comment.push_str(words);
            continue;
        }
        let item = line.strip_prefix("pub").map_or(line, |rest| {
            rest.trim_start_matches(|c: char| c != ' ').trim_start()
        });
        // `pub(in one::two)` has a space of its own.
        let item = item.split_once(") ").map_or(item, |(scope, rest)| {
            if scope.contains("::") && !scope.contains('=') {
                rest
            } else {
                item
            }
        });
        let constant = item
            .strip_prefix("const ")
            .and_then(|rest| rest.split_once(": "));
        if let Some((_, rest)) = constant.filter(|(name, _)| !name.contains('(')) {
            let mut whole = rest.to_owned();
            while !whole.trim_end().ends_with(';') {
                let Some((_, more)) = lines.next() else { break };
                whole.push(' ');
                whole.push_str(more.trim());
            }
            let (kind, value) = whole.split_once('=').unwrap_or((&whole, ""));
            all.push(Constant {
                line: index + 1,
                comment: std::mem::take(&mut comment),
                kind: kind.trim().to_owned(),
                value: value.to_owned(),
            });
        }
        if !line.starts_with("#[") {
            comment.clear();
        }
    }
    all
}

/// Whether a number other than nothing stands in a value; digits of names, of types and of texts are none.
fn has_number(value: &str) -> bool {
    let outside = value.split('"').step_by(2);
    outside
        .flat_map(|part| part.split(|c: char| !(c.is_alphanumeric() || c == '_')))
        .filter(|word| word.starts_with(|c: char| c.is_ascii_digit()))
        .any(|word| word.contains(|c: char| ('1'..='9').contains(&c)))
}

#[test]
fn every_number_of_models_and_measures_says_where_it_is_from() {
    let mut looked = 0;
    let mut wrong = Vec::new();
    for folder in ["src/models", "src/measures"] {
        let mut files = Vec::new();
        super::rust_files(&super::root().join(folder), &mut files);
        for path in files.iter().filter(|path| !holds_tests(path)) {
            let text = std::fs::read_to_string(path).unwrap();
            for one in constants(&text) {
                if DESCRIPTIONS.contains(&one.kind.as_str()) || !has_number(&one.value) {
                    continue;
                }
                looked += 1;
                let comment = one.comment.to_lowercase();
                if !MARKS.iter().any(|mark| comment.contains(mark)) {
                    wrong.push(format!("{}:{}", path.display(), one.line));
                }
            }
        }
    }
    assert!(looked > 120, "only {looked} constants were found");
    assert!(
        wrong.is_empty(),
        "no mark of a source:\n{}",
        wrong.join("\n")
    );
}

fn holds_tests(path: &Path) -> bool {
    let name = path.file_stem().and_then(|name| name.to_str());
    name.is_some_and(|name| name.starts_with("tests"))
}

#[test]
fn constants_are_found_with_their_comments() {
    let text = "/// A step. Numerical.\nconst STEP: f64 = 0.5;\n\
                pub(in crate::one) const TABLE: [f64; 2] = [\n    1.0,\n    2.0,\n];\n\
                /// Nothing.\npub const ZERO: f64 = 0.0;\nconst fn of(a: u8) -> u8 { a }\n\
                /// Half of another.\n#[allow(dead_code)]\npub(crate) const HALF: f64 = WHOLE_2;\n\
                #[cfg(test)]\nconst LATER: u8 = 1;\n";
    let all = constants(text);
    let found: Vec<_> = all
        .iter()
        .map(|one| (one.line, one.comment.as_str(), has_number(&one.value)))
        .collect();
    assert_eq!(
        found,
        [
            (2, " A step. Numerical.", true),
            (3, "", true),
            (8, " Nothing.", false),
            (12, " Half of another.", false),
        ]
    );
}
