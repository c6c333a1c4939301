//! Which figures of the power the runs can tell, and of the others why they cannot.

use super::driving_power::{DrivingPower, LEGS, STRETCHES};
use super::estimate::Kept;
use super::figure::Figure;

/// Least ratio of the fastest leg's speed to the slowest's by which hull and hotel load are reported
/// apart.
const SPEEDS: f64 = 1.25;
/// Wind at the hull below which a leg says nothing of the windage, m/s.
const BREEZE: f64 = 1.5;
/// Share of the wind that is ahead on a leg against it, and at most on a leg that is not.
const AGAINST: f64 = 0.7;
const NOT_AGAINST: f64 = 0.3;
/// Fewest legs of either sort.
const EITHER: usize = 2;

impl DrivingPower {
    /// Legs on which something holds of the first of their stretches.
    fn legs_where(&self, holds: impl Fn(usize) -> bool) -> usize {
        let mut legs: Vec<usize> = (0..self.legs.len())
            .filter(|row| holds(*row))
            .map(|row| self.legs[row])
            .collect();
        legs.sort_unstable();
        legs.dedup();
        legs.len()
    }

    /// Whether a stretch runs against a wind that can be determined.
    fn against(&self, row: usize) -> bool {
        let (share, wind) = self.ahead[row];
        wind >= BREEZE && share >= AGAINST
    }

    fn not_against(&self, row: usize) -> bool {
        let (share, wind) = self.ahead[row];
        wind < BREEZE || share <= NOT_AGAINST
    }

    /// The figures that the runs can tell, and of the others why they cannot.
    pub(super) fn supported(&self) -> (Vec<Figure>, Vec<Kept>) {
        let mut unknown: Vec<Figure> = self.columns.iter().map(|(figure, _)| *figure).collect();
        let mut kept = Vec::new();
        let mut keep = |figures: &[Figure], why: &str, run: &'static str| {
            for figure in figures {
                if let Some(at) = unknown.iter().position(|one| one == figure) {
                    unknown.remove(at);
                    kept.push(Kept {
                        figure: *figure,
                        why: why.to_owned(),
                        run,
                    });
                }
            }
        };
        let legs = self.legs_where(|_| true);
        if self.legs.len() < STRETCHES || legs < LEGS {
            let why = format!(
                "{} steady stretches on {legs} legs (limit: at least {STRETCHES} on {LEGS})",
                self.legs.len()
            );
            let all: Vec<Figure> = self.columns.iter().map(|(figure, _)| *figure).collect();
            keep(&all, &why, super::LEGS_EACH_WAY);
            return (unknown, kept);
        }
        let least = self.speeds.iter().copied().fold(f64::INFINITY, f64::min);
        let most = self.speeds.iter().copied().fold(0.0, f64::max);
        if most < SPEEDS * least {
            let why = format!(
                "the speed was about the same throughout, {least:.2} to {most:.2} m/s, so the runs \
                 do not separate hull and hotel load"
            );
            let hull = self.columns[1].0;
            keep(&[Figure::HotelLoad, hull], &why, super::THREE_SPEEDS);
        }
        let against = self.legs_where(|row| self.against(row));
        let not = self.legs_where(|row| self.not_against(row));
        if against < EITHER {
            let why = format!(
                "{against} legs head into a wind of {BREEZE} m/s or more at the hull (limit: at \
                 least {EITHER})"
            );
            keep(&[Figure::Drag], &why, super::INTO_THE_WIND);
        } else if not < EITHER {
            let why = format!(
                "all but {not} legs head into the wind, so the runs do not separate air and water"
            );
            keep(&[Figure::Drag], &why, super::INTO_THE_WIND);
        }
        (unknown, kept)
    }
}
