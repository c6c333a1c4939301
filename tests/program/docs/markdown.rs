//! As much of Markdown as the documents use: fenced blocks, headings, links, code in backticks.

/// A fenced block.
pub struct Block {
    /// What stands behind the opening fence.
    pub info: String,
    /// Its lines.
    pub lines: Vec<String>,
    /// The line of the opening fence, from 1.
    pub at: usize,
}

/// The blocks of a document, and the document without them.
pub fn parts(path: &str, text: &str) -> (Vec<Block>, String) {
    let mut blocks: Vec<Block> = Vec::new();
    let mut prose = String::new();
    let mut open = false;
    for (number, line) in text.lines().enumerate() {
        if let Some(info) = line.strip_prefix("```") {
            if open {
                assert_eq!(info, "", "{path}:{}: a fence inside a block", number + 1);
            } else {
                blocks.push(Block {
                    info: info.trim().to_owned(),
                    lines: Vec::new(),
                    at: number + 1,
                });
            }
            open = !open;
        } else if open {
            blocks.last_mut().unwrap().lines.push(line.to_owned());
        } else {
            assert!(
                !line.trim_start().starts_with("```"),
                "{path}:{}: a fence must stand at the start of its line",
                number + 1
            );
            prose.push_str(line);
            prose.push('\n');
        }
    }
    assert!(!open, "{path}: a block is not closed");
    (blocks, prose)
}

/// What stands in single backticks.
pub fn code(prose: &str) -> Vec<String> {
    prose
        .lines()
        .flat_map(|line| line.split('`').skip(1).step_by(2).map(str::to_owned))
        .collect()
}

/// The targets of links.
pub fn links(prose: &str) -> Vec<String> {
    prose
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split_once(')'))
        .map(|(target, _)| target.to_owned())
        .collect()
}

/// The names under which headings are linked to.
pub fn anchors(prose: &str) -> Vec<String> {
    prose
        .lines()
        .filter(|line| line.starts_with('#'))
        .map(|line| {
            let words = line.trim_start_matches('#').trim().to_lowercase();
            let kept = words
                .chars()
                .filter(|c| c.is_alphanumeric() || " -_".contains(*c));
            kept.map(|c| if c == ' ' { '-' } else { c }).collect()
        })
        .collect()
}

/// The cells of the rows of every table.
pub fn rows(prose: &str) -> Vec<Vec<String>> {
    prose
        .lines()
        .filter_map(|line| line.strip_prefix("| ")?.strip_suffix(" |"))
        .map(|line| {
            line.split(" | ")
                .map(|cell| cell.trim().to_owned())
                .collect()
        })
        .collect()
}
