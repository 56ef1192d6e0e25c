//! Bad input to the commands: each is refused with a sentence that says what and what to do, and nothing has changed.

#[path = "exchange_bundle/crafted.rs"]
#[allow(dead_code)]
mod crafted;
mod headless_support;
#[path = "exchange_bundle/support.rs"]
#[allow(dead_code)]
mod support;

use crafted::{Crafted, Entry, crc32};
use headless_support::{content, make_store, plant, run, run_with};
use image::{DynamicImage, GrayImage, ImageFormat, Luma};
use lantern_ring::tag::{Host, TagId, draw, payload::payload};
use std::{fs, io::Cursor, path::Path};

const GOOD: &str = r#"{"pump":"ST-101","running":"running","check":"leak_off@seal_de","entered":{"kind":"count","drops":24,"seconds":60}}"#;

/// The first bytes of a PNG that says it has so many pixels a side; the rest is not there.
fn png_of_size(side: u32) -> Vec<u8> {
    let mut head = b"IHDR".to_vec();
    head.extend(side.to_be_bytes());
    head.extend(side.to_be_bytes());
    head.extend([8, 2, 0, 0, 0]);
    let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x0d".to_vec();
    png.extend(&head);
    png.extend(crc32(&head).to_be_bytes());
    png.extend(b"\0\0\0\x04IDATxxxx\0\0\0\0\0\0\0\0IEND\xaeB`\x82");
    png
}

#[test]
fn an_entries_file_with_one_bad_line_records_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    fs::write(folder.join("huge.png"), png_of_size(10_000)).unwrap();
    fs::write(folder.join("words.jpg"), "no picture at all").unwrap();
    make_store(folder, "a.lantern");
    let before = content(&folder.join("a.lantern"));
    let cases: &[(&str, &[&str])] = &[
        (r#"{"pump":"ST-101","#, &["EOF", "record --help"]),
        (r#"["ST-101"]"#, &["{", "record --help"]),
        (
            r#"{"pump":"XX-999","check":"remark@pump","entered":{"kind":"words","text":"T"}}"#,
            &["XX-999", "not in this plant"],
        ),
        (
            r#"{"pump":"ST-101","check":"seal_feed_flow@seal_de","entered":{"kind":"number","value":4,"unit":"L/min"}}"#,
            &["ST-101", "has no check seal_feed_flow@seal_de"],
        ),
        (
            r#"{"pump":"ST-101","check":"colour@pump","entered":{"kind":"words","text":"T"}}"#,
            &["colour@pump", "not known", "kind@place"],
        ),
        (
            r#"{"pump":"ST-101","check":"motor_current@driver","entered":{"kind":"number","value":9999,"unit":"A"}}"#,
            &["9999 A", "outside", "decimal sign"],
        ),
        (
            r#"{"pump":"ST-101","check":"motor_current@driver","entered":{"kind":"number","value":"3,5","unit":"A"}}"#,
            &["3,5", "expected a number"],
        ),
        (
            r#"{"pump":"ST-101","check":"motor_current@driver","entered":{"kind":"number","value":3,"unit":"furlong"}}"#,
            &["furlong", "expected one of"],
        ),
        (
            r#"{"pump":"ST-101","check":"leak_off@seal_de","entered":{"kind":"count","drops":24,"seconds":0}}"#,
            &["over no time", "count again"],
        ),
        (
            r#"{"pump":"ST-101","check":"leak_off@seal_de","entered":{"kind":"stream","millilitres":40,"seconds":0}}"#,
            &["the cup was held under the stream for no time"],
        ),
        (
            r#"{"pump":"ST-101","check":"noise@pump"}"#,
            &["give \"check\" with \"entered\""],
        ),
        (r#"{"check":"noise@pump"}"#, &["either \"pump\" or \"tag\""]),
        (
            r#"{"tag":"HTTPS://TAGS.KESTREL-NESS.EXAMPLE/A/1CJRDG4SKN8PHAMVGQ8GBV06V8-2","check":"noise@pump","entered":{"kind":"choice","key":"steady"}}"#,
            &["check character", "scan it again"],
        ),
        (
            r#"{"pump":"ST-101","photo":"nowhere.jpg"}"#,
            &["nowhere.jpg", "can't be read", "folder"],
        ),
        (
            r#"{"pump":"ST-101","photo":"words.jpg"}"#,
            &["not a picture", "Choose a JPEG"],
        ),
        (r#"{"pump":"ST-101","photo":"huge.png"}"#, &["megapixel"]),
    ];
    for (bad, words) in cases {
        let text = format!("{GOOD}\n{bad}\n{GOOD}\n");
        let record = ["record", "a.lantern", "-", "--by", "X"];
        let words = [&["nothing was recorded", "line 2: "], *words].concat();
        run_with(folder, &record, &text).refused(&words);
        assert_eq!(content(&folder.join("a.lantern")), before, "{bad}");
    }
    let all: String = cases.iter().map(|(bad, _)| format!("{bad}\n")).collect();
    let told = run_with(folder, &["record", "a.lantern", "-", "--by", "X"], &all).ended(1);
    assert_eq!(
        told.err.lines().count(),
        cases.len() + 1,
        "every fault at once: {told:?}"
    );
    for (input, words) in [("", "no entries"), ("\n \n", "no entries")] {
        run_with(folder, &["record", "a.lantern", "-", "--by", "X"], input).refused(&[words]);
    }
    run_with(folder, &["record", "a.lantern", "-", "--by", " "], GOOD).refused(&["1 to 60"]);
    run(folder, &["record", "a.lantern", "none.jsonl", "--by", "X"]).refused(&["none.jsonl"]);
    run(folder, &["record", "a.lantern", "huge.png", "--by", "X"]).refused(&["UTF-8"]);
    run(folder, &["verify", "a.lantern"]).ended(0);
    assert_eq!(content(&folder.join("a.lantern")), before);
}

/// A bundle of one entry and one photo, as the program writes it.
fn good_bundle(folder: &Path) -> Vec<u8> {
    make_store(folder, "device.lantern");
    let photo = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/photo/gps.jpg");
    let photo = format!(r#"{{"pump":"ST-101","photo":"{}"}}"#, photo.display());
    let record = ["record", "device.lantern", "-", "--by", "X"];
    run_with(folder, &record, &format!("{GOOD}\n{photo}\n")).ended(0);
    run(folder, &["bundle", "device.lantern", "good.lrbundle"]).ended(0);
    fs::read(folder.join("good.lrbundle")).unwrap()
}

/// What is wrong, the bundle, and words of the answer.
fn bad_bundles(good: &[u8]) -> Vec<(&'static str, Vec<u8>, &'static [&'static str])> {
    let changed = |change: &dyn Fn(&mut Crafted)| {
        let mut crafted = Crafted::of(good);
        change(&mut crafted);
        crafted.build()
    };
    let another = |name: &'static [u8]| {
        changed(&|crafted| crafted.entries.push(Entry::stored(name, b"content")))
    };
    let manifest = |field: &'static str, value: serde_json::Value| {
        changed(&|crafted| {
            crafted.set_manifest(|manifest| manifest[field] = value.clone());
        })
    };
    vec![
        (
            "truncated",
            good[..good.len() / 2].to_vec(),
            &["cut short", "copy it again"],
        ),
        ("empty", Vec::new(), &["not a Lantern Ring bundle"]),
        (
            "no bundle",
            b"pump,value\n".to_vec(),
            &["not a Lantern Ring bundle"],
        ),
        (
            "wrong hash",
            changed(&|crafted| {
                crafted.set_manifest(|manifest| {
                    manifest["records"]["sha256"] = "0".repeat(64).into();
                });
            }),
            &["records.jsonl", "SHA-256 differs"],
        ),
        (
            "unknown version",
            manifest("version", 99.into()),
            &["newer version (99)", "update"],
        ),
        (
            "another plant",
            manifest("plant", "grebe-point".into()),
            &["grebe-point", "kestrel-ness"],
        ),
        (
            "out of its folder",
            another(b"../out.txt"),
            &["../out.txt", "does not belong"],
        ),
        (
            "a member too many",
            another(b"notes.txt"),
            &["notes.txt", "does not belong"],
        ),
        (
            "lying size",
            changed(&|crafted| {
                crafted.set_manifest(|manifest| {
                    let said = manifest["records"]["bytes"].as_u64().unwrap();
                    manifest["records"]["bytes"] = (said + 1).into();
                });
            }),
            &["records.jsonl", "another size"],
        ),
        (
            "bomb",
            changed(&|crafted| {
                // 1 GB of the same byte comes to about 1 MB by deflate; the headers alone say enough.
                let records = &mut crafted.entries[1];
                records.method = 8;
                records.unpacked = 1 << 30;
            }),
            &["swells"],
        ),
    ]
}

#[test]
fn a_bad_bundle_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let good = good_bundle(folder);
    make_store(folder, "planner.lantern");
    let before = content(&folder.join("planner.lantern"));
    for (what, bytes, words) in bad_bundles(&good) {
        fs::write(folder.join("bad.lrbundle"), bytes).unwrap();
        let words = [&["bad.lrbundle: refused: "], words].concat();
        println!("{what}");
        run(folder, &["import", "planner.lantern", "bad.lrbundle"]).refused(&words);
        assert_eq!(content(&folder.join("planner.lantern")), before, "{what}");
        assert!(!folder.join("out.txt").exists());
        let left = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name());
        let staged = left.filter(|name| name.to_string_lossy().contains("staging"));
        assert_eq!(staged.count(), 0, "{what} left something behind");
    }
    run(folder, &["verify", "planner.lantern"]).ended(0);
    let import = ["import", "planner.lantern", "bad.lrbundle", "good.lrbundle"];
    let some = run(folder, &import).ended(3);
    assert!(some.out.contains("bad.lrbundle: refused: "), "{some:?}");
    assert!(some.out.contains("good.lrbundle: "), "{some:?}");
    assert_ne!(content(&folder.join("planner.lantern")), before);
}

/// Copies the demo plant's files with one of them changed.
fn plant_with(folder: &Path, file: &str, change: impl Fn(String) -> String) {
    for part in ["", "pumps", "limits", "rounds"] {
        fs::create_dir_all(folder.join(part)).unwrap();
        for entry in fs::read_dir(plant().join(part)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "toml") {
                let name = Path::new(part).join(path.file_name().unwrap());
                let text = fs::read_to_string(&path).unwrap();
                let changed = if name == Path::new(file) {
                    let changed = change(text.clone());
                    assert_ne!(changed, text, "{file} was not changed");
                    changed
                } else {
                    text
                };
                fs::write(folder.join(name), changed).unwrap();
            }
        }
    }
}

#[test]
fn a_plant_folder_with_faults_makes_no_store_and_tells_them_all() {
    let replaced =
        |from: &'static str, to: &'static str| move |text: String| text.replacen(from, to, 1);
    let stock = "limits/stock.toml";
    type Change = Box<dyn Fn(String) -> String>;
    let cases: Vec<(&str, Change, &[&str])> = vec![
        (
            stock,
            Box::new(replaced("\"ST-101\"", "\"ST-901\"")),
            &["limits/stock.toml", "ST-901"],
        ),
        (
            "pumps/stock.toml",
            Box::new(replaced("id = \"ST-104A\"", "id = \"ST-101\"")),
            &["pumps/stock.toml", "ST-101"],
        ),
        (
            stock,
            Box::new(replaced("low_watch = 2.07", "low_watch = 2.97")),
            &["limits/stock.toml", "ST-101", "low_watch", "above"],
        ),
        (
            stock,
            Box::new(replaced("unit = \"bar\"", "unit = \"furlong\"")),
            &["limits/stock.toml", "furlong"],
        ),
        (
            stock,
            Box::new(|_| "[[limits".to_owned()),
            &["limits/stock.toml"],
        ),
        (
            stock,
            Box::new(move |text| {
                text.replacen("\"ST-101\"", "\"ST-901\"", 1).replacen(
                    "low_watch = 2.2",
                    "low_watch = 9.2",
                    1,
                )
            }),
            &["ST-901", "low_watch"],
        ),
    ];
    for (number, (file, change, words)) in cases.into_iter().enumerate() {
        let folder = tempfile::tempdir().unwrap();
        plant_with(&folder.path().join("plant"), file, change);
        println!("case {number}");
        run(folder.path(), &["make-store", "plant", "a.lantern"]).refused(words);
        assert!(!folder.path().join("a.lantern").exists());
    }
    let folder = tempfile::tempdir().unwrap();
    run(folder.path(), &["make-store", "nowhere", "a.lantern"]).refused(&["nowhere", "plant.toml"]);
    make_store(folder.path(), "a.lantern");
    let before = content(&folder.path().join("a.lantern"));
    let again = ["make-store", plant().to_str().unwrap(), "a.lantern"].map(str::to_owned);
    run(folder.path(), &again.each_ref().map(String::as_str)).refused(&["already there"]);
    assert_eq!(content(&folder.path().join("a.lantern")), before);
}

fn png(picture: &GrayImage) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let picture = DynamicImage::ImageLuma8(picture.clone());
    picture.write_to(&mut bytes, ImageFormat::Png).unwrap();
    bytes.into_inner()
}

/// Any text as a QR code, as another program would draw it.
fn foreign(text: &str) -> Vec<u8> {
    let code = qrcode::QrCode::new(text).unwrap();
    let (colours, width) = (code.to_colors(), code.width());
    let side = (width as u32 + 8) * 8;
    png(&GrayImage::from_fn(side, side, |x, y| {
        let module = |pixel: u32| (pixel as usize / 8).checked_sub(4).filter(|at| *at < width);
        let dark = module(x).zip(module(y));
        let dark = dark.is_some_and(|(x, y)| colours[y * width + x] == qrcode::Color::Dark);
        Luma([if dark { 0 } else { 255 }])
    }))
}

fn beside(left: &[u8], right: &[u8]) -> Vec<u8> {
    let [left, right] = [left, right].map(|png| image::load_from_memory(png).unwrap().into_luma8());
    let mut both = GrayImage::from_pixel(
        left.width() * 2 + 40,
        left.height().max(right.height()),
        Luma([255]),
    );
    image::imageops::replace(&mut both, &left, 0, 0);
    image::imageops::replace(&mut both, &right, i64::from(left.width()) + 40, 0);
    png(&both)
}

#[test]
fn a_picture_that_opens_no_pump_says_why() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    make_store(folder, "a.lantern");
    run(folder, &["tags", "a.lantern", "tags"]).ended(0);
    let tag = |pump: &str| fs::read(folder.join(format!("tags/{pump}.png"))).unwrap();
    let text = run(folder, &["read", "tags/ST-101.png"]).ended(0).out;
    let text = text.trim_end().split_once('\t').unwrap().1;
    let (sound, last) = text.split_at(text.len() - 1);
    let wrong = format!("{sound}{}", if last == "0" { "1" } else { "0" });
    let stranger = payload(
        &Host::new("tags.grebe-point.example").unwrap(),
        TagId::new(uuid::Uuid::from_u128(
            0x0190_f3a1_7c2e_7b4d_9a5f_3e6d_1c8b_2a47,
        )),
    );
    let drawn = |text: &str| draw::png(text, 6).unwrap();
    let cases: Vec<(Vec<u8>, &[&str])> = vec![
        (b"no picture".to_vec(), &["not a picture", "Choose a PNG"]),
        (
            png(&GrayImage::from_pixel(400, 400, Luma([255]))),
            &["No code found", "key in the short id"],
        ),
        (
            png_of_size(30_000),
            &["30000 by 30000 pixels", "lower resolution"],
        ),
        (
            tag("ST-101")[..200].to_vec(),
            &["cut short", "Copy it again"],
        ),
        (
            beside(&tag("ST-101"), &tag("ST-104A")),
            &["2 different codes", "Choose one"],
        ),
        (
            foreign("Pump 17 \u{1b}[2J"),
            &["Not one of this plant's tags", "Pump 17 \u{fffd}[2J"],
        ),
        (drawn(&stranger), &["another plant", "grebe-point"]),
        (drawn(&wrong), &["check character", "scan it again"]),
    ];
    for (bytes, words) in cases {
        fs::write(folder.join("picture.png"), bytes).unwrap();
        let ran = run(folder, &["read", "--store", "a.lantern", "picture.png"]).ended(3);
        for word in words {
            let out = ran.out.to_lowercase();
            assert!(out.contains(&word.to_lowercase()), "no '{word}' in {ran:?}");
        }
        assert!(ran.out.contains("picture.png"), "{ran:?}");
    }
    run(folder, &["read", "nothing.png"]).refused(&["nothing.png"]);
    fs::create_dir(folder.join("none")).unwrap();
    run(folder, &["read", "none"]).refused(&["none"]);
    fs::write(folder.join("tags/zz.png"), "no picture").unwrap();
    let all = run(folder, &["read", "--store", "a.lantern", "tags"]).ended(3);
    assert_eq!(all.out.matches("\tPump ").count(), 32, "{all:?}");
    run(folder, &["checks", "a.lantern", "ST-999"]).refused(&["ST-999", "pumps"]);
    run(folder, &["bundle", "a.lantern", "tags/ST-101.png"]).refused(&["already there"]);
    run(folder, &["verify", "nothing.lantern"]).refused(&["no store at nothing.lantern"]);
    assert_eq!(run(folder, &["walk"]).code, 2);
}
