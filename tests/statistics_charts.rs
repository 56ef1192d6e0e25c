//! Control charts: published worked examples, run lengths, laws.
//!
//! Rows are in `tests/data/reference/control_charts.json`, each block with its source. There "READ" means seen in the
//! source named, "MEMORY" recalled and then reckoned anew, "computed" reckoned by other means than the code's.

use lantern_ring::statistics::{
    charts::{
        Baseline, ChartError, CusumDesign, Direction, EwmaDesign, Limits, PoissonCusumDesign,
        Signal, cusum, ewma, poisson_cusum,
    },
    counting::{Count, CountingError},
};
use serde_json::Value;
use std::{fs, path::Path};

#[path = "statistics_charts/laws.rs"]
mod laws;
#[path = "statistics_charts/run_length.rs"]
mod run_length;

fn block(name: &str) -> Value {
    let path = "tests/data/reference/control_charts.json";
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).expect(path);
    let mut file: Value = serde_json::from_str(&text).expect("reference rows");
    file[name].take()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} of {row}"))
}

fn numbers(block: &Value, key: &str) -> Vec<f64> {
    let row = block[key].as_array().expect("a row");
    row.iter().map(|x| x.as_f64().expect("a number")).collect()
}

fn close(ours: f64, theirs: f64, within: f64, what: &str) {
    assert!(
        (ours - theirs).abs() <= within,
        "{what}: {ours} is not {theirs} within {within}"
    );
}

/// Compares a row with the code's, and says how many values that was.
fn row_is(ours: impl IntoIterator<Item = f64>, theirs: &[f64], within: f64, what: &str) -> usize {
    let ours: Vec<f64> = ours.into_iter().collect();
    assert_eq!(ours.len(), theirs.len(), "{what}");
    for (ours, theirs) in ours.iter().zip(theirs) {
        close(*ours, *theirs, within, what);
    }
    theirs.len()
}

#[test]
fn every_block_of_the_reference_is_covered_by_a_test() {
    let path = "tests/data/reference/control_charts.json";
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).expect(path);
    let file: std::collections::BTreeMap<String, Value> =
        serde_json::from_str(&text).expect("rows");
    let covered = [
        "arl_cusum_h5",
        "arl_cusum_two_sided_k0.5_h4",
        "arl_ewma_crowder_1987_lambda0.5_L2",
        "arl_ewma_two_sided",
        "arl_poisson_cusum_lucas1985",
        "ewma_design_ARL0_500",
        "montgomery_cusum",
        "montgomery_ewma",
        "nist_cusum",
        "nist_ewma",
        "sas_clips_ewma",
    ];
    let blocks: Vec<&str> = file
        .keys()
        .map(String::as_str)
        .filter(|k| *k != "_readme")
        .collect();
    assert_eq!(blocks, covered);
}

/// Source: the block's. Printed averages within half a unit of their last digit; the printed limits come from a square
/// root rounded to four digits, so they are met within 1e-4.
#[test]
fn the_handbooks_ewma_comes_out() {
    let block = block("nist_ewma");
    let baseline = Baseline {
        location: 50.0,
        scale: 2.0539,
    };
    let design = EwmaDesign::new(0.3, 3.0, Limits::Steady).expect("a design");
    let chart = ewma(&numbers(&block, "x"), baseline, &design).expect("a chart");
    let averages = || chart.points.iter().map(|point| point.average);
    let mut covered = row_is(
        averages(),
        &numbers(&block, "ewma_computed"),
        5.1e-7,
        "computed",
    );
    covered += row_is(
        averages(),
        &numbers(&block, "ewma_printed"),
        5.1e-3,
        "printed",
    );
    for point in &chart.points {
        close(
            50.0 + point.half_width,
            number(&block, "UCL_computed_exact"),
            1e-12,
            "upper",
        );
        close(
            50.0 - point.half_width,
            number(&block, "LCL_computed_exact"),
            1e-12,
            "lower",
        );
        close(
            50.0 + point.half_width,
            number(&block, "UCL_printed"),
            1e-4,
            "upper",
        );
        close(
            50.0 - point.half_width,
            number(&block, "LCL_printed"),
            1e-4,
            "lower",
        );
    }
    covered += 4;
    assert_eq!(chart.signal, None, "the handbook calls none");
    assert_eq!(covered, 44, "none is left out");
}

/// Source: the block's. Its sums are in the values' unit: the code's in scales, times the scale.
#[test]
fn the_handbooks_cusum_comes_out() {
    let block = block("nist_cusum");
    let baseline = Baseline {
        location: 325.0,
        scale: 0.635,
    };
    let design = CusumDesign::new(0.3175 / 0.635, 4.1959 / 0.635).expect("a design");
    let chart = cusum(&numbers(&block, "x"), baseline, &design).expect("a chart");
    let up = chart.points.iter().map(|point| point.up * 0.635);
    let down = chart.points.iter().map(|point| point.down * 0.635);
    let mut covered = row_is(up, &numbers(&block, "S_hi"), 1e-9, "up");
    covered += row_is(down, &numbers(&block, "S_lo"), 1e-9, "down");
    let group = number(&block, "printed_first_signal_group");
    assert_eq!(number(&block, "first_signal_group"), group);
    let signal = chart.signal.expect("a call");
    assert_eq!((signal.index + 1) as f64, group);
    assert_eq!(
        (signal.direction, signal.start),
        (Direction::Up, 12),
        "group 13 is the first above 0"
    );
    covered += 2;
    assert_eq!(covered, 42, "none is left out");
}

/// Source: the block's.
#[test]
fn the_textbooks_ewma_comes_out() {
    let block = block("montgomery_ewma");
    let baseline = Baseline {
        location: 10.0,
        scale: 1.0,
    };
    let x = numbers(&block, "x");
    let of = |limits| {
        let design = EwmaDesign::new(0.1, 2.7, limits).expect("a design");
        ewma(&x, baseline, &design).expect("a chart")
    };
    let chart = of(Limits::FromStart);
    let averages = chart.points.iter().map(|point| point.average);
    let mut covered = row_is(averages, &numbers(&block, "z"), 5.1e-7, "averages");
    let widths = chart.points.iter().map(|point| point.half_width);
    covered += row_is(
        widths,
        &numbers(&block, "halfwidth_time_varying"),
        5.1e-7,
        "limits",
    );
    let steady = of(Limits::Steady);
    close(
        steady.points[0].half_width,
        number(&block, "halfwidth_steady"),
        1e-12,
        "steady",
    );
    for chart in [chart, steady] {
        let signal = chart.signal.expect("a call");
        assert_eq!((signal.index + 1) as f64, number(&block, "first_signal"));
        assert_eq!(
            (signal.direction, signal.start),
            (Direction::Up, 19),
            "from period 20 on every average is above 10"
        );
    }
    covered += 2;
    assert_eq!(covered, 62, "none is left out");
}

/// Source: the block's; the shift between periods 22 and 23 is its text.
#[test]
fn the_textbooks_cusum_comes_out_and_finds_when_the_shift_came() {
    let block = block("montgomery_cusum");
    let baseline = Baseline {
        location: 10.0,
        scale: 1.0,
    };
    let chart =
        cusum(&numbers(&block, "x"), baseline, &CusumDesign::PUBLISHED[1]).expect("a chart");
    let points = || chart.points.iter();
    let mut covered = row_is(
        points().map(|p| p.up),
        &numbers(&block, "C_plus"),
        1e-9,
        "up",
    );
    covered += row_is(
        points().map(|p| p.down),
        &numbers(&block, "C_minus"),
        1e-9,
        "down",
    );
    covered += row_is(
        points().map(|p| p.up_run as f64),
        &numbers(&block, "N_plus"),
        0.0,
        "run",
    );
    let signal = chart.signal.expect("a call");
    assert_eq!(
        signal,
        Signal {
            index: 28,
            direction: Direction::Up,
            start: 22
        }
    );
    assert_eq!(
        (signal.index + 1) as f64,
        number(&block, "first_signal_period")
    );
    assert_eq!(
        chart.points[28].up_run as f64,
        number(&block, "N_at_signal")
    );
    covered += 2;
    assert_eq!(covered, 92, "none is left out");
}

/// Source: the block's; averages of five, so their scale is the values' over √5.
#[test]
fn the_clips_ewma_comes_out() {
    let block = block("sas_clips_ewma");
    let subgroups = block["subgroups"].as_array().expect("subgroups");
    let means: Vec<f64> = subgroups
        .iter()
        .map(|group| {
            let group = group.as_array().expect("a group");
            group
                .iter()
                .map(|x| x.as_f64().expect("a number"))
                .sum::<f64>()
                / group.len() as f64
        })
        .collect();
    let baseline = Baseline {
        location: 15.0,
        scale: 0.2 / 5_f64.sqrt(),
    };
    let design = EwmaDesign::new(0.3, 3.0, Limits::FromStart).expect("a design");
    let chart = ewma(&means, baseline, &design).expect("a chart");
    let averages = chart.points.iter().map(|point| point.average);
    let mut covered = row_is(averages, &numbers(&block, "z"), 5.1e-7, "averages");
    let widths = chart.points.iter().map(|point| point.half_width);
    let theirs = numbers(&block, "halfwidth_3sigma_time_varying");
    covered += row_is(widths, &theirs, 5.1e-7, "limits");
    assert_eq!(covered, 40, "none is left out");
    let signal = chart.signal.expect("a call");
    let called = Signal {
        index: 16,
        direction: Direction::Down,
        start: 13,
    };
    assert_eq!(
        signal, called,
        "the first average below its limit; below 15 from subgroup 14 on"
    );
}

fn leak_off(drops: u32, seconds: f64) -> Count {
    Count { drops, seconds }
}

/// By hand: good 10, bad 20 per minute, so k = 10/ln 2 = 14.427 per minute and h = ln 100/ln 2 = 6.644 drops.
#[test]
fn counts_over_unequal_times_are_weighed_by_their_times() {
    let design = PoissonCusumDesign::from_rates(10.0, 20.0, 100.0).expect("a design");
    let k = 10.0 / 2_f64.ln();
    close(design.reference_per_min(), k, 1e-12, "k");
    close(
        design.decision_drops(),
        100_f64.ln() / 2_f64.ln(),
        1e-12,
        "h",
    );
    assert_eq!(design.in_control_arl_at_least(), Some(100.0));
    let counts = [
        leak_off(5, 30.0),
        leak_off(20, 60.0),
        leak_off(4, 15.0),
        leak_off(40, 120.0),
    ];
    let chart = poisson_cusum(&counts, &design).expect("a chart");
    let by_hand = [0.0, 20.0 - k, 24.0 - 1.25 * k, 64.0 - 3.25 * k];
    row_is(chart.sums_drops, &by_hand, 1e-12, "sums");
    assert_eq!(
        chart.signal,
        Some(Signal {
            index: 3,
            direction: Direction::Up,
            start: 1
        })
    );
}

#[test]
fn leak_off_that_stops_is_called_as_a_fall() {
    let design = PoissonCusumDesign::from_rates(20.0, 10.0, 100.0).expect("a design");
    let counts: Vec<Count> = [21, 19, 20, 22, 4, 0, 0]
        .map(|drops| leak_off(drops, 60.0))
        .into();
    let chart = poisson_cusum(&counts, &design).expect("a chart");
    assert_eq!(
        chart.signal,
        Some(Signal {
            index: 4,
            direction: Direction::Down,
            start: 4
        })
    );
}
