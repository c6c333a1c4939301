//! Where what comes in lies, compared with places that a site states: latitude and longitude that are swapped are two
//! good numbers each, and lie elsewhere.

use super::fault::{excerpt, shown_position};
use crate::models::geodesy::{Plane, Position};

/// What positions are compared with.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Held {
    /// The site that the user names.
    pub site: Option<String>,
    /// Places that sites state, each as it is named in a sentence.
    pub places: Vec<(String, Position)>,
}

/// How far positions reach, in degrees.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Whereabouts {
    /// The least latitude and longitude.
    low: (f64, f64),
    /// The greatest.
    high: (f64, f64),
}

impl Whereabouts {
    /// Those of some latitudes and longitudes; `None` where there are none.
    pub(super) fn from_positions(all: impl IntoIterator<Item = (f64, f64)>) -> Option<Self> {
        let mut all = all.into_iter();
        let first = all.next()?;
        let mut reach = Self {
            low: first,
            high: first,
        };
        all.for_each(|one| reach.take(one));
        Some(reach)
    }

    /// Reaches to one more position.
    pub(super) fn take(&mut self, (latitude, longitude): (f64, f64)) {
        self.low = (self.low.0.min(latitude), self.low.1.min(longitude));
        self.high = (self.high.0.max(latitude), self.high.1.max(longitude));
    }

    /// Reaches to all of another.
    pub(crate) fn join(&mut self, other: Self) {
        self.take(other.low);
        self.take(other.high);
    }

    fn swapped(self) -> Self {
        let swap = |(latitude, longitude): (f64, f64)| (longitude, latitude);
        Self {
            low: swap(self.low),
            high: swap(self.high),
        }
    }

    /// Whether a plan about a place could reach any of it.
    fn is_by(self, place: Position) -> bool {
        let latitude = place.latitude.to_degrees();
        let longitude = place.longitude.to_degrees();
        if self.low.0.abs().max(self.high.0.abs()) > 90.0 {
            return false;
        }
        let nearest = Position::from_degrees(
            latitude.clamp(self.low.0, self.high.0),
            longitude.clamp(self.low.1, self.high.1),
        );
        Plane::about(place).within_limit(nearest).is_ok()
    }

    /// In words.
    fn shown(self) -> String {
        let (low, high) = (
            shown_position(self.low.0, self.low.1),
            shown_position(self.high.0, self.high.1),
        );
        if low == high {
            format!("the only position is {low}")
        } else {
            format!("the positions reach from {low} to {high}")
        }
    }

    /// Compares it with the places of a site. What people are to look at where that tells nothing, in a sentence.
    ///
    /// # Errors
    /// It lies by none of them, and would by one with latitude and longitude swapped; or by none of the site that the
    /// user names.
    pub(crate) fn hold(self, to: &Held) -> Result<Option<String>, String> {
        let shown = self.shown();
        let Some((name, _)) = to.places.first() else {
            let lacks = to.site.as_ref().map_or_else(
                || "no site here states a place".to_owned(),
                |site| format!("site `{}` states no place yet", excerpt(site)),
            );
            return Ok(Some(format!(
                "{shown}, latitude first; {lacks} to compare that with: look at a map, since latitude and \
                 longitude that are swapped look alike"
            )));
        };
        if to.places.iter().any(|(_, at)| self.is_by(*at)) {
            return Ok(None);
        }
        let swapped = self.swapped();
        if let Some((name, _)) = to.places.iter().find(|(_, at)| swapped.is_by(*at)) {
            return Err(format!(
                "{shown}, latitude first, more than {} from {name}; latitude and longitude are swapped",
                Plane::LIMIT
            ));
        }
        if to.site.is_some() {
            return Err(format!(
                "{shown}, latitude first, more than {} from {name}; is it the site that `--site` names, and the \
                 system that `--crs` names?",
                Plane::LIMIT
            ));
        }
        Ok(Some(format!(
            "{shown}, latitude first, more than {} from every site here; `--site` names the one that it belongs to",
            Plane::LIMIT
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn held(site: Option<&str>, places: &[(f64, f64)]) -> Held {
        let place = |at: &(f64, f64)| ("the steps".to_owned(), Position::from_degrees(at.0, at.1));
        Held {
            site: site.map(str::to_owned),
            places: places.iter().map(place).collect(),
        }
    }

    fn reach(all: &[(f64, f64)]) -> Whereabouts {
        Whereabouts::from_positions(all.iter().copied()).unwrap()
    }

    #[test]
    fn what_lies_by_a_place_is_taken_without_a_word() {
        let fjord = reach(&[(68.01, 15.02), (68.05, 15.10)]);
        for site in [None, Some("fjord")] {
            let held = held(site, &[(10.0, 10.0), (68.03, 15.2)]);
            assert_eq!(fjord.hold(&held), Ok(None));
        }
    }

    #[test]
    fn what_would_lie_by_a_place_the_other_way_round_is_refused() {
        let swapped = reach(&[(15.02, 68.01), (15.10, 68.05)]);
        for site in [None, Some("fjord")] {
            let told = swapped.hold(&held(site, &[(68.03, 15.05)])).unwrap_err();
            assert!(
                told.ends_with("latitude and longitude are swapped"),
                "{told}"
            );
            assert!(told.contains("from [15.0200000, 68.0100000] to"), "{told}");
        }
        // On the far side of the equator, and where the longitude is no latitude.
        let south = reach(&[(-70.5, -33.2)]);
        assert!(south.hold(&held(None, &[(-33.2, -70.5)])).is_err());
        let wide = reach(&[(33.2, 120.5)]);
        assert!(wide.hold(&held(None, &[(33.2, 10.0)])).unwrap().is_some());
    }

    #[test]
    fn what_lies_elsewhere_is_refused_by_a_named_site_and_told_otherwise() {
        let elsewhere = reach(&[(40.0, 3.0)]);
        let places = [(68.03, 15.05)];
        let told = elsewhere.hold(&held(Some("fjord"), &places)).unwrap_err();
        assert!(told.contains("the site that `--site` names"), "{told}");
        let told = elsewhere.hold(&held(None, &places)).unwrap().unwrap();
        assert!(told.contains("from every site here"), "{told}");
        let told = elsewhere.hold(&held(None, &[])).unwrap().unwrap();
        assert!(
            told.contains(
                "the only position is [40.0000000, 3.0000000], latitude first; no site here"
            ),
            "{told}"
        );
        let told = elsewhere.hold(&held(Some("fjord"), &[])).unwrap().unwrap();
        assert!(told.contains("site `fjord` states no place yet"), "{told}");
    }
}
