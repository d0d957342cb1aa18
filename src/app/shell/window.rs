//! The window: holds all state, draws the screen in view and carries out what the views ask for.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, OnceLock};

use super::dialogs::{Dialogs, SystemDialogs};
use super::overlay::Overlay;
use super::saving::Autosave;
use super::tasks::Tasks;
use super::thumbnails::Thumbnails;
use super::work::{Lanes, Workers};
use crate::app::model::action::Action;
use crate::app::model::bench;
use crate::app::model::bench::{Bench, PictureSlot, PlateKey, Step};
use crate::app::model::done::{Delivery, Done, QuickKey};
use crate::app::model::intake::Intake;
use crate::app::model::page::Page;
use crate::app::model::question::{Ask, Purpose};
use crate::app::model::shelf::{PlateShelf, ReadPlate};
use crate::app::model::store::{self, CabinetEntry, OpenedSpecimen};
use crate::app::model::ticket::{Openings, Subject, Ticket};
use crate::app::pages;
use crate::app::pages::workshop::{self, Workshop};
use crate::app::widgets::canvas::{self, Canvases};
use crate::app::widgets::notice::Notices;
use crate::app::widgets::theme;
use crate::photo::Watch;
use crate::pipeline::{self, Album, Missing, Pictures};
use crate::reference::{ReferenceSet, Side};
use crate::specimen::{Settings, Theme, default_root, default_settings_file};

/// The screens.
#[derive(Default)]
pub enum Screen {
    /// The cabinet and what to begin with.
    #[default]
    Start,
    /// A specimen being put together.
    NewSpecimen(Box<Intake>),
    /// The open specimen, in its four steps.
    Bench,
    /// The workshop, where reference sets are made.
    Workshop,
}

/// What the pages of the bench remember of how they look.
#[derive(Default)]
pub struct Pages {
    /// The first step.
    pub align: pages::align::AlignPage,
    /// The second.
    pub compare: pages::compare::ComparePage,
    /// The third.
    pub standing: pages::standing::StandingPage,
    /// The fourth.
    pub sheet: pages::sheet::SheetPage,
}

/// What a window is made with.
pub struct Setup {
    /// How work is done.
    pub lanes: Lanes,
    /// How the user is asked for files.
    pub dialogs: Box<dyn Dialogs>,
    /// The settings as they were.
    pub settings: Settings,
    /// Where they are kept; nowhere in tests.
    pub settings_file: Option<PathBuf>,
    /// The cabinet's folder where the settings name none.
    pub usual_cabinet: PathBuf,
    /// What the user should know at the start.
    pub note: Option<String>,
}

impl Setup {
    /// For the user at this machine.
    #[must_use]
    pub fn for_this_user() -> Self {
        let settings_file = default_settings_file();
        let read = settings_file.as_deref().map(Settings::read);
        let (settings, note) = match read {
            Some(Ok(settings)) => (settings, None),
            Some(Err(error)) => (Settings::default(), Some(error.to_string())),
            None => (Settings::default(), None),
        };
        Self {
            lanes: Lanes::Threads,
            dialogs: Box::new(SystemDialogs),
            settings,
            // Settings that cannot be read are left as they are, for the user to mend.
            settings_file: settings_file.filter(|_| note.is_none()),
            usual_cabinet: default_root().unwrap_or_else(|| PathBuf::from("Dietell")),
            note,
        }
    }

    /// For tests: all work inline, no settings kept, the cabinet in a folder of the test's.
    #[must_use]
    pub fn for_test(dialogs: impl Dialogs + 'static, cabinet: PathBuf) -> Self {
        Self {
            lanes: Lanes::Inline,
            dialogs: Box::new(dialogs),
            settings: Settings {
                theme: Theme::Dark,
                ..Settings::default()
            },
            settings_file: None,
            usual_cabinet: cabinet,
            note: None,
        }
    }
}

/// The window.
pub struct Window {
    /// The screen in view.
    pub screen: Screen,
    /// The open specimen.
    pub bench: Option<Bench>,
    /// The set in the workshop.
    pub workshop: Option<Workshop>,
    /// Pictures on the screen.
    pub canvases: Canvases,
    /// The open set's plates.
    pub plates: PlateShelf,
    /// What was said to the user.
    pub notices: Notices,
    /// Long work and its progress.
    pub tasks: Tasks,
    /// The settings.
    pub settings: Settings,
    /// How the pages look.
    pub pages: Pages,
    /// The cabinet's list, newest first.
    pub cabinet: Vec<CabinetEntry>,
    /// The demo coin's photos, small, while the cabinet is empty.
    pub demo_pictures: Option<[egui::ColorImage; 2]>,
    /// The list's small pictures.
    pub thumbnails: Thumbnails,
    /// What lies over the screen.
    pub overlay: Overlay,
    pub(in crate::app) autosave: Autosave,
    /// Whether the user gave unsaved changes up.
    pub(in crate::app) close_anyway: bool,
    /// The window's title as it was last set.
    pub(in crate::app) shown_title: Option<String>,
    pub(in crate::app) workers: Workers<QuickKey, Delivery>,
    pub(in crate::app) dialogs: Box<dyn Dialogs>,
    pub(in crate::app) actions: Vec<Action>,
    pub(in crate::app) settings_file: Option<PathBuf>,
    pub(in crate::app) usual_cabinet: PathBuf,
    /// Numbers what is opened, so that results for something else are told apart.
    pub(in crate::app) openings: Openings,
    /// The ticket of the specimen that was last asked to be opened.
    pub(in crate::app) specimen_to_open: Ticket,
    /// The ticket of the set that was last asked to be opened in the workshop.
    pub(in crate::app) set_to_open: Ticket,
    /// Set at the first frame; the workers wake the window through it.
    ctx: Arc<OnceLock<egui::Context>>,
}

impl Window {
    /// A window on its start screen.
    #[must_use]
    pub fn new(setup: Setup) -> Self {
        let ctx: Arc<OnceLock<egui::Context>> = Arc::default();
        let wake = Arc::clone(&ctx);
        let workers = Workers::start(setup.lanes, move || {
            if let Some(ctx) = wake.get() {
                ctx.request_repaint();
            }
        });
        let mut openings = Openings::default();
        let mut window = Self {
            screen: Screen::Start,
            bench: None,
            workshop: None,
            canvases: Canvases::default(),
            plates: PlateShelf::default(),
            notices: Notices::default(),
            tasks: Tasks::default(),
            settings: setup.settings,
            pages: Pages::default(),
            cabinet: Vec::new(),
            demo_pictures: None,
            thumbnails: Thumbnails::default(),
            overlay: Overlay::None,
            autosave: Autosave::default(),
            close_anyway: false,
            shown_title: None,
            workers,
            dialogs: setup.dialogs,
            actions: Vec::new(),
            settings_file: setup.settings_file,
            usual_cabinet: setup.usual_cabinet,
            specimen_to_open: openings.open(Subject::SpecimenToOpen),
            set_to_open: openings.open(Subject::SetToOpen),
            openings,
            ctx,
        };
        if let Some(note) = setup.note {
            window.notices.problem(note);
        }
        window.read_cabinet();
        window
    }

    /// The context, once a frame was drawn.
    pub(in crate::app) fn ctx(&self) -> Option<&egui::Context> {
        self.ctx.get()
    }

    /// Puts an action at the end of those to carry out.
    pub fn push(&mut self, action: Action) {
        self.actions.push(action);
    }

    /// Has what was asked of the workers done and puts the results aside, for tests that open something else
    /// meanwhile.
    pub fn set_results_aside(&mut self) {
        self.workers.set_aside();
    }

    /// Has the results that were put aside delivered in the next frame.
    pub fn bring_results_back(&mut self) {
        self.workers.bring_back();
    }

    /// The cabinet's folder.
    #[must_use]
    pub fn cabinet_folder(&self) -> PathBuf {
        self.settings
            .cabinet
            .clone()
            .unwrap_or_else(|| self.usual_cabinet.clone())
    }

    /// Asks the user for a path, for a purpose of what is open now.
    pub(super) fn ask(&self, ask: Ask, suggested_name: &str, purpose: Purpose) {
        if let Some((ticket, _)) = self.open_now(purpose.subject()) {
            let job = self.dialogs.ask(ask, suggested_name);
            self.workers
                .slow(move || ticket.with(Done::Chosen(purpose, job())));
        }
    }

    /// Puts an opened specimen on the bench.
    pub fn put_on_bench(&mut self, specimen: OpenedSpecimen) {
        self.put_other_away();
        self.plates.clear();
        self.pages = Pages::default();
        self.autosave = Autosave::default();
        self.tell(specimen.notes);
        let ticket = self.openings.open(Subject::Specimen);
        let mut bench = Bench::new(
            ticket,
            specimen.folder.map(|f| Arc::new(Mutex::new(f))),
            specimen.set,
            specimen.record,
        );
        bench.plate_source = specimen.source;
        for (side, picture) in Side::BOTH.into_iter().zip(specimen.pictures) {
            if let Some(picture) = picture {
                let i = bench::index(side);
                bench.photo_files[i] = bench.record().photo(side).map(|photo| photo.file.clone());
                bench.photos[i] = PictureSlot::Ready(picture);
            }
        }
        self.bench = Some(bench);
        self.screen = Screen::Bench;
    }

    /// Tells the user sentences that belong together: at the window's foot where they are few, else in a list.
    pub(in crate::app) fn tell(&mut self, notes: Vec<String>) {
        /// So many fit at the window's foot beside others.
        const MOST_AT_THE_FOOT: usize = 2;
        if notes.len() > MOST_AT_THE_FOOT {
            self.overlay = Overlay::Notes(notes);
        } else {
            for note in notes {
                self.notices.problem(note);
            }
        }
    }

    /// Takes results in and hands work out; the part of a frame that draws nothing.
    pub fn tick(&mut self, ctx: &egui::Context) {
        if self.ctx.set(ctx.clone()).is_ok() {
            theme::install(ctx);
        }
        self.follow_settings(ctx);
        for delivery in self.workers.collect() {
            self.deliver(ctx, delivery);
        }
        self.watch_close(ctx);
        self.take_drops(ctx);
        self.answer_keys(ctx);
    }

    fn follow_settings(&self, ctx: &egui::Context) {
        ctx.set_theme(match self.settings.theme {
            Theme::System => egui::ThemePreference::System,
            Theme::Light => egui::ThemePreference::Light,
            Theme::Dark => egui::ThemePreference::Dark,
        });
        ctx.set_zoom_factor(self.settings.zoom);
    }

    /// Draws a frame and carries out what it asked for.
    pub fn frame_ui(&mut self, ui: &mut egui::Ui) {
        let mut actions = std::mem::take(&mut self.actions);
        // Keys are for what lies on top.
        let covered = !matches!(self.overlay, Overlay::None);
        let kept = ui.input_mut(|i| {
            if covered {
                std::mem::take(&mut i.events)
            } else {
                Vec::new()
            }
        });
        super::top_bar::top_bar_ui(ui, self, &mut actions);
        match &mut self.screen {
            Screen::Bench => self.bench_ui(ui, &mut actions),
            Screen::Workshop => self.workshop_ui(ui),
            Screen::NewSpecimen(intake) => {
                let (canvases, settings) = (&mut self.canvases, &self.settings);
                pages::intake::new_specimen_ui(ui, intake, canvases, settings, &mut actions);
            }
            Screen::Start => pages::cabinet::start_ui(ui, self, &mut actions),
        }
        ui.input_mut(|i| i.events.extend(kept));
        super::overlays_view::overlays_ui(ui, self, &mut actions);
        super::notices_view::notices_ui(ui, &mut self.notices);
        super::tasks_view::tasks_ui(ui, &mut self.tasks);
        super::notices_view::drop_hint_ui(ui);
        // What an action changed is seen in the next frame.
        if !actions.is_empty() {
            ui.ctx().request_repaint();
        }
        for action in actions {
            self.apply(action);
        }
        self.hand_out();
        let ctx = ui.ctx();
        self.autosave(ctx);
        self.follow_title(ctx);
        // Inline work is done when collected, so another frame has to come; so it has for actions that wait.
        if self.workers.is_waiting() || !self.actions.is_empty() {
            ctx.request_repaint();
        }
        if let Some(wait_s) = self.notices.tick(ctx.input(|i| i.time)) {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(wait_s.max(0.0)));
        }
    }

    fn workshop_ui(&mut self, ui: &mut egui::Ui) {
        let sets = self.sets_folder();
        let (canvases, settings) = (&mut self.canvases, &self.settings);
        let asked = workshop::screen_ui(ui, self.workshop.as_mut(), canvases, settings, &sets);
        self.apply_workshop(asked);
        let now_s = ui.input(|i| i.time);
        if let Some(wait_s) = self.tend_workshop(now_s) {
            ui.ctx()
                .request_repaint_after(std::time::Duration::from_secs_f64(wait_s));
        }
    }

    fn bench_ui(&mut self, ui: &mut egui::Ui, actions: &mut Vec<Action>) {
        let Some(bench) = &mut self.bench else {
            self.screen = Screen::Start;
            return;
        };
        let step = bench.step;
        let mut page = Page {
            bench,
            canvases: &mut self.canvases,
            plates: &mut self.plates,
            cabinet: &self.cabinet,
            thumbnails: &mut self.thumbnails,
            actions,
        };
        let background = egui::Frame::new().fill(theme::palette(ui).panel);
        egui::CentralPanel::no_frame()
            .frame(background)
            .show(ui, |ui| match step {
                Step::Align => pages::align::align_ui(ui, &mut self.pages.align, &mut page),
                Step::Compare => pages::compare::compare_ui(ui, &mut self.pages.compare, &mut page),
                Step::Standing => pages::standing::standing_ui(ui, &mut self.pages.standing, &mut page),
                Step::Sheet => pages::sheet::sheet_ui(ui, &mut self.pages.sheet, &mut page),
            });
    }

    /// Hands the workers what the frame asked for: canvases to draw, plates and photos to read.
    fn hand_out(&mut self) {
        for (key, shown) in self.canvases.take_requests() {
            self.workers.quick(QuickKey::Canvas(key.clone()), move || {
                Ticket::window().with(Done::Canvas(Box::new(canvas::draw(key, shown))))
            });
        }
        self.hand_out_plates();
        self.hand_out_photos();
        self.hand_out_other_photo();
        self.look_for_rims();
    }

    fn hand_out_plates(&mut self) {
        let wanted = self.plates.take_wanted();
        let Some(bench) = &self.bench else { return };
        for (key, watch) in wanted {
            let (set, album) = (Arc::clone(&bench.set), bench.album(&watch));
            let ticket = bench.ticket.until_cancelled(&watch);
            self.workers.slow(move || {
                let result = read_plate(&set, &album, &key).map_err(|missing| missing.to_string());
                ticket.with(Done::Plate(key, result))
            });
        }
    }

    /// Looks for the rim in photos on which nothing was placed yet, once for each.
    fn look_for_rims(&mut self) {
        for side in Side::BOTH {
            let Some(bench) = &self.bench else { return };
            let fresh = bench
                .record()
                .photo(side)
                .is_some_and(|photo| photo.rim.is_none() && photo.landmarks.is_empty());
            let i = bench::index(side);
            if fresh && bench.photos[i].picture().is_some() && bench.rim_asked[i] != bench.photo_files[i] {
                self.find_rim(side);
            }
        }
    }

    /// Makes the cabinet's small picture of the obverse, off this thread.
    pub(in crate::app) fn make_thumbnail(&self) {
        let Some(bench) = &self.bench else { return };
        let i = bench::index(Side::Obverse);
        if let (Some(folder), Some(photo), Some(picture)) =
            (&bench.folder, &bench.record().obverse, bench.photos[i].picture())
        {
            let (folder, photo, picture) = (Arc::clone(folder), photo.clone(), Arc::clone(picture));
            self.workers.slow(move || {
                store::keep_thumbnail(&folder, &photo, &picture);
                Ticket::window().with(Done::Nothing)
            });
        }
    }

    /// Reads the photos that the record names and memory does not hold: after opening, undo and redo.
    fn hand_out_photos(&mut self) {
        let Some(bench) = &mut self.bench else { return };
        for side in Side::BOTH {
            let i = bench::index(side);
            let wanted = bench.record().photo(side).map(|p| p.file.clone());
            if wanted == bench.photo_files[i] {
                continue;
            }
            bench.photos[i].cancel();
            let photo = bench.record().photo(side).cloned();
            bench.photo_files[i] = wanted;
            let Some(photo) = photo else {
                bench.photos[i] = PictureSlot::Empty;
                continue;
            };
            let watch = Watch::default();
            bench.photos[i] = PictureSlot::Loading(watch.clone());
            if bench.folder.is_none() {
                continue;
            }
            let (album, ticket) = (bench.album(&watch), bench.ticket.clone());
            self.workers.slow(move || {
                let read = album.photo(side, &photo).map_err(|missing| missing.to_string());
                ticket.with(Done::PhotoRead(side, photo.file, read))
            });
        }
    }
}

/// Reads and aligns a plate; runs on a worker.
fn read_plate(set: &ReferenceSet, album: &Album, key: &PlateKey) -> Result<ReadPlate, Missing> {
    let plate = pipeline::listed_plate(set, key)?;
    let picture = album.plate(plate)?;
    let alignment = pipeline::align_plate(set, key.0, plate).map(Arc::new);
    Ok((picture, Some(alignment)))
}

impl eframe::App for Window {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.tick(ctx);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.frame_ui(ui);
    }
}
