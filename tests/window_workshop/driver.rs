//! The window driven as by a user: controls by their accessible names, the pictures by the pointer, and keys.

use std::cell::Cell;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use dietell::app::pages::workshop::Workshop;
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::app::shell::window::{Setup, Window};
use dietell::geometry::PicturePoint;
use dietell::reference::Side;
use egui::accesskit::Role;
use egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{Harness, Node};
use mint::{self, JpegOptions, Shot};

/// Plates of this size are quick to mint and large enough to click on.
pub const PLATE_PX: u32 = 700;

/// A window with its temporary folder and its scripted file dialogs.
pub struct User {
    /// The window in its harness.
    pub harness: Harness<'static, Window>,
    /// What the file dialogs answer.
    pub dialogs: ScriptedDialogs,
    /// Where everything is kept.
    pub home: tempfile::TempDir,
    /// Whether the workers are held up: what was asked of them waits, as behind long work.
    held: Rc<Cell<bool>>,
}

impl User {
    /// A window on its start screen, its cabinet empty.
    pub fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        let dialogs = ScriptedDialogs::default();
        let window = Window::new(Setup::for_test(dialogs.clone(), home.path().join("cabinet")));
        let held = Rc::new(Cell::new(false));
        let holds = Rc::clone(&held);
        let mut harness = Harness::builder()
            .with_size([1400.0, 1000.0])
            .with_max_steps(64)
            .build_ui_state(
                move |ui, window: &mut Window| {
                    if !holds.get() {
                        window.tick(ui.ctx());
                    }
                    window.frame_ui(ui);
                },
                window,
            );
        harness.run_ok();
        Self {
            harness,
            dialogs,
            home,
            held,
        }
    }

    /// A window with a new set in the workshop.
    pub fn with_new_set(title: &str) -> Self {
        let mut user = Self::new();
        user.click("Reference sets\u{2026}");
        user.fill("Title", title);
        user.click("Begin");
        user
    }

    pub fn home(&self) -> &Path {
        self.home.path()
    }

    pub fn workshop(&self) -> &Workshop {
        self.harness.state().workshop.as_ref().unwrap()
    }

    /// Where `SCREENSHOTS` names a folder and there is a graphics adapter, keeps a picture of the window there to look
    /// at.
    pub fn look(&mut self, name: &str) {
        if let Some(folder) = std::env::var_os("SCREENSHOTS")
            && let Ok(picture) = self.harness.render()
        {
            picture
                .save(Path::new(&folder).join(format!("{name}.png")))
                .unwrap();
        }
    }

    /// Clicks the one control of this name.
    pub fn click(&mut self, label: &str) {
        let found = self.harness.query_all_by_label(label).count();
        assert_eq!(
            found, 1,
            "{found} controls are named {label:?}:\n{:?}",
            self.harness
        );
        self.harness.get_by_label(label).click();
        self.harness.run_ok();
    }

    /// Clicks the one control whose name contains this.
    pub fn click_containing(&mut self, part: &str) {
        self.harness.get_by_label_contains(part).click();
        self.harness.run_ok();
    }

    /// Clicks what begins long work, and holds the workers up once it has begun, until [`User::let_go`].
    pub fn click_and_hold(&mut self, label: &str) {
        self.harness.get_by_label(label).click();
        for _ in 0..10 {
            // The file's dialog is answered between frames, so that the work begins some frames after the click.
            self.harness.step();
            if !self.harness.state().tasks.is_empty() {
                break;
            }
        }
        assert!(!self.harness.state().tasks.is_empty(), "no long work began");
        self.held.set(true);
        // Longer than the work must last to be shown.
        self.harness.run_steps(60);
    }

    /// Clicks while the workers are held up.
    pub fn click_held(&mut self, label: &str) {
        self.harness.get_by_label(label).click();
        self.harness.run_steps(4);
    }

    /// Lets the workers go on.
    pub fn let_go(&mut self) {
        self.held.set(false);
        self.harness.run_ok();
    }

    /// Opens a list and chooses an entry.
    pub fn choose(&mut self, list: &str, entry: &str) {
        self.harness.get_by_role_and_label(Role::ComboBox, list).click();
        self.harness.run_ok();
        self.click(entry);
    }

    /// The one field for text, of a line or of several, that has this name.
    fn field<'a>(&'a self, label: &'a str) -> Node<'a> {
        let roles = [Role::TextInput, Role::MultilineTextInput];
        let mut found = roles
            .into_iter()
            .flat_map(|role| self.harness.query_all_by_role_and_label(role, label));
        let field = found.next();
        assert!(found.next().is_none(), "several fields are named {label:?}");
        field.unwrap_or_else(|| panic!("no field is named {label:?}"))
    }

    /// Writes into a field and leaves it.
    pub fn fill(&mut self, label: &str, text: &str) {
        self.field(label).focus();
        self.harness.run_ok();
        self.field(label).set_text_value_accesskit(text);
        self.harness.run_ok();
        self.harness.key_press(Key::Tab);
        self.harness.run_ok();
    }

    /// Drops files on the window.
    pub fn drop(&mut self, files: &[&Path]) {
        let dropped = &mut self.harness.input_mut().dropped_files;
        for file in files {
            dropped.push(Arc::new(Dropped(file.to_path_buf())));
        }
        self.harness.run_ok();
    }

    pub fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.harness.run_ok();
    }

    pub fn says(&self, part: &str) -> bool {
        self.harness.query_all_by_label_contains(part).count() > 0
    }

    /// Where a point of the plate in view is on the screen.
    pub fn on_plate(&self, side: Side, point: PicturePoint) -> Pos2 {
        let design = &self.workshop().design[side];
        design.sight.unwrap().position(point)
    }

    /// Presses the pointer at a place, moves it in some steps and lets go.
    pub fn drag(&mut self, from: Pos2, to: Pos2) {
        self.harness.hover_at(from);
        self.harness.run_ok();
        self.harness.drag_at(from);
        self.harness.run_ok();
        for share in [0.4_f32, 1.0] {
            self.harness.hover_at(from + (to - from) * share);
            self.harness.run_ok();
        }
        self.harness.drop_at(to);
        self.harness.run_ok();
    }

    /// A click of the pointer; pressed and let go at once, since a long press is none.
    pub fn tap(&mut self, at: Pos2) {
        self.harness.hover_at(at);
        self.harness.step();
        self.harness.drag_at(at);
        self.harness.drop_at(at);
        self.harness.run_ok();
    }
}

/// A minted plate of an obverse die in a file of its own.
pub fn mint_plate(folder: &Path, die: &str) -> (PathBuf, Shot) {
    let shot = mint::plate(Side::Obverse, &die.into(), PLATE_PX).unwrap();
    let file = folder.join(format!("{die}.jpg"));
    mint::write_jpeg(&shot.pixels, &file, &JpegOptions::default()).unwrap();
    (file, shot)
}

/// The first landmarks of a minted picture, by their names in the demo design, with their true places.
pub fn some_landmarks(shot: &Shot, count: usize) -> Vec<(String, PicturePoint)> {
    shot.landmarks()
        .into_iter()
        .take(count)
        .map(|(name, p)| (name.0, p))
        .collect()
}

/// A file dropped on the window.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}
