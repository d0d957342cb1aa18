//! What the window does with a set of 200 dies a side and 400 plates of 12 MP: how long it takes to open, what a frame
//! costs the UI thread while it scrolls, types and turns over plates, and how much memory it takes at most.
//! `cargo bench --bench window`. A frame's time is that of drawing it and cutting it into triangles; the graphics
//! card's share is not in it. Each line gives the middle, the 99th in a hundred and the most. Memory is what Linux reports as VmHWM.

use std::fmt::Write as _;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use dietell::app::model::action::Action;
use dietell::app::model::bench::Step;
use dietell::app::model::picture_slot::PictureSlot;
use dietell::app::pages::workshop::{Section, Workshop};
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::app::shell::window::{Setup, Window};
use dietell::app::shell::work::Lanes;
use dietell::photo::Watch;
use dietell::pipeline::{self, Album};
use dietell::reference::{OpenSet, ReferenceSet, Side, Sides, open_set, save_set};
use dietell::specimen::{Edit, PhotoEdit};
use egui::{Event, Modifiers, Pos2, RawInput, Rect, Vec2, pos2, vec2};
use mint::{self, JpegOptions};

#[path = "large.rs"]
mod coinage;

/// The window's size in points; one pixel to a point.
const WINDOW: Vec2 = vec2(1400.0, 900.0);
/// A frame's share of a second on a usual screen, in s.
const FRAME_S: f64 = 1.0 / 60.0;
/// Width and height of a plate in px: 12 MP.
const PLATE_PX: (u32, u32) = (4000, 3000);

/// The window with its frames timed.
struct Timed {
    ctx: egui::Context,
    window: Window,
    start: Instant,
    pointer: Pos2,
    frames_ms: Vec<f64>,
    /// What of it the thread was on a processor: a busy machine makes the whole longer and not this.
    busy_ms: Vec<f64>,
}

impl Timed {
    fn new(home: &Path) -> Self {
        let mut setup = Setup::for_test(ScriptedDialogs::default(), home.join("cabinet"));
        setup.lanes = Lanes::Threads;
        let mut timed = Self {
            ctx: egui::Context::default(),
            window: Window::new(setup),
            start: Instant::now(),
            pointer: pos2(700.0, 500.0),
            frames_ms: Vec::new(),
            busy_ms: Vec::new(),
        };
        for _ in 0..10 {
            timed.frame(Vec::new());
        }
        timed
    }

    /// Draws a frame, at the screen's own pace so that the workers have their time.
    fn frame(&mut self, events: Vec<Event>) {
        self.frame_after(events, |_| {});
    }

    /// As [`Timed::frame`], with something that the UI thread does in it.
    fn frame_after(&mut self, events: Vec<Event>, act: impl FnOnce(&mut Window)) {
        let (begun, busy) = (Instant::now(), busy_ms());
        act(&mut self.window);
        let mut events = events;
        events.insert(0, Event::PointerMoved(self.pointer));
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, WINDOW)),
            time: Some(self.start.elapsed().as_secs_f64()),
            #[expect(clippy::cast_possible_truncation, reason = "a sixtieth")]
            predicted_dt: FRAME_S as f32,
            events,
            ..RawInput::default()
        };
        let window = &mut self.window;
        let output = self.ctx.run_ui(input, |ui| {
            window.tick(ui.ctx());
            window.frame_ui(ui);
        });
        std::hint::black_box(self.ctx.tessellate(output.shapes, output.pixels_per_point));
        let took = begun.elapsed();
        self.frames_ms.push(took.as_secs_f64() * 1e3);

        // A moment at least: the system brings its count up to date when a thread sleeps.
        let rest = Duration::from_secs_f64(FRAME_S).saturating_sub(took);
        std::thread::sleep(rest.max(Duration::from_micros(100)));
        self.busy_ms.push(busy_ms() - busy);
    }

    fn wheel(&mut self, delta: Vec2) {
        self.frame(vec![Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta,
            source: egui::MouseWheelSource::Wheel,
            phase: egui::TouchPhase::Move,
            modifiers: Modifiers::NONE,
        }]);
    }

    /// Frames until something is so, five seconds at most.
    fn until(&mut self, is_so: impl Fn(&mut Window) -> bool) -> bool {
        let begun = Instant::now();
        while begun.elapsed() < Duration::from_secs(5) {
            self.frame(Vec::new());
            if is_so(&mut self.window) {
                return true;
            }
        }
        false
    }

    fn workshop(&mut self) -> &mut Workshop {
        self.window.workshop.as_mut().expect("it is open")
    }

    fn forget_frames(&mut self) {
        self.frames_ms.clear();
        self.busy_ms.clear();
    }

    /// Prints what the frames since the last call took.
    fn report(&mut self, what: &str) {
        let (frames, busy) = (
            std::mem::take(&mut self.frames_ms),
            std::mem::take(&mut self.busy_ms),
        );
        let late = |ms: &[f64]| ms.iter().filter(|t| **t > FRAME_S * 1e3).count();
        println!(
            "{what:<42} {:>5} frames: {} ms, {} late; on the processor {} ms, {} late",
            frames.len(),
            spread(&frames),
            late(&frames),
            spread(&busy),
            late(&busy)
        );
    }
}

/// The middle, the 99th in a hundred, and the most.
fn spread(ms: &[f64]) -> String {
    let mut ms = ms.to_vec();
    ms.sort_by(f64::total_cmp);
    let at = |share: f64| ms[((ms.len() - 1) as f64 * share).round() as usize];
    format!("{:.2} / {:.1} / {:.1}", at(0.5), at(0.99), at(1.0))
}

/// How long this thread was on a processor so far, in ms, as Linux counts it; 0 where it does not.
fn busy_ms() -> f64 {
    let counts = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds: Option<f64> = counts.split(' ').next().and_then(|ns| ns.parse().ok());
    nanoseconds.map_or(0.0, |ns| ns / 1e6)
}

/// A line of /proc/self/status in MB; none where there is no such file.
fn memory(line: &str) -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kb = status.lines().find_map(|l| {
        l.strip_prefix(line)?
            .trim_start_matches(':')
            .split_whitespace()
            .next()?
            .parse::<f64>()
            .ok()
    });
    kb.map_or_else(
        || "not known here".to_owned(),
        |kb| format!("{:.0} MB", kb / 1024.0),
    )
}

/// Lets VmHWM begin anew at what is held now.
fn forget_peak() {
    // Where the system does not allow it the figure is only higher.
    let _ = std::fs::write("/proc/self/clear_refs", "5");
}

/// The large set with 400 plates in a folder: one picture of 12 MP under 400 names.
fn large_in(folder: &Path) -> ReferenceSet {
    let mut set = coinage::large();
    let shot = mint::plate(Side::Obverse, &"O1".into(), 1200).expect("it is minted");
    let (w, h) = PLATE_PX;
    let large = image::imageops::resize(&shot.pixels, w, h, image::imageops::FilterType::CatmullRom);
    let bytes = mint::jpeg_bytes(&large, &JpegOptions::default()).expect("it is encoded");
    std::fs::create_dir_all(folder.join("plates")).expect("it is ours");
    let first = folder.join("plates/first.jpg");
    std::fs::write(&first, &bytes).expect("it is ours");
    for side in Side::BOTH {
        for die in &mut set.side_mut(side).dies {
            std::fs::hard_link(&first, folder.join(&die.plates[0].file)).expect("it is ours");
        }
    }
    save_set(folder, &set).expect("it is ours");
    println!(
        "{} dies a side, 400 plates of {w} x {h} px and {:.1} MB each",
        coinage::DIES,
        bytes.len() as f64 / 1e6
    );
    set
}

fn main() {
    let home = tempfile::tempdir().expect("a place to work");
    let folder = home.path().join("large");
    large_in(&folder);
    let mut timed = Timed::new(home.path());
    forget_peak();
    println!("memory before anything is open: {}", memory("VmRSS"));
    open(&mut timed, &folder);
    scroll(&mut timed);
    type_on(&mut timed);
    turn_over_plates(&mut timed);
    timed.window.workshop = None;
    on_the_bench(&mut timed, home.path(), &folder);
}

fn open(timed: &mut Timed, folder: &Path) {
    let mut times = Vec::new();
    for _ in 0..7 {
        timed.window.workshop = None;
        let begun = Instant::now();
        timed.window.open_in_workshop(folder.to_owned());
        while timed.window.workshop.is_none() {
            let window = &mut timed.window;
            drop(timed.ctx.run_ui(RawInput::default(), |ui| window.tick(ui.ctx())));
        }
        timed.workshop().section = Section::Dies(Side::Obverse);
        timed.forget_frames();
        timed.frame(Vec::new());
        times.push(begun.elapsed().as_secs_f64() * 1e3);
    }
    let mut words = String::new();
    for ms in &times {
        let _ = write!(words, " {ms:.0}");
    }
    println!("from the click to the first frame with the dies, ms:{words}");
    let begun = Instant::now();
    timed.until(|window| window.workshop.as_ref().is_some_and(|w| w.checked.is_some()));
    println!(
        "checked after {:.1} s, off the UI thread",
        begun.elapsed().as_secs_f64()
    );
    timed.report("while it is checked");
}

fn scroll(timed: &mut Timed) {
    timed.pointer = pos2(700.0, 300.0);
    for step in 0..400 {
        // There and back.
        let way = if step % 200 < 100 { -1.0 } else { 1.0 };
        timed.wheel(vec2(way * 160.0, 0.0));
    }
    timed.report("state table, across 200 dies");
    timed.pointer = pos2(700.0, 300.0);
    for step in 0..200 {
        let way = if step % 100 < 50 { -1.0 } else { 1.0 };
        timed.wheel(vec2(0.0, way * 40.0));
    }
    timed.report("state table, down 24 features");
    for section in Section::ALL {
        timed.workshop().section = section;
        timed.pointer = pos2(700.0, 700.0);
        for step in 0..200 {
            let way = if step % 100 < 50 { -1.0 } else { 1.0 };
            timed.wheel(vec2(0.0, way * 160.0));
        }
        timed.report(&format!("section {}", section.words()));
    }
}

fn type_on(timed: &mut Timed) {
    timed.workshop().section = Section::Dies(Side::Obverse);
    timed.workshop().die[Side::Obverse] = Some("O7".into());
    timed.frame(Vec::new());
    timed.forget_frames();
    for letter in 0..300_usize {
        timed.frame_after(Vec::new(), |window| {
            window.workshop.as_mut().expect("it is open").edit(
                "the note".to_owned(),
                Some(7),
                Box::new(move |set| set.obverse.dies[7].note = "a".repeat(letter)),
            );
        });
    }
    timed.report("typing a note, a letter a frame");
    println!(
        "memory after typing: {}, at most {}",
        memory("VmRSS"),
        memory("VmHWM")
    );
    for step in 0..600_usize {
        timed.frame_after(Vec::new(), |window| {
            window.workshop.as_mut().expect("it is open").edit(
                "a step".to_owned(),
                None,
                Box::new(move |set| set.obverse.dies[step % 200].note = format!("step {step}")),
            );
        });
    }
    timed.report("600 steps of undo");
    println!(
        "memory after 600 steps of undo: {}, at most {}",
        memory("VmRSS"),
        memory("VmHWM")
    );
}

fn turn_over_plates(timed: &mut Timed) {
    let mut waits = Vec::new();
    for side in Side::BOTH {
        timed.workshop().section = Section::Design(side);
        for n in 0..coinage::DIES {
            let die = timed.workshop().set().side(side).dies[n].id.clone();
            timed.workshop().design[side].plate = Some((die, 0));
            let file = timed.workshop().set().side(side).dies[n].plates[0].file.clone();
            let begun = Instant::now();
            timed.until(|window| {
                let plates = &window.workshop.as_ref().expect("it is open").plates;
                let view = plates.peek(&file);
                view.is_some_and(|view| matches!(view.slot, PictureSlot::Ready(_)))
            });
            waits.push(begun.elapsed().as_secs_f64() * 1e3);
            for _ in 0..3 {
                timed.frame(Vec::new());
            }
        }
    }
    timed.report("turning over all 400 plates");
    waits.sort_by(f64::total_cmp);
    println!(
        "a plate is there after {:.0} ms in the middle, {:.0} ms at most",
        waits[waits.len() / 2],
        waits[waits.len() - 1]
    );
    println!(
        "memory after all plates: {}, at most {}",
        memory("VmRSS"),
        memory("VmHWM")
    );
    // As fast as a held key: a plate a frame, and how long until the one at the end is there.
    for n in 0..coinage::DIES {
        let die = timed.workshop().set().obverse.dies[n].id.clone();
        timed.workshop().section = Section::Design(Side::Obverse);
        timed.workshop().design[Side::Obverse].plate = Some((die, 0));
        timed.frame(Vec::new());
    }
    let begun = Instant::now();
    timed.until(|window| {
        let plates = &window.workshop.as_ref().expect("it is open").plates;
        let last = format!("plates/O{}.jpg", coinage::DIES - 1);
        plates
            .peek(&last)
            .is_some_and(|view| matches!(view.slot, PictureSlot::Ready(_)))
    });
    println!(
        "flicked through 200, the last is there after {:.0} ms",
        begun.elapsed().as_secs_f64() * 1e3
    );
    timed.report("flicking, a plate a frame");
    println!(
        "memory after flicking: {}, at most {}",
        memory("VmRSS"),
        memory("VmHWM")
    );
}

fn on_the_bench(timed: &mut Timed, home: &Path, folder: &Path) {
    let open: OpenSet = open_set(folder).expect("it is sound");
    let photo = folder.join("plates/first.jpg");
    let album = Album {
        cache: Arc::clone(&timed.window.pictures),
        folder: None,
        source: Some(open.source.clone()),
        watch: Watch::default(),
    };
    let photos = Sides {
        obverse: Some((
            photo,
            album.plate_file("plates/first.jpg").expect("it is a picture"),
        )),
        reverse: None,
    };
    let cabinet = home.join("cabinet");
    let opened = pipeline::new_specimen(&cabinet, "Large", &open, &photos, &album.cache).expect("it is ours");
    let begun = Instant::now();
    timed.forget_frames();
    timed.window.put_on_bench(opened);
    timed.frame(Vec::new());
    println!("on the bench after {:.0} ms", begun.elapsed().as_secs_f64() * 1e3);
    let landmarks = open.set.obverse.dies[0].plates[0].landmarks.clone();
    let place = PhotoEdit::PlaceTheRest(landmarks.into_iter().collect());
    timed.window.push(Action::edit(Edit::Photo(Side::Obverse, place)));
    for _ in 0..30 {
        timed.frame(Vec::new());
    }
    timed.report("the bench opens");
    for n in 0..coinage::DIES {
        let die = open.set.obverse.dies[n].id.clone();
        timed.window.pages.align.plates.obverse = Some((die, 0));
        for _ in 0..12 {
            timed.frame(Vec::new());
        }
    }
    timed.report("Align, 200 plates beside the photo");
    drag_a_landmark(timed);
    timed.window.push(Action::GoToStep(Step::Compare));
    for feature in &open.set.obverse.features {
        timed
            .window
            .push(Action::ShowFeature(Side::Obverse, feature.id.clone()));
        for _ in 0..40 {
            timed.frame(Vec::new());
        }
    }
    timed.report("Compare, feature by feature");
    timed.pointer = pos2(120.0, 500.0);
    for step in 0..200 {
        let way = if step % 100 < 50 { -1.0 } else { 1.0 };
        timed.wheel(vec2(0.0, way * 120.0));
    }
    timed.report("Compare, the list of features scrolled");
    timed.window.push(Action::GoToStep(Step::Standing));
    timed.frame(Vec::new());
    timed.pointer = pos2(700.0, 500.0);
    for step in 0..300 {
        let way = if step % 200 < 100 { -1.0 } else { 1.0 };
        timed.wheel(vec2(0.0, way * 200.0));
    }
    timed.report("Standing, scrolled");
    println!(
        "memory after the bench: {}, at most {}",
        memory("VmRSS"),
        memory("VmHWM")
    );
}

/// A landmark carried round in a circle by the pointer; the alignment of all, its uncertainty and the zones follow.
fn drag_a_landmark(timed: &mut Timed) {
    let first = |window: &Window| {
        let photo = window.bench.as_ref()?.record().photo(Side::Obverse)?;
        let (name, point) = photo.landmarks.iter().next()?;
        Some((name.clone(), *point))
    };
    let (_, before) = first(&timed.window).expect("landmarks were placed");
    let seen = timed.window.pages.align.seen.obverse.expect("the photo is shown");
    let start = seen.position(before);
    timed.pointer = start;
    timed.frame(Vec::new());
    let button = |pos, pressed| Event::PointerButton {
        pos,
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    timed.frame(vec![button(start, true)]);
    timed.forget_frames();
    for step in 0..300 {
        let angle = step as f32 * 0.07;
        timed.pointer = start + vec2(40.0 * angle.cos(), 30.0 * angle.sin());
        timed.frame(Vec::new());
    }
    timed.report("a landmark dragged");
    let end = timed.pointer;
    timed.frame(vec![button(end, false)]);
    let (name, after) = first(&timed.window).expect("landmarks were placed");
    assert!((after - before).length() > 1.0, "{name} was not dragged");
}
