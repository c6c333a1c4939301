//! A decision on a launch: at a terminal, and as the file that records it.

use super::CAUTION;
use super::paint::Look;
use super::prose::{Lead, Page, Sign, list, paragraph};
use super::settings::{NARROWEST, Settings};
use crate::finding::Severity;
use crate::launch::{Decision, Earlier, Reason, Reviewed};
use crate::yaml::{Block, Yaml};

/// The decision in one word.
fn word(decision: &Decision) -> &'static str {
    if decision.go { "go" } else { "no-go" }
}

/// Reasons as they are listed: rules that lack the same are told of once, where the first of them
/// stands.
fn lines(reasons: &[Reason]) -> Vec<String> {
    let mut told: Vec<&str> = Vec::new();
    let mut lines = Vec::new();
    for reason in reasons {
        let Some(lacking) = &reason.lacking else {
            lines.push(format!("{}: {}", reason.rule, reason.says));
            continue;
        };
        if told.contains(&lacking.as_str()) {
            continue;
        }
        told.push(lacking);
        let rules = that_lack(reasons, lacking);
        lines.push(match rules.len() {
            1 => format!("{}: {}", reason.rule, reason.says),
            count => format!(
                "{lacking}, so {count} rules could not be judged: {}",
                rules.join(", ")
            ),
        });
    }
    lines
}

/// The rules that lack something, each once.
fn that_lack<'a>(reasons: &'a [Reason], lacking: &str) -> Vec<&'a str> {
    let mut rules: Vec<&str> = Vec::new();
    let all = reasons.iter();
    for one in all.filter(|one| one.lacking.as_deref() == Some(lacking)) {
        if !rules.contains(&one.rule.as_str()) {
            rules.push(&one.rule);
        }
    }
    rules
}

/// No-go because in a few words: the first reason, or what several rules lack with it.
fn headline(reasons: &[Reason]) -> Option<String> {
    let first = reasons.first()?;
    let lacking = first.lacking.as_ref();
    let several = lacking.filter(|lacking| that_lack(reasons, lacking).len() > 1);
    Some(several.unwrap_or(&first.rule).clone())
}

/// The decision at a terminal.
#[must_use]
pub(crate) fn launch_text(decision: &Decision, settings: &Settings) -> String {
    let page = Page {
        width: settings.width.max(NARROWEST),
        colour: settings.colour,
    };
    let mut out = String::new();
    let (words, look, why) = match headline(&decision.reasons) {
        None => ("GO", Look::Heading, String::new()),
        Some(first) => (
            "NO GO",
            Look::Severity(Severity::Error),
            format!(": {first}"),
        ),
    };
    let lead = Lead {
        indent: 0,
        words,
        look,
    };
    let about = format!(
        "for mission {}, launch at {}{why}",
        decision.mission, decision.at.text
    );
    paragraph(&mut out, page, &lead, 2, &about);
    list(
        &mut out,
        page,
        0,
        "no-go because:",
        &lines(&decision.reasons),
        Sign::Number,
    );
    let earlier: Vec<String> = decision.earlier.iter().map(Earlier::describe).collect();
    list(&mut out, page, 0, "decided before:", &earlier, Sign::Dash);
    list(
        &mut out,
        page,
        0,
        "not met, of lower severity:",
        &lines(&decision.warnings),
        Sign::Dash,
    );
    let waived: Vec<String> = decision
        .waived
        .iter()
        .map(|one| format!("{}: {}; {}", one.rule, one.says, one.accepted))
        .collect();
    list(&mut out, page, 0, "waived:", &waived, Sign::Dash);
    let tightest: Vec<String> = decision
        .tightest
        .iter()
        .map(|(rule, words)| format!("{rule}: {words}"))
        .collect();
    list(
        &mut out,
        page,
        0,
        "tightest limits, with the readings:",
        &tightest,
        Sign::Dash,
    );
    list(
        &mut out,
        page,
        0,
        "how the readings count:",
        &decision.told,
        Sign::Dash,
    );
    list(&mut out, page, 0, "notes:", &decision.notes, Sign::Dash);
    let title = "assumptions:";
    list(&mut out, page, 0, title, &decision.assumptions, Sign::Dash);
    out.push('\n');
    let mut quiet = |text: &str| {
        let lead = Lead {
            indent: 0,
            words: "",
            look: Look::Quiet,
        };
        paragraph(&mut out, page, &lead, 0, text);
    };
    let commit = decision.commit.as_ref();
    let commit = commit.map_or_else(String::new, |commit| {
        let reviewed = match &decision.reviewed {
            Some(Reviewed::In(branch)) => format!(" (in {branch}, as this clone has it)"),
            Some(Reviewed::Not(_)) => " (committed, not reviewed)".to_owned(),
            Some(Reviewed::Unknown) | None => " (committed, not known to be reviewed)".to_owned(),
        };
        format!(", as commit {commit} has it{reviewed}")
    });
    quiet(&format!(
        "plan {}{commit}, judged by policy {}",
        decision.digests.whole, decision.policy
    ));
    let meaning = if decision.go {
        "Go means that no rule of severity error fails, as planned and with the readings. It does \
         not mean that nothing can go wrong: the person in charge may always say no."
    } else {
        "Run nothing that was not reviewed. Change the plan, have it reviewed, or come back \
         another day."
    };
    quiet(meaning);
    quiet(CAUTION);
    out
}

/// What was typed, as it is recorded.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Typed<'a> {
    /// The wind.
    pub wind: &'a str,
    /// The voltage of the pack.
    pub battery: Option<&'a str>,
    /// The charge that a counter shows.
    pub charge: Option<&'a str>,
}

/// The file that records a decision.
#[must_use]
pub(crate) fn launch_record(decision: &Decision, typed: &Typed<'_>) -> String {
    let readings = &decision.readings;
    let mut file = Block::new();
    file.comment("A decision on a launch, as `offing launch` recorded it. Do not change it.")
        .word("kind", "launch")
        .field("format", Yaml::Whole(1))
        .text("id", &decision.id)
        .text("mission", &decision.mission)
        .text("at", &decision.at.time.to_string())
        .text("decided", &readings.clock.to_string())
        .word("decision", word(decision))
        .text("by", &readings.by)
        .text("policy", &decision.policy)
        .text("program", env!("CARGO_PKG_VERSION"))
        .text("digest", &decision.digests.whole);
    let computer = readings.computer.map(|time| Yaml::text(&time.to_string()));
    file.optional("clock", computer);
    if readings.clock.duration_since(readings.read).as_secs() > 0 {
        file.text("read", &readings.read.to_string());
    }
    file.optional("commit", decision.commit.as_deref().map(Yaml::text));
    let again = readings.again.as_deref();
    let again = again.filter(|_| !decision.unused.is_empty());
    file.optional("again", again.map(Yaml::text));
    file.field("inputs", decision.digests.in_yaml());
    if !decision.unused.is_empty() {
        let unused = decision.unused.iter().map(|(path, sha256)| {
            Yaml::Inline(vec![
                ("path", Yaml::text(path)),
                ("sha256", Yaml::text(sha256)),
            ])
        });
        file.field("unused", Yaml::List(unused.collect()));
    }
    let waived = decision.waived.iter().map(|one| {
        Yaml::Inline(vec![
            ("rule", Yaml::text(&one.rule)),
            ("by", Yaml::text(&one.by)),
            ("says", Yaml::sentence(&one.says)),
            ("accepted", Yaml::sentence(&one.accepted)),
        ])
    });
    let taken = decision.told.iter().map(|one| Yaml::sentence(one));
    file.field("reasons", said(&decision.reasons))
        .field("warnings", said(&decision.warnings))
        .field("waived", Yaml::List(waived.collect()))
        .field("taken", Yaml::List(taken.collect()))
        .field("ticked", Yaml::texts(&readings.ticked))
        .field("signed", Yaml::texts(&decision.signed));
    let mut read = Block::new();
    read.text("wind", typed.wind)
        .optional("battery", typed.battery.map(Yaml::text))
        .optional("charge", typed.charge.map(Yaml::text));
    file.field("readings", Yaml::Block(read));
    file.to_text()
}

/// Reasons as a record has them.
fn said(reasons: &[Reason]) -> Yaml {
    let all = reasons.iter().map(|reason| {
        Yaml::Inline(vec![
            ("rule", Yaml::text(&reason.rule)),
            ("says", Yaml::sentence(&reason.says)),
        ])
    });
    Yaml::List(all.collect())
}
