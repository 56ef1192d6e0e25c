//! Tags drawn, photographed in a made-up way, and read again; and codes that are no tags.

mod tags_codes;
mod tags_scene;

use lantern_ring::tag::payload::payload;
use lantern_ring::tag::read::{Code, Pass, Schedule, Search, Symbology};
use lantern_ring::tag::read::{quick, thorough};
use lantern_ring::tag::{Luma, Reading, ShortIds, draw};
use tags_codes::{flat_on, host, picture, read_picture, readings, tag, tag_picture};
use tags_scene::{Dice, Placed, Trouble, frame};

const FRAME: (u32, u32) = (1280, 720);

fn texts(codes: &[Code]) -> Vec<(Symbology, &str)> {
    let mut texts: Vec<_> = codes
        .iter()
        .map(|code| (code.symbology, code.text.as_str()))
        .collect();
    texts.sort_unstable();
    texts
}

#[test]
fn every_drawn_tag_reads_back_at_every_size() {
    for number in 0..80 {
        let module_px = 2 + (number % 7) as u32;
        let bytes = draw::png(&payload(&host(), tag(number)), module_px).unwrap();
        let codes = read_picture(&bytes).unwrap();
        assert_eq!(
            readings(&codes),
            [Reading::Ours(tag(number))],
            "module of {module_px} px"
        );
        assert_eq!(codes[0].corners.len(), 4);
    }
}

#[test]
fn a_tag_reads_turned_any_way_at_the_first_look() {
    let code = tag_picture(2);
    for turn in (0..360).step_by(30) {
        let placed = Placed {
            turn: turn as f32,
            ..flat_on(&code, (640.0, 360.0), 300.0)
        };
        let frame = frame(FRAME, &[placed], Trouble::NONE, &mut Dice(2));
        assert_eq!(
            readings(&quick(&frame)),
            [Reading::Ours(tag(2))],
            "turned by {turn} degrees"
        );
    }
}

#[test]
fn a_tag_reads_tilted_near_far_noisy_and_shaded_at_the_first_look() {
    let code = tag_picture(3);
    let good = Trouble::NONE;
    for (tilt, width, trouble) in [
        (0.4, 400.0, good),
        (0.0, 640.0, good),
        (0.0, 140.0, good),
        (
            0.2,
            300.0,
            Trouble {
                noise: 12.0,
                ..good
            },
        ),
        (0.0, 300.0, Trouble { shade: 0.7, ..good }),
        (
            0.1,
            300.0,
            Trouble {
                blur: 1.5,
                noise: 4.0,
                ..good
            },
        ),
    ] {
        let placed = Placed {
            tilt,
            turn: 8.0,
            ..flat_on(&code, (600.0, 350.0), width)
        };
        let frame = frame(FRAME, &[placed], trouble, &mut Dice(3));
        let read = readings(&quick(&frame));
        assert_eq!(read, [Reading::Ours(tag(3))], "tilt {tilt}, {width} px");
    }
}

#[test]
fn heavier_passes_read_what_the_first_look_cannot() {
    let code = tag_picture(13);
    let good = Trouble::NONE;
    for (pass, width, trouble) in [
        (
            Pass::Third,
            330.0,
            Trouble {
                noise: 58.0,
                ..good
            },
        ),
        (
            Pass::SpecksFilled,
            330.0,
            Trouble {
                scratches: 40,
                ..good
            },
        ),
        (Pass::MiddleDoubled, 60.0, good),
        (
            Pass::Inverted,
            330.0,
            Trouble {
                inverted: true,
                ..good
            },
        ),
        (
            Pass::StretchedAndBlurred,
            330.0,
            Trouble {
                noise: 40.0,
                ..good
            },
        ),
    ] {
        let placed = Placed {
            turn: 7.0,
            ..flat_on(&code, (640.0, 360.0), width)
        };
        let frame = frame(FRAME, &[placed], trouble, &mut Dice(14));
        assert_eq!(quick(&frame), [], "{pass:?} has nothing to add");
        let codes = pass.run(&frame, Search::AimedAt);
        assert_eq!(readings(&codes), [Reading::Ours(tag(13))], "{pass:?}");
    }
}

#[test]
fn corners_lie_where_the_code_is_whatever_the_pass() {
    let code = tag_picture(4);
    let frame = frame(
        FRAME,
        &[flat_on(&code, (640.0, 360.0), 270.0)],
        Trouble::NONE,
        &mut Dice(4),
    );
    // 37 of the 45 modules are the code itself, the rest is quiet zone.
    let half = 270.0 * 37.0 / 45.0 / 2.0;
    for pass in [Pass::AsIs, Pass::Third, Pass::MiddleDoubled, Pass::Doubled] {
        let codes = pass.run(&frame, Search::AimedAt);
        assert_eq!(codes.len(), 1, "{pass:?}");
        for corner in &codes[0].corners {
            let off = (corner.x - 640.0).abs().max((corner.y - 360.0).abs()) - half;
            assert!(off.abs() < 8.0, "{pass:?}: {corner:?}");
        }
    }
}

#[test]
fn other_peoples_codes_are_read_with_their_kind_and_are_foreign() {
    for (bytes, symbology, text) in [
        (
            &include_bytes!("data/tags/data_matrix_nameplate.png")[..],
            Symbology::DataMatrix,
            "SN 40417-B SIZE 80-250",
        ),
        (
            include_bytes!("data/tags/code_128_stores.png"),
            Symbology::Code128,
            "STORES-118-0042",
        ),
        (
            include_bytes!("data/tags/qr_lower_case.png"),
            Symbology::Qr,
            "pump manual: ask the planner",
        ),
    ] {
        let codes = read_picture(bytes).unwrap();
        assert_eq!(texts(&codes), [(symbology, text)]);
        assert_eq!(readings(&codes), [Reading::Foreign(text.to_owned())]);
    }
}

#[test]
fn a_code_128_reads_upside_down_and_on_its_side() {
    let code = picture(include_bytes!("data/tags/code_128_stores.png"));
    for turn in [0.0, 90.0, 180.0, 270.0, 4.0] {
        let placed = Placed {
            turn,
            ..flat_on(&code, (640.0, 360.0), 500.0)
        };
        let frame = frame(FRAME, &[placed], Trouble::NONE, &mut Dice(5));
        assert_eq!(
            texts(&quick(&frame)),
            [(Symbology::Code128, "STORES-118-0042")],
            "{turn}"
        );
    }
}

#[test]
fn all_codes_in_view_come_back() {
    let tags = [tag_picture(6), tag_picture(7)];
    let foreign = [
        picture(include_bytes!("data/tags/data_matrix_nameplate.png")),
        picture(include_bytes!("data/tags/data_matrix_motor.png")),
        picture(include_bytes!("data/tags/code_128_stores.png")),
        picture(include_bytes!("data/tags/code_128_spare.png")),
    ];
    let placed = [
        flat_on(&tags[0], (220.0, 200.0), 260.0),
        Placed {
            turn: 12.0,
            ..flat_on(&tags[1], (620.0, 200.0), 260.0)
        },
        flat_on(&foreign[0], (960.0, 150.0), 168.0),
        Placed {
            turn: -10.0,
            ..flat_on(&foreign[1], (960.0, 380.0), 192.0)
        },
        flat_on(&foreign[2], (300.0, 560.0), 458.0),
        flat_on(&foreign[3], (800.0, 600.0), 348.0),
    ];
    let frame = frame(FRAME, &placed, Trouble::NONE, &mut Dice(6));
    let codes = thorough(&frame, |_| true);
    let tag_texts = [payload(&host(), tag(6)), payload(&host(), tag(7))];
    let mut expected = vec![
        (Symbology::Qr, tag_texts[0].as_str()),
        (Symbology::Qr, tag_texts[1].as_str()),
        (Symbology::DataMatrix, "MOTOR 22KW 1475RPM"),
        (Symbology::DataMatrix, "SN 40417-B SIZE 80-250"),
        (Symbology::Code128, "SPARE 7731"),
        (Symbology::Code128, "STORES-118-0042"),
    ];
    expected.sort_unstable();
    assert_eq!(texts(&codes), expected);
}

#[test]
fn a_label_reads_as_one_tag_though_it_carries_the_code_twice() {
    let ids = ShortIds::new([tag(8)]).unwrap();
    let text = payload(&host(), tag(8));
    let label = draw::svg(&text, ids.printed(tag(8)).unwrap(), "P-108").unwrap();
    let luma = paths_of(&label);
    assert_eq!((luma.width(), luma.height()), (90 * 5, 60 * 5));
    let codes = quick(&luma);
    assert_eq!(readings(&codes), [Reading::Ours(tag(8))]);
    let left_half = Luma::from_fn(45 * 5, 60 * 5, |x, y| luma.at(x.into(), y.into()));
    let right_half = Luma::from_fn(45 * 5, 60 * 5, |x, y| luma.at(i64::from(x) + 225, y.into()));
    for half in [left_half, right_half] {
        assert_eq!(readings(&quick(&half)), [Reading::Ours(tag(8))]);
    }
}

/// The paths of a label, 5 pixels to the millimetre. Reads only what our labels are made of:
/// a translation and `M x y h w v 1 h -w z` rectangles.
fn paths_of(svg: &str) -> Luma {
    let mut dark = vec![false; 90 * 60];
    for path in svg.split("<path transform=\"translate(").skip(1) {
        let (shift, rest) = path.split_once(")\" d=\"").unwrap();
        let (dx, dy) = shift.split_once(' ').unwrap();
        let (dx, dy): (usize, usize) = (dx.parse().unwrap(), dy.parse().unwrap());
        let data = rest.split_once('"').unwrap().0;
        for rectangle in data.split('M').skip(1) {
            let (start, sides) = rectangle.split_once('h').unwrap();
            let (x, y) = start.split_once(' ').unwrap();
            let (x, y): (usize, usize) = (x.parse().unwrap(), y.parse().unwrap());
            let width: usize = sides.split_once("v1h-").unwrap().0.parse().unwrap();
            for column in x..x + width {
                dark[(y + dy) * 90 + column + dx] = true;
            }
        }
    }
    Luma::from_fn(450, 300, |x, y| {
        if dark[(y / 5 * 90 + x / 5) as usize] {
            0
        } else {
            255
        }
    })
}

#[test]
fn a_live_schedule_finds_a_light_on_dark_tag_within_one_turn_though_a_nameplate_is_in_view() {
    let (code, nameplate) = (
        tag_picture(9),
        picture(include_bytes!("data/tags/data_matrix_nameplate.png")),
    );
    let inverted = Luma::from_fn(code.width(), code.height(), |x, y| {
        255 - code.at(x.into(), y.into())
    });
    let placed = [
        flat_on(&inverted, (400.0, 360.0), 300.0),
        flat_on(&nameplate, (900.0, 360.0), 168.0),
    ];
    let frame = frame(FRAME, &placed, Trouble::NONE, &mut Dice(9));
    let ours = |code: &Code| matches!(Reading::of(&code.text, &host()), Reading::Ours(_));
    assert_eq!(
        texts(&quick(&frame)),
        [(Symbology::DataMatrix, "SN 40417-B SIZE 80-250")]
    );
    let mut schedule = Schedule::new();
    let hit = (0..Schedule::HEAVIER.len()).find(|_| schedule.frame(&frame, ours).iter().any(ours));
    assert!(hit.is_some());
    assert!(thorough(&frame, ours).iter().any(ours));
}

#[test]
fn noise_alone_is_never_taken_for_a_code() {
    for seed in 0..3 {
        let trouble = Trouble {
            noise: 60.0,
            ..Trouble::NONE
        };
        let frame = frame((640, 480), &[], trouble, &mut Dice(seed));
        assert_eq!(thorough(&frame, |_| true), []);
    }
}
