//! Bundles made to mislead.

use super::{
    crafted::{Crafted, Entry},
    support::*,
};
use lantern_ring::{exchange::Refused, record::Hash};
use serde_json::{Value, json};

macro_rules! refused {
    ($bytes:expr, $pattern:pat) => {{
        let refused = unpack_bytes(&$bytes).unwrap_err();
        assert!(matches!(refused, $pattern), "{refused:?}");
        refused
    }};
}

fn good() -> Crafted {
    Crafted::of(&small_bundle())
}

#[test]
fn any_other_file_is_told_as_no_bundle() {
    let mut other_zip = good();
    other_zip.entries[0].name = b"word/document.xml".to_vec();
    for bytes in [
        b"".to_vec(),
        b"PK".to_vec(),
        b"\xFF\xD8\xFF\xE0 a picture".to_vec(),
        vec![0; 100_000],
        other_zip.build(),
    ] {
        refused!(bytes, Refused::NotABundle);
    }
    let mut other_format = good();
    other_format.set_manifest(|manifest| manifest["format"] = json!("something else"));
    refused!(other_format.build(), Refused::NotABundle);
}

#[test]
fn a_bundle_of_a_newer_version_is_told_as_such_whatever_else_is_in_it() {
    let mut newer = good();
    newer.set_manifest(|manifest| {
        *manifest = json!({"format": "lantern-ring bundle", "version": 2, "more": []})
    });
    let words = refused!(newer.build(), Refused::Newer { found: 2 }).to_string();
    assert_eq!(
        words,
        "made by a newer version (2); this one reads up to 1: update Lantern Ring on this computer"
    );
    let mut none = good();
    none.set_manifest(|manifest| manifest["version"] = json!(0));
    refused!(none.build(), Refused::BadManifest { .. });
}

#[test]
fn a_signature_or_encryption_is_never_passed_over() {
    for field in ["signature", "encryption"] {
        let mut carrying = good();
        carrying.set_manifest(|manifest| manifest[field] = json!({"by": "someone"}));
        let words = refused!(carrying.build(), Refused::NotYet { .. }).to_string();
        assert!(words.contains(field), "{words}");
    }
}

#[test]
fn a_manifest_that_says_too_much_too_little_or_nonsense_is_refused() {
    let changes: [fn(&mut Value); 13] = [
        |m| m["extra"] = json!(1),
        |m| m["records"]["extra"] = json!(1),
        |m| drop(m.as_object_mut().unwrap().remove("plant")),
        |m| m["plant"] = json!("../kestrel"),
        |m| m["device"] = json!("two\nlines"),
        |m| m["made_by"] = json!("x".repeat(201)),
        |m| m["records"]["count"] = json!(0),
        |m| m["records"]["count"] = json!(2),
        |m| m["records"]["first_seq"] = json!(0),
        |m| m["records"]["last_seq"] = json!(u64::MAX),
        |m| {
            m["records"]["first_seq"] = json!(u64::MAX);
            m["records"]["last_seq"] = json!(u64::MAX);
        },
        |m| m["photos_absent"] = json!([m["photos"][0]["sha256"]]),
        |m| m["photos"] = json!([m["photos"][0], m["photos"][0]]),
    ];
    for (place, change) in changes.into_iter().enumerate() {
        let mut changed = good();
        changed.set_manifest(change);
        let refused = unpack_bytes(&changed.build()).unwrap_err();
        assert!(
            matches!(refused, Refused::BadManifest { .. }),
            "change {place}: {refused:?}"
        );
    }
    let mut no_json = good();
    no_json.entries[0] = Entry::stored(b"manifest.json", b"{\"format\":");
    refused!(no_json.build(), Refused::BadManifest { .. });
}

#[test]
fn a_name_that_leads_elsewhere_is_refused_and_shown_safely() {
    let hex = "a".repeat(64);
    let names: Vec<Vec<u8>> = vec![
        b"../evil.sh".to_vec(),
        b"photos/../../evil.sh".to_vec(),
        format!("photos/../{hex}.jpg").into_bytes(),
        format!("/photos/{hex}.jpg").into_bytes(),
        format!("photos\\{hex}.jpg").into_bytes(),
        format!("C:photos/{hex}.jpg").into_bytes(),
        format!("photos/{}.jpg", hex.to_uppercase()).into_bytes(),
        format!("photos/{hex}.png").into_bytes(),
        format!("photos/{hex}.jpg\0").into_bytes(),
        format!("photos/{hex}.jpg/").into_bytes(),
        b"photos/".to_vec(),
        b"MANIFEST.JSON".to_vec(),
        b"".to_vec(),
        b"\xFF\xFE\x80.jpg".to_vec(),
        "m\u{430}nifest.json".as_bytes().to_vec(),
        b"x\x1B[2J\n".to_vec(),
        vec![b'n'; 60_000],
    ];
    for name in names {
        for flags in [0, 1 << 11] {
            let mut strange = good();
            let mut entry = Entry::stored(&name, b"x");
            entry.flags = flags;
            strange.entries.push(entry);
            let words = refused!(strange.build(), Refused::Stranger { .. }).to_string();
            assert!(!words.contains(char::is_control), "{words:?}");
            assert!(words.len() < 300, "{words}");
        }
    }
}

#[test]
fn a_member_too_many_or_too_few_is_refused() {
    let mut more = good();
    let name = format!("photos/{}.jpg", Hash::of(b"x"));
    more.entries.push(Entry::stored(name.as_bytes(), b"x"));
    refused!(more.build(), Refused::NotListed { .. });

    for missing in [1, 2] {
        let mut fewer = good();
        fewer.entries.remove(missing);
        refused!(fewer.build(), Refused::Missing { .. });
    }
    let mut none = good();
    none.entries.truncate(1);
    refused!(none.build(), Refused::Missing { .. });
}

#[test]
fn a_member_twice_is_refused() {
    for twice in 0..3 {
        let mut doubled = good();
        let entry = doubled.entries[twice].clone();
        doubled.entries.push(entry);
        refused!(doubled.build(), Refused::Doubled { .. });
    }
}

#[test]
fn members_in_another_order_are_refused() {
    let mut swapped = good();
    swapped.entries.swap(1, 2);
    refused!(swapped.build(), Refused::Packing { .. });
}

#[test]
fn an_encrypted_member_is_refused() {
    for member in 0..3 {
        let mut locked = good();
        locked.entries[member].flags |= 1;
        refused!(locked.build(), Refused::Locked { .. });
    }
}

#[test]
fn links_folders_and_devices_are_refused() {
    for kind in [
        0o120_777, 0o040_755, 0o020_644, 0o060_644, 0o010_644, 0o140_644,
    ] {
        let mut link = good();
        link.entries[2].attributes = kind << 16;
        refused!(link.build(), Refused::Packing { .. });
    }
}

#[test]
fn what_the_container_does_not_need_is_refused() {
    let changes: [fn(&mut Entry); 7] = [
        |e| e.method = 12,
        |e| e.method = 93,
        |e| e.method = 8,
        |e| e.flags |= 1 << 3,
        |e| e.flags |= 1 << 6,
        |e| e.flags |= 1 << 13,
        |e| e.extra = vec![0x55, 0x54, 5, 0, 1, 0, 0, 0, 0],
    ];
    for (place, change) in changes.into_iter().enumerate() {
        let mut changed = good();
        change(&mut changed.entries[2]);
        let refused = unpack_bytes(&changed.build()).unwrap_err();
        assert!(
            matches!(refused, Refused::Packing { .. }),
            "change {place}: {refused:?}"
        );
    }
}

#[test]
fn beginning_and_end_that_disagree_are_refused() {
    let changes: [fn(&mut Entry); 7] = [
        |e| e.name[8] ^= 1,
        |e| e.flags ^= 1 << 11,
        |e| e.method = 8,
        |e| e.crc32 ^= 1,
        |e| e.packed -= 1,
        |e| e.unpacked -= 1,
        |e| e.extra = vec![1, 0, 0, 0],
    ];
    for (place, change) in changes.into_iter().enumerate() {
        let bytes = good().build_lying(|mut entry| {
            if entry.name.starts_with(b"photos/") {
                change(&mut entry);
            }
            entry
        });
        let refused = unpack_bytes(&bytes).unwrap_err();
        assert!(
            matches!(refused, Refused::Packing { .. }),
            "change {place}: {refused:?}"
        );
    }
}

#[test]
fn sizes_that_lie_are_refused() {
    for member in 0..3 {
        let mut larger = good();
        larger.entries[member].unpacked += 1;
        refused!(larger.build(), Refused::SizeDiffers { .. });
        let mut beyond = good();
        beyond.entries[member].unpacked += 1;
        beyond.entries[member].packed += 1;
        refused!(beyond.build(), Refused::Packing { .. });
    }
    let mut listed = good();
    listed.set_manifest(|manifest| manifest["records"]["bytes"] = json!(7));
    refused!(listed.build(), Refused::SizeDiffers { said: 7, .. });
    let mut listed = good();
    listed.set_manifest(|manifest| manifest["photos"][0]["bytes"] = json!(7));
    refused!(listed.build(), Refused::SizeDiffers { said: 7, .. });
}

#[test]
fn zip64_and_volumes_are_refused() {
    let bytes = good().build();
    let end = bytes.len() - 22;
    let set = |at: usize, with: &[u8]| {
        let mut changed = bytes.clone();
        changed[end + at..end + at + with.len()].copy_from_slice(with);
        changed
    };
    for lie in [
        set(8, &[0xFF; 4]),
        set(12, &[0xFF; 4]),
        set(16, &[0xFF; 4]),
        set(4, &[1, 0]),
        set(6, &[1, 0]),
        set(8, &[2, 0]),
        set(8, &[2, 0, 2, 0]),
        set(8, &[4, 0, 4, 0]),
        set(12, &[0; 4]),
    ] {
        refused!(lie, Refused::Packing { .. });
    }

    // A directory whose sizes defer to a ZIP64 field that says something else.
    let mut deferred = good();
    let entry = &mut deferred.entries[2];
    entry.extra = [&[1, 0, 16, 0][..], &[9; 16]].concat();
    entry.packed = u32::MAX;
    entry.unpacked = u32::MAX;
    refused!(deferred.build(), Refused::Packing { .. });

    // The whole apparatus, put before an end record that names the ZIP64 one.
    let locator = [&b"PK\x06\x07"[..], &[0; 16]].concat();
    let whole = [&bytes[..end], &locator, &bytes[end..]].concat();
    refused!(whole, Refused::Packing { .. });
}

#[test]
fn damaged_content_is_refused() {
    for member in 0..3 {
        let mut damaged = good();
        let content = &mut damaged.entries[member].content;
        let middle = content.len() / 2;
        content[middle] ^= 0x20;
        refused!(damaged.build(), Refused::Damaged { .. });
    }
}

#[test]
fn content_with_another_hash_is_refused() {
    let mut records = good();
    records.set_manifest(|m| m["records"]["sha256"] = json!("0".repeat(64)));
    refused!(records.build(), Refused::HashDiffers { .. });

    let mut photo = good();
    let entry = &mut photo.entries[2];
    let mut content = entry.content.clone();
    content[0] ^= 1;
    *entry = Entry::stored(&entry.name.clone(), &content);
    refused!(photo.build(), Refused::HashDiffers { .. });
}

#[test]
fn records_that_are_not_what_a_device_writes_are_refused() {
    let with_line = |line: usize, change: fn(&str) -> String| {
        let mut crafted = good();
        let mut lines = crafted.lines();
        lines[line] = change(&lines[line]);
        crafted.set_lines(&lines);
        crafted.build()
    };
    let second = |change| with_line(1, change);
    refused!(
        second(|line| format!(" {line}")),
        Refused::BadRecord { line: 2, .. }
    );
    refused!(
        second(|line| format!("{line}\r")),
        Refused::BadRecord { line: 2, .. }
    );
    refused!(
        second(|line| line.replacen('{', "{\"x\":1,", 1)),
        Refused::BadRecord { .. }
    );
    refused!(
        second(|line| line.replace("12.5", "12.50")),
        Refused::BadRecord { .. }
    );
    refused!(
        second(|line| line.replace("entry_made", "from_later")),
        Refused::BadRecord { .. }
    );
    refused!(
        second(|_| String::new()),
        Refused::BadRecord { line: 2, .. }
    );
    refused!(second(|_| "[".repeat(100_000)), Refused::BadRecord { .. });
    refused!(
        second(|line| line.replace(&origin(1).0.to_string(), &origin(2).0.to_string())),
        Refused::OtherOrigin { line: 2 }
    );
    refused!(
        second(|line| line.replace(&id(1, 2).to_string(), &id(1, 1).to_string())),
        Refused::DoubledId { line: 2, .. }
    );
    refused!(
        second(|line| line.replace("\"seq\":2", "\"seq\":7")),
        Refused::OutOfOrder {
            line: 2,
            expected: 2,
            found: 7
        }
    );
    let no_utf8 = {
        let mut crafted = good();
        let mut content = crafted.entries[1].content.clone();
        content[20] = 0xFF;
        crafted.set_records(&content);
        crafted.build()
    };
    refused!(no_utf8, Refused::BadRecord { line: 1, .. });
}

#[test]
fn a_record_too_many_too_few_or_without_an_end_is_refused() {
    let with_lines = |change: fn(&mut Vec<String>)| {
        let mut crafted = good();
        let mut lines = crafted.lines();
        change(&mut lines);
        crafted.set_lines(&lines);
        crafted.build()
    };
    refused!(
        with_lines(|lines| lines.push(lines[0].clone())),
        Refused::CountDiffers { said: 3, found: 4 }
    );
    refused!(
        with_lines(|lines| drop(lines.pop())),
        Refused::CountDiffers { said: 3, found: 2 }
    );
    refused!(
        with_lines(|lines| lines.swap(0, 1)),
        Refused::OutOfOrder { line: 1, .. }
    );
    refused!(
        with_lines(|lines| drop(lines.remove(1))),
        Refused::OutOfOrder { line: 2, .. }
    );

    let mut endless = good();
    let content = endless.entries[1].content.clone();
    endless.set_records(&content[..content.len() - 1]);
    let refused = unpack_bytes(&endless.build()).unwrap_err();
    assert!(refused.to_string().contains("no end"), "{refused}");
}

#[test]
fn photos_and_records_that_do_not_belong_together_are_refused() {
    let mut unlisted = good();
    unlisted.entries.remove(2);
    unlisted.set_manifest(|manifest| manifest["photos"] = json!([]));
    refused!(unlisted.build(), Refused::PhotoMissing { line: 3, .. });

    let mut unnamed = good();
    let other = Hash::of(b"other");
    let name = format!("photos/{other}.jpg");
    unnamed
        .entries
        .push(Entry::stored(name.as_bytes(), b"other"));
    unnamed.set_manifest(|manifest| {
        let photos = manifest["photos"].as_array_mut().unwrap();
        photos.push(json!({"sha256": other, "bytes": 5}));
        photos.sort_by_key(|photo| photo["sha256"].to_string());
    });
    refused!(unnamed.build(), Refused::PhotoUnnamed { .. });
}
