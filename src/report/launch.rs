//! A decision on a launch: at a terminal, and as the file that records it.

use super::CAUTION;
use super::paint::Look;
use super::prose::{Lead, Page, Sign, list, paragraph};
use super::quoted::{quoted, quoted_sentence};
use super::terminal::{NARROWEST, Settings};
use crate::finding::Severity;
use crate::launch::{Decision, Earlier, Reason, Reviewed};

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
pub fn launch_text(decision: &Decision, settings: &Settings) -> String {
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
    let earlier: Vec<String> = decision.earlier.iter().map(Earlier::words).collect();
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
pub struct Typed<'a> {
    /// The wind.
    pub wind: &'a str,
    /// The voltage of the pack.
    pub battery: Option<&'a str>,
    /// The charge that a counter shows.
    pub charge: Option<&'a str>,
}

/// The file that records a decision. Every text is quoted as JSON quotes it, which YAML reads alike.
#[must_use]
pub fn launch_record(decision: &Decision, typed: &Typed<'_>) -> String {
    let mut text = format!(
        "# A decision on a launch, as `offing launch` recorded it. Do not change it.\nkind: \
         launch\nformat: 1\nid: {}\nmission: {}\nat: {}\ndecided: {}\ndecision: {}\nby: \
         {}\npolicy: {}\nprogram: {}\ndigest: {}\n",
        quoted(&decision.id),
        quoted(&decision.mission),
        quoted(&decision.at.time.to_string()),
        quoted(&decision.readings.clock.to_string()),
        word(decision),
        quoted(&decision.readings.by),
        quoted(&decision.policy),
        quoted(env!("CARGO_PKG_VERSION")),
        quoted(&decision.digests.whole),
    );
    let (clock, read) = (decision.readings.clock, decision.readings.read);
    if let Some(computer) = decision.readings.computer {
        text.push_str(&format!("clock: {}\n", quoted(&computer.to_string())));
    }
    if clock.duration_since(read).as_secs() > 0 {
        text.push_str(&format!("read: {}\n", quoted(&read.to_string())));
    }
    if let Some(commit) = &decision.commit {
        text.push_str(&format!("commit: {}\n", quoted(commit)));
    }
    if let Some(again) = &decision.readings.again
        && !decision.unused.is_empty()
    {
        text.push_str(&format!("again: {}\n", quoted(again)));
    }
    let mut group = |title: &str, items: Vec<String>| {
        if items.is_empty() {
            text.push_str(&format!("{title}: []\n"));
            return;
        }
        text.push_str(&format!("{title}:\n"));
        for item in items {
            text.push_str(&format!("  - {item}\n"));
        }
    };
    let inputs = decision.digests.files.iter().map(|file| {
        format!(
            "{{ role: {}, name: {}, path: {}, sha256: {} }}",
            file.role,
            quoted(&file.name),
            quoted(&file.path),
            quoted(&file.sha256)
        )
    });
    group("inputs", inputs.collect());
    if !decision.unused.is_empty() {
        let unused = decision.unused.iter();
        let unused = unused.map(|(path, sha256)| {
            format!("{{ path: {}, sha256: {} }}", quoted(path), quoted(sha256))
        });
        group("unused", unused.collect());
    }
    let reasons = |all: &[Reason]| -> Vec<String> {
        let one = |reason: &Reason| {
            format!(
                "{{ rule: {}, says: {} }}",
                quoted(&reason.rule),
                quoted_sentence(&reason.says)
            )
        };
        all.iter().map(one).collect()
    };
    group("reasons", reasons(&decision.reasons));
    group("warnings", reasons(&decision.warnings));
    let waived = decision.waived.iter().map(|one| {
        format!(
            "{{ rule: {}, by: {}, says: {}, accepted: {} }}",
            quoted(&one.rule),
            quoted(&one.by),
            quoted_sentence(&one.says),
            quoted_sentence(&one.accepted)
        )
    });
    group("waived", waived.collect());
    group(
        "taken",
        decision
            .told
            .iter()
            .map(|one| quoted_sentence(one))
            .collect(),
    );
    group(
        "ticked",
        decision
            .readings
            .ticked
            .iter()
            .map(|one| quoted(one))
            .collect(),
    );
    group(
        "signed",
        decision.signed.iter().map(|one| quoted(one)).collect(),
    );
    text.push_str(&format!("readings:\n  wind: {}\n", quoted(typed.wind)));
    for (key, value) in [("battery", typed.battery), ("charge", typed.charge)] {
        if let Some(value) = value {
            text.push_str(&format!("  {key}: {}\n", quoted(value)));
        }
    }
    text
}
