//! How wide a text of a drawing is about to be, and texts that fit.

/// How wide a text is about to be, on the generous side: no font is known here.
#[must_use]
pub(crate) fn width_of(content: &str, size: f64) -> f64 {
    let each = |character: char| match character {
        'i' | 'j' | 'l' | 't' | 'f' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | ' ' | '('
        | ')' => 0.34,
        'm' | 'w' | 'M' | 'W' | '%' | '@' => 0.92,
        'A'..='Z' => 0.70,
        c if c.is_ascii() => 0.58,
        '°' => 0.42,
        '–' | '−' | 'Δ' => 0.60,
        _ => 1.0,
    };
    content.chars().map(each).sum::<f64>() * size
}

/// A text cut to a width, with an ellipsis where anything is left off.
#[must_use]
pub(crate) fn cut(content: &str, size: f64, room: f64) -> String {
    if width_of(content, size) <= room {
        return content.to_owned();
    }
    let mut out = String::new();
    for character in content.chars() {
        out.push(character);
        if width_of(&out, size) + size > room {
            out.pop();
            break;
        }
    }
    format!("{}…", out.trim_end())
}

/// A text in lines of a width, broken between words.
#[must_use]
pub(crate) fn wrapped(content: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in content.split(' ') {
        match lines.last_mut() {
            Some(line) if width_of(&format!("{line} {word}"), size) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.iter().map(|line| cut(line, size, room)).collect()
}

/// The letter that stands for the so-many-eth thing: A to Z, then A1, B1 and on.
#[must_use]
pub(crate) fn letter(number: usize) -> String {
    let letter = (b'A'..=b'Z').cycle().nth(number).map_or('?', char::from);
    if number < 26 {
        letter.to_string()
    } else {
        format!("{letter}{}", number / 26)
    }
}

#[cfg(test)]
mod tests {
    use super::{width_of, wrapped};

    #[test]
    fn a_text_is_broken_between_words_to_its_room() {
        let text = "Numbers of a model; a wind below a limit is no permission to launch.";
        let lines = wrapped(text, 12.0, 200.0);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|line| width_of(line, 12.0) <= 200.0));
        assert_eq!(lines.join(" "), text);
        assert_eq!(wrapped("short", 12.0, 200.0), ["short"]);
        assert!(wrapped(&"x".repeat(90), 12.0, 200.0)[0].ends_with('…'));
    }
}
