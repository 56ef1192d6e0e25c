//! A camera watched for tags: made-up frames in, a channel in the window's place.

mod tags_scene;

use image::RgbImage;
use lantern_ring::camera::live::{BETWEEN_PREVIEWS, PREVIEW_LONG_SIDE, Sight, Watch};
use lantern_ring::camera::{CameraError, Frame, FrameSource};
use lantern_ring::tag::payload::payload;
use lantern_ring::tag::read::{Code, Schedule, still};
use lantern_ring::tag::{Host, Luma, TagId, draw};
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{self, Receiver};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};
use tags_scene::{Dice, Placed, Trouble, frame};
use uuid::Uuid;

const SIZE: (u32, u32) = (1280, 720);
/// Thirty frames a second.
const FRAME_TIME: Duration = Duration::from_millis(33);
/// Far longer than any of this takes on a slow machine.
const PATIENCE: Duration = Duration::from_secs(60);

fn tag_text() -> String {
    let host = Host::new("kestrel-ness.example").unwrap();
    payload(&host, TagId::new(Uuid::from_u128(0x1234_5678_9abc)))
}

fn is_tag(code: &Code) -> bool {
    code.text == tag_text()
}

/// A code of this text in the middle of a frame, 20 degrees turned and out of focus.
fn scene(text: &str, blur: f32) -> Luma {
    let code = still::luma(&still::decode(&draw::png(text, 4).unwrap()).unwrap());
    let placed = Placed {
        code: &code,
        middle: (640.0, 360.0),
        width: 260.0,
        turn: 20.0,
        tilt: 0.1,
    };
    let trouble = Trouble {
        blur,
        noise: 4.0,
        ..Trouble::NONE
    };
    frame(SIZE, &[placed], trouble, &mut Dice(7))
}

fn blank() -> Luma {
    frame(SIZE, &[], Trouble::NONE, &mut Dice(1))
}

/// What became of a made-up camera.
#[derive(Clone, Default)]
struct Seen {
    given: Arc<AtomicU32>,
    stopped: Arc<AtomicBool>,
}

/// A camera that gives frame after frame in its own time, of which the last comes again and again.
struct MadeUp {
    frames: Vec<Result<Luma, ()>>,
    at_the_end: End,
    between: Duration,
    seen: Seen,
}

enum End {
    Repeat,
    NoMore,
}

impl FrameSource for MadeUp {
    fn next_frame(&mut self) -> Result<Option<Frame>, CameraError> {
        thread::sleep(self.between);
        let number = self.seen.given.fetch_add(1, Ordering::SeqCst) as usize;
        let last = self.frames.len() - 1;
        if number > last && matches!(self.at_the_end, End::NoMore) {
            return Ok(None);
        }
        match &self.frames[number.min(last)] {
            Ok(luma) => Ok(Some(Frame {
                luma: luma.clone(),
                preview: None,
                origin: "made up".into(),
            })),
            Err(()) => Err(CameraError::NoFrames),
        }
    }

    fn stop(&mut self) {
        self.seen.stopped.store(true, Ordering::SeqCst);
    }
}

fn camera(frames: Vec<Result<Luma, ()>>, at_the_end: End) -> (MadeUp, Seen) {
    let seen = Seen::default();
    let camera = MadeUp {
        frames,
        at_the_end,
        between: FRAME_TIME,
        seen: seen.clone(),
    };
    (camera, seen)
}

fn watch(
    camera: MadeUp,
    wanted: impl Fn(&Code) -> bool + Send + 'static,
) -> (Watch, Receiver<Sight>) {
    let (tell, told) = mpsc::channel();
    let tell = Mutex::new(tell);
    let start = Instant::now();
    let watch = Watch::start(
        Box::new(move || Ok(Box::new(camera))),
        wanted,
        move |sight| drop(tell.lock().unwrap().send(sight)),
        move || start.elapsed(),
    );
    (watch, told)
}

/// The end of a watch, and the previews before it.
fn end(told: &Receiver<Sight>) -> (Sight, Vec<RgbImage>) {
    let mut previews = Vec::new();
    loop {
        match told.recv_timeout(PATIENCE).unwrap() {
            Sight::Preview(picture) => previews.push(picture),
            last => return (last, previews),
        }
    }
}

fn texts(sight: &Sight) -> Vec<&str> {
    match sight {
        Sight::Codes(codes, _) => codes.iter().map(|code| code.text.as_str()).collect(),
        other => panic!("no codes but {other:?}"),
    }
}

#[test]
fn a_turned_and_blurred_tag_after_blank_frames_is_found_and_the_camera_let_go() {
    let mut frames = vec![Ok(blank()); 5];
    frames.push(Ok(scene(&tag_text(), 1.5)));
    let (camera, seen) = camera(frames, End::Repeat);
    let (watch, told) = watch(camera, is_tag);
    let (last, previews) = end(&told);
    assert_eq!(texts(&last), [tag_text()]);
    assert!(seen.given.load(Ordering::SeqCst) > 5);
    assert!(!previews.is_empty());
    watch.finish();
    assert!(seen.stopped.load(Ordering::SeqCst));
    // One preview may have been under way; nothing else follows the end.
    assert!(
        told.try_iter()
            .all(|sight| matches!(sight, Sight::Preview(_)))
    );
}

#[test]
fn what_is_shown_is_small_and_keeps_its_shape() {
    let (camera, _) = camera(vec![Ok(scene(&tag_text(), 0.0))], End::Repeat);
    let (_watch, told) = watch(camera, is_tag);
    let (last, previews) = end(&told);
    let Sight::Codes(_, picture) = last else {
        panic!("no codes but {last:?}");
    };
    for picture in previews.iter().chain([&picture]) {
        assert_eq!(picture.dimensions(), (PREVIEW_LONG_SIDE, 360));
    }
}

#[test]
fn a_slow_reader_drops_frames_and_sees_the_newest() {
    let read = Arc::new(AtomicU32::new(0));
    let reading = read.clone();
    // Every frame has a code, so `wanted` is asked of each that is read; it takes its time and takes none.
    let slow = move |_: &Code| {
        reading.fetch_add(1, Ordering::SeqCst);
        thread::sleep(FRAME_TIME * 6);
        false
    };
    let (camera, seen) = camera(vec![Ok(scene("SOME OTHER CODE", 0.0))], End::Repeat);
    let (watch, told) = watch(camera, slow);
    let (last, _) = end(&told);
    assert_eq!(texts(&last), ["SOME OTHER CODE"]);
    watch.finish();
    let (given, read) = (
        seen.given.load(Ordering::SeqCst),
        read.load(Ordering::SeqCst),
    );
    // A frame is asked about twice at most: for the heavier pass, and for the end.
    assert!(read >= 7, "{read} questions");
    assert!(given > 2 * read, "{given} frames given, {read} questions");
}

#[test]
fn the_picture_is_shown_at_most_fifteen_times_a_second() {
    let start = Instant::now();
    let (mut camera, seen) = camera(vec![Ok(blank()); 40], End::NoMore);
    camera.between = Duration::from_millis(10);
    let (_watch, told) = watch(camera, is_tag);
    let (last, previews) = end(&told);
    assert!(matches!(last, Sight::Ended(None)), "{last:?}");
    let most = start.elapsed().as_millis() / BETWEEN_PREVIEWS.as_millis() + 1;
    assert!(previews.len() >= 2 && previews.len() as u128 <= most);
    assert!(previews.len() < seen.given.load(Ordering::SeqCst) as usize);
}

#[test]
fn a_code_that_is_not_wanted_waits_until_every_heavier_pass_had_its_turn() {
    // The nameplate is seen at once, the tag only later.
    let mut frames = vec![Ok(scene("NAMEPLATE 4711", 0.0)); 3];
    frames.push(Ok(scene(&tag_text(), 0.0)));
    let (mut camera_with_tag, _) = camera(frames, End::Repeat);
    camera_with_tag.between = Duration::from_millis(400);
    let (_watch, told) = watch(camera_with_tag, is_tag);
    assert_eq!(texts(&end(&told).0), [tag_text()]);

    let (camera, seen) = camera(vec![Ok(scene("NAMEPLATE 4711", 0.0))], End::Repeat);
    let (_watch, told) = watch(camera, is_tag);
    assert_eq!(texts(&end(&told).0), ["NAMEPLATE 4711"]);
    assert!(seen.given.load(Ordering::SeqCst) as usize > Schedule::HEAVIER.len());
}

#[test]
fn a_stopped_watch_lets_go_of_the_camera_and_tells_no_end() {
    let (camera, seen) = camera(vec![Ok(blank())], End::Repeat);
    let (watch, told) = watch(camera, is_tag);
    assert!(matches!(
        told.recv_timeout(PATIENCE).unwrap(),
        Sight::Preview(_)
    ));
    watch.finish();
    assert!(seen.stopped.load(Ordering::SeqCst));
    let given = seen.given.load(Ordering::SeqCst);
    thread::sleep(3 * FRAME_TIME);
    assert_eq!(seen.given.load(Ordering::SeqCst), given);
    assert!(
        told.try_iter()
            .all(|sight| matches!(sight, Sight::Preview(_)))
    );
}

#[test]
fn a_dropped_watch_stops_without_being_waited_for() {
    let (camera, seen) = camera(vec![Ok(blank())], End::Repeat);
    let (watch, told) = watch(camera, is_tag);
    drop(watch);
    // The channel closes once both threads are gone.
    let start = Instant::now();
    while told.recv_timeout(PATIENCE).is_ok() {}
    assert!(start.elapsed() < PATIENCE);
    assert!(seen.stopped.load(Ordering::SeqCst));
}

#[test]
fn some_broken_frames_are_borne_and_a_camera_that_gives_only_such_ends_with_the_reason() {
    let mut frames = vec![Err(()); 6];
    frames.push(Ok(scene(&tag_text(), 0.0)));
    let (hiccup, _) = camera(frames, End::Repeat);
    let (_watch, told) = watch(hiccup, is_tag);
    assert_eq!(texts(&end(&told).0), [tag_text()]);

    let (broken, seen) = camera(vec![Err(())], End::Repeat);
    let (watch, told) = watch(broken, is_tag);
    let (last, _) = end(&told);
    assert!(matches!(last, Sight::Ended(Some(CameraError::NoFrames))));
    watch.finish();
    assert!(seen.stopped.load(Ordering::SeqCst));
}

#[test]
fn a_camera_pulled_out_ends_with_the_reason() {
    let frames = vec![Ok(blank()), Ok(blank()), Err(())];
    let (camera, _) = camera(frames, End::NoMore);
    let (_watch, told) = watch(camera, is_tag);
    assert!(matches!(
        end(&told).0,
        Sight::Ended(Some(CameraError::NoFrames))
    ));
}

#[test]
fn a_camera_that_does_not_open_ends_with_the_reason() {
    let (tell, told) = mpsc::sync_channel(1);
    let watch = Watch::start(
        Box::new(|| {
            Err(CameraError::NoCamera {
                wanted: "at all".into(),
            })
        }),
        is_tag,
        move |sight| tell.send(sight).unwrap(),
        || Duration::ZERO,
    );
    let Sight::Ended(Some(error)) = told.recv_timeout(PATIENCE).unwrap() else {
        panic!("it went on");
    };
    assert!(error.to_string().contains("plug one in"), "{error}");
    watch.finish();
}

#[test]
fn a_photo_is_taken_in_full_size_once_the_camera_has_settled() {
    let mut frames = vec![Ok(Luma::from_fn(SIZE.0, SIZE.1, |_, _| 5)); 4];
    frames.push(Ok(blank()));
    let (camera, seen) = camera(frames, End::Repeat);
    let (tell, told) = mpsc::sync_channel(1);
    let watch = Watch::still(Box::new(move || Ok(Box::new(camera))), move |taken| {
        tell.send(taken).unwrap()
    });
    let photo = told.recv_timeout(PATIENCE).unwrap().unwrap();
    assert_eq!(photo.dimensions(), SIZE);
    assert!(photo.get_pixel(640, 360).0[0] > 100, "taken too early");
    watch.finish();
    assert!(seen.stopped.load(Ordering::SeqCst));
}
