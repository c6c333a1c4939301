//! Figures that documents give, held against the code that has them.

use super::markdown::{code, parts, rows};
use super::text_of;

/// The chapter on security lists every limit with the file and the very words that set it.
#[test]
fn every_limit_is_the_one_in_the_code() {
    let (_, prose) = parts("docs/security.md", &text_of("docs/security.md"));
    let (_, table) = prose.split_once("## Limits").unwrap();
    let mut held = 0;
    for row in rows(table).into_iter().filter(|row| row.len() == 3) {
        let words = code(&row[2]);
        let [file, setting] = words.as_slice() else {
            continue;
        };
        assert!(
            text_of(file).contains(setting.as_str()),
            "{}: `{setting}` is not in {file}",
            row[0]
        );
        let digits = |text: &str| {
            text.chars()
                .filter(char::is_ascii_digit)
                .collect::<String>()
        };
        let shifted = setting.contains("<<");
        assert!(
            shifted || digits(setting).contains(&digits(&row[1])),
            "{}: {} is not what `{setting}` says",
            row[0],
            row[1]
        );
        held += 1;
    }
    assert!(held >= 15, "only {held} limits are listed");
}
