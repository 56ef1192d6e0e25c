//! Draws without Skia, so that the whole app can be linked where Skia can't be had. For checks: it knows no keyboard, no
//! insets and no screen reader, and is never shipped.
#![allow(unsafe_code)]

use android_activity::{
    AndroidApp, AndroidAppWaker, InputStatus, MainEvent, PollEvent,
    input::{InputEvent, MotionAction},
};
use slint::{
    EventLoopError, LogicalPosition, PhysicalSize, PlatformError,
    platform::{
        EventLoopProxy, Platform, PointerEventButton, SetPlatformError, WindowAdapter, WindowEvent,
        duration_until_next_timer_update, set_platform,
        software_renderer::{MinimalSoftwareWindow, PremultipliedRgbaColor, RepaintBufferType},
        update_timers_and_animations,
    },
};
use std::{
    rc::Rc,
    sync::mpsc::{self, Receiver, Sender},
    time::Duration,
};

/// The loop looks around at least this often.
const LONGEST_WAIT: Duration = Duration::from_secs(1);

/// Pixels an inch at which a logical pixel is one.
const USUAL_DPI: f32 = 160.0;

type Errand = Box<dyn FnOnce() + Send>;

/// Has Slint draw on the activity's window.
pub fn init(
    system: AndroidApp,
    heard: impl Fn(&PollEvent<'_>) + 'static,
) -> Result<(), SetPlatformError> {
    let (send, errands) = mpsc::channel();
    set_platform(Box::new(Software {
        window: MinimalSoftwareWindow::new(RepaintBufferType::NewBuffer),
        system,
        heard: Box::new(heard),
        send,
        errands,
    }))
}

struct Software {
    window: Rc<MinimalSoftwareWindow>,
    system: AndroidApp,
    heard: Box<dyn Fn(&PollEvent<'_>)>,
    send: Sender<Option<Errand>>,
    errands: Receiver<Option<Errand>>,
}

impl Platform for Software {
    fn create_window_adapter(&self) -> Result<Rc<dyn WindowAdapter>, PlatformError> {
        Ok(self.window.clone())
    }

    fn new_event_loop_proxy(&self) -> Option<Box<dyn EventLoopProxy>> {
        Some(Box::new(Proxy {
            send: self.send.clone(),
            waker: self.system.create_waker(),
        }))
    }

    fn run_event_loop(&self) -> Result<(), PlatformError> {
        loop {
            update_timers_and_animations();
            let wait = duration_until_next_timer_update()
                .map_or(LONGEST_WAIT, |next| next.min(LONGEST_WAIT));
            let mut over = false;
            self.system.poll_events(Some(wait), |event| {
                match &event {
                    PollEvent::Main(MainEvent::Destroy) => over = true,
                    PollEvent::Main(MainEvent::InputAvailable) => self.touched(),
                    _ => {}
                }
                (self.heard)(&event);
            });
            for errand in self.errands.try_iter() {
                match errand {
                    Some(errand) => errand(),
                    None => over = true,
                }
            }
            if over {
                return Ok(());
            }
            self.draw();
        }
    }
}

impl Software {
    fn scale(&self) -> f32 {
        let dpi = self.system.config().density().unwrap_or(160);
        dpi as f32 / USUAL_DPI
    }

    fn draw(&self) {
        let Some(surface) = self.system.native_window() else {
            return;
        };
        let side = |pixels: i32| u32::try_from(pixels).unwrap_or(0);
        let size = PhysicalSize::new(side(surface.width()), side(surface.height()));
        let scale_factor = self.scale();
        if (self.window.scale_factor() - scale_factor).abs() > f32::EPSILON {
            self.window
                .dispatch_event(WindowEvent::ScaleFactorChanged { scale_factor });
        }
        self.window.set_size(size);
        self.window.draw_if_needed(|renderer| {
            if let Ok(mut canvas) = surface.lock(None) {
                let (stride, height) = (canvas.stride(), canvas.height());
                // The buffer is four bytes a pixel, the format a window has unless another is asked for, and is ours
                // until `canvas` is dropped.
                let pixels = unsafe {
                    let first = canvas.bits().cast::<PremultipliedRgbaColor>();
                    std::slice::from_raw_parts_mut(first, stride * height)
                };
                renderer.render(pixels, stride);
            }
        });
    }

    fn touched(&self) {
        let Ok(mut events) = self.system.input_events_iter() else {
            return;
        };
        let scale = self.scale();
        while events.next(|event| {
            let InputEvent::MotionEvent(motion) = event else {
                return InputStatus::Unhandled;
            };
            let Some(finger) = motion.pointers().next() else {
                return InputStatus::Unhandled;
            };
            let position = LogicalPosition::new(finger.x() / scale, finger.y() / scale);
            let button = PointerEventButton::Left;
            let touch = match motion.action() {
                MotionAction::Down => WindowEvent::PointerPressed { position, button },
                MotionAction::Move => WindowEvent::PointerMoved { position },
                MotionAction::Up => WindowEvent::PointerReleased { position, button },
                _ => return InputStatus::Unhandled,
            };
            self.window.dispatch_event(touch);
            InputStatus::Handled
        }) {}
    }
}

struct Proxy {
    send: Sender<Option<Errand>>,
    waker: AndroidAppWaker,
}

impl EventLoopProxy for Proxy {
    fn quit_event_loop(&self) -> Result<(), EventLoopError> {
        self.hand(None)
    }

    fn invoke_from_event_loop(&self, errand: Errand) -> Result<(), EventLoopError> {
        self.hand(Some(errand))
    }
}

impl Proxy {
    fn hand(&self, errand: Option<Errand>) -> Result<(), EventLoopError> {
        let handed = self.send.send(errand);
        self.waker.wake();
        handed.map_err(|_| EventLoopError::EventLoopTerminated)
    }
}
