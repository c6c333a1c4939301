//! Asking at a terminal for what a file begun still lacks.
//!
//! Each answer is put where its gap stands, and the whole is read as a check will read it. An answer that does
//! not fit is told of and asked for again; an empty one leaves the gap.

use std::io::{self, BufRead, IsTerminal as _, Write};

use crate::document::Node;
use crate::plan::read_file;
use crate::schema::marks::GAP;
use crate::source::{Sources, printable_line};
use crate::units::dimension_of;
use crate::yaml::Yaml;

/// Longest answer that is taken, bytes.
const LONGEST: usize = 4000;

/// Whether somebody sits at a terminal who can be asked.
pub(super) fn somebody_is_there() -> bool {
    io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// An answer to one question, at the terminal; the default where it is empty.
///
/// # Errors
/// [`io::Error`] where the question cannot be shown or the answer not read.
pub(super) fn one(question: &str, default: &str) -> io::Result<String> {
    let mut out = io::stderr();
    write!(out, "{question} [{default}]: ")?;
    out.flush()?;
    let said = answer(&mut io::stdin().lock())?.unwrap_or_default();
    Ok(if said.is_empty() {
        default.to_owned()
    } else {
        said
    })
}

/// A file with the gaps filled that somebody has an answer for, and how many are left.
///
/// # Errors
/// [`io::Error`] where the questions cannot be shown or the answers not read.
pub(super) fn fill(
    text: &str,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
) -> io::Result<(String, usize)> {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let gaps: Vec<usize> = (0..lines.len())
        .filter(|number| lines[*number].contains(GAP))
        .collect();
    let mut open = gaps.len();
    if open > 0 {
        writeln!(
            out,
            "{open} fields to be filled in. An empty answer leaves a field open; end the input to leave all the rest."
        )?;
    }
    for number in gaps {
        let Some((field, told)) = lines[number].split_once(GAP) else {
            continue;
        };
        let (field, told) = (field.to_owned(), told.to_owned());
        writeln!(out, "\n{}\n  {told}", path(&lines, number))?;
        let gap = lines[number].clone();
        loop {
            write!(out, "  > ")?;
            out.flush()?;
            let Some(answer) = answer(input)? else {
                writeln!(out)?;
                return Ok((joined(&lines), open));
            };
            if answer.is_empty() {
                break;
            }
            match fitting(&mut lines, number, &field, &answer) {
                Ok(()) => {
                    open -= 1;
                    break;
                }
                Err(why) => {
                    lines[number].clone_from(&gap);
                    writeln!(out, "  {}", printable_line(&why))?;
                }
            }
        }
    }
    Ok((joined(&lines), open))
}

/// The next line, without blanks around it; nothing at the end of the input.
fn answer(input: &mut dyn BufRead) -> io::Result<Option<String>> {
    let mut line = Vec::new();
    let mut bounded = io::Read::take(&mut *input, LONGEST as u64);
    if bounded.read_until(b'\n', &mut line)? == 0 {
        return Ok(None);
    }
    Ok(Some(String::from_utf8_lossy(&line).trim().to_owned()))
}

/// Why an answer does not fit.
enum Misfit {
    /// YAML reads something else than what was answered; in quotes it may stand.
    Reading(String),
    /// The field takes no such value.
    Value(String),
}

/// Puts an answer into its line, in quotes where it would otherwise be read as something else.
fn fitting(lines: &mut [String], number: usize, field: &str, answer: &str) -> Result<(), String> {
    if answer.chars().any(char::is_control) {
        return Err("an answer is one line of plain text".to_owned());
    }
    let told = lines[number].clone();
    let mut put = |written: &str| {
        lines[number] = format!("{field}: {written}");
        misfit(lines, number, answer)
    };
    let example = example(&told);
    let due = example.and_then(|example| Some((example, dimension_of(example)?)));
    match (put(answer), due) {
        (None, Some((example, due))) if dimension_of(answer) != Some(due) => Err(format!(
            "{} with its unit is due, such as `{example}`",
            due.with_article()
        )),
        (None, _) => Ok(()),
        // A quantity never stands in quotes for the sake of what else is in them.
        (Some(Misfit::Value(why)), _) | (Some(Misfit::Reading(why)), Some(_)) => Err(why),
        (Some(Misfit::Reading(why)), None) => {
            let quoted = Yaml::text(answer).on_one_line();
            put(&quoted).map_or(Ok(()), |_| Err(why))
        }
    }
}

/// The example that a gap gives.
fn example(told: &str) -> Option<&str> {
    let (_, rest) = told.rsplit_once("Such as `")?;
    Some(rest.split_once('`')?.0)
}

/// Why what stands on a line of a file is not a value that its field takes.
fn misfit(lines: &[String], number: usize, answer: &str) -> Option<Misfit> {
    let mut sources = Sources::new();
    let source = sources.add("begun.yaml", joined(lines));
    let gathered = read_file(source, &sources);
    let here = |span| sources.position(span).line as usize == number + 1;
    let Some(file) = gathered.files.first() else {
        let first = gathered.problems.first();
        let why = first.map_or("it cannot be read", |one| &one.message);
        return Some(Misfit::Reading(why.to_owned()));
    };
    // What stands behind a `#`, or a key of its own, is not what was answered.
    let read = on_line(&file.document.root, &here);
    let whole = read.is_some_and(|node| match node.as_text() {
        Some(text) => text == answer,
        None => sources.slice(node.span) == answer,
    });
    if !whole {
        let why = format!("`{answer}` is not read as one value");
        return Some(Misfit::Reading(why));
    }
    let mut problems = gathered.problems.iter();
    let problem = problems.find(|problem| here(problem.span))?;
    Some(Misfit::Value(problem.message.clone()))
}

/// The value whose line it is; the outermost that begins there.
fn on_line<'a>(node: &'a Node, here: &dyn Fn(crate::source::Span) -> bool) -> Option<&'a Node> {
    use crate::document::Value;
    match &node.value {
        Value::Map(entries) => entries.iter().find_map(|entry| {
            if here(entry.key_span) && here(entry.value.span) {
                return Some(&entry.value);
            }
            on_line(&entry.value, here)
        }),
        Value::List(items) => items.iter().find_map(|item| on_line(item, here)),
        _ => None,
    }
}

/// The field on a line, as a path with dots, by the lines above that it stands under.
fn path(lines: &[String], number: usize) -> String {
    let indent = |line: &str| line.len() - line.trim_start_matches([' ', '-']).len();
    let key = |line: &str| {
        let line = line.trim_start_matches([' ', '-']);
        let (key, _) = line.split_once(':')?;
        (!line.starts_with('#')).then(|| key.to_owned())
    };
    let mut path: Vec<String> = key(&lines[number]).into_iter().collect();
    let mut under = indent(&lines[number]);
    for line in lines[..number].iter().rev() {
        if indent(line) < under
            && let Some(key) = key(line)
        {
            under = indent(line);
            path.insert(0, key);
        }
    }
    path.join(".")
}

fn joined(lines: &[String]) -> String {
    let mut text = lines.join("\n");
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::schema::Kind;
    use crate::schema::skeleton::skeleton;

    fn asked(text: &str, answers: &str) -> (String, usize, String) {
        let mut out = Vec::new();
        let (text, open) = fill(text, &mut answers.as_bytes(), &mut out).expect("asked");
        (text, open, String::from_utf8(out).expect("text"))
    }

    #[test]
    fn answers_stand_where_the_gaps_stood() {
        let vessel = skeleton(Kind::Vessel, "heron", &|_| None);
        let (text, open, out) = asked(&vessel.text, "1.2 m\n\n0.4 m\n");
        assert!(text.contains("\n  length_overall: 1.2 m\n"), "{text}");
        assert!(
            text.contains("\n  waterline_length: # to be filled: "),
            "{text}"
        );
        assert!(text.contains("\n  beam: 0.4 m\n"), "{text}");
        assert_eq!(open, vessel.gaps - 2);
        assert!(
            out.contains("\nhull.length_overall\n  Length overall. Such as"),
            "{out}"
        );
    }

    #[test]
    fn what_does_not_fit_is_told_and_asked_for_again() {
        let vessel = skeleton(Kind::Vessel, "heron", &|_| None);
        let (text, _, out) = asked(&vessel.text, "1.2\n1.2 s\n1.2 m # measured\n1.2 m\n");
        assert!(text.contains("\n  length_overall: 1.2 m\n"), "{text}");
        assert!(out.matches("\nhull.length_overall\n").count() == 1, "{out}");
        assert!(out.matches("  > ").count() >= 4, "{out}");
    }

    #[test]
    fn a_text_that_yaml_would_read_otherwise_is_quoted() {
        let begun = "kind: orders\nformat: 1\nid: all\nteam:\n  lookout: # to be filled: Keeps the lookout.\n";
        let (text, open, _) = asked(begun, "second helper: # on the quay\n");
        assert!(
            text.contains("lookout: \"second helper: # on the quay\"\n"),
            "{text}"
        );
        assert_eq!(open, 0);
        let (text, open, _) = asked(begun, "second helper\n");
        assert!(text.contains("lookout: second helper\n"), "{text}");
        assert_eq!(open, 0);
    }

    #[test]
    fn the_end_of_the_input_leaves_the_rest_as_it_was() {
        let vessel = skeleton(Kind::Vessel, "heron", &|_| None);
        let (text, open, _) = asked(&vessel.text, "");
        assert_eq!((text, open), (vessel.text.clone(), vessel.gaps));
    }
}
