//! The window: holds all state, draws the screen in view and carries out what the views ask for.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, OnceLock};

use super::deliver::{Arrived, QuickKey};
use super::dialogs::{Dialogs, SystemDialogs};
use super::overlay::Overlay;
use super::pages::Pages;
use super::saving::Autosave;
use super::tasks::Tasks;
use super::work::{Lanes, Workers};
use crate::app::model::action::Action;
use crate::app::model::bench::Bench;
use crate::app::model::done::Done;
use crate::app::model::intake::Intake;
use crate::app::model::question::{Ask, Purpose};
use crate::app::model::shelf::PlateShelf;
use crate::app::model::thumbnails::Thumbnails;
use crate::app::model::ticket::{Openings, Subject, Ticket};
use crate::app::pages;
use crate::app::pages::Page;
use crate::app::pages::workshop::{self, Workshop};
use crate::app::widgets::canvas::Canvases;
use crate::app::widgets::notice::Notices;
use crate::app::widgets::theme;
use crate::pipeline::{CabinetEntry, OpenedSpecimen, PictureCache};
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
    /// The pictures that were read, for all workers.
    pub pictures: Arc<PictureCache>,
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
    pub(super) autosave: Autosave,
    /// Whether the user gave unsaved changes up.
    pub(super) close_anyway: bool,
    /// The window's title as it was last set.
    pub(super) shown_title: Option<String>,
    pub(super) workers: Workers<QuickKey, Arrived>,
    pub(super) dialogs: Box<dyn Dialogs>,
    pub(super) actions: Vec<Action>,
    pub(super) settings_file: Option<PathBuf>,
    pub(super) usual_cabinet: PathBuf,
    /// Numbers what is opened, so that results for something else are told apart.
    pub(super) openings: Openings,
    /// The ticket of the specimen that was last asked to be opened.
    pub(super) specimen_to_open: Ticket,
    /// The ticket of the set that was last asked to be opened in the workshop.
    pub(super) set_to_open: Ticket,
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
        let pictures: Arc<PictureCache> = Arc::default();
        let mut window = Self {
            screen: Screen::Start,
            bench: None,
            workshop: None,
            canvases: Canvases::default(),
            plates: PlateShelf::new(Arc::clone(&pictures)),
            pictures,
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
    pub(super) fn ctx(&self) -> Option<&egui::Context> {
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
        bench.pictures = Arc::clone(&self.pictures);
        self.bench = Some(bench);
        // What is in memory already is there at once.
        self.hand_out_photos();
        self.screen = Screen::Bench;
    }

    /// Tells the user sentences that belong together: at the window's foot where they are few, else in a list.
    pub(super) fn tell(&mut self, notes: Vec<String>) {
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
            self.take_in(ctx, delivery);
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
        let asked = super::top_bar::top_bar_ui(ui, self, &mut actions);
        match &mut self.screen {
            Screen::Bench => self.bench_ui(ui, &mut actions),
            Screen::Workshop => self.workshop_ui(ui),
            Screen::NewSpecimen(intake) => {
                let (canvases, settings) = (&mut self.canvases, &self.settings);
                pages::intake::new_specimen_ui(ui, intake, canvases, settings, &mut actions);
            }
            Screen::Start => {
                let mut cabinet = pages::cabinet::Cabinet {
                    list: &self.cabinet,
                    folder: self.cabinet_folder(),
                    demo_pictures: self.demo_pictures.as_ref(),
                    thumbnails: &mut self.thumbnails,
                };
                pages::cabinet::start_ui(ui, &mut cabinet, &mut actions);
            }
        }
        ui.input_mut(|i| i.events.extend(kept));
        super::overlays_view::overlays_ui(ui, self, &mut actions);
        super::notices_view::notices_ui(ui, &mut self.notices);
        super::tasks_view::tasks_ui(ui, &mut self.tasks);
        super::notices_view::drop_hint_ui(ui);
        // What an action changed is seen in the next frame.
        if !(actions.is_empty() && asked.is_empty()) {
            ui.ctx().request_repaint();
        }
        for action in actions {
            self.apply(action);
        }
        for command in asked {
            self.carry_out(command);
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
            .show(ui, |ui| self.pages.show(ui, step, &mut page));
    }
}

impl eframe::App for Window {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.tick(ctx);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.frame_ui(ui);
    }
}
