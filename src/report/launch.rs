//! A decision on a launch: at a terminal, and as the file that records it.

use super::CAUTION;
use super::paint::Look;
use super::prose::{Lead, Page, Sign, list, paragraph};
use super::settings::{NARROWEST, Settings};
use super::tally::counted;
use crate::finding::{PHYSICAL, Severity};
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

/// The gravest reason, in a sentence: what several rules lack, or else the first rule that fails; what is
/// amiss with the launch itself only where no rule fails.
fn gravest(reasons: &[Reason]) -> Option<String> {
    let of_rule = reasons.iter().find(|one| one.of_rule);
    let first = of_rule.or(reasons.first())?;
    let lacking = first.lacking.as_ref();
    let several = lacking.filter(|lacking| that_lack(reasons, lacking).len() > 1);
    let one = || format!("{}: {}", first.rule, first.says);
    Some(several.cloned().unwrap_or_else(one))
}

/// The verdict in words, and how they look.
fn verdict(decision: &Decision) -> (&'static str, Look) {
    if decision.go {
        ("GO", Look::Heading)
    } else {
        ("NO GO", Look::Severity(Severity::Error))
    }
}

fn page_of(settings: &Settings) -> Page {
    Page {
        width: settings.width.max(NARROWEST),
        colour: settings.colour,
    }
}

/// Characters of the gravest reason in a short answer, and of each reason below it: their beginnings, since
/// the record holds the whole.
const SHORT: usize = 180;
/// Reasons in a short answer.
const FEW: usize = 3;

/// The verdict with the mission and the launch, as the answer begins and ends with it.
fn line_of_verdict(out: &mut String, page: Page, decision: &Decision, why: &str) {
    let (words, look) = verdict(decision);
    let lead = Lead {
        indent: 0,
        words,
        look,
    };
    let about = format!(
        "for mission {}, launch at {}{why}",
        decision.mission, decision.at.text
    );
    paragraph(out, page, &lead, 2, &about);
}

/// The verdict once more, for the end of an answer: what was last written is what is seen.
#[must_use]
pub(crate) fn launch_last(decision: &Decision, settings: &Settings) -> String {
    let mut out = String::new();
    line_of_verdict(&mut out, page_of(settings), decision, "");
    out
}

/// A text's beginning, with a mark where more follows.
fn begun(text: &str, longest: usize) -> String {
    if text.chars().count() <= longest {
        return text.to_owned();
    }
    let cut: String = text.chars().take(longest).collect();
    let end = cut.rfind(' ').unwrap_or(cut.len());
    format!("{} …", cut[..end].trim_end_matches([',', ';', ':', ' ']))
}

/// The decision in a few lines, for a small screen: what decides, counts of the rest, cautions.
fn short_text(decision: &Decision, page: Page) -> String {
    let mut out = String::new();
    let why = gravest(&decision.reasons);
    let why = why.map_or_else(String::new, |why| format!(": {}", begun(&why, SHORT)));
    line_of_verdict(&mut out, page, decision, &why);
    let reasons = lines(&decision.reasons);
    let room = page.width.saturating_sub(6);
    let few: Vec<String> = reasons
        .iter()
        .take(FEW)
        .map(|one| begun(one, room))
        .collect();
    list(&mut out, page, 0, "no-go because:", &few, Sign::Number);
    // How many, what one of them is called, and several.
    let counts = [
        (
            reasons.len().saturating_sub(FEW),
            ["more reason", "more reasons"],
        ),
        (decision.earlier.len(), ["decided before"; 2]),
        (decision.warnings.len(), ["not met, of lower severity"; 2]),
        (decision.waived.len(), ["waived"; 2]),
        (decision.notes.len(), ["note", "notes"]),
    ];
    let rest = counts.into_iter().filter(|(count, _)| *count > 0);
    let rest: Vec<String> = rest
        .map(|(count, [one, several])| counted(count, one, several))
        .collect();
    if !rest.is_empty() {
        let also = format!("also: {} (leave out --short to read them)", rest.join(", "));
        paragraph(&mut out, page, &QUIET, 0, &also);
    }
    cautions(&mut out, page, decision);
    out
}

/// Words of no weight of their own.
const QUIET: Lead<'static> = Lead {
    indent: 0,
    words: "",
    look: Look::Quiet,
};

/// What a go does not say, and what can hurt people whatever it says.
fn cautions(out: &mut String, page: Page, decision: &Decision) {
    let meaning = if decision.go {
        "Go means that no rule of severity error fails, as planned and with the readings. It does \
         not mean that nothing can go wrong: the person in charge may always say no."
    } else {
        "Run nothing that was not reviewed. Change the plan, have it reviewed, or come back \
         another day."
    };
    paragraph(out, page, &QUIET, 0, meaning);
    if decision.go {
        for text in PHYSICAL {
            paragraph(out, page, &QUIET, 2, text);
        }
    } else {
        paragraph(out, page, &QUIET, 0, CAUTION);
    }
}

/// The decision at a terminal.
#[must_use]
pub(crate) fn launch_text(decision: &Decision, settings: &Settings) -> String {
    let page = page_of(settings);
    if settings.short {
        return short_text(decision, page);
    }
    let mut out = String::new();
    let why = gravest(&decision.reasons);
    let why = why.map_or_else(String::new, |why| format!(": {why}"));
    line_of_verdict(&mut out, page, decision, &why);
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
    let commit = decision.commit.as_ref();
    let commit = commit.map_or_else(String::new, |commit| {
        let reviewed = match &decision.reviewed {
            Some(Reviewed::In(branch)) => format!(" (in {branch}, as this clone has it)"),
            Some(Reviewed::Not(_)) => " (committed, not reviewed)".to_owned(),
            Some(Reviewed::Unknown) | None => " (committed, not known to be reviewed)".to_owned(),
        };
        format!(", as commit {commit} has it{reviewed}")
    });
    let judged = format!(
        "plan {}{commit}, judged by policy {}",
        decision.digests.whole, decision.policy
    );
    paragraph(&mut out, page, &QUIET, 0, &judged);
    cautions(&mut out, page, decision);
    if decision.go {
        paragraph(&mut out, page, &QUIET, 0, CAUTION);
    }
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
        .comment(&PHYSICAL.join("\n"))
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
