//! How far a run may be from its plan before it is told: a table, with where each figure is from.

use crate::units::{Dimension, Quantity};

/// Something that a run is held against.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Threshold {
    /// Id of what is found, as rules have one.
    pub id: &'static str,
    /// What is looked at.
    pub title: &'static str,
    /// The figure; `None` where it is the plan's own or the policy's.
    pub limit: Option<Quantity>,
    /// The figure in words.
    pub words: &'static str,
    /// Where it is from: `P` is our own proposal.
    pub from: &'static str,
    /// Why it matters.
    pub why: &'static str,
    /// What to do about it.
    pub remedy: &'static str,
}

const fn share(value: f64) -> Option<Quantity> {
    Some(Quantity::new(value, Dimension::RATIO))
}

/// Energy of the whole run and of the return leg.
pub(super) const ENERGY: Threshold = Threshold {
    id: "debrief-energy",
    title: "Energy taken, against the plan",
    limit: share(0.15),
    words: "more or less than planned by 15 %",
    from: "P: measure a boat's figures again when energy is off by this much on three runs",
    why: "The next plan's reserve uses the same figures.",
    remedy: "where it took more, look for weed, a damaged propeller, more load or more wind than planned; where \
             it took less, check the current sensor, the wind of the day and that no leg was left out. Where three \
             runs agree, measure the speed and power of the vessel again; never lower a figure for one calm run",
};
/// What to do where more was taken than planned.
pub(super) const TOOK_MORE: &str = "look for weed, a damaged propeller, more load or more wind than planned; where three runs agree, measure the \
     speed and power of the vessel again";
/// And where less was.
pub(super) const TOOK_LESS: &str = "check the current sensor, the wind of the day and that no leg was left out; where three runs agree, measure \
     the speed and power of the vessel again. Never lower a figure for one calm run";
/// Speed made over ground.
pub(super) const SPEED: Threshold = Threshold {
    id: "debrief-speed",
    title: "Speed over ground, against the plan",
    limit: share(0.15),
    words: "slower or faster than planned by 15 %",
    from: "P: as for energy, which follows from it",
    why: "A slower boat is out for longer, and takes its hotel load for as long.",
    remedy: "state the speed that the boat makes, or find out what slowed it",
};
/// Cross-track distance.
pub(super) const CROSS_TRACK: Threshold = Threshold {
    id: "debrief-cross-track",
    title: "Cross-track distance, 95 % of all fixes",
    limit: None,
    words: "more than the vessel's `cross_track_error`",
    from: "the vessel's file; 95 % as IHO S-44 states errors",
    why: "Every clearance in a plan depends on the width of the boat's corridor.",
    remedy: "state the larger error in the vessel's file, or fix the boat's steering",
};
/// Clearance from land, hazards and keep-outs.
pub(super) const CLEARANCE: Threshold = Threshold {
    id: "debrief-clearance",
    title: "Clearance from land, hazards and keep-out areas",
    limit: None,
    words: "less than the policy requires of the plan",
    from: "the rules `shoreline`, `hazards` and `keep-out` as the policy has them; less the error \
           of position and chart and half the beam, but not the cross-track error",
    why: "A boat that came closer than its limit was lucky.",
    remedy: "plan the route farther off, or find out why the boat left it",
};
/// Depth against the chart.
pub(super) const DEPTH: Threshold = Threshold {
    id: "debrief-depth",
    title: "Depth sounded, against the soundings of the site",
    limit: None,
    words: "shoaler on five consecutive fixes by more than the root sum of squares of both errors",
    from: "errors at 95 % as the site and the vessel state them; the survey order that the plan \
           claims by IHO S-44 (edition 6). Five fixes: P",
    why: "Where the bed has come up, every plan over it has less water than it says.",
    remedy: "survey the place again and renew the site's soundings, or read the water level again",
};
/// Depth against the least that is stated.
pub(super) const STATED_DEPTH: Threshold = Threshold {
    id: "debrief-stated-depth",
    title: "Depth sounded, against the least depth that the site states",
    limit: None,
    words: "less on five consecutive fixes by more than the root sum of squares of the errors of \
            sounder and level",
    from: "`least_depth` off the launch sites and `depth` of a launch site inside its zone, less \
           the distance that the water may stand below the datum. Five fixes: P",
    why: "A least depth counts wherever there are no soundings. With a shallower sounding it is \
          not the least, and nothing is known about the rest.",
    remedy: "state the lesser depth, or survey the water",
};
/// Water under the keel.
pub(super) const UNDER_KEEL: Threshold = Threshold {
    id: "debrief-under-keel",
    title: "Water under the keel",
    limit: None,
    words: "less than the policy requires of the plan; not judged where a tenth of all fixes have \
            no depth",
    from: "the rule `under-keel-clearance` as the policy has it; a tenth: P",
    why: "A propeller that touches bottom stops the boat where nobody is.",
    remedy: "keep the route off this place until it is surveyed again",
};
/// Quality of the link.
pub(super) const LINK: Threshold = Threshold {
    id: "debrief-link",
    title: "Worst stretch of the link where the plan promised its margin",
    limit: share(0.8),
    words: "less than 80 % came through over half a minute, or 10 dB less than predicted; not judged where \
            half a minute of it, or a tenth of all fixes, has no figure",
    from: "P: fades of 10 to 20 dB are common on the water (from memory)",
    why: "A link that fades where it should not will be lost where it may fade.",
    remedy: "check the antennas, their bearing and plugs, and who else transmits on the frequency",
};
/// Time of launch.
pub(super) const LAUNCH: Threshold = Threshold {
    id: "debrief-launch",
    title: "Time of launch, against the plan",
    limit: None,
    words: "before the planned time, or after it and its `delay`, by more than a minute",
    from: "the mission's `launch`; a minute: common practice, no source",
    why: "Light, forecast and permission were judged for the planned time only.",
    remedy: "check the plan with the actual launch time",
};
/// Time of return.
pub(super) const RETURN: Threshold = Threshold {
    id: "debrief-return",
    title: "Time of return, against the latest that the plan allows",
    limit: None,
    words: "after `latest_return`",
    from: "the mission's `launch`",
    why: "Past it nobody can tell a late boat from a lost one.",
    remedy: "plan with the speed actually made, launch earlier, or run fewer lines",
};
/// Where the run ended.
pub(super) const END: Threshold = Threshold {
    id: "debrief-end",
    title: "Where the track ends, against the recovery point",
    limit: None,
    words: "outside the recovery's launch site and off the recovery point, where the boat did not come to it",
    from: "the site's launch site; off is farther than the errors of position and track, at least 10 m: P",
    why: "A run that ends elsewhere was not ended by the plan.",
    remedy: "find out what ended it, and record it as a near miss where nobody meant to",
};
/// The record that names the track.
pub(super) const RECORD: Threshold = Threshold {
    id: "debrief-record",
    title: "The record of the run that names the track, against plan and track",
    limit: None,
    words: "another plan than at hand; launch or return off by more than 5 minutes; energy outside what the pack \
            gave and what was in it by 15 %; another outcome",
    from: "P",
    why: "A history that does not agree with its tracks teaches something that did not happen.",
    remedy: "check out the commit that the record names, and ask who wrote it what happened; a record is not \
             changed, a later one may say more",
};
/// Legs that were not run.
pub(super) const LEFT: Threshold = Threshold {
    id: "debrief-left",
    title: "Legs that were left out, and where the run was left",
    limit: share(0.1),
    words: "a tenth of a leg, and more than 15 m and its turn",
    from: "P",
    why: "What was not run was not tried: the next plan knows nothing more of it.",
    remedy: "find out why; a run that was broken off for good reason needs no more than its record",
};
/// Columns that cannot be of the boat.
pub(super) const COLUMN: Threshold = Threshold {
    id: "debrief-column",
    title: "What the columns of the track hold, against what the boat can have recorded",
    limit: share(0.1),
    words: "a tenth of a column's values, or the median, outside what the vessel's pack, drive, \
            draught and radios or the site's soundings allow; fewer such values are set aside and \
            counted",
    from: "P: voltage from half the cut-off to 1.15 × a full pack; current up to twice that of the drive and \
           the hotel load; depth up to twice the deepest sounding and 5 m; speed up to twice the top speed",
    why: "Figures in another unit, or with the wrong sign, say nothing about the run.",
    remedy: "state the recorder's unit in the columns file, and debrief the run again",
};
/// What to do where depths are missing.
pub(super) const RECORD_DEPTH: &str = "record the depth with every fix, and check whether the \
                                       sounder finds the bottom: its range, its gain, weed";
/// And where figures of the link are.
pub(super) const RECORD_LINK: &str = "record the state of the link aboard with every fix";
/// Parts that cannot be judged.
pub(super) const NOT_JUDGED: Threshold = Threshold {
    id: "debrief-not-judged",
    title: "Parts of the run that the track does not cover",
    limit: share(0.1),
    words: "no fix, or no voltage and current, for a tenth of the time; a clock that was set; no depth or link \
            where the plan has a limit for it",
    from: "P",
    why: "Nobody knows that an unrecorded part went well.",
    remedy: "record a fix every few seconds aboard, with voltage and current, from before the launch on",
};

/// All of them, in the order in which they are reported.
pub(crate) const ALL: &[Threshold] = &[
    ENERGY,
    SPEED,
    CROSS_TRACK,
    CLEARANCE,
    DEPTH,
    STATED_DEPTH,
    UNDER_KEEL,
    LINK,
    LAUNCH,
    RETURN,
    END,
    RECORD,
    LEFT,
    COLUMN,
    NOT_JUDGED,
];

/// Share of time without a fix, or without power, from which on a part is not judged. P.
pub(super) const UNSEEN: f64 = 0.1;
/// Share of a leg that may be missing from it. P.
pub(super) const MISSING: f64 = 0.1;
/// And how much of it besides, beyond its turn, m. P.
pub(super) const MISSING_LENGTH: f64 = 15.0;
/// Off by less than this is at a place, whatever the errors, m. P.
pub(super) const NEAR: f64 = 10.0;
/// Farther off the whole route than this is no run of it, m. P.
pub(super) const FAR: f64 = 1000.0;
/// So many times the error of the track is still along a leg, and at least so far, m. P.
pub(super) const ALONG_TIMES: f64 = 10.0;
pub(super) const ALONG_LEAST: f64 = 30.0;
/// A track that begins so long before or after the planned time is of another day, s. P.
pub(super) const ANOTHER_DAY: f64 = 12.0 * 3600.0;
/// And of another run altogether where less than this share of its fixes lies along the route. P.
pub(super) const ALONG_SHARE: f64 = 0.5;
/// Fixes running that a shoal is recognised by. P.
pub(super) const RUNNING: usize = 5;
/// Time over which a link is looked at as one stretch, s. P.
pub(super) const STRETCH: f64 = 30.0;
/// How far below the prediction a received power may be, dB. P.
pub(super) const FADE: f64 = 10.0;
/// Slower than this share of the planned speed over a time without a fix, the boat hardly moved. P.
pub(super) const SLOW_SHARE: f64 = 0.3;
/// Times of a record and of a track are apart by more than this, s. P.
pub(super) const RECORD_TIME: f64 = 300.0;
/// Before the planned time, or after it and its delay, is by more than this, s: clocks are read to the
/// minute. Common practice, no source.
pub(super) const MINUTE: f64 = 60.0;

/// What one of them is, by its id; `None` where there is none of it.
#[must_use]
pub fn explained(id: &str) -> Option<String> {
    let one = ALL.iter().find(|one| one.id == id)?;
    Some(format!(
        "{id}: {} (what `offing debrief` finds)\n\nFinding if it is\n  {}\n\nWhy it matters\n  \
         {}\n\nWhat to do\n  {}\n\nSource of the figure (P: our own proposal)\n  {}\n",
        one.title, one.words, one.why, one.remedy, one.from
    ))
}
