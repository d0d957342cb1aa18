//! What the Align page remembers of how it looks.

use crate::app::pages::Page;
use crate::app::widgets::camera::Sight;
use crate::app::widgets::nudge::Gestures;
use crate::app::widgets::pane::PictureView;
use crate::geometry::{PicturePoint, PictureVector};
use crate::reference::{DieId, LandmarkName, Side, Sides};

/// A landmark being dragged.
#[derive(Debug, Clone, PartialEq)]
pub struct Drag {
    /// Which.
    pub name: LandmarkName,
    /// The number of the gesture, so that the drag is one step of undo.
    pub gesture: u64,
    /// From the pointer to the landmark when the drag began, so that it does not jump.
    pub grip: PictureVector,
}

/// Where a landmark stood before it was snapped.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapped {
    /// Its side.
    pub side: Side,
    /// Which.
    pub name: LandmarkName,
    /// Where it was clicked.
    pub from: PicturePoint,
    /// Where it went. It is shown for as long as the landmark stays there.
    pub to: PicturePoint,
}

/// Whether something is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shows {
    /// It is.
    Yes,
    /// It is not.
    No,
}

impl Shows {
    /// The other.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Shows::Yes => Shows::No,
            Shows::No => Shows::Yes,
        }
    }
}

/// What the page remembers.
pub struct AlignPage {
    /// The landmark to place or move, for each side.
    pub selected: Sides<Option<LandmarkName>>,
    /// The photos' views.
    pub photo_views: Sides<PictureView>,
    /// The plate's view while it does not follow the selected landmark; none while it does.
    pub plate_view: Option<PictureView>,
    /// The plate in view, for each side.
    pub plates: Sides<Option<(DieId, usize)>>,
    /// The landmark placed last, which can be snapped while the next one is already selected.
    pub placed_last: Option<(Side, LandmarkName)>,
    /// The landmark snapped last.
    pub snapped: Option<Snapped>,
    /// Whether the selected landmark's row is still to be brought into view.
    pub scroll_to_selected: bool,
    /// The landmark being dragged.
    pub drag: Option<Drag>,
    /// What the photos' panes showed last, for the buttons beside them.
    pub seen: Sides<Option<Sight>>,
    /// The photo point under the pointer.
    pub pointer: Option<PicturePoint>,
    /// The rim with its handles.
    pub rim: Shows,
    /// A handle of the rim being dragged.
    pub rim_drag: Option<crate::app::widgets::rim::RimDrag>,
    /// Zones on the photo.
    pub zones: Shows,
    /// The magnifier.
    pub lens: Shows,
    /// The lens's texture.
    pub lens_texture: Option<egui::TextureHandle>,
    /// Numbers the gestures.
    pub gestures: Gestures,
    greeted: Sides<bool>,
}

impl Default for AlignPage {
    fn default() -> Self {
        Self {
            selected: Sides::default(),
            photo_views: Sides::default(),
            plate_view: None,
            plates: Sides::default(),
            placed_last: None,
            snapped: None,
            scroll_to_selected: false,
            drag: None,
            seen: Sides::default(),
            pointer: None,
            rim: Shows::No,
            rim_drag: None,
            zones: Shows::Yes,
            lens: Shows::Yes,
            lens_texture: None,
            gestures: Gestures::default(),
            greeted: Sides::default(),
        }
    }
}

impl AlignPage {
    /// The selected landmark of a side.
    #[must_use]
    pub fn selected(&self, side: Side) -> Option<&LandmarkName> {
        self.selected[side].as_ref()
    }

    /// Selects a landmark of a side; the plate follows it again.
    pub fn select(&mut self, side: Side, name: Option<LandmarkName>) {
        self.selected[side] = name;
        self.plate_view = None;
        self.scroll_to_selected = true;
    }

    /// Brings the state in line with the bench: a side seen for the first time has its first unplaced landmark
    /// selected and a plate in view.
    pub fn follow(&mut self, page: &Page<'_>) {
        let (side, set) = (page.bench.side, &page.bench.set);
        let reference = set.side(side);
        if let Some(name) = &self.selected[side]
            && reference.landmark(name).is_none()
        {
            self.selected[side] = None;
        }
        if !self.greeted[side] && page.bench.photos[side].picture().is_some() {
            self.greeted[side] = true;
            if self.selected[side].is_none() {
                self.selected[side] = super::place::next_unplaced(page, side, None);
            }
        }
        if self.plates[side].is_none() {
            self.plates[side] = reference
                .dies
                .iter()
                .flat_map(|die| (0..die.plates.len()).map(move |n| (die, n)))
                .max_by_key(|(die, n)| (die.plates[*n].landmarks.len(), std::cmp::Reverse(*n)))
                .map(|(die, n)| (die.id.clone(), n));
        }
    }
}
