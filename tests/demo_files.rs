//! The demo's committed files are what the program makes of the demo plant.

use lantern_ring::headless::{self, Task};
use std::{fs, path::Path};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(words: &[&str]) {
    use clap::Parser;
    let arguments =
        headless::Arguments::try_parse_from([&["lantern-ring"], words].concat()).unwrap();
    let headless::Face::Task(task) = arguments.face else {
        panic!("{words:?} is no task")
    };
    let task: Task = task;
    headless::perform(task, &mut Vec::new()).unwrap();
}

#[test]
fn tags_and_bundles_are_up_to_date() {
    let folder = tempfile::tempdir().unwrap();
    let plant = root().join("demo-plant");
    run(&[
        "make-demo",
        plant.to_str().unwrap(),
        folder.path().to_str().unwrap(),
    ]);
    for device in ["device-1", "device-2"] {
        let made = fs::read(folder.path().join(format!("{device}-latest.lrbundle"))).unwrap();
        let kept = fs::read(plant.join(format!("bundles/{device}.lrbundle"))).unwrap();
        assert!(
            made == kept,
            "demo-plant/bundles/{device}.lrbundle is not what make-demo makes: make it anew"
        );
    }
    let tags = folder.path().join("tags");
    let store = folder.path().join("kestrel-ness.lantern");
    run(&["tags", store.to_str().unwrap(), tags.to_str().unwrap()]);
    let mut compared = 0;
    for entry in fs::read_dir(&tags).unwrap() {
        let name = entry.unwrap().file_name();
        let kept = fs::read(plant.join("tags").join(&name)).unwrap_or_default();
        assert!(
            fs::read(tags.join(&name)).unwrap() == kept,
            "demo-plant/tags/{name:?} is out of date: draw the tags anew"
        );
        compared += 1;
    }
    assert_eq!(
        compared,
        fs::read_dir(plant.join("tags")).unwrap().count(),
        "a stray file in demo-plant/tags"
    );
    assert!(compared > 60, "{compared} files for the plant's tags");
}
