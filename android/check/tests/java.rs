//! The activity's own class in a real Java machine, against stand-ins of the system's classes: one test, for a process
//! has one machine. The classes are compiled by check.sh, which names their folder.

use android_check::java::{Activity, Choice, News, Permission};
use jni::{
    InitArgsBuilder, JValue, JavaVM, jni_sig, jni_str,
    objects::{JObject, JString},
    refs::Global,
};
use std::{fs, path::Path};

type Result<T> = jni::errors::Result<T>;

/// The world of stand-ins, told by text.
struct World {
    machine: JavaVM,
}

impl World {
    fn start(&self, folder: &Path, opened: Option<&str>) -> Global<JObject<'static>> {
        let start = |env: &mut jni::Env| -> Result<_> {
            let class = env.find_class(jni_str!("fake/World"))?;
            let folder = JString::new(env, folder.to_str().unwrap())?;
            let opened: JObject = match opened {
                Some(address) => JString::new(env, address)?.into(),
                None => JObject::null(),
            };
            let activity = env
                .call_static_method(
                    &class,
                    jni_str!("start"),
                    jni_sig!(
                        "(Ljava/lang/String;Ljava/lang/String;)Llantern/ring/LanternActivity;"
                    ),
                    &[JValue::Object(&folder), JValue::Object(&opened)],
                )?
                .l()?;
            env.new_global_ref(&activity)
        };
        self.machine.attach_current_thread(start).unwrap()
    }

    fn log(&self) -> Vec<String> {
        let taken = |env: &mut jni::Env| -> Result<String> {
            let class = env.find_class(jni_str!("fake/World"))?;
            let sig = jni_sig!("()Ljava/lang/String;");
            let lines = env
                .call_static_method(&class, jni_str!("taken"), sig, &[])?
                .l()?;
            Ok(env.cast_local::<JString>(lines)?.to_string())
        };
        let lines = self.machine.attach_current_thread(taken).unwrap();
        lines.lines().map(str::to_owned).collect()
    }

    fn other(&self, address: &str, name: &str, path: &Path) {
        let other = |env: &mut jni::Env| -> Result<()> {
            let class = env.find_class(jni_str!("fake/World"))?;
            let texts = [address, name, path.to_str().unwrap()];
            let [address, name, path] = texts.map(|text| JString::new(env, text).unwrap());
            let sig = jni_sig!("(Ljava/lang/String;Ljava/lang/String;Ljava/lang/String;)V");
            let given = [
                JValue::Object(&address),
                JValue::Object(&name),
                JValue::Object(&path),
            ];
            env.call_static_method(&class, jni_str!("other"), sig, &given)?;
            Ok(())
        };
        self.machine.attach_current_thread(other).unwrap();
    }

    fn choose(&self, addresses: &str) {
        let choose = |env: &mut jni::Env| -> Result<()> {
            let class = env.find_class(jni_str!("fake/World"))?;
            let addresses = JString::new(env, addresses)?;
            let given = [JValue::Object(&addresses)];
            env.call_static_method(
                &class,
                jni_str!("choose"),
                jni_sig!("(Ljava/lang/String;)V"),
                &given,
            )?;
            Ok(())
        };
        self.machine.attach_current_thread(choose).unwrap();
    }

    fn answer(&self, pressed: i32, allowed: bool) {
        let answer = |env: &mut jni::Env| -> Result<()> {
            let class = env.find_class(jni_str!("fake/World"))?;
            let given = [JValue::Int(pressed), JValue::Bool(allowed)];
            env.call_static_method(&class, jni_str!("answer"), jni_sig!("(IZ)V"), &given)?;
            Ok(())
        };
        self.machine.attach_current_thread(answer).unwrap();
    }

    fn look(&self, ui_mode: i32, font_scale: f32, rotation: i32) {
        let look = |env: &mut jni::Env| -> Result<()> {
            let class = env.find_class(jni_str!("fake/World"))?;
            let given = [
                JValue::Int(ui_mode),
                JValue::Float(font_scale),
                JValue::Int(rotation),
            ];
            env.call_static_method(&class, jni_str!("look"), jni_sig!("(IFI)V"), &given)?;
            Ok(())
        };
        self.machine.attach_current_thread(look).unwrap();
    }

    /// What another app reads at an address it was given; none where it is refused.
    fn read_shared(&self, address: &str, mode: &str) -> Option<String> {
        let read = |env: &mut jni::Env| -> Result<Option<String>> {
            let class = env.find_class(jni_str!("fake/World"))?;
            let (address, mode) = (JString::new(env, address)?, JString::new(env, mode)?);
            let sig = jni_sig!("(Ljava/lang/String;Ljava/lang/String;)Ljava/lang/String;");
            let given = [JValue::Object(&address), JValue::Object(&mode)];
            let read = env.call_static_method(&class, jni_str!("readShared"), sig, &given);
            if env.exception_check() {
                env.exception_clear();
                return Ok(None);
            }
            let text = read?.l()?;
            Ok(Some(env.cast_local::<JString>(text)?.to_string()))
        };
        self.machine.attach_current_thread(read).unwrap()
    }
}

fn machine() -> JavaVM {
    let classes =
        std::env::var("ANDROID_CHECK_CLASSES").expect("the folder of classes, set by check.sh");
    let path = format!("-Djava.class.path={classes}");
    JavaVM::new(InitArgsBuilder::new().option(path).build().unwrap()).unwrap()
}

fn news(number: i32, name: &str, address: &str) -> Option<News> {
    Some(News {
        number,
        name: name.to_owned(),
        address: address.to_owned(),
    })
}

#[test]
fn the_activity_does_what_it_is_asked() {
    let world = World { machine: machine() };
    let folder = tempfile::tempdir().unwrap();
    let of = |name: &str| folder.path().join(name);
    fs::write(of("other.bin"), "hello").unwrap();
    world.other("content://mail/1", "mill.lrbundle", &of("other.bin"));
    world.other("content://mail/2", "a\nb\u{7}.jpg", &of("other.bin"));

    // Opened by another app, at the start and later. A path of a file could be one of this app's own.
    let object = world.start(folder.path(), Some("content://mail/1"));
    let activity = unsafe { Activity::new(world.machine.get_raw().cast(), object.as_raw().cast()) };
    assert_eq!(world.log(), ["setenv TMPDIR cache"]);
    assert_eq!(
        activity.take_news().unwrap(),
        news(0, "mill.lrbundle", "content://mail/1")
    );
    assert_eq!(activity.take_news().unwrap(), None);
    let plain = world.start(folder.path(), Some("file:///data/keys"));
    let plain = unsafe { Activity::new(world.machine.get_raw().cast(), plain.as_raw().cast()) };
    assert_eq!(plain.take_news().unwrap(), None);
    world.log();

    // Copied in, up to a size, and not where another app takes it back.
    let copy = of("copy.bin");
    let path = copy.to_str().unwrap();
    activity.copy_in("content://mail/1", path, 5).unwrap();
    assert_eq!(fs::read(&copy).unwrap(), b"hello");
    let refused = activity
        .copy_in("content://mail/1", path, 4)
        .unwrap_err()
        .to_string();
    assert_eq!(refused, "it is larger than 4 bytes");
    assert!(!copy.exists());
    let refused = activity
        .copy_in("content://gone/1", path, 4)
        .unwrap_err()
        .to_string();
    assert!(refused.contains("nothing at content://gone/1"), "{refused}");

    // Chosen: one, several, none; a name that would forge a line; one that nobody tells.
    world.choose("content://mail/1\ncontent://mail/2\ncontent://unnamed/3");
    activity.choose(Choice::Bundles, 7, "").unwrap();
    assert_eq!(
        activity.take_news().unwrap(),
        news(7, "mill.lrbundle", "content://mail/1")
    );
    assert_eq!(
        activity.take_news().unwrap(),
        news(7, "a b .jpg", "content://mail/2")
    );
    assert_eq!(
        activity.take_news().unwrap(),
        news(7, "", "content://unnamed/3")
    );
    activity.choose(Choice::Picture, 8, "").unwrap();
    assert_eq!(activity.take_news().unwrap(), None);
    let asked = world.log().join("\n");
    assert!(
        asked.contains("OPEN_DOCUMENT type=*/*") && asked.contains("ALLOW_MULTIPLE=true"),
        "{asked}"
    );
    assert!(asked.contains("OPEN_DOCUMENT type=image/*"), "{asked}");

    // Saved where the operator says.
    fs::create_dir(of("outgoing")).unwrap();
    fs::write(of("outgoing/kn 1.lrbundle"), "bundle").unwrap();
    world.other("content://docs/9", "", &of("saved.bin"));
    world.choose("content://docs/9");
    activity.choose(Choice::Place, 9, "kn 1.lrbundle").unwrap();
    let place = activity.take_news().unwrap().unwrap();
    assert_eq!(place.number, 9);
    let bundle = of("outgoing/kn 1.lrbundle");
    activity
        .copy_out(bundle.to_str().unwrap(), &place.address)
        .unwrap();
    assert_eq!(fs::read(of("saved.bin")).unwrap(), b"bundle");
    let asked = world.log().join("\n");
    assert!(
        asked.contains("CREATE_DOCUMENT") && asked.contains("TITLE=kn 1.lrbundle"),
        "{asked}"
    );
    assert!(asked.contains("write wt"), "{asked}");

    // Shared: the other app may read that one file and no other.
    activity.share("kn 1.lrbundle").unwrap();
    let shared = world.log().join("\n");
    let address = "content://lantern.ring.outgoing/kn%201.lrbundle";
    assert!(
        shared.contains("CHOOSER") && shared.contains("SEND type=application/octet-stream flags=1"),
        "{shared}"
    );
    assert!(shared.contains(&format!("clip={address}")), "{shared}");
    let read = world.read_shared(address, "r").unwrap();
    assert_eq!(read, "kn 1.lrbundle\n6\nbundle");
    fs::write(of("store.lantern"), "secret").unwrap();
    for outside in [
        "content://lantern.ring.outgoing/..%2Fstore.lantern",
        "content://lantern.ring.outgoing/../store.lantern",
        "content://lantern.ring.outgoing/store.lantern",
        "content://lantern.ring.outgoing/a/kn%201.lrbundle",
        "content://lantern.ring.outgoing/",
    ] {
        assert_eq!(world.read_shared(outside, "r"), None, "{outside}");
    }
    assert_eq!(world.read_shared(address, "rw"), None);
    activity.share("handover.pdf").unwrap();
    let shared = world.log().join("\n");
    assert!(shared.contains("SEND type=application/pdf"), "{shared}");

    // The camera: not now, no, yes.
    for (pressed, allowed, answered) in [
        (0, true, Permission::Refused),
        (-1, true, Permission::Refused),
        (1, false, Permission::Refused),
        (1, true, Permission::Allowed),
    ] {
        world.answer(pressed, allowed);
        activity.ask_for_camera().unwrap();
        assert_eq!(
            activity.camera_permission().unwrap(),
            answered,
            "{pressed} {allowed}"
        );
        let log = world.log();
        assert!(
            log[0].starts_with("say "),
            "the reason comes first: {log:?}"
        );
        let asked = log.contains(&"permission android.permission.CAMERA".to_owned());
        assert_eq!(asked, pressed == 1, "{log:?}");
    }

    // Felt, heard, awake, looks.
    activity.tick().unwrap();
    activity.keep_awake(true).unwrap();
    activity.keep_awake(false).unwrap();
    assert_eq!(
        world.log(),
        ["feel 3", "hear 0", "flags + 128", "flags - 128"]
    );
    world.look(0x21, 1.3, 3);
    assert!(activity.is_dark().unwrap());
    assert_eq!(activity.font_scale().unwrap(), 1.3);
    assert_eq!(activity.quarter_turns().unwrap(), 3);
    world.look(0x11, 1.0, 0);
    assert!(!activity.is_dark().unwrap());

    // The end, with its reason.
    activity.end_with("the disk is full").unwrap();
    assert_eq!(world.log(), ["say the disk is full", "finish"]);

    // Any thread may ask.
    std::thread::spawn(move || activity.tick().unwrap())
        .join()
        .unwrap();
    assert_eq!(world.log().len(), 2);
}
