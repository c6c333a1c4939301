//! Which names of the crate each of its modules uses, read off the source by `syn`: through `use` with
//! other names, nested modules, re-exports and the tokens of macros.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use proc_macro2::{TokenStream, TokenTree};
use syn::spanned::Spanned as _;
use syn::visit::{self, Visit};

/// Longest chain of other names that is followed; a longer one goes in a circle.
const CHAIN: usize = 32;

/// A name as it stands in the source.
struct Written {
    line: usize,
    names: Vec<String>,
    /// Whether it is compiled for tests only.
    test: bool,
}

/// Another name for something.
struct Alias {
    names: Vec<String>,
}

/// A module: of a file, or inline.
#[derive(Default)]
pub struct Module {
    /// From the crate's root.
    pub path: Vec<String>,
    /// From the root of the repository.
    pub file: String,
    /// Whether it is compiled for tests only.
    pub test: bool,
    declared: BTreeSet<String>,
    aliases: BTreeMap<String, Alias>,
    globs: Vec<Vec<String>>,
    written: Vec<Written>,
    /// Calls that end the program or print, with their lines.
    calls: Vec<(usize, String, bool)>,
}

/// A use of something of the crate: where it stands, and what it comes to.
pub struct Use {
    pub line: usize,
    /// From the crate's root: as it is named, then what each re-export on the way stands for.
    pub steps: Vec<Vec<String>>,
    pub test: bool,
}

/// All modules of a crate.
pub struct Code(BTreeMap<Vec<String>, Module>);

impl Code {
    /// Reads a crate from its root file, by the modules that it declares.
    pub fn read(repository: &Path, root: &str) -> Self {
        let mut code = Self(BTreeMap::new());
        code.file(repository, root, Vec::new(), false);
        code
    }

    /// A crate of one text.
    pub fn of(text: &str) -> Self {
        let mut code = Self(BTreeMap::new());
        let file = syn::parse_file(text).unwrap();
        let outside = code.module("src/x.rs", Vec::new(), false, &file.items);
        assert!(outside.is_empty(), "a text declares no file");
        code
    }

    fn file(&mut self, repository: &Path, name: &str, path: Vec<String>, test: bool) {
        let text = std::fs::read_to_string(repository.join(name)).unwrap();
        let file = syn::parse_file(&text).unwrap();
        let folder = match name.rsplit_once('/') {
            Some((folder, "mod.rs" | "lib.rs")) => folder.to_owned(),
            _ => name.trim_end_matches(".rs").to_owned(),
        };
        for (inner, test) in self.module(name, path.clone(), test, &file.items) {
            let inside = inner[path.len()..].join("/");
            let flat = format!("{folder}/{inside}.rs");
            let nested = format!("{folder}/{inside}/mod.rs");
            let name = if repository.join(&flat).exists() {
                flat
            } else {
                nested
            };
            self.file(repository, &name, inner, test);
        }
    }

    /// Takes a module up; the modules below it that stand in files of their own, and whether those are
    /// for tests.
    fn module(
        &mut self,
        file: &str,
        path: Vec<String>,
        test: bool,
        items: &[syn::Item],
    ) -> Vec<(Vec<String>, bool)> {
        let mut reader = Reader {
            module: Module {
                path,
                file: file.to_owned(),
                test,
                ..Module::default()
            },
            test,
            outside: Vec::new(),
            inline: Vec::new(),
        };
        for item in items {
            reader.visit_item(item);
        }
        let Reader {
            module,
            mut outside,
            inline,
            ..
        } = reader;
        self.0.insert(module.path.clone(), module);
        for (path, test, items) in inline {
            outside.extend(self.module(file, path, test, &items));
        }
        outside
    }

    pub fn modules(&self) -> impl Iterator<Item = &Module> {
        self.0.values()
    }

    /// What a module uses of the crate.
    pub fn uses(&self, module: &Module) -> Vec<Use> {
        let of = |written: &Written| {
            let first = self.resolve(module, &written.names, 0)?;
            Some(Use {
                line: written.line,
                steps: self.follow(first),
                test: written.test,
            })
        };
        module.written.iter().filter_map(of).collect()
    }

    /// A name from the crate's root; `None` where it is of another crate or of a function.
    fn resolve(&self, module: &Module, names: &[String], depth: usize) -> Option<Vec<String>> {
        let (first, rest) = names.split_first()?;
        let mut at = match first.as_str() {
            "crate" => Vec::new(),
            "self" => module.path.clone(),
            "super" => {
                let mut path = module.path.clone();
                path.pop();
                path
            }
            name => {
                if let Some(alias) = module.aliases.get(name)
                    && depth < CHAIN
                    && alias.names != names
                {
                    let mut path = self.resolve(module, &alias.names, depth + 1)?;
                    path.extend(rest.iter().cloned());
                    return Some(path);
                }
                let mut path = module.path.clone();
                path.push(name.to_owned());
                // `extern crate self as name` holds in every module.
                let root = self.0.get(&[][..]).and_then(|root| root.aliases.get(name));
                if root.is_some_and(|alias| alias.names == ["crate"]) {
                    path.clear();
                } else if !self.0.contains_key(&path) {
                    return None;
                }
                path
            }
        };
        for name in rest {
            match name.as_str() {
                "super" => {
                    at.pop();
                }
                "self" => {}
                name => at.push(name.to_owned()),
            }
        }
        Some(at)
    }

    /// A path, and all that it stands for through re-exports.
    fn follow(&self, path: Vec<String>) -> Vec<Vec<String>> {
        let mut steps = vec![path];
        while steps.len() < CHAIN {
            let Some(next) = self.step(&steps[steps.len() - 1]) else {
                break;
            };
            if steps.contains(&next) {
                break;
            }
            steps.push(next);
        }
        steps
    }

    fn step(&self, path: &[String]) -> Option<Vec<String>> {
        (0..path.len()).find_map(|at| {
            let (to, from) = (&path[..at], &path[at + 1..]);
            let module = self.0.get(to)?;
            let name = &path[at];
            if module.declared.contains(name) {
                return None;
            }
            if let Some(alias) = module.aliases.get(name) {
                let mut next = self.resolve(module, &alias.names, 0)?;
                next.extend(from.iter().cloned());
                return Some(next);
            }
            module.globs.iter().find_map(|glob| {
                let all = self.resolve(module, glob, 0)?;
                let inside = self.0.get(&all)?;
                let there = inside.declared.contains(name) || inside.aliases.contains_key(name);
                there.then(|| [&all[..], &path[at..]].concat())
            })
        })
    }
}

impl Module {
    /// The top-level part that it belongs to; empty for the root of the crate.
    pub fn part(&self) -> &str {
        self.path.first().map_or("", String::as_str)
    }

    /// Names of other crates, or of modules of theirs, that the program uses where it runs, not its tests: those
    /// that begin as one of these does.
    pub fn named(&self, beginnings: &[&[&str]]) -> Vec<(usize, String)> {
        let wanted = |names: &[String]| {
            beginnings.iter().any(|beginning| {
                names.len() >= beginning.len() && names.iter().zip(*beginning).all(|(a, b)| a == b)
            })
        };
        let written = self.written.iter();
        let written = written.filter(|one| !one.test && wanted(&one.names));
        written
            .map(|one| (one.line, one.names.join("::")))
            .collect()
    }

    /// Calls by these names where the program runs, not its tests.
    pub fn calls(&self, names: &[&str]) -> Vec<(usize, String)> {
        let wanted =
            |(_, name, test): &&(usize, String, bool)| !test && names.contains(&name.as_str());
        let calls = self.calls.iter().filter(wanted);
        calls.map(|(line, name, _)| (*line, name.clone())).collect()
    }
}

/// Reads the items of one module.
struct Reader {
    module: Module,
    /// Whether what is read now is compiled for tests only.
    test: bool,
    outside: Vec<(Vec<String>, bool)>,
    inline: Vec<(Vec<String>, bool, Vec<syn::Item>)>,
}

/// Whether something is compiled for tests only.
pub fn for_tests(attributes: &[syn::Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        let path = attribute.path();
        path.is_ident("test")
            || path.is_ident("cfg")
                && attribute
                    .parse_args()
                    .is_ok_and(|what| asks_for_test(&what))
    })
}

/// Whether a condition is that of tests: `test`, or `all` of it and others.
fn asks_for_test(condition: &syn::Meta) -> bool {
    let syn::Meta::List(list) = condition else {
        return condition.path().is_ident("test");
    };
    let parts = syn::punctuated::Punctuated::<syn::Meta, syn::Token![,]>::parse_terminated;
    list.path.is_ident("all")
        && list
            .parse_args_with(parts)
            .is_ok_and(|parts| parts.iter().any(asks_for_test))
}

/// The attributes of an item.
pub fn attributes(item: &syn::Item) -> &[syn::Attribute] {
    match item {
        syn::Item::Const(item) => &item.attrs,
        syn::Item::Enum(item) => &item.attrs,
        syn::Item::Fn(item) => &item.attrs,
        syn::Item::Impl(item) => &item.attrs,
        syn::Item::Macro(item) => &item.attrs,
        syn::Item::Mod(item) => &item.attrs,
        syn::Item::Static(item) => &item.attrs,
        syn::Item::Struct(item) => &item.attrs,
        syn::Item::Trait(item) => &item.attrs,
        syn::Item::Type(item) => &item.attrs,
        syn::Item::Use(item) => &item.attrs,
        _ => &[],
    }
}

fn declared(item: &syn::Item) -> Option<String> {
    let name = match item {
        syn::Item::Const(item) => &item.ident,
        syn::Item::Enum(item) => &item.ident,
        syn::Item::Fn(item) => &item.sig.ident,
        syn::Item::Macro(item) => item.ident.as_ref()?,
        syn::Item::Mod(item) => &item.ident,
        syn::Item::Static(item) => &item.ident,
        syn::Item::Struct(item) => &item.ident,
        syn::Item::Trait(item) => &item.ident,
        syn::Item::Type(item) => &item.ident,
        _ => return None,
    };
    Some(name.to_string())
}

impl Reader {
    fn write(&mut self, line: usize, names: Vec<String>) {
        let test = self.test;
        self.module.written.push(Written { line, names, test });
    }

    fn tree(&mut self, mut before: Vec<String>, tree: &syn::UseTree) {
        let line = tree.span().start().line;
        match tree {
            syn::UseTree::Path(path) => {
                before.push(path.ident.to_string());
                self.tree(before, &path.tree);
            }
            syn::UseTree::Group(group) => {
                for one in &group.items {
                    self.tree(before.clone(), one);
                }
            }
            syn::UseTree::Glob(_) => {
                self.module.globs.push(before.clone());
                before.push("*".to_owned());
                self.write(line, before);
            }
            syn::UseTree::Name(name) => {
                let name = name.ident.to_string();
                let known = if name == "self" {
                    before.last().cloned().unwrap_or_default()
                } else {
                    before.push(name.clone());
                    name
                };
                self.alias(line, known, before);
            }
            syn::UseTree::Rename(rename) => {
                let name = rename.ident.to_string();
                if name != "self" || before.is_empty() {
                    before.push(name);
                }
                self.alias(line, rename.rename.to_string(), before);
            }
        }
    }

    fn alias(&mut self, line: usize, name: String, names: Vec<String>) {
        let alias = Alias {
            names: names.clone(),
        };
        self.module.aliases.insert(name, alias);
        self.write(line, names);
    }

    /// Paths among the tokens of a macro, which `syn` leaves as they are.
    fn tokens(&mut self, tokens: TokenStream) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let colon =
            |at: usize| matches!(tokens.get(at), Some(TokenTree::Punct(p)) if p.as_char() == ':');
        let mut at = 0;
        while at < tokens.len() {
            match &tokens[at] {
                TokenTree::Group(group) => self.tokens(group.stream()),
                TokenTree::Ident(first) => {
                    let mut names = vec![first.to_string()];
                    let line = first.span().start().line;
                    while colon(at + 1) && colon(at + 2) {
                        let Some(TokenTree::Ident(next)) = tokens.get(at + 3) else {
                            break;
                        };
                        names.push(next.to_string());
                        at += 3;
                    }
                    let call = matches!(tokens.get(at + 1), Some(TokenTree::Punct(p)) if p.as_char() == '!');
                    let method = at > 0
                        && matches!(&tokens[at - 1], TokenTree::Punct(p) if p.as_char() == '.');
                    let last = names[names.len() - 1].clone();
                    if call {
                        self.call(line, format!("{last}!"));
                    } else if method && names.len() == 1 {
                        self.call(line, format!(".{last}()"));
                    }
                    self.write(line, names);
                }
                _ => {}
            }
            at += 1;
        }
    }

    fn call(&mut self, line: usize, name: String) {
        self.module.calls.push((line, name, self.test));
    }
}

impl<'a> Visit<'a> for Reader {
    fn visit_item(&mut self, item: &'a syn::Item) {
        if let Some(name) = declared(item) {
            self.module.declared.insert(name);
        }
        let before = self.test;
        self.test |= for_tests(attributes(item));
        match item {
            syn::Item::Mod(inner) => {
                let mut path = self.module.path.clone();
                path.push(inner.ident.to_string());
                match &inner.content {
                    Some((_, items)) => self.inline.push((path, self.test, items.clone())),
                    None => self.outside.push((path, self.test)),
                }
            }
            syn::Item::ExternCrate(outer) if outer.ident == "self" => {
                if let Some((_, name)) = &outer.rename {
                    self.alias(
                        outer.span().start().line,
                        name.to_string(),
                        vec!["crate".to_owned()],
                    );
                }
            }
            _ => visit::visit_item(self, item),
        }
        self.test = before;
    }

    fn visit_item_use(&mut self, item: &'a syn::ItemUse) {
        self.tree(Vec::new(), &item.tree);
    }

    fn visit_impl_item_fn(&mut self, item: &'a syn::ImplItemFn) {
        let before = self.test;
        self.test |= for_tests(&item.attrs);
        visit::visit_impl_item_fn(self, item);
        self.test = before;
    }

    fn visit_path(&mut self, path: &'a syn::Path) {
        if path.leading_colon.is_none() {
            let names = path.segments.iter().map(|one| one.ident.to_string());
            self.write(path.span().start().line, names.collect());
        }
        visit::visit_path(self, path);
    }

    fn visit_vis_restricted(&mut self, _: &'a syn::VisRestricted) {
        // Who may see something is no use of it.
    }

    fn visit_expr_method_call(&mut self, call: &'a syn::ExprMethodCall) {
        self.call(
            call.method.span().start().line,
            format!(".{}()", call.method),
        );
        visit::visit_expr_method_call(self, call);
    }

    fn visit_macro(&mut self, call: &'a syn::Macro) {
        if let Some(name) = call.path.segments.last() {
            self.call(name.span().start().line, format!("{}!", name.ident));
        }
        visit::visit_path(self, &call.path);
        self.tokens(call.tokens.clone());
    }

    fn visit_attribute(&mut self, _: &'a syn::Attribute) {
        // Documentation, derives and lints are no uses.
    }
}
