//! Drawn tags are read by readers that are not ours: zbar and zxing-cpp.

use lantern_ring::tag::payload::payload;
use lantern_ring::tag::{Host, TagId, draw};
use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Output};
use uuid::Uuid;

/// Set to `required`, a missing reader is a failure instead of a skipped test.
const STRICT: &str = "LANTERN_RING_OUTSIDE_READERS";

/// Names of usual and of the greatest length: QR versions 5 and 6.
const HOSTS: [&str; 2] = [
    "kestrel-ness.example",
    "tags.the-long-name-of-a-plant.kestrel.example",
];

fn python(argument: &Path) -> std::io::Result<Output> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/tags_read_back.py");
    Command::new("python3").arg(script).arg(argument).output()
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

fn draw_tags(folder: &Path) {
    let mut expected = String::new();
    for number in 0_u32..72 {
        let spread = u128::from(number + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15_F39C_C060_5CED_C835);
        let host = Host::new(HOSTS[number as usize % HOSTS.len()]).unwrap();
        let text = payload(&host, TagId::new(Uuid::from_u128(spread)));
        let file = format!("tag-{number:02}.png");
        let bytes = draw::png(&text, 3 + number % 8).unwrap();
        std::fs::write(folder.join(&file), bytes).unwrap();
        writeln!(expected, "{file}\t{text}").unwrap();
    }
    std::fs::write(folder.join("expected.tsv"), expected).unwrap();
}

#[test]
fn every_drawn_tag_is_read_by_zbar_and_by_zxing_cpp() {
    let readers = python(Path::new("--readers"));
    let missing = match &readers {
        Ok(output) if output.status.success() => None,
        Ok(output) => Some(said(output)),
        Err(error) => Some(format!("python3 could not be started: {error}")),
    };
    if let Some(why) = missing {
        assert_ne!(std::env::var(STRICT).as_deref(), Ok("required"), "{why}");
        eprintln!("SKIPPED, nothing was checked: {why}");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    draw_tags(folder.path());
    let output = python(folder.path()).unwrap();
    println!("{}", said(&output));
    assert!(output.status.success(), "{}", said(&output));
    assert!(
        said(&output).ends_with("144 passed, 0 failed\n"),
        "{}",
        said(&output)
    );

    let wrong = "tag-00.png\tHTTPS://KESTREL-NESS.EXAMPLE/A/SOMETHING-ELSE\n";
    std::fs::write(folder.path().join("expected.tsv"), wrong).unwrap();
    let output = python(folder.path()).unwrap();
    assert_eq!(
        output.status.code(),
        Some(1),
        "a miss must fail: {}",
        said(&output)
    );
}
