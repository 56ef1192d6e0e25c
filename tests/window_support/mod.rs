//! A window over a store of its own, worked by what it tells to screen readers: roles, labels, values.

// Each test file uses its own part of these.
#![allow(dead_code)]

pub mod cases;
pub mod files;

use i_slint_backend_testing::{
    AccessibleRole, ElementHandle, ElementQuery, TestingBackend, TestingBackendOptions,
    mock_elapsed_time,
};
use lantern_ring::{
    app::{App, SetOperator},
    language::word,
    plant::Plant,
    record::Stamp,
    sys::{StillWorld, plant_folder},
    view::{self, Desk, Worker},
};
use slint::{
    ComponentHandle, LogicalPosition, LogicalSize, SharedString,
    platform::{Key, PointerEventButton, WindowEvent},
};
use std::{
    cell::{Cell, RefCell},
    path::{Path, PathBuf},
    rc::Rc,
    time::Duration,
};

/// A Monday morning.
pub const MORNING: Stamp = Stamp {
    utc_ms: 1_790_575_200_000,
    offset_min: 60,
};

/// The demo plant.
pub fn demo_plant() -> Plant {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    plant_folder(&folder).expect("the demo plant has no faults")
}

/// A window with its store, its time and its drop counter's clock.
pub struct Bench {
    pub desk: Rc<Desk>,
    pub world: StillWorld,
    pub store: PathBuf,
    clock: Rc<Cell<Duration>>,
}

impl Bench {
    /// A window over a new store with this plant; nobody has signed yet.
    pub fn new(folder: &Path, name: &str, plant: Plant, seed: u64) -> Self {
        let store = folder.join(format!("{name}.lantern"));
        let world = StillWorld::at(MORNING, seed);
        let app = App::create(&store, plant, Box::new(world.clone())).expect("a new store");
        Self::over(app, store, world)
    }

    /// The same with somebody signing.
    pub fn signed(folder: &Path, name: &str, plant: Plant, seed: u64) -> Self {
        let store = folder.join(format!("{name}.lantern"));
        let world = StillWorld::at(MORNING, seed);
        let mut app = App::create(&store, plant, Box::new(world.clone())).expect("a new store");
        app.perform(SetOperator("Jun Vale".to_owned()))
            .expect("a name");
        Self::over(app, store, world)
    }

    /// A window over a store that is there.
    pub fn open(store: &Path, seed: u64) -> Self {
        let world = StillWorld::at(MORNING, seed);
        let app = App::open(store, Box::new(world.clone())).expect("the store");
        Self::over(app, store.to_owned(), world)
    }

    /// A window over a store that is there, in a world that goes on.
    pub fn at(store: &Path, world: StillWorld) -> Self {
        let app = App::open(store, Box::new(world.clone())).expect("the store");
        Self::over(app, store.to_owned(), world)
    }

    /// A window over a store that waits for a plant.
    pub fn without_plant(store: &Path, seed: u64) -> Self {
        let world = StillWorld::at(MORNING, seed);
        let app = App::waiting_for_plant(store, Box::new(world.clone())).expect("a store");
        Self::over(app, store.to_owned(), world)
    }

    fn over(app: App, store: PathBuf, world: StillWorld) -> Self {
        let backend = TestingBackend::new(TestingBackendOptions {
            mock_time: true,
            threading: false,
            renderer_name: Some("software".into()),
        });
        // Refused where an earlier window of this thread has set it.
        let _ = slint::platform::set_platform(Box::new(backend));
        let clock = Rc::new(Cell::new(Duration::ZERO));
        let shown = clock.clone();
        let worker = Worker::Inline(Box::new(RefCell::new(app)));
        let desk = view::open(worker, Box::new(move || shown.get())).expect("a window");
        desk.window().show().expect("shown");
        let bench = Self {
            desk,
            world,
            store,
            clock,
        };
        bench.resize(1280.0, 800.0);
        bench
    }

    /// Gives the window another size.
    pub fn resize(&self, width: f32, height: f32) {
        let window = self.desk.window().window();
        window.set_size(LogicalSize::new(width, height));
        self.settle();
    }

    /// Lets everything that waits a moment happen.
    pub fn settle(&self) {
        mock_elapsed_time(Duration::from_millis(50));
    }

    /// Time passes, for the clock on the wall and for a count under way.
    pub fn pass(&self, seconds: u64) {
        self.world
            .pass(i64::try_from(seconds).expect("a short time") * 1000);
        self.clock
            .set(self.clock.get() + Duration::from_secs(seconds));
        // Long enough for what is shown anew a few times a second.
        mock_elapsed_time(Duration::from_millis(300));
    }

    /// Closes the window and gives the store.
    pub fn close(self) -> App {
        let (store, world) = (self.store.clone(), self.world.clone());
        self.desk.window().hide().expect("hidden");
        Desk::clear();
        drop(self);
        App::open(&store, Box::new(world)).expect("the store is free once the window is gone")
    }

    /// Types a line as a scanner does that works as a keyboard: Shift held for each capital, Return at the end.
    pub fn type_line(&self, line: &str) {
        let window = self.desk.window().window();
        let press = |text: SharedString| window.dispatch_event(WindowEvent::KeyPressed { text });
        let release = |text: SharedString| window.dispatch_event(WindowEvent::KeyReleased { text });
        for character in line.chars() {
            let shifted = character.is_uppercase();
            if shifted {
                press(Key::Shift.into());
            }
            press(character.into());
            release(character.into());
            if shifted {
                release(Key::Shift.into());
            }
        }
        press(Key::Return.into());
        release(Key::Return.into());
        self.settle();
    }

    /// Gives the window a file, as dropping it does.
    pub fn give(&self, path: &Path) {
        view::give_file(&self.desk, path.to_owned());
        self.settle();
    }

    /// What has one of these roles and a label that fits; the role is the cheaper question and asked first.
    fn search(
        &self,
        roles: &'static [AccessibleRole],
        fits: impl Fn(&str) -> bool + 'static,
    ) -> ElementQuery {
        ElementQuery::from_root(self.desk.window()).match_predicate(move |element| {
            element
                .accessible_role()
                .is_some_and(|role| roles.contains(&role))
                && element.accessible_label().is_some_and(|label| fits(&label))
        })
    }

    /// Everything with a label, as "role: label".
    pub fn told(&self) -> Vec<String> {
        let line = |element: ElementHandle| {
            let label = element.accessible_label().filter(|label| !label.is_empty());
            Some(format!("{:?}: {}", element.accessible_role()?, label?))
        };
        let all = ElementQuery::from_root(self.desk.window()).find_all();
        all.into_iter().filter_map(line).collect()
    }

    /// What has this role and label.
    pub fn find(&self, role: AccessibleRole, label: &str) -> Option<ElementHandle> {
        let label = label.to_owned();
        let with_role = ElementQuery::from_root(self.desk.window()).match_accessible_role(role);
        with_role
            .match_predicate(move |element| {
                element.accessible_label().is_some_and(|own| own == label)
            })
            .find_first()
    }

    fn the(&self, role: AccessibleRole, label: &str) -> ElementHandle {
        self.find(role, label)
            .unwrap_or_else(|| panic!("no {role:?} “{label}” among {:#?}", self.told()))
    }

    /// Whether there is a button with this label.
    pub fn has_button(&self, label: &str) -> bool {
        self.find(AccessibleRole::Button, label).is_some()
    }

    /// A button that can be pressed.
    pub fn button(&self, label: &str) -> ElementHandle {
        self.the(AccessibleRole::Button, label)
    }

    /// Presses a button.
    pub fn press(&self, label: &str) {
        let button = self.button(label);
        assert_ne!(
            button.accessible_enabled(),
            Some(false),
            "“{label}” is not to be pressed now"
        );
        button.invoke_accessible_default_action();
        self.settle();
    }

    /// Presses a button, scrolling to it where it lies beyond the edge.
    pub fn press_below(&self, label: &str) {
        self.scroll_to(label);
        self.press(label);
    }

    /// Presses the first button whose label begins so.
    pub fn press_beginning(&self, beginning: &str) {
        let wanted = beginning.to_owned();
        self.press_first(beginning, move |label| label.starts_with(&wanted));
    }

    /// Presses a place on the pump picture, whatever its number and mark.
    pub fn press_place(&self, title: &str) {
        let inside = format!(". {title}, ");
        self.press_first(title, move |label| label.contains(&inside));
    }

    fn press_first(&self, wanted: &str, fits: impl Fn(&str) -> bool + 'static) {
        let button = self.search(&[AccessibleRole::Button], fits).find_first();
        button
            .unwrap_or_else(|| panic!("no button “{wanted}” among {:#?}", self.told()))
            .invoke_accessible_default_action();
        self.settle();
    }

    /// Chooses one of several, scrolling down to it where it lies below the edge.
    pub fn choose(&self, label: &str) {
        self.reveal(|| self.find(AccessibleRole::RadioButton, label).is_some());
        self.the(AccessibleRole::RadioButton, label)
            .invoke_accessible_default_action();
        self.settle();
    }

    /// Brings into sight what lies beyond the edge: a text, a button, a choice or a field that is or holds this.
    pub fn scroll_to(&self, words: &str) {
        self.reveal(|| {
            let holds = {
                let words = words.to_owned();
                move |label: &str| label.contains(&words)
            };
            let fields = self.search(&[AccessibleRole::TextInput], holds);
            self.shows(words) || fields.find_first().is_some()
        });
    }

    /// Scrolls down, then up again, until this is so: what lies beyond the edge is not among what can be found.
    fn reveal(&self, is_there: impl Fn() -> bool) {
        const MOST_SCROLLS: usize = 40;
        let down = std::iter::repeat_n(-150.0, MOST_SCROLLS);
        let up = std::iter::repeat_n(150.0, MOST_SCROLLS);
        // The list on the left of a wide window, and whatever stands in the middle of any.
        let over = [0.5, 0.15];
        for (across, by) in over
            .into_iter()
            .flat_map(|across| down.clone().chain(up.clone()).map(move |by| (across, by)))
        {
            if is_there() {
                return;
            }
            self.scroll(across, by);
        }
    }

    /// Turns the wheel over the window, so far across it.
    fn scroll(&self, across: f32, by: f32) {
        let window = self.desk.window().window();
        let size = window.size().to_logical(window.scale_factor());
        window.dispatch_event(WindowEvent::PointerScrolled {
            position: LogicalPosition::new(size.width * across, size.height / 2.0),
            delta_x: 0.0,
            delta_y: by,
        });
        self.settle();
    }

    /// Turns something on or off.
    pub fn toggle(&self, label: &str) {
        self.the(AccessibleRole::Checkbox, label)
            .invoke_accessible_default_action();
        self.settle();
    }

    /// Writes into a field.
    pub fn write(&self, label: &str, text: &str) {
        self.the(AccessibleRole::TextInput, label)
            .set_accessible_value(text);
        self.settle();
    }

    /// Keys in a number on the keypad, after taking away what stands there.
    pub fn key_in(&self, number: &str) {
        let delete = self.button("Delete last digit");
        for _ in 0..8 {
            delete.invoke_accessible_default_action();
        }
        for character in number.chars() {
            let label = match character {
                '.' | ',' => "Decimal sign".to_owned(),
                '-' => "Plus or minus".to_owned(),
                digit => digit.to_string(),
            };
            self.button(&label).invoke_accessible_default_action();
        }
        self.settle();
    }

    /// Types a number on a real keyboard, which the keypad takes too, after taking away what stands there.
    pub fn type_in(&self, number: &str) {
        // The keypad takes the keys a moment after it is shown.
        self.settle();
        let window = self.desk.window().window();
        let keys = std::iter::repeat_n(Key::Backspace.into(), 8)
            .chain(number.chars().map(SharedString::from));
        for text in keys {
            window.dispatch_event(WindowEvent::KeyPressed { text: text.clone() });
            window.dispatch_event(WindowEvent::KeyReleased { text });
        }
        self.settle();
    }

    /// Counts drops: the tap that starts the clock, then one a drop.
    pub fn count(&self, drops: u32, seconds: u64) {
        self.find(AccessibleRole::Button, word("Start over"))
            .filter(|button| button.accessible_enabled() != Some(false))
            .inspect(ElementHandle::invoke_accessible_default_action);
        let area = self.button(word("Count a drop"));
        for _ in 0..=drops {
            area.invoke_accessible_default_action();
        }
        self.pass(seconds);
        self.press(word("Stop counting"));
    }

    /// Brings a level to this per cent of the glass.
    pub fn set_level(&self, label: &str, percent: u32) {
        let glass = self.the(AccessibleRole::Slider, label);
        let shown = || {
            let value = glass.accessible_value().unwrap_or_default();
            value
                .split(' ')
                .next()
                .and_then(|number| number.parse::<u32>().ok())
        };
        glass.invoke_accessible_increment_action();
        for _ in 0..40 {
            match shown() {
                Some(now) if now < percent => glass.invoke_accessible_increment_action(),
                Some(now) if now > percent => glass.invoke_accessible_decrement_action(),
                _ => break,
            }
        }
        assert_eq!(shown(), Some(percent));
        self.settle();
    }

    /// Whether a text on the screen is or holds this.
    pub fn shows(&self, words: &str) -> bool {
        const READ: &[AccessibleRole] = &[
            AccessibleRole::Text,
            AccessibleRole::Button,
            AccessibleRole::RadioButton,
        ];
        let words = words.to_owned();
        let found = self.search(READ, move |label| label.contains(&words));
        found.find_first().is_some()
    }

    /// Fails unless a text on the screen is or holds this.
    #[track_caller]
    pub fn must_show(&self, words: &str) {
        assert!(
            self.shows(words),
            "“{words}” is not among {:#?}",
            self.told()
        );
    }

    /// Fails unless there is something of this role and label.
    #[track_caller]
    pub fn must_show_label(&self, role: AccessibleRole, label: &str) {
        assert!(
            self.find(role, label).is_some(),
            "no {role:?} “{label}” among {:#?}",
            self.told()
        );
    }

    /// Draws with the finger over a part of the window: from and to in fractions of its width and height.
    pub fn draw_over(&self, element: &ElementHandle, from: (f32, f32), to: (f32, f32)) {
        let (place, size) = (element.absolute_position(), element.size());
        let at = |(x, y): (f32, f32)| {
            LogicalPosition::new(place.x + x * size.width, place.y + y * size.height)
        };
        let button = PointerEventButton::Left;
        let events = [
            WindowEvent::PointerMoved { position: at(from) },
            WindowEvent::PointerPressed {
                position: at(from),
                button,
            },
            WindowEvent::PointerMoved { position: at(to) },
            WindowEvent::PointerReleased {
                position: at(to),
                button,
            },
        ];
        for event in events {
            self.desk.window().window().dispatch_event(event);
            self.settle();
        }
    }

    /// The photo being marked.
    pub fn picture(&self) -> ElementHandle {
        let photo = self.search(&[AccessibleRole::Image], |label| {
            label.starts_with("Photo with")
        });
        photo
            .find_first()
            .unwrap_or_else(|| panic!("no photo among {:#?}", self.told()))
    }
}
