//! What tests, benchmarks and fuzz targets may use of the library, and nothing else may be reached
//! from outside: each name here stands because one of them uses it. The program itself needs only
//! [`crate::run`].

pub mod calibrate {
    //! Figures fitted to runs.
    pub use crate::calibrate::{
        Anemometer, Calibration, Decided, Despite, Fate, Figure, Left, NotWritten, Run, Wind,
        Written, calibrate, written,
    };
    pub use crate::report::calibrate::{About, text};
}

pub mod check {
    //! From a tree of files to an outcome.
    pub use crate::check::{
        ChangeImpact, CheckScope, Loaded, NoAnswer, Outcome, Progress, Reading, Sampling, Spread,
        Verdict, asked, baseline_reads_back, check, check_folder, check_share, load,
        on_large_stacks, sha256, statement,
    };
}

pub mod debrief {
    //! A run beside its plan.
    pub use crate::debrief::explained;
}

pub mod document {
    //! The one parser.
    pub use crate::document::{Document, Entry, Node, ParseLimits, Value, parse};
}

pub mod envelope {
    //! Wind limits and launch window.
    pub use crate::envelope::{Change, Given, Limits, Sector, Sought, limits, window};
}

pub mod exchange {
    //! Routes out and in.
    pub use crate::exchange::{
        Course, CoursePoint, Form, MOST_WAYPOINTS, Named, Role, Skeleton, id_of, parse_route,
        skeleton, write,
    };
}

pub mod finding {
    //! What a finding is.
    pub use crate::finding::{
        EXPLAINED, Edit, Finding, Label, Nature, Remedy, Severity, Who, explained,
    };
}

pub mod git {
    //! The `git` command and revisions.
    pub use crate::git::revision::Revision;
    pub use crate::git::{Git, GitError, Repository, commit};
}

pub mod history {
    //! Records of runs.
    pub use crate::history::{Records, verify};
}

pub mod launch {
    //! The decision on a launch.
    pub use crate::launch::{BatteryRead, Elsewhere, Readings, WindRead, launch};
}

pub mod measures {
    //! The quantities that rules use.
    pub use crate::measures::{
        CATALOGUE, Entry, Input, Measured, Measurement, NotMeasured, Type, Value, evaluate,
        figures, find,
    };
}

pub mod models {
    //! Physics.
    pub mod battery {
        //! The pack.
        pub use crate::models::battery::Chemistry;
    }
    pub mod fetch {
        //! Open water upwind.
        pub use crate::models::fetch::{Fan, Radial};
    }
    pub mod geodesy {
        //! Positions on the ellipsoid.
        pub use crate::models::geodesy::{Plane, Position, direct, inverse};
    }
    pub mod geometry {
        //! Shores, polygons and segments in the plane.
        pub use crate::models::geometry::{
            Polygon, Segment, Shore, point_in_rings, polygon_distance, ring_area,
        };
    }
    pub mod plane {
        //! Points in the plane.
        pub use crate::models::plane::Point;
    }
    pub mod resistance {
        //! Trials.
        pub use crate::models::resistance::TrialTable;
    }
    pub mod waves {
        //! Waves.
        pub use crate::models::waves::design_height;
    }
}

pub mod passage {
    //! A plan resolved in space and time.
    pub use crate::passage::{Passage, Run, Variation, missed_turn};
    pub mod adrift {
        //! A disabled boat.
        pub use crate::passage::adrift::{OnTo, Peril};
    }
    pub mod depth {
        //! Water under the keel.
        pub use crate::passage::depth::{By, Over};
    }
    pub mod ending {
        //! How a run ends.
        pub use crate::passage::ending::{Approach, approach, overrun, stopping};
    }
}

pub mod picture {
    //! What figures and pages show.
    pub use crate::picture::{At, Comes, Picture, Planned, View};
}

pub mod plan {
    //! Files as a typed plan.
    pub use crate::plan::decision::decided;
    pub use crate::plan::return_leg::{ReturnPath, Via};
    pub use crate::plan::run::run_record;
    pub use crate::plan::site::{Form, Site};
    pub use crate::plan::vessel::{CalmForm, Vessel, vessel};
    pub use crate::plan::{Heading, Plan, read_file};
}

pub mod report {
    //! An outcome told.
    pub use crate::report::figures::figures;
    pub use crate::report::{
        Settings, exit_status, json, junit, limits_polar, limits_text, schema, terminal,
    };
}

pub mod review {
    //! A change judged by the policy before it.
    pub use crate::report::review::to_json;
    pub use crate::review::{PolicyFrom, ReviewOptions, review_as};
}

pub mod rules {
    //! Rules and their judging.
    pub use crate::rules::{BUILTIN_RULES, Judgement, judge};
}

pub mod schema {
    //! File kinds and their fields.
    pub use crate::schema::{Kind, Stated, removed, renamed, validate};
}

pub mod source {
    //! Files, spans and trees.
    pub use crate::source::{
        Limit, MemoryTree, ReadError, SourceId, Sources, Span, Tree, WorkTree, checked_text,
        open_argument, printable, printable_line,
    };
}

pub mod import {
    //! Data of others brought in.
    pub use crate::import::try_every_import;
}

pub mod track {
    //! Recorded tracks.
    pub use crate::track::{
        Cleaned, Cleaning, Columns, LinkQuality, Sample, Track, WindSample, along, clean, read_csv,
        read_gpx,
    };
}

pub mod units {
    //! Quantity types.
    pub use crate::units::{
        Angle, Current, Dimension, FromDirection, Length, Level, Quantity, Ratio, Speed, Time,
        Towards, Voltage, parse_quantity,
    };
}

pub mod yaml {
    //! The YAML that the program writes.
    pub use crate::yaml::Yaml;
}
