//! What measures follow from of what a run may meet, or a plan may leave out.

/// Something that changes from run to run, or that no default stands for on the careful side. Every
/// measure lists those that it follows from; a test changes each of them over the demo, and no other
/// measure may come out otherwise.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Input {
    /// Direction, spread, mean and gust of the wind, and whatever follows from them, such as how long
    /// the run takes.
    Wind,
    /// Energy at launch: the capacity, the charge, and the share of the capacity that may be used.
    Battery,
    /// Power that calm water asks for.
    CalmWaterPower,
    /// Path and speed of the return leg.
    ReturnLeg,
    /// The site's currents.
    Currents,
    /// The site's keep-out areas.
    KeepOut,
    /// How much later than planned the boat may be launched.
    Delay,
    /// The remote operator's reaction time.
    Reaction,
    /// The day and time of the launch.
    LaunchTime,
    /// Radios, aboard and ashore, with their antennas.
    Radios,
    /// Soundings, water level and stated depths of the site.
    Depths,
}

impl Input {
    /// Every one.
    pub const ALL: [Self; 11] = [
        Self::Wind,
        Self::Battery,
        Self::CalmWaterPower,
        Self::ReturnLeg,
        Self::Currents,
        Self::KeepOut,
        Self::Delay,
        Self::Reaction,
        Self::LaunchTime,
        Self::Radios,
        Self::Depths,
    ];
}

/// A set of inputs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Inputs(u16);

impl Inputs {
    /// These.
    #[must_use]
    pub const fn these(inputs: &[Input]) -> Self {
        let (mut set, mut index) = (Self(0), 0);
        while index < inputs.len() {
            set = set.and(inputs[index]);
            index += 1;
        }
        set
    }

    /// These and one more.
    #[must_use]
    pub const fn and(self, input: Input) -> Self {
        Self(self.0 | 1 << input as u16)
    }

    /// Whether one is among them.
    #[must_use]
    pub const fn contains(self, input: Input) -> bool {
        self.0 & 1 << input as u16 != 0
    }

    /// Each of them, in the order of [`Input::ALL`].
    pub fn each(self) -> impl Iterator<Item = Input> {
        let all = Input::ALL.into_iter();
        all.filter(move |input| self.contains(*input))
    }
}

use Input::{Battery, CalmWaterPower, Currents, Delay, LaunchTime, Reaction, ReturnLeg, Wind};

/// Follows from none of them.
pub(super) const NOTHING: Inputs = Inputs::these(&[]);
/// Follows from all of them, or is not known not to.
pub(super) const EVERYTHING: Inputs = Inputs::these(&Input::ALL);
/// Follows from the wind alone.
pub(super) const THE_WIND: Inputs = Inputs::these(&[Wind]);
/// Follows from the run out and home.
pub(super) const THE_RUN: Inputs =
    Inputs::these(&[Wind, Battery, CalmWaterPower, ReturnLeg, Currents]);
/// Follows from when the boat is out.
pub(super) const BEING_OUT: Inputs = THE_RUN.and(Delay).and(LaunchTime);
/// Follows from where a disabled boat comes to, and how soon it is fetched.
pub(super) const BEING_FETCHED: Inputs = THE_RUN.and(Reaction);
/// Follows from the return leg, not from the wind.
pub(super) const THE_RETURN_LEG: Inputs = Inputs::these(&[ReturnLeg]);
/// Follows from the currents, not from the wind.
pub(super) const THE_CURRENTS: Inputs = Inputs::these(&[Currents]);
/// Follows from speeds through the water, out and home, not from the wind.
pub(super) const THE_SPEEDS: Inputs = Inputs::these(&[Currents, ReturnLeg]);
/// Follows from how late the launch may be.
pub(super) const THE_DELAY: Inputs = Inputs::these(&[Delay, LaunchTime]);
/// Follows from how fast the operator reacts.
pub(super) const THE_OPERATOR: Inputs = Inputs::these(&[Reaction]);
/// Follows from how far the boat runs on before the operator has it.
pub(super) const RUNNING_ON: Inputs = Inputs::these(&[Reaction, Currents]);
/// Follows from what the battery holds, not from the run.
pub(super) const THE_BATTERY: Inputs = Inputs::these(&[Battery]);
