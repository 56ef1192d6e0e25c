//! A camera watched for codes, away from whoever wants them.
//!
//! Two threads: one takes every frame from the source, so that none waits in it and goes stale, and hands on small
//! pictures to show; the other reads. A frame that comes while the reader is busy is dropped.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, SyncSender};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use image::{DynamicImage, GrayImage, RgbImage};

use super::{CameraError, Frame, FrameSource};
use crate::tag::read::{Code, Schedule};

/// Shortest time between two pictures to show.
pub const BETWEEN_PREVIEWS: Duration = Duration::from_millis(66);

/// Long side of a picture to show, px.
pub const PREVIEW_LONG_SIDE: u32 = 640;

/// So many frames in a row without a picture end the watch: cameras give a broken one now and then.
const MOST_BAD_FRAMES: u32 = 10;

/// Frames a camera is given to find its exposure before one is kept.
const FRAMES_TO_SETTLE: u32 = 12;

/// What is told of a camera.
#[derive(Debug)]
pub enum Sight {
    /// What it sees, made small.
    Preview(RgbImage),
    /// Codes, and what it saw, made small. Nothing more is told.
    Codes(Vec<Code>, RgbImage),
    /// Why there are no more frames, if that is known. Nothing more is told.
    Ended(Option<CameraError>),
}

/// Opens a camera. Called on the watch's own thread: it may take its time.
pub type Open = Box<dyn FnOnce() -> Result<Box<dyn FrameSource>, CameraError> + Send>;

/// A camera at work; dropped, it stops.
#[derive(Debug)]
pub struct Watch {
    over: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Watch {
    /// Watches a camera until there is a code that is `wanted`, the camera ends, or the watch is dropped. A code that is
    /// not wanted ends it too, but only after all heavier passes had their turn: a maker's code on a nameplate is
    /// easier to read than a dirty tag beside it.
    ///
    /// `tell` is called on the watch's threads. `clock` counts up from any start.
    pub fn start(
        open: Open,
        wanted: impl Fn(&Code) -> bool + Send + 'static,
        tell: impl Fn(Sight) + Send + Sync + 'static,
        clock: impl Fn() -> Duration + Send + 'static,
    ) -> Self {
        Self::run(move |over| {
            let news = News { over, tell };
            match open() {
                Ok(mut source) => news.of(source.as_mut(), wanted, clock),
                Err(error) => news.last(Sight::Ended(Some(error))),
            }
        })
    }

    /// Takes one picture of a camera, of its full size, and tells it. Nothing is told once the watch is dropped.
    pub fn still(
        open: Open,
        tell: impl FnOnce(Result<RgbImage, CameraError>) + Send + 'static,
    ) -> Self {
        Self::run(move |over| {
            let taken = open().and_then(|mut source| {
                let taken = settled(source.as_mut(), &over);
                source.stop();
                taken
            });
            if !over.swap(true, Ordering::AcqRel) {
                tell(taken);
            }
        })
    }

    /// Has something else done with the camera, and tells what came of it. Nothing is told once the watch is dropped.
    pub fn once<T>(
        work: impl FnOnce() -> T + Send + 'static,
        tell: impl FnOnce(T) + Send + 'static,
    ) -> Self {
        Self::run(move |over| {
            let came = work();
            if !over.swap(true, Ordering::AcqRel) {
                tell(came);
            }
        })
    }

    fn run(work: impl FnOnce(Arc<AtomicBool>) + Send + 'static) -> Self {
        let over = Arc::new(AtomicBool::new(false));
        let told = over.clone();
        Self {
            over,
            thread: Some(thread::spawn(move || work(told))),
        }
    }

    /// Stops it without waiting.
    pub fn stop(&self) {
        self.over.store(true, Ordering::Release);
    }

    /// Stops it and waits until it has let go of the camera.
    pub fn finish(mut self) {
        self.stop();
        if let Some(thread) = self.thread.take() {
            // A panic there was printed there; the camera is free all the same.
            let _ = thread.join();
        }
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.stop();
    }
}

/// What the two threads share: whether it is over, and whom to tell.
struct News<Tell> {
    over: Arc<AtomicBool>,
    tell: Tell,
}

impl<Tell: Fn(Sight) + Sync> News<Tell> {
    fn is_over(&self) -> bool {
        self.over.load(Ordering::Acquire)
    }

    /// Tells the end, unless it was told or the watch stopped.
    fn last(&self, sight: Sight) {
        if !self.over.swap(true, Ordering::AcqRel) {
            (self.tell)(sight);
        }
    }

    fn of(
        &self,
        source: &mut dyn FrameSource,
        wanted: impl Fn(&Code) -> bool + Send,
        clock: impl Fn() -> Duration,
    ) {
        // Without room in the channel a frame is taken only while the reader waits for one: always the newest.
        let (frames, reader) = mpsc::sync_channel(0);
        thread::scope(|scope| {
            scope.spawn(|| self.read(reader, wanted));
            let end = self.take_all(source, &frames, clock);
            source.stop();
            self.last(Sight::Ended(end));
            // The reader waits for frames until there is nobody to send any.
            drop(frames);
        });
    }

    /// Takes frames until it is over or there are no more; gives the reason if there is one.
    fn take_all(
        &self,
        source: &mut dyn FrameSource,
        frames: &SyncSender<Frame>,
        clock: impl Fn() -> Duration,
    ) -> Option<CameraError> {
        let mut next_preview = Duration::ZERO;
        let mut bad = BadFrames::default();
        while !self.is_over() {
            let frame = match source.next_frame() {
                Ok(Some(frame)) => frame,
                Ok(None) => return bad.last,
                Err(error) if bad.is_bearable() => {
                    bad.add(error);
                    continue;
                }
                Err(error) => return Some(error),
            };
            bad = BadFrames::default();
            if clock() >= next_preview {
                next_preview = clock() + BETWEEN_PREVIEWS;
                (self.tell)(Sight::Preview(preview(&frame)));
            }
            // Refused while the reader is busy: this is the dropping of frames.
            let _ = frames.try_send(frame);
        }
        None
    }

    fn read(&self, frames: Receiver<Frame>, wanted: impl Fn(&Code) -> bool) {
        let mut schedule = Schedule::new();
        let mut frames_since_unwanted = 0;
        for frame in frames {
            if self.is_over() {
                return;
            }
            let codes = schedule.frame(&frame.luma, &wanted);
            if frames_since_unwanted > 0 || !codes.is_empty() {
                frames_since_unwanted += 1;
            }
            let all_had_their_turn = frames_since_unwanted > Schedule::HEAVIER.len();
            if codes.iter().any(&wanted) || (all_had_their_turn && !codes.is_empty()) {
                return self.last(Sight::Codes(codes, preview(&frame)));
            }
        }
    }
}

/// Frames in a row that were none.
#[derive(Default)]
struct BadFrames {
    count: u32,
    last: Option<CameraError>,
}

impl BadFrames {
    fn is_bearable(&self) -> bool {
        self.count + 1 < MOST_BAD_FRAMES
    }

    fn add(&mut self, error: CameraError) {
        self.count += 1;
        self.last = Some(error);
    }
}

/// The picture of a camera that has had time to find its exposure, or the last of one that ends before.
fn settled(source: &mut dyn FrameSource, over: &AtomicBool) -> Result<RgbImage, CameraError> {
    let mut taken = None;
    let mut bad = None;
    for _ in 0..FRAMES_TO_SETTLE {
        if over.load(Ordering::Acquire) {
            break;
        }
        match source.next_frame() {
            Ok(Some(frame)) => taken = Some(frame),
            Ok(None) => break,
            Err(error) => bad = Some(error),
        }
    }
    match (taken, bad) {
        (Some(frame), _) => Ok(picture(&frame).into_rgb8()),
        (None, Some(error)) => Err(error),
        (None, None) => Err(CameraError::NoFrames),
    }
}

/// What a frame shows, in colour where it has any.
fn picture(frame: &Frame) -> DynamicImage {
    let grey = || {
        let luma = &frame.luma;
        GrayImage::from_raw(luma.width(), luma.height(), luma.data().to_vec()).unwrap_or_default()
    };
    match &frame.preview {
        Some(colours) => colours.clone().into(),
        None => grey().into(),
    }
}

fn preview(frame: &Frame) -> RgbImage {
    let picture = picture(frame);
    match picture.width().max(picture.height()) > PREVIEW_LONG_SIDE {
        true => picture.thumbnail(PREVIEW_LONG_SIDE, PREVIEW_LONG_SIDE),
        false => picture,
    }
    .into_rgb8()
}
