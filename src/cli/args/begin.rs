//! Options of the commands that begin files.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::schema::Kind;

/// Options of `offing new`.
///
/// Every field that the file must have is a marked gap, with its unit and its range. A check refuses each gap
/// on its line until it is filled.
#[derive(Debug, Args)]
pub(crate) struct New {
    /// Kind of file
    #[arg(value_enum)]
    pub kind: NewKind,
    /// Id that the file gets
    pub id: String,
    /// For a mission: copy this one, by its id or path, with the facts of the day as gaps
    #[arg(long, value_name = "MISSION", requires = "time")]
    pub from: Option<String>,
    /// Launch time of the copy, written as that of the other: `2027-06-18T09:30`
    #[arg(long, requires = "from")]
    pub time: Option<String>,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
    /// File to write, which must not exist; default: the standard output
    #[arg(short, long)]
    pub output: Option<PathBuf>,
    /// Leave every gap open. Without it, whoever sits at a terminal is asked for what a file lacks
    #[arg(long)]
    pub gaps: bool,
}

/// Kinds of file that people begin.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum NewKind {
    /// A plan of one run
    Mission,
    /// A boat
    Vessel,
    /// A stretch of water
    Site,
    /// What holds for a team's missions that they do not state
    Orders,
    /// A team's settings of the rules
    Policy,
    /// A rule of a team's own
    Rule,
}

impl NewKind {
    pub(crate) fn kind(self) -> Kind {
        match self {
            Self::Mission => Kind::Mission,
            Self::Vessel => Kind::Vessel,
            Self::Site => Kind::Site,
            Self::Orders => Kind::Orders,
            Self::Policy => Kind::Policy,
            Self::Rule => Kind::Rule,
        }
    }
}

/// Options of `offing repeat`.
///
/// Each mission it begins names the plan, the launch time and the latest return, as long after it as the plan's.
/// The day the battery was charged is a marked gap, and so is a forecast where the plan has one. A mission is
/// called after the plan and its day, and lies beside it.
#[derive(Debug, Args)]
pub(crate) struct Repeat {
    /// Mission that states the plan, by its id or path
    pub mission: String,
    /// Launch time, written as that of the plan: `2027-06-18T09:30`; may be given several times
    #[arg(long = "time", value_name = "TIME", required = true)]
    pub times: Vec<String>,
    /// Folder in the repository, all of which is searched
    #[arg(long, default_value = ".")]
    pub plans: PathBuf,
}

/// Options of `offing init`.
///
/// It writes folders, skeletons of a site, a vessel, standing orders and a policy, and what git is to know of
/// the files. It writes over nothing. Whoever sits at a terminal and states no option is asked for the ids.
#[derive(Debug, Args)]
pub(crate) struct Init {
    /// Folder, which need not exist
    #[arg(default_value = ".")]
    pub folder: PathBuf,
    /// Id of the site; default: `water`
    #[arg(long)]
    pub site: Option<String>,
    /// Id of the vessel; default: `boat`
    #[arg(long)]
    pub vessel: Option<String>,
    /// Id of the orders; default: `standing`
    #[arg(long)]
    pub orders: Option<String>,
    /// Id of the policy; default: `team`
    #[arg(long)]
    pub policy: Option<String>,
    /// Id of the launch site, as a drawing names it; default: `jetty`
    #[arg(long, value_name = "ID")]
    pub launch_site: Option<String>,
    /// Also write the job that reviews each change, for one of the hosted services of the chapter on CI
    #[arg(long, value_enum)]
    pub ci: Option<Service>,
}

/// Hosted services that there is a job for.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum Service {
    /// `.github/workflows/plans.yaml`
    Github,
    /// `.gitlab-ci.yml`
    Gitlab,
}
