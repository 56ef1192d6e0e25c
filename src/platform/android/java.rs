//! The methods of `LanternActivity` (android/app/src/main/java), called from any thread.
//!
//! Knows nothing of the rest of the program, so that the same source runs against that very class in any Java machine.
#![allow(unsafe_code)]

use jni::{
    Env, JValue, JavaVM,
    errors::Error,
    jni_sig, jni_str,
    objects::{JObject, JString},
    refs::Global,
};
use std::ffi::c_void;

type Result<T> = std::result::Result<T, JavaError>;

/// Why the activity did not do what it was asked.
#[derive(Debug, thiserror::Error)]
pub enum JavaError {
    /// It, the system or another app said no, in these words.
    #[error("{0}")]
    Said(String),
    /// It could not be called.
    #[error("this app's own activity can't be called ({0})")]
    NotCalled(#[from] Error),
}

/// What to ask the operator for. The numbers are those of `LanternActivity`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// One picture.
    Picture = 1,
    /// Bundles, one or many.
    Bundles = 2,
    /// A place to write a file to.
    Place = 3,
}

/// Whether the camera may be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Permission {
    /// Not asked, or the question is open.
    Open,
    /// It may.
    Allowed,
    /// It may not.
    Refused,
}

/// A file that came from outside and lies with another app still.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct News {
    /// The number it was asked for with; 0 where another app opened it with this one.
    pub number: i32,
    /// What the other app calls it; may be empty, and may say anything.
    pub name: String,
    /// Where to copy it from.
    pub address: String,
}

/// The activity this process is of.
#[derive(Clone, Copy, Debug)]
pub struct Activity {
    machine: *mut c_void,
    activity: *mut c_void,
}

// Both are good on every thread: the machine is one a process, the activity a global reference.
unsafe impl Send for Activity {}
unsafe impl Sync for Activity {}

impl Activity {
    /// The activity behind these pointers.
    ///
    /// # Safety
    /// `machine` is the process's `JavaVM`, `activity` a global reference to a `LanternActivity`; both stay as long as
    /// this is used.
    pub unsafe fn new(machine: *mut c_void, activity: *mut c_void) -> Self {
        Self { machine, activity }
    }

    fn with<T>(&self, work: impl FnOnce(&mut Env, &JObject) -> Result<T>) -> Result<T> {
        let machine = unsafe { JavaVM::from_raw(self.machine.cast()) };
        machine.attach_current_thread(|env| {
            let raw = self.activity as jni::sys::jobject;
            // Borrowed: whoever made the global reference gives it back.
            let activity = unsafe { env.as_cast_raw::<Global<JObject>>(&raw)? };
            let done = work(env, activity.as_ref());
            // Left standing it would fail whatever is called next.
            match env.exception_catch() {
                Err(Error::CaughtJavaException { name, msg, .. }) => {
                    Err(JavaError::Said(if msg.is_empty() { name } else { msg }))
                }
                _ => done,
            }
        })
    }

    /// A file that came from outside and was not taken yet.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn take_news(&self) -> Result<Option<News>> {
        self.with(|env, activity| {
            let line = env
                .call_method(
                    activity,
                    jni_str!("takeNews"),
                    jni_sig!("()Ljava/lang/String;"),
                    &[],
                )?
                .l()?;
            if line.is_null() {
                return Ok(None);
            }
            let line = env.cast_local::<JString>(line)?.to_string();
            Ok(news(&line))
        })
    }

    /// Copies a file that came to `path`; of one larger than `most_bytes` nothing is kept.
    ///
    /// # Errors
    /// Where it can't be read or written.
    pub fn copy_in(&self, address: &str, path: &str, most_bytes: i64) -> Result<()> {
        self.with(|env, activity| {
            let (address, path) = (JString::new(env, address)?, JString::new(env, path)?);
            env.call_method(
                activity,
                jni_str!("copyIn"),
                jni_sig!("(Ljava/lang/String;Ljava/lang/String;J)V"),
                &[
                    JValue::Object(&address),
                    JValue::Object(&path),
                    JValue::Long(most_bytes),
                ],
            )?;
            Ok(())
        })
    }

    /// Copies a file to the place that was chosen.
    ///
    /// # Errors
    /// Where it can't be read or written.
    pub fn copy_out(&self, path: &str, address: &str) -> Result<()> {
        self.with(|env, activity| {
            let (path, address) = (JString::new(env, path)?, JString::new(env, address)?);
            env.call_method(
                activity,
                jni_str!("copyOut"),
                jni_sig!("(Ljava/lang/String;Ljava/lang/String;)V"),
                &[JValue::Object(&path), JValue::Object(&address)],
            )?;
            Ok(())
        })
    }

    /// Asks the operator; what is chosen comes as news with this number.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn choose(&self, choice: Choice, number: i32, name: &str) -> Result<()> {
        self.with(|env, activity| {
            let name = JString::new(env, name)?;
            env.call_method(
                activity,
                jni_str!("choose"),
                jni_sig!("(IILjava/lang/String;)V"),
                &[
                    JValue::Int(choice as i32),
                    JValue::Int(number),
                    JValue::Object(&name),
                ],
            )?;
            Ok(())
        })
    }

    /// Offers a file of the outgoing folder to other apps.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn share(&self, name: &str) -> Result<()> {
        self.with(|env, activity| {
            let name = JString::new(env, name)?;
            env.call_method(
                activity,
                jni_str!("share"),
                jni_sig!("(Ljava/lang/String;)V"),
                &[JValue::Object(&name)],
            )?;
            Ok(())
        })
    }

    /// Whether the camera may be used.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn camera_permission(&self) -> Result<Permission> {
        self.with(|env, activity| {
            let answer = env
                .call_method(activity, jni_str!("cameraPermission"), jni_sig!("()I"), &[])?
                .i()?;
            Ok(match answer {
                1 => Permission::Allowed,
                2 => Permission::Refused,
                _ => Permission::Open,
            })
        })
    }

    /// Says what the camera is for and has the system ask.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn ask_for_camera(&self) -> Result<()> {
        self.with(|env, activity| {
            env.call_method(activity, jni_str!("askForCamera"), jni_sig!("()V"), &[])?;
            Ok(())
        })
    }

    /// Shows why the program can't go on, and ends the activity.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn end_with(&self, words: &str) -> Result<()> {
        self.with(|env, activity| {
            let words = JString::new(env, words)?;
            env.call_method(
                activity,
                jni_str!("endWith"),
                jni_sig!("(Ljava/lang/String;)V"),
                &[JValue::Object(&words)],
            )?;
            Ok(())
        })
    }

    /// Has a tap felt and heard.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn tick(&self) -> Result<()> {
        self.with(|env, activity| {
            env.call_method(activity, jni_str!("tick"), jni_sig!("()V"), &[])?;
            Ok(())
        })
    }

    /// Keeps the screen on, or no longer.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn keep_awake(&self, awake: bool) -> Result<()> {
        self.with(|env, activity| {
            let awake = [JValue::Bool(awake)];
            env.call_method(activity, jni_str!("keepAwake"), jni_sig!("(Z)V"), &awake)?;
            Ok(())
        })
    }

    /// Whether the system is set to dark.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn is_dark(&self) -> Result<bool> {
        self.with(|env, activity| {
            env.call_method(activity, jni_str!("isDark"), jni_sig!("()Z"), &[])?
                .z()
                .map_err(JavaError::from)
        })
    }

    /// How much larger than normal the system shows text.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn font_scale(&self) -> Result<f32> {
        self.with(|env, activity| {
            env.call_method(activity, jni_str!("fontScale"), jni_sig!("()F"), &[])?
                .f()
                .map_err(JavaError::from)
        })
    }

    /// How far the screen's picture is turned from the device's upright, quarter turns.
    ///
    /// # Errors
    /// Where the activity can't be called.
    pub fn quarter_turns(&self) -> Result<i32> {
        self.with(|env, activity| {
            env.call_method(activity, jni_str!("quarterTurns"), jni_sig!("()I"), &[])?
                .i()
                .map_err(JavaError::from)
        })
    }
}

/// News of the three lines that `takeNews` gives; none of anything else.
fn news(lines: &str) -> Option<News> {
    let mut lines = lines.splitn(3, '\n');
    let number = lines.next()?.parse().ok()?;
    let (name, address) = (lines.next()?.to_owned(), lines.next()?.to_owned());
    Some(News {
        number,
        name,
        address,
    })
}
