//! Where the numbers of the models and measures are from: each constant says it.

use std::path::Path;

use syn::visit::{self, Visit};

use super::uses::{attributes, for_tests};

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

/// A constant: its line, its comment, its type, and whether a number other than nothing stands in its value.
struct Constant {
    line: usize,
    comment: String,
    kind: String,
    number: bool,
}

/// The constants of a text, those of its tests left out.
fn constants(text: &str) -> Vec<Constant> {
    let mut reader = Reader(Vec::new());
    reader.visit_file(&syn::parse_file(text).unwrap());
    reader.0
}

struct Reader(Vec<Constant>);

impl Reader {
    fn take(
        &mut self,
        name: &syn::Ident,
        attributes: &[syn::Attribute],
        kind: &syn::Type,
        value: &syn::Expr,
    ) {
        let mut numbers = Numbers(false);
        numbers.visit_expr(value);
        let comment = attributes.iter().filter_map(|one| match &one.meta {
            syn::Meta::NameValue(pair) if pair.path.is_ident("doc") => Some(&pair.value),
            _ => None,
        });
        let comment = comment.filter_map(|words| match words {
            syn::Expr::Lit(syn::ExprLit {
                lit: syn::Lit::Str(words),
                ..
            }) => Some(words.value()),
            _ => None,
        });
        self.0.push(Constant {
            line: name.span().start().line,
            comment: comment.collect(),
            kind: last_name(kind),
            number: numbers.0,
        });
    }
}

impl<'a> Visit<'a> for Reader {
    fn visit_item(&mut self, item: &'a syn::Item) {
        if !for_tests(attributes(item)) {
            visit::visit_item(self, item);
        }
    }

    fn visit_item_const(&mut self, item: &'a syn::ItemConst) {
        self.take(&item.ident, &item.attrs, &item.ty, &item.expr);
        visit::visit_item_const(self, item);
    }

    fn visit_impl_item_const(&mut self, item: &'a syn::ImplItemConst) {
        self.take(&item.ident, &item.attrs, &item.ty, &item.expr);
        visit::visit_impl_item_const(self, item);
    }
}

/// The last name of a type's path; of a reference, with its sign.
fn last_name(kind: &syn::Type) -> String {
    match kind {
        syn::Type::Path(kind) => {
            let last = kind.path.segments.last();
            last.map(|one| one.ident.to_string()).unwrap_or_default()
        }
        syn::Type::Reference(kind) => format!("&{}", last_name(&kind.elem)),
        _ => String::new(),
    }
}

/// Whether a number other than nothing was met.
struct Numbers(bool);

impl<'a> Visit<'a> for Numbers {
    fn visit_lit(&mut self, lit: &'a syn::Lit) {
        let digits = match lit {
            syn::Lit::Int(number) => number.base10_digits().to_owned(),
            syn::Lit::Float(number) => number.base10_digits().to_owned(),
            _ => return,
        };
        self.0 |= digits.contains(|c: char| ('1'..='9').contains(&c));
    }
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
                if DESCRIPTIONS.contains(&one.kind.as_str()) || !one.number {
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
        .map(|one| (one.line, one.comment.as_str(), one.number))
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
