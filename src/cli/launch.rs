//! `offing launch`.

mod against;
mod asking;
mod clock;

use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::Timestamp;

use super::args::{Launch, LaunchFormat};
use super::place::not_held;
use super::records::readable;
use super::{Failure, committing, output, place, settings};
use crate::check::asked;
use crate::launch::wind;
use crate::launch::{
    BatteryRead, Decision, Readings, counts_charge, launch, read_charge, read_digest, read_voltage,
    tells_charge,
};
use crate::plan::Plan;
use crate::plan::people::People;
use crate::report::{Settings, Typed, launch_json, launch_last, launch_record, launch_text};
use crate::rules::EffectivePolicy;
use crate::source::{Held, WorkTree, printable_line};
use against::Against;
use asking::Asking;

/// The longest reason that a decision's file holds, in characters.
const LONGEST: usize = 1000;
/// Where decisions are recorded unless another file is named.
const FOLDER: &str = "launches";

pub(super) fn run(options: &Launch) -> Result<u8, Failure> {
    if let Some(why) = &options.again
        && (why.trim().is_empty() || why.chars().count() > LONGEST)
    {
        return Err(Failure::Usage(format!(
            "--again says why the last go was not used, in at most {LONGEST} characters"
        )));
    }
    let digest = options.digest.as_deref().map(read_digest).transpose();
    let digest = digest.map_err(|why| Failure::Usage(format!("--digest: {why}")))?;
    let began = Timestamp::now();
    let disk = place::repository(&options.plans)?;
    // The commit is named before the files are read, and each of them is read once: what is requested
    // below takes a while, and files may change meanwhile.
    let mut git = Against::open(&disk);
    let tree = Held::from_tree(&disk).map_err(|error| Failure::Unreadable(error.to_string()))?;
    let mission = place::mission(&disk, &options.plans, &options.mission);
    let found = asked(&tree, &mission, None)?;
    let elsewhere = git.elsewhere(&tree);
    let (plan, policy) = (&found.plan, found.policy.clone());
    let zone = plan.site.time_zone.as_ref();
    let asking = Asking::new();
    let instruments = Timestamp::now();
    let (typed_wind, wind) = asking.or_ask(
        options.wind.as_deref(),
        "wind",
        "the wind (`240° 6 m/s gust 9 m/s at 2 m`)",
        wind::wind,
    )?;
    let (typed, battery) = battery(options, plan, &asking)?;
    let in_charge = plan.mission.people.team.as_ref();
    let in_charge = in_charge.map_or("", |team| team.person_in_charge.value.as_str());
    let (by, ()) = asking.or_ask(
        options.by.as_deref(),
        "by",
        &format!(
            "who decides, by role (the plan names `{}`)",
            printable_line(in_charge)
        ),
        |by| match by.trim() {
            "" => Err("that names nobody; give a role".to_owned()),
            _ => Ok(()),
        },
    )?;
    let ticked = ticked(options, plan, &found.policy, &asking)?;
    let instruments = asking.has_asked().then_some(instruments);
    let times = clock::times(options, zone, (began, instruments))?;
    let readings = Readings {
        at: times.at,
        clock: times.now,
        computer: times.computer,
        read: times.read,
        by,
        wind,
        battery,
        ticked,
        again: options.again.clone(),
        elsewhere,
        digest,
    };
    let ahead = git.ahead_of(times.now, plan);
    let mut decision = launch(found, &tree, &readings)?;
    decision.notes.extend(ahead);
    git.hold(&mut decision, (&tree, &policy), options.without_git);
    // A go that git has and the tree has not is a no-go by `not-committed`: there is one then.
    let mut reasons = decision.reasons.iter();
    let stood = reasons.any(|one| ["launched-before", "not-committed"].contains(&&*one.rule));
    if options.again.is_some() && decision.unused.is_empty() && !stood {
        return Err(Failure::Usage(
            "--again says why the last go was not used, but there is no go for this launch; leave \
             it out"
                .to_owned(),
        ));
    }
    // Looked at again and written in one step: of several launches at once the second finds the decision
    // of the first.
    disk.hold(PATIENCE)
        .map_err(|error| not_held(&disk, &error))?;
    if let Some(says) = git.changed(&tree) {
        decision.stop("changed-meanwhile", says);
    }
    let typed = Typed {
        wind: &typed_wind,
        battery: typed.battery.as_deref(),
        charge: typed.charge.as_deref(),
    };
    let text = launch_record(&decision, &typed);
    readable(&text)?;
    let record = recorded_in(options, &disk, &decision)?;
    // Recorded before it is told, so that no answer is without its record.
    let left = match options.output {
        Some(_) => WRITTEN_ONCE,
        None => MEANWHILE,
    };
    output::deliver_new(&text, &record, left)?;
    let shown = place::below(disk.root(), &record);
    let text = match options.format {
        LaunchFormat::Terminal => {
            let settings = Settings {
                short: options.short,
                ..settings::drawing(&options.drawing)
            };
            let text = launch_text(&decision, &settings);
            let commit = to_commit(options, &disk, &decision, &shown);
            let last = launch_last(&decision, &settings);
            format!(
                "{text}recorded in {}\n{commit}{last}",
                printable_line(&shown)
            )
        }
        LaunchFormat::Json => {
            launch_json(&decision, &shown).map_err(|e| Failure::NotWritten(e.into()))?
        }
    };
    output::print(&text)?;
    Ok(u8::from(!decision.go))
}

/// Why a file that is there is left as it is, and what to do.
const WRITTEN_ONCE: &str = "a decision is recorded once and never overwritten; name another file \
                            with `--output`";

/// The same where the file's name follows from the launch.
const MEANWHILE: &str = "another decision on this launch was recorded meanwhile; decide again to \
                         take it into account";

/// How long a decision waits for another one to be written.
const PATIENCE: Duration = Duration::from_secs(120);

/// What was typed of the battery.
struct TypedBattery {
    battery: Option<String>,
    charge: Option<String>,
}

/// The battery as it was given, or else asked for: by its voltage, or by a counter where the voltage
/// tells nothing.
fn battery(
    options: &Launch,
    plan: &Plan,
    asking: &Asking,
) -> Result<(TypedBattery, BatteryRead), Failure> {
    let mut typed = TypedBattery {
        battery: options.battery.clone(),
        charge: options.charge.clone(),
    };
    if typed.battery.is_none() && typed.charge.is_none() && !tells_charge(plan) {
        let what = "the charge that a counter shows (`92 %`), as the voltage of this chemistry \
                    shows nothing";
        let (text, charge) = asking.or_ask(None, "charge", what, read_charge)?;
        typed.charge = Some(text);
        let charge = Some(charge);
        let resting = None;
        return Ok((typed, BatteryRead { resting, charge }));
    }
    let charge = typed.charge.as_deref().map(read_charge).transpose();
    let charge = charge.map_err(|why| Failure::Usage(format!("--charge: {why}")))?;
    if typed.battery.is_none() && charge.is_some() {
        let resting = None;
        return Ok((typed, BatteryRead { resting, charge }));
    }
    let what = "the voltage of the pack at rest (`15.9 V`)";
    let (text, read) = asking.or_ask(typed.battery.as_deref(), "battery", what, |text| {
        let resting = Some(read_voltage(text)?);
        let read = BatteryRead { resting, charge };
        counts_charge(plan, &read).map(|()| read)
    })?;
    typed.battery = Some(text);
    Ok((typed, read))
}

/// The items of the checklist that were seen to, the others asked for.
fn ticked(
    options: &Launch,
    plan: &Plan,
    policy: &EffectivePolicy,
    asking: &Asking,
) -> Result<Vec<String>, Failure> {
    let own = &plan.mission.people;
    let known: Vec<&str> = own
        .to_see_to(&policy.checklist)
        .map(|item| item.value.as_str())
        .collect();
    let mut ticked = options.ticked.clone();
    for item in &ticked {
        if !known.contains(&item.as_str()) {
            return Err(Failure::Usage(format!(
                "--ticked: there is no item `{}` on the checklist; there are {}",
                printable_line(item),
                known.join(", ")
            )));
        }
    }
    for item in known {
        let is_ticked = ticked.iter().any(|one| one == item);
        if !is_ticked
            && asking.can
            && asking.yes_or_no(&question(item, words_of(item, policy, own)))?
        {
            ticked.push(item.to_owned());
        }
    }
    Ok(ticked)
}

/// What is asked of an item: whether its words are so, and not a name that somebody may read otherwise.
fn question(item: &str, words: Option<&str>) -> String {
    match words {
        Some(words) => format!("{} (`{item}`): done?", printable_line(words.trim())),
        None => format!("`{item}` done?"),
    }
}

/// What an item says to people: in the words of the policy, or else in the plan's own.
fn words_of<'a>(item: &str, policy: &'a EffectivePolicy, own: &'a People) -> Option<&'a str> {
    let required = policy.words_of(item).map(|one| one.words.as_str());
    let listed = own.checklist.iter().find(|one| one.id.value == item);
    let own = listed.and_then(|one| one.text.as_ref());
    required.or_else(|| own.map(|text| text.value.as_str()))
}

/// That a decision counts once it is committed, and how; nothing where there is no git.
fn to_commit(options: &Launch, tree: &WorkTree, decision: &Decision, path: &str) -> String {
    if tree.root().join(".git").symlink_metadata().is_err() {
        return String::new();
    }
    let word = if decision.go { "go" } else { "no go" };
    let message = format!("Decide on {}: {word}", decision.mission);
    let signed = decision.signatures.iter().any(|one| one.on == "commit");
    let command = committing::command(tree.root(), &options.plans, &[path], &message, signed);
    format!("commit it, go or no-go, to put it on record:\n  {command}\n")
}

/// The file that a decision goes into, its folder made where it is the usual one.
fn recorded_in(options: &Launch, tree: &WorkTree, decision: &Decision) -> Result<PathBuf, Failure> {
    let record = match &options.output {
        Some(path) => path.clone(),
        None => tree
            .root()
            .join(FOLDER)
            .join(format!("{}.yaml", decision.id)),
    };
    settled(tree, &record)?;
    if let Some(folder) = record.parent().filter(|_| options.output.is_none()) {
        output::make_folder(folder)?;
    }
    Ok(record)
}

/// A decision is found again only where the repository is looked through for it.
pub(super) fn settled(tree: &WorkTree, record: &Path) -> Result<(), Failure> {
    let refused = |why: &str| Failure::Usage(format!("`{}`: {why}", record.display()));
    if record.extension().is_none_or(|ending| ending != "yaml") {
        return Err(refused("a record is a file that ends in `.yaml`"));
    }
    let folder = match record.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let linked = folder
        .symlink_metadata()
        .is_ok_and(|about| about.is_symlink());
    if linked {
        return Err(refused(&format!(
            "a record may not be in a folder that is a link, and `{}` is one",
            folder.display()
        )));
    }
    let inside = |folder: &Path| folder.starts_with(tree.root());
    if folder.canonicalize().is_ok_and(|folder| !inside(&folder)) {
        return Err(refused(&format!(
            "a record belongs in the repository of the plan, and this is outside `{}`",
            tree.root().display()
        )));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::question;

    #[test]
    fn an_item_is_asked_for_by_its_words() {
        let words = "stop was tried,\u{1b}[2J and the motors stood still";
        let asked = question("stop-tried", Some(words));
        assert!(asked.starts_with("stop was tried,"), "{asked}");
        assert!(
            asked.ends_with("stood still (`stop-tried`): done?"),
            "{asked}"
        );
        assert!(!asked.contains('\u{1b}'), "{asked}");
        assert_eq!(question("flag-up", None), "`flag-up` done?");
    }
}
