//! `offing new` and `offing init`: files begun, with what they lack as marked gaps.

use std::path::{Path, PathBuf};

use super::args::{Init, New, Service};
use super::settled::{self, OnlyOnes};
use super::{Failure, ask, output, place};
use crate::exchange::another_day;
use crate::plan::{FileOfKind, gather, is_yaml};
use crate::schema::explain::nearest;
use crate::schema::skeleton::{Settled, skeleton};
use crate::schema::{Kind, LONGEST_ID};
use crate::source::{ReadError, Sources, printable_line};

/// Why a file that is there is left as it is.
const LEFT: &str = "`offing new` writes over nothing";
/// The same for a whole repository.
const INIT_LEFT: &str = "`offing init` writes over nothing";

/// What git is to know of the files: a digest is one of bytes, the same in every clone.
const ATTRIBUTES: &str = "# Digests and signatures are of bytes: line ends stay as they are written.\n\
                          *.yaml text eol=lf\n*.yml text eol=lf\n*.geojson text eol=lf\n*.approval text eol=lf\n\
                          *.csv -text\n";
const RUNS: &str = "# Runs\n\n`offing record` writes the records of runs here, and `offing history` reads them. \
                    Commit each one.\n";
/// The chapter that holds the jobs for the hosted services.
const CI: &str = include_str!("../../docs/how-to/ci.md");

pub(super) fn new(options: &New) -> Result<u8, Failure> {
    let id = place::id("ID", &options.id, LONGEST_ID)?;
    let kind = options.kind.kind();
    let file = options.output.as_deref();
    let file = output::no_stream(file);
    if let Some(path) = file
        && !path.to_str().is_some_and(is_yaml)
    {
        return Err(Failure::Usage(format!(
            "no check would read `{}`: a file of offing ends in `.yaml` or `.yml`",
            path.display()
        )));
    }
    let (text, gaps) = match (&options.from, &options.time) {
        (Some(from), Some(time)) => {
            if kind != Kind::Mission {
                return Err(Failure::Usage(
                    "--from: only a mission is begun from another".to_owned(),
                ));
            }
            copy(options, (id, from, time))?
        }
        _ => {
            let only = OnlyOnes::in_repository(&options.plans);
            let begun = skeleton(kind, id, &|path| only.settled(kind, path));
            (begun.text, begun.gaps)
        }
    };
    let Some(path) = file else {
        output::print(&text)?;
        return Ok(0);
    };
    // Nobody is asked for what cannot be written in the end.
    output::must_be_new(path, LEFT)?;
    let (text, gaps) = if !options.gaps && ask::somebody_is_there() {
        ask::fill(&text, &mut std::io::stdin().lock(), &mut std::io::stderr())
            .map_err(|error| output::not_written(Path::new("the terminal"), &error))?
    } else {
        (text, gaps)
    };
    output::deliver_new(&text, path, LEFT)?;
    output::print(&summary(path, gaps))?;
    Ok(0)
}

pub(super) fn summary(path: &Path, gaps: usize) -> String {
    let gaps = match gaps {
        0 => "nothing has to be filled in".to_owned(),
        1 => "1 field to be filled in".to_owned(),
        gaps => format!("{gaps} fields to be filled in"),
    };
    format!("{}: {gaps}\n", printable_line(&path.display().to_string()))
}

fn copy(options: &New, (id, from, time): (&str, &str, &str)) -> Result<(String, usize), Failure> {
    let found = found(&options.plans, from)?;
    let text = found.sources.get(found.file.source);
    let text = text.map_or("", |file| file.text());
    let copy = another_day(text, &found.file.document.root, id, time).map_err(no_such_time)?;
    Ok((copy.text, copy.gaps))
}

/// That a time cannot be used, and why.
pub(super) fn no_such_time(why: String) -> Failure {
    Failure::Usage(format!("--time: {}", printable_line(&why)))
}

/// A mission of a repository, as it was parsed.
pub(super) struct Found {
    pub sources: Sources,
    pub file: FileOfKind,
    /// Where its file is.
    pub path: PathBuf,
}

/// The mission of an id or a path.
///
/// # Errors
/// [`Failure`] where there is none, or the repository cannot be listed.
pub(super) fn found(plans: &Path, named: &str) -> Result<Found, Failure> {
    let tree = place::repository(plans)?;
    let asked = place::mission(&tree, plans, named);
    let mut sources = Sources::new();
    let unreadable = |error: ReadError| Failure::Unreadable(error.to_string());
    let gathered = gather(&tree, &mut sources).map_err(unreadable)?;
    let of_file = |file: &&FileOfKind| file.id.as_ref().is_some_and(|(id, _)| *id == asked);
    let mut missions = gathered.of_kind(Kind::Mission);
    let found = missions.find(|file| of_file(file) || sources.path(file.source) == asked);
    let Some(file) = found else {
        let ids = gathered
            .of_kind(Kind::Mission)
            .filter_map(|file| file.id.as_ref());
        let ids: Vec<&str> = ids.map(|(id, _)| id.as_str()).collect();
        let hint = nearest(&asked, &ids)
            .map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
        return Err(Failure::Unreadable(format!(
            "there is no mission `{}` here{hint}",
            printable_line(&asked)
        )));
    };
    let file = file.clone();
    let path = tree.root().join(sources.path(file.source));
    Ok(Found {
        sources,
        file,
        path,
    })
}

/// What `offing init` is told of, with the ids that files get where nobody says otherwise.
fn ids(options: &Init) -> Result<[String; 5], Failure> {
    let stated = [
        ("--site", &options.site, "water", "site"),
        ("--vessel", &options.vessel, "boat", "vessel"),
        ("--orders", &options.orders, "standing", "orders"),
        ("--policy", &options.policy, "team", "policy"),
        (
            "--launch-site",
            &options.launch_site,
            "jetty",
            "launch site",
        ),
    ];
    let untold = stated.iter().all(|(_, id, ..)| id.is_none()) && options.ci.is_none();
    let asks = untold && ask::somebody_is_there();
    let mut ids = [const { String::new() }; 5];
    for (slot, (option, id, default, what)) in ids.iter_mut().zip(stated) {
        let id = match id {
            Some(id) => id.clone(),
            None if asks => ask::one(&format!("Id of the {what}"), default)
                .map_err(|error| output::not_written(Path::new("the terminal"), &error))?,
            None => default.to_owned(),
        };
        place::id(option, &id, LONGEST_ID)?.clone_into(slot);
    }
    Ok(ids)
}

pub(super) fn init(options: &Init) -> Result<u8, Failure> {
    let [site, vessel, orders, policy, launch_site] = &ids(options)?;
    let in_site = |path: &str| settled::in_site_begun(launch_site, vessel, path);
    let begun_site = settled::site_begun(&skeleton(Kind::Site, site, &in_site).text);
    let begun = |kind: Kind, folder: &str, id: &str| {
        let file = PathBuf::from(folder).join(format!("{id}.yaml"));
        let settled = |path: &str| match (kind, path) {
            (Kind::Policy, "extends") => Some(Settled::Known("builtin".to_owned())),
            (Kind::Site, path) => in_site(path),
            (Kind::Orders, path) => settled::in_orders(&begun_site.as_ref()?.root, path),
            _ => None,
        };
        let begun = skeleton(kind, id, &settled);
        (file, begun.text, Some(begun.gaps))
    };
    let mut files = vec![
        begun(Kind::Site, "site", site),
        begun(Kind::Vessel, "vessels", vessel),
        begun(Kind::Orders, "orders", orders),
        begun(Kind::Policy, "policy", policy),
        (PathBuf::from(".gitattributes"), ATTRIBUTES.to_owned(), None),
        (PathBuf::from("runs/README.md"), RUNS.to_owned(), None),
    ];
    if let Some(service) = options.ci {
        let (number, path) = match service {
            Service::Github => (0, ".github/workflows/plans.yaml"),
            Service::Gitlab => (1, ".gitlab-ci.yml"),
        };
        files.push((PathBuf::from(path), job(number).to_owned(), None));
    }
    // Nothing is begun where part of it is there.
    for (file, ..) in &files {
        output::must_be_new(&options.folder.join(file), INIT_LEFT)?;
    }
    let mut told = String::new();
    // The folder that the reader is in needs no name.
    let folder = options.folder.strip_prefix(".").unwrap_or(&options.folder);
    for (file, text, gaps) in files {
        let path = folder.join(file);
        if let Some(folder) = path.parent() {
            output::make_folder(folder)?;
        }
        output::deliver_new(&text, &path, INIT_LEFT)?;
        told.push_str(&match gaps {
            Some(gaps) => summary(&path, gaps),
            None => format!("{}\n", printable_line(&path.display().to_string())),
        });
    }
    output::make_folder(&options.folder.join("missions"))?;
    told.push_str(
        "\nFill in the site and the vessel first, then the orders; `offing check` names what is left. `offing import \
         shoreline` writes the shoreline that the site names, and `offing new mission` begins a plan.\n",
    );
    if options.ci.is_some() {
        told.push_str("The job for CI says in capitals what it lacks.\n");
    }
    output::print(&told)?;
    Ok(0)
}

/// One of the jobs of the chapter on CI.
fn job(number: usize) -> &'static str {
    let block = CI.split("```yaml workflow\n").nth(number + 1);
    let text = block.and_then(|block| block.split("```").next());
    text.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::job;

    #[test]
    fn there_is_a_job_for_each_service() {
        assert!(job(0).starts_with("name: plans\n"), "{}", job(0));
        assert!(job(1).contains("offing review"), "{}", job(1));
        assert_ne!(job(0), job(1));
    }
}
