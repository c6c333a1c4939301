//! `offing launch`.

use std::io::{BufRead as _, IsTerminal as _, Write as _};

use std::path::Path;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::args::{Launch, LaunchFormat};
use super::{Failure, output, settings, wind};
use crate::check::{BatteryRead, Readings, asked, launch};
use crate::plan::point_in_time;
use crate::report::{Typed, launch_id, launch_json, launch_record, launch_text};
use crate::source::{WorkTree, open_argument, printable_line};
use crate::units::{Dimension, Ratio, Typed as _, Voltage, parse_quantity};

/// Where decisions are recorded unless another file is named.
const FOLDER: &str = "launches";
/// Longest answer that is read.
const LONGEST: usize = 400;

pub(super) fn run(options: &Launch) -> Result<u8, Failure> {
    let opened = open_argument(&options.plans).map_err(|e| Failure::Unreadable(e.to_string()))?;
    let unreadable = |error: crate::source::ReadError| Failure::Unreadable(error.to_string());
    // Decisions of before lie anywhere in the repository.
    let tree = WorkTree::open(opened.tree.root()).map_err(unreadable)?;
    let found = asked(&tree, &options.mission, None)?;
    let zone = found.plan.site.time_zone.clone().unwrap_or(TimeZone::UTC);
    let demanded: Vec<String> = found
        .policy
        .checklist
        .iter()
        .map(|item| item.value.clone())
        .collect();
    let list = found.plan.mission.people.checklist.iter();
    let mut known: Vec<String> = list.map(|item| item.id.value.clone()).collect();
    known.extend(
        demanded
            .iter()
            .filter(|one| !known.contains(one))
            .cloned()
            .collect::<Vec<_>>(),
    );
    let in_charge = found.plan.mission.people.team.as_ref();
    let in_charge = in_charge.map_or_else(String::new, |team| team.person_in_charge.value.clone());
    let asking = Asking::new();
    let typed_wind = asking.or_ask(
        options.wind.clone(),
        "wind",
        "the wind (`240° 6 m/s gust 9 m/s at 2 m`)",
    )?;
    let wind = wind::wind(&typed_wind).map_err(|why| Failure::Usage(format!("--wind: {why}")))?;
    let typed_battery = match (&options.battery, &options.charge) {
        (None, None) => Some(asking.or_ask(
            None,
            "battery",
            "the voltage of the pack at rest (`15.9 V`)",
        )?),
        (battery, _) => battery.clone(),
    };
    let resting = typed_battery.as_deref().map(voltage).transpose()?;
    let charge = options.charge.as_deref().map(share).transpose()?;
    let by = asking.or_ask(
        options.by.clone(),
        "by",
        &format!(
            "who decides, by role (the plan names `{}`)",
            printable_line(&in_charge)
        ),
    )?;
    if by.trim().is_empty() {
        return Err(Failure::Usage("--by names nobody".to_owned()));
    }
    let mut ticked = options.ticked.clone();
    for item in &ticked {
        if !known.contains(item) {
            return Err(Failure::Usage(format!(
                "--ticked: there is no item `{}` on the checklist; there are {}",
                printable_line(item),
                known.join(", ")
            )));
        }
    }
    for item in &demanded {
        if !ticked.contains(item) && asking.can {
            let answer = asking.ask(&format!("`{item}` just seen to? (yes or no)"))?;
            if matches!(answer.as_str(), "yes" | "y") {
                ticked.push(item.clone());
            }
        }
    }
    let at = match &options.at {
        Some(text) => point_in_time(text, Some(&zone))
            .map_err(|why| Failure::Usage(format!("--at: {why}")))?,
        None => Timestamp::now(),
    };
    let readings = Readings {
        at,
        by,
        wind,
        battery: BatteryRead { resting, charge },
        ticked,
        digest: options.digest.clone(),
    };
    let decision = launch(&tree, found, &readings)?;
    let record = match &options.output {
        Some(path) => path.clone(),
        None => tree
            .root()
            .join(FOLDER)
            .join(format!("{}.yaml", launch_id(&decision))),
    };
    settled(&tree, &record)?;
    if record.symlink_metadata().is_ok() {
        return Err(Failure::Usage(format!(
            "`{}` is there already; a decision is recorded once",
            record.display()
        )));
    }
    if let Some(folder) = record.parent().filter(|_| options.output.is_none()) {
        std::fs::create_dir_all(folder).map_err(Failure::NotWritten)?;
    }
    let typed = Typed {
        now: Timestamp::now(),
        wind: &typed_wind,
        battery: typed_battery.as_deref(),
        charge: options.charge.as_deref(),
    };
    // Recorded before it is told, so that no answer is without its record.
    output::deliver_new(&launch_record(&decision, &typed), &record)?;
    let shown = record.strip_prefix(tree.root()).unwrap_or(&record);
    let shown = shown.display().to_string();
    let text = match options.format {
        LaunchFormat::Terminal => {
            let text = launch_text(&decision, &settings::drawing(&options.drawing));
            format!("{text}recorded in {}\n", printable_line(&shown))
        }
        LaunchFormat::Json => {
            launch_json(&decision, &shown).map_err(|e| Failure::NotWritten(e.into()))?
        }
    };
    output::print(&text)?;
    Ok(u8::from(!decision.go))
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
    let inside = |folder: &Path| {
        let folder = folder.canonicalize().ok();
        folder.is_none_or(|folder| folder.starts_with(tree.root()))
    };
    let linked = folder
        .symlink_metadata()
        .is_ok_and(|about| about.is_symlink());
    if linked || !inside(folder) {
        return Err(refused(
            "a record lies in the repository, in a folder that is no link",
        ));
    }
    Ok(())
}

/// A voltage, and what half of its last digit is worth.
fn voltage(text: &str) -> Result<(Voltage, Voltage), Failure> {
    let read = parse_quantity(text, Dimension::VOLTAGE)
        .map_err(|error| Failure::Usage(format!("--battery: {error}")))?;
    let digits = text.trim();
    let digits = digits
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .next()
        .unwrap_or("");
    let decimals = digits
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let scale = if text.contains("mV") { 1e-3 } else { 1.0 };
    let decimals = i32::try_from(decimals.min(6)).unwrap_or(0);
    let half = 0.5 * 10_f64.powi(-decimals) * scale;
    Ok((Voltage::from_stored(read.value), Voltage::volts(half)))
}

fn share(text: &str) -> Result<Ratio, Failure> {
    let read = parse_quantity(text, Dimension::RATIO)
        .map_err(|error| Failure::Usage(format!("--charge: {error}")))?;
    if !(0.0..=1.0).contains(&read.value) {
        return Err(Failure::Usage(format!(
            "--charge: {text} is not from 0 % to 100 %"
        )));
    }
    Ok(Ratio::fraction(read.value))
}

/// Asking for what was not given, where there is somebody to ask.
struct Asking {
    can: bool,
}

impl Asking {
    fn new() -> Self {
        Self {
            can: std::io::stdin().is_terminal() && std::io::stderr().is_terminal(),
        }
    }

    fn or_ask(&self, given: Option<String>, option: &str, what: &str) -> Result<String, Failure> {
        if let Some(given) = given {
            return Ok(given);
        }
        if !self.can {
            return Err(Failure::Usage(format!(
                "`--{option}` is missing: {what}; at a terminal it is asked for"
            )));
        }
        self.ask(what)
    }

    fn ask(&self, what: &str) -> Result<String, Failure> {
        let mut err = std::io::stderr().lock();
        let asked = write!(err, "{what}: ").and_then(|()| err.flush());
        asked.map_err(Failure::NotWritten)?;
        let mut answer = String::new();
        let read = std::io::stdin().lock().read_line(&mut answer);
        let read = read.map_err(|error| Failure::Usage(format!("no answer: {error}")))?;
        if read == 0 || answer.len() > LONGEST {
            return Err(Failure::Usage("no answer".to_owned()));
        }
        Ok(answer.trim().to_owned())
    }
}
