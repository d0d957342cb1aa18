//! The frame of a crop: which part of a side it shows, at which scale and rotation.

use nalgebra::Matrix3;

use crate::geometry::{CropPoint, SidePoint};

/// A rectangle of the side, to be cut at a scale. The same frame cut from a photo and from a plate gives two
/// pictures that match pixel for pixel, as far as the alignments are true.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CropFrame {
    /// Its centre in side mm, which lies at the crop's middle, ((width_px - 1) / 2, (height_px - 1) / 2).
    pub centre: SidePoint,
    /// Its scale in crop px per mm.
    pub px_per_mm: f64,
    /// By how much the side is turned clockwise on the crop, in degrees; 0 shows the design upright.
    pub rotation_deg: f64,
    /// Width in px.
    pub width_px: u32,
    /// Height in px.
    pub height_px: u32,
}

impl CropFrame {
    /// Its width and height on the side, in mm.
    #[must_use]
    pub fn size_mm(&self) -> (f64, f64) {
        (
            f64::from(self.width_px) / self.px_per_mm,
            f64::from(self.height_px) / self.px_per_mm,
        )
    }

    /// The matrix from crop px to side mm, on columns (x, y, 1).
    #[must_use]
    pub fn side_from_crop(&self) -> Matrix3<f64> {
        let (sin, cos) = self.rotation_deg.to_radians().sin_cos();
        let k = 1.0 / self.px_per_mm;
        let (mx, my) = self.middle();
        // side = centre + R(-rotation) (crop - middle) / px_per_mm
        Matrix3::new(
            k * cos,
            k * sin,
            self.centre.x - k * (cos * mx + sin * my),
            -k * sin,
            k * cos,
            self.centre.y - k * (-sin * mx + cos * my),
            0.0,
            0.0,
            1.0,
        )
    }

    /// Which position on the side a crop point shows.
    #[must_use]
    pub fn point_on_side(&self, point: CropPoint) -> SidePoint {
        let v = self.side_from_crop() * nalgebra::Vector3::new(point.x, point.y, 1.0);
        SidePoint::new(v.x, v.y)
    }

    /// Where a position on the side lies in the crop.
    #[must_use]
    pub fn point_in_crop(&self, position: SidePoint) -> CropPoint {
        let (sin, cos) = self.rotation_deg.to_radians().sin_cos();
        let d = position - self.centre;
        let (mx, my) = self.middle();
        CropPoint::new(
            mx + self.px_per_mm * (cos * d.x - sin * d.y),
            my + self.px_per_mm * (sin * d.x + cos * d.y),
        )
    }

    fn middle(&self) -> (f64, f64) {
        (
            (f64::from(self.width_px) - 1.0) / 2.0,
            (f64::from(self.height_px) - 1.0) / 2.0,
        )
    }
}
