//! Points and vectors in the plan's plane, metres east and north of the site's origin.

use crate::units::Towards;

/// A point or a vector, in metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// East.
    pub x: f64,
    /// North.
    pub y: f64,
}

impl Point {
    /// The origin, or no vector.
    pub const ZERO: Self = Self { x: 0.0, y: 0.0 };

    /// From metres east and north.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The unit vector of a movement.
    #[must_use]
    pub fn towards(direction: Towards) -> Self {
        let (x, y) = direction.unit_vector();
        Self { x, y }
    }

    /// As components (east, north).
    #[must_use]
    pub const fn components(self) -> (f64, f64) {
        (self.x, self.y)
    }

    /// Scalar product.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The vertical part of the vector product: positive where `other` lies anticlockwise.
    #[must_use]
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length of the vector.
    #[must_use]
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// Distance to another point.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        (self - other).length()
    }

    /// The vector times a number.
    #[must_use]
    pub fn scale(self, by: f64) -> Self {
        Self::new(self.x * by, self.y * by)
    }

    /// The unit vector of the same direction, or `None` where there is no length.
    #[must_use]
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self.scale(1.0 / length))
    }

    /// The vector turned clockwise (as bearings grow) by an angle in radians.
    #[must_use]
    pub fn rotated(self, clockwise: f64) -> Self {
        let (sin, cos) = clockwise.sin_cos();
        Self::new(self.x * cos + self.y * sin, self.y * cos - self.x * sin)
    }

    /// The point a share of the way to another: 0 here, 1 there.
    #[must_use]
    pub fn lerp(self, other: Self, share: f64) -> Self {
        self + (other - self).scale(share)
    }

    /// The direction from here to another point, north where they are the same.
    #[must_use]
    pub fn bearing_to(self, other: Self) -> Towards {
        Towards::from_components(other.x - self.x, other.y - self.y)
    }

    /// Whether both coordinates are finite.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl std::ops::Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }
}

impl std::ops::Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    #[test]
    fn vectors_turn_as_bearings_do() {
        let north = Point::new(0.0, 2.0);
        let east = north.rotated(std::f64::consts::FRAC_PI_2);
        assert!(east.distance(Point::new(2.0, 0.0)) < 1e-12);
        assert!(Point::ZERO.bearing_to(east).angle().to_degrees() - 90.0 < 1e-9);
        let southwest = Point::towards(Towards::new(Angle::degrees(225.0)));
        assert!(southwest.x < 0.0 && southwest.y < 0.0);
        assert!((southwest.length() - 1.0).abs() < 1e-12);
        assert!(Point::ZERO.unit().is_none());
        assert!(east.cross(north) > 0.0);
    }
}
