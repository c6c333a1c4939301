//! An option that a command does not have, and others do.

use std::collections::BTreeSet;

use clap::CommandFactory as _;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::args::Arguments;
use crate::schema::explain::nearest;

/// Which commands have the option that was meant, where the one that was called has nothing like it.
pub(super) fn hint(error: &clap::Error) -> Option<String> {
    let unknown = error.kind() == ErrorKind::UnknownArgument;
    if !unknown || error.get(ContextKind::SuggestedArg).is_some() {
        return None;
    }
    let Some(ContextValue::String(typed)) = error.get(ContextKind::InvalidArg) else {
        return None;
    };
    let typed = typed.strip_prefix("--")?;
    let mut all = BTreeSet::new();
    options(&Arguments::command(), "offing", &mut all);
    let names: Vec<&str> = all.iter().map(|(name, _)| name.as_str()).collect();
    let meant = names.iter().find(|name| **name == typed).copied();
    let meant = meant.or_else(|| nearest(typed, &names))?;
    let of: Vec<String> = all
        .iter()
        .filter(|(name, _)| name == meant)
        .map(|(_, command)| format!("`{command}`"))
        .collect();
    let of = match of.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => of.concat(),
    };
    Some(format!("`--{meant}` is an option of {of}"))
}

/// The long options of a command and of those below it, each with the command.
fn options(command: &clap::Command, name: &str, into: &mut BTreeSet<(String, String)>) {
    let long = command.get_arguments().filter_map(clap::Arg::get_long);
    into.extend(long.map(|long| (long.to_owned(), name.to_owned())));
    for below in command.get_subcommands() {
        options(below, &format!("{name} {}", below.get_name()), into);
    }
}

#[cfg(test)]
mod tests {
    use clap::Parser as _;

    use super::hint;
    use crate::cli::args::Arguments;

    fn told(line: &[&str]) -> Option<String> {
        let error = Arguments::try_parse_from(line).expect_err("an option that is none");
        hint(&error)
    }

    #[test]
    fn an_option_of_other_commands_is_named_with_them() {
        for typed in ["--polcy", "--policy"] {
            let told = told(&["offing", "check", ".", typed, "x"]).expect("a hint");
            let of = told.strip_prefix("`--policy` is an option of ");
            let of = of.expect("the option that was meant");
            assert!(of.contains("`offing explain`"), "{of}");
            assert!(!of.contains("`offing check`"), "{of}");
        }
    }

    #[test]
    fn what_the_command_has_itself_or_nobody_has_is_left_to_the_parser() {
        assert_eq!(told(&["offing", "check", "--formt", "json"]), None);
        assert_eq!(told(&["offing", "check", "--zzzzzzzz"]), None);
    }
}
