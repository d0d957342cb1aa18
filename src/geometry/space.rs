//! The coordinate frames, as types that cannot be mixed up.

/// The side frame: the plane of one side of the coin in millimetres, origin at the rim's centre, x right, y down,
/// for the upright design at the set's nominal diameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SideMm {}

/// An upright picture (photo or plate) in pixels: the orientation flag already applied, x right, y down. The centre of
/// the top-left pixel is (0, 0), so a picture w px wide reaches from -0.5 to w - 0.5.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PicturePx {}

/// A crop in pixels, by the same convention as [`PicturePx`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CropPx {}

/// A position on a side, in mm.
pub type SidePoint = euclid::Point2D<f64, SideMm>;
/// A displacement on a side, in mm.
pub type SideVector = euclid::Vector2D<f64, SideMm>;
/// A position in an upright picture, in px.
pub type PicturePoint = euclid::Point2D<f64, PicturePx>;
/// A displacement in an upright picture, in px.
pub type PictureVector = euclid::Vector2D<f64, PicturePx>;
/// A position in a crop, in px.
pub type CropPoint = euclid::Point2D<f64, CropPx>;
