//! Where every point of a solid coin is in its picture.

use std::collections::BTreeMap;
use std::sync::Arc;

use dietell::align::Rim;
use dietell::geometry::{PictureFromSide, PicturePoint, SidePoint};
use dietell::reference::{LandmarkName, ZoneId};
use nalgebra::{Matrix2, Matrix3, SymmetricEigen, Vector2, Vector3};

use super::coin::Struck;
use super::look::Look;
use super::sculpture::Sculpture;
use crate::MintError;
use crate::camera::Pose;
use crate::shapes::P;

/// Where every point of a solid coin is in its picture.
#[derive(Debug, Clone)]
pub struct SolidTruth {
    pub(super) coin: Struck,
    pub(super) solid: Arc<Sculpture>,
    pub(super) pose: Arc<Pose>,
}

impl SolidTruth {
    /// The height of the coin's surface at a point of the side, in mm over the field's edge.
    #[must_use]
    pub fn height_mm(&self, p: SidePoint) -> f64 {
        f64::from(self.solid.height(single(p)))
    }

    /// The height of the bare field at a point of the side, in mm over the field's edge.
    #[must_use]
    pub fn field_mm(&self, p: SidePoint) -> f64 {
        f64::from(self.coin.design().field_mm(single(p)))
    }

    /// The transform for points at one height, in mm over the field's edge: exact.
    ///
    /// # Errors
    /// [`MintError::NoSuchView`] where the plane is seen from its edge.
    pub fn at_height(&self, height_mm: f64) -> Result<PictureFromSide, MintError> {
        self.pose.picture_from_plane(height_mm)
    }

    /// Where a point of the side at a height lies in the picture.
    #[must_use]
    pub fn position(&self, p: SidePoint, height_mm: f64) -> PicturePoint {
        self.pose.point(p, height_mm)
    }

    /// Where a point of the side lies, at the coin's surface.
    #[must_use]
    pub fn at_surface(&self, p: SidePoint) -> PicturePoint {
        self.position(p, self.height_mm(p))
    }

    /// Where a point of the side lies, at the height of the field.
    #[must_use]
    pub fn at_field(&self, p: SidePoint) -> PicturePoint {
        self.position(p, self.field_mm(p))
    }

    /// Where every landmark is, at the coin's surface.
    #[must_use]
    pub fn landmarks(&self) -> BTreeMap<LandmarkName, PicturePoint> {
        let all = self.coin.design().landmarks.iter();
        all.map(|l| (l.name.clone(), self.at_surface(l.place_mm)))
            .collect()
    }

    /// Where the middle of every zone is, at the coin's surface and at the height of the field.
    #[must_use]
    pub fn zones(&self) -> BTreeMap<ZoneId, (PicturePoint, PicturePoint)> {
        let all = self.coin.design().zones.iter();
        all.map(|z| {
            (
                z.id.clone(),
                (self.at_surface(z.centre_mm), self.at_field(z.centre_mm)),
            )
        })
        .collect()
    }

    /// Whether the camera sees the coin's surface at a point of the side, or a flank hides it.
    #[must_use]
    pub fn is_seen(&self, p: SidePoint) -> bool {
        let at = self.at_surface(p);
        let look = Look::of(&self.solid, &self.pose);
        let found = look.hit(self.pose.ray(at.x, at.y)).p;
        let off = [found[0] - p.x as f32, found[1] - p.y as f32];
        off[0].hypot(off[1]) < 2.5 / self.solid.heights.px_per_mm
    }

    /// The rim: the picture of the circle of the flan's radius where its edge begins to fall, for a round flan.
    #[must_use]
    pub fn rim(&self) -> Option<Rim> {
        let flan = self.coin.flan();
        if !flan.is_round() {
            return None;
        }
        let height = f64::from(self.solid.edge_mm(flan));
        let view = self.at_height(height).ok()?;
        let middle = SidePoint::new(f64::from(flan.middle[0]), f64::from(flan.middle[1]));
        ellipse(&view, middle, f64::from(flan.radius_mm))
    }

    /// The coin.
    #[must_use]
    pub fn coin(&self) -> &Struck {
        &self.coin
    }
}

fn single(p: SidePoint) -> P {
    [p.x as f32, p.y as f32]
}

/// The picture of a circle of the side, by its conic.
fn ellipse(view: &PictureFromSide, middle: SidePoint, radius: f64) -> Option<Rim> {
    let to_middle = Matrix3::new(1.0, 0.0, -middle.x, 0.0, 1.0, -middle.y, 0.0, 0.0, 1.0);
    let circle = Matrix3::from_diagonal(&Vector3::new(1.0, 1.0, -radius * radius));
    let inverse = to_middle * view.side_from_picture();
    let conic = inverse.transpose() * circle * inverse;
    let shape = Matrix2::new(conic[(0, 0)], conic[(0, 1)], conic[(1, 0)], conic[(1, 1)]);
    let linear = Vector2::new(conic[(0, 2)], conic[(1, 2)]);
    let centre = -(shape.try_inverse()? * linear);
    let level = -(conic[(2, 2)] + linear.dot(&centre));
    let eigen = SymmetricEigen::new(shape / level);
    let (long, short) = if eigen.eigenvalues[0] < eigen.eigenvalues[1] {
        (0, 1)
    } else {
        (1, 0)
    };
    let axis = eigen.eigenvectors.column(long);
    Some(Rim {
        centre: PicturePoint::new(centre.x, centre.y),
        long_px: eigen.eigenvalues[long].sqrt().recip(),
        short_px: eigen.eigenvalues[short].sqrt().recip(),
        turn_deg: axis[1].atan2(axis[0]).to_degrees(),
        by_hand: false,
    })
}
