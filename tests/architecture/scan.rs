//! Rust source as far as it matters here: what is neither comment nor string, which of it is for
//! tests only, and which paths of the crate it names.

/// A text whose comments, strings and characters are blanked, byte for byte.
pub struct Blank {
    text: String,
    /// Ranges of `#[cfg(test)]` modules.
    tests: Vec<(usize, usize)>,
}

/// A path from the crate's root.
#[derive(Debug)]
pub struct Found {
    pub line: usize,
    pub offset: usize,
    /// The names after `crate`.
    pub names: Vec<String>,
}

fn is_name(byte: u8) -> bool {
    byte == b'_' || byte.is_ascii_alphanumeric()
}

/// Length of the comment, string or character at the start of a text, 0 where there is none.
fn skipped(bytes: &[u8], before: u8) -> usize {
    let to_end = |end: &[u8], from: usize| {
        (from..bytes.len())
            .find(|at| bytes[*at..].starts_with(end))
            .map_or(bytes.len(), |at| at + end.len())
    };
    if bytes.starts_with(b"//") {
        return (0..bytes.len())
            .find(|at| bytes[*at] == b'\n')
            .unwrap_or(bytes.len());
    }
    if bytes.starts_with(b"/*") {
        let (mut depth, mut at) = (0, 0);
        while at < bytes.len() {
            if bytes[at..].starts_with(b"/*") {
                depth += 1;
                at += 2;
            } else if bytes[at..].starts_with(b"*/") {
                depth -= 1;
                at += 2;
                if depth == 0 {
                    return at;
                }
            } else {
                at += 1;
            }
        }
        return at;
    }
    if !is_name(before) {
        let prefix = bytes
            .iter()
            .take_while(|b| matches!(b, b'r' | b'b'))
            .count();
        let hashes = bytes[prefix..].iter().take_while(|b| **b == b'#').count();
        let raw = bytes[..prefix].contains(&b'r');
        if raw && bytes.get(prefix + hashes) == Some(&b'"') {
            let end = [b"\"".as_slice(), &vec![b'#'; hashes]].concat();
            return to_end(&end, prefix + hashes + 1);
        }
    }
    match bytes {
        [b'"', ..] => {
            let mut at = 1;
            while at < bytes.len() && bytes[at] != b'"' {
                at += if bytes[at] == b'\\' { 2 } else { 1 };
            }
            (at + 1).min(bytes.len())
        }
        // A character, told from a lifetime by its closing quote.
        [b'\'', b'\\', _, rest @ ..] => {
            let length = rest.iter().position(|b| *b == b'\'').unwrap_or(0);
            3 + length + 1
        }
        [b'\'', first, ..] => {
            let width = match first {
                0..=0x7f => 1,
                0x80..=0xdf => 2,
                0xe0..=0xef => 3,
                _ => 4,
            };
            if bytes.get(1 + width) == Some(&b'\'') {
                width + 2
            } else {
                0
            }
        }
        _ => 0,
    }
}

impl Blank {
    pub fn of(text: &str) -> Self {
        let bytes = text.as_bytes();
        let mut blank = bytes.to_vec();
        let mut at = 0;
        while at < bytes.len() {
            let before = if at > 0 { bytes[at - 1] } else { b' ' };
            let length = skipped(&bytes[at..], before).min(bytes.len() - at);
            for byte in &mut blank[at..at + length] {
                if *byte != b'\n' {
                    *byte = b' ';
                }
            }
            at += length.max(1);
        }
        for byte in &mut blank {
            // Names here are ASCII; anything else stands for nothing.
            if !byte.is_ascii() {
                *byte = b' ';
            }
        }
        let text = String::from_utf8(blank).unwrap();
        let tests = test_ranges(&text);
        Self { text, tests }
    }

    /// Whether a place is in a module for tests.
    pub fn in_tests(&self, offset: usize) -> bool {
        self.tests
            .iter()
            .any(|(from, to)| (*from..*to).contains(&offset))
    }

    fn line(&self, offset: usize) -> usize {
        self.text[..offset].matches('\n').count() + 1
    }

    /// Names of modules in files of their own that are for tests only.
    pub fn test_modules(&self) -> Vec<String> {
        after_cfg_test(&self.text)
            .filter_map(|(_, item)| {
                let rest = item.strip_prefix("mod ")?;
                let name: String = rest.chars().take_while(|c| is_name(*c as u8)).collect();
                rest[name.len()..]
                    .trim_start()
                    .starts_with(';')
                    .then_some(name)
            })
            .collect()
    }

    /// Calls outside modules for tests, with their lines.
    pub fn calls(&self, wanted: &[&str]) -> Vec<(usize, String)> {
        let mut found: Vec<(usize, String)> = Vec::new();
        for what in wanted {
            for (offset, _) in self.text.match_indices(what) {
                let before = self.text[..offset].bytes().last().unwrap_or(b' ');
                let whole = what.starts_with('.') || !is_name(before);
                if whole && !self.in_tests(offset) {
                    found.push((self.line(offset), (*what).to_owned()));
                }
            }
        }
        found.sort_by_key(|(line, _)| *line);
        found
    }

    /// Every path that begins at the crate's root, whether by `crate` or by as many `super` as
    /// there are modules above; `depth` is how far down the file is.
    pub fn paths_from_root(&self, depth: usize) -> Vec<Found> {
        let mut found = Vec::new();
        let root = "super::".repeat(depth.max(1));
        for prefix in ["crate::", root.as_str()] {
            for (offset, _) in self.text.match_indices(prefix) {
                let before = self.text[..offset].bytes().last().unwrap_or(b' ');
                if is_name(before) || before == b':' {
                    continue;
                }
                // `pub(in crate::models)` says who may look, not what is used.
                if self.text[..offset].trim_end().ends_with("(in") {
                    continue;
                }
                let after = &self.text[offset + prefix.len()..];
                let mut paths = Vec::new();
                tree(after, &mut Vec::new(), &mut paths);
                for names in paths {
                    found.push(Found {
                        line: self.line(offset),
                        offset,
                        names,
                    });
                }
            }
        }
        found.sort_by_key(|one| one.offset);
        found
    }
}

/// What follows each `#[cfg(test)]`, further attributes left out.
fn after_cfg_test(text: &str) -> impl Iterator<Item = (usize, &str)> {
    const CFG: &str = "#[cfg(test)]";
    text.match_indices(CFG).map(move |(offset, _)| {
        let mut rest = text[offset + CFG.len()..].trim_start();
        while rest.starts_with("#[") {
            rest = rest
                .split_once(']')
                .map_or("", |(_, rest)| rest)
                .trim_start();
        }
        (text.len() - rest.len(), rest)
    })
}

fn test_ranges(text: &str) -> Vec<(usize, usize)> {
    after_cfg_test(text)
        .filter_map(|(offset, item)| {
            let open = item.find(['{', ';'])?;
            if item.as_bytes()[open] == b';' {
                return Some((offset, offset + open));
            }
            let mut depth = 0;
            for (at, byte) in item.bytes().enumerate().skip(open) {
                match byte {
                    b'{' => depth += 1,
                    b'}' => depth -= 1,
                    _ => {}
                }
                if depth == 0 {
                    return Some((offset, offset + at));
                }
            }
            Some((offset, text.len()))
        })
        .collect()
}

/// The paths of a use tree, and how much of the text it takes.
fn tree(text: &str, before: &mut Vec<String>, into: &mut Vec<Vec<String>>) -> usize {
    let depth = before.len();
    let mut at = 0;
    loop {
        at += text[at..].len() - text[at..].trim_start().len();
        let rest = &text[at..];
        if let Some(group) = rest.strip_prefix('{') {
            at += 1;
            let mut inside = group;
            while !inside.trim_start().starts_with('}') && !inside.trim_start().is_empty() {
                let taken = tree(inside, before, into);
                at += taken;
                inside = &inside[taken..];
                // Renaming with `as` changes nothing about what is used.
                let end = inside.find([',', '}']).unwrap_or(inside.len());
                let comma = usize::from(inside[end..].starts_with(','));
                at += end + comma;
                inside = &inside[end + comma..];
            }
            at += inside.len() - inside.trim_start().len() + 1;
            before.truncate(depth);
            return at.min(text.len());
        }
        let length = rest
            .bytes()
            .take_while(|b| is_name(*b) || *b == b'*')
            .count();
        before.push(rest[..length].to_owned());
        at += length;
        if length > 0 && text[at..].starts_with("::") && !text[at..].starts_with("::<") {
            at += 2;
            continue;
        }
        into.push(before.clone());
        before.truncate(depth);
        return at;
    }
}
