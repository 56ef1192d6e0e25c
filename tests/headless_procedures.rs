//! Procedures by the commands: a start gone through, one that stops, what is refused, what is told afterwards.

mod headless_support;

use headless_support::{Ran, make_store, plant, run};
use std::{fs, path::Path};

struct Shop(tempfile::TempDir);

impl Shop {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        make_store(folder.path(), "s.lantern");
        Self(folder)
    }

    fn folder(&self) -> &Path {
        self.0.path()
    }

    fn go(&self, pump: &str, words: &[&str]) -> Ran {
        let mut all = vec!["procedure", "s.lantern", pump];
        all.extend(words);
        all.extend(["--by", "Shift A"]);
        run(self.folder(), &all)
    }

    fn show(&self, pump: &str) -> String {
        run(self.folder(), &["procedure", "s.lantern", pump, "show"])
            .ended(0)
            .out
    }
}

/// The first steps of a stop.
fn begun(shop: &Shop) -> String {
    let begun = shop.go("RW-110", &["begin", "stop"]).ended(0).out;
    shop.go("RW-110", &["step"]).ended(0);
    let who = ["permit", "Control room, K. Brand"];
    shop.go("RW-110", &who).ended(0);
    begun
}

/// The demo plant without one of its pumps, in a folder to be made.
fn without_pump(folder: &Path, pump: &str) {
    fs::create_dir(folder).unwrap();
    fs::copy(plant().join("plant.toml"), folder.join("plant.toml")).unwrap();
    let is = format!("\"{pump}\"");
    for (part, table) in [
        ("pumps", "[[pump]]"),
        ("limits", "[[limits]]"),
        ("rounds", "\n"),
        ("procedures", "[[none]]"),
    ] {
        fs::create_dir(folder.join(part)).unwrap();
        for file in fs::read_dir(plant().join(part)).unwrap() {
            let file = file.unwrap();
            let text = fs::read_to_string(file.path()).unwrap();
            let kept: Vec<_> = text.split(table).filter(|of| !of.contains(&is)).collect();
            fs::write(folder.join(part).join(file.file_name()), kept.join(table)).unwrap();
        }
    }
}

#[test]
fn a_pumps_procedures_are_listed_with_what_they_need() {
    let shop = Shop::new();
    let list = ["procedures", "s.lantern", "RW-110"];
    let out = run(shop.folder(), &list).ended(0).out;
    let line = |id: &str| {
        let mut lines = out.lines();
        lines
            .find(|line| line.starts_with(&format!("{id}\t")))
            .unwrap()
            .to_owned()
    };
    assert!(line("stop").contains("1 permission"), "{out}");
    assert!(
        line("change_over").ends_with("not for this pump: no other pump stands in for this one")
    );
    let pair = run(shop.folder(), &["procedures", "s.lantern", "RW-101A"]);
    assert!(pair.ended(0).out.contains("--with RW-101B"));
}

#[test]
fn a_run_tells_each_step_what_it_asks_for_and_whose_rules_hold() {
    let shop = Shop::new();
    let out = begun(&shop);
    assert!(out.contains("Your plant's procedure rules."), "{out}");
    assert!(out.contains("Step 1 of "), "{out}");
    assert!(out.contains("Acknowledge it: step"), "{out}");
    let under_way = run(shop.folder(), &["procedures", "s.lantern"])
        .ended(0)
        .out;
    assert!(
        under_way.contains("Stop RW-110: under way, step 3 of"),
        "{under_way}"
    );
}

#[test]
fn an_answer_that_is_not_good_stops_it_and_ends_with_three() {
    let shop = Shop::new();
    begun(&shop);
    let out = shop.go("RW-110", &["step", "no"]).ended(3).out;
    assert!(out.contains("Stopped: Answered no."), "{out}");
    assert!(
        out.contains("What to do: Start the other pump first"),
        "{out}"
    );
    shop.go("RW-110", &["skip", "never mind"])
        .refused(&["has stopped this procedure"]);
    shop.go("RW-110", &["finish"]).refused(&["steps are left"]);
    let second = shop.go("RW-110", &["begin", "stop"]);
    second.refused(&["'Stop' is under way at pump RW-110", "Shift A"]);
    shop.go("RW-110", &["abort", "flow is needed"]).ended(0);
    shop.go("RW-110", &["step"]).refused(&["has ended"]);
    let told = shop.show("RW-110");
    for words in [
        "broken off by Shift A: flow is needed",
        "permission by Control room, K. Brand",
        "stopped it: Answered no.",
        "not done",
    ] {
        assert!(told.contains(words), "no '{words}' in {told}");
    }
}

/// Does what the last command said is asked for.
fn answered(shop: &Shop, last: &str) -> String {
    let asks = last.lines().last().unwrap();
    let answers = asks.strip_prefix("Answer: step with one of ");
    let first = answers.and_then(|answers| answers.split(", ").next());
    if let Some(good) = first {
        return shop.go("RW-110", &["step", good]).ended(0).out;
    }
    let words: &[&str] = match asks.split(':').next().unwrap() {
        "Say how it stands" if last.contains(": shut it") => &["step", "shut"],
        "Say how it stands" => &["step", "cracked"],
        "Enter what you find" => &["skip", "dark"],
        "Begin the wait of 30 s" => {
            shop.go("RW-110", &["wait"]).ended(0);
            shop.go("RW-110", &["step"]).refused(&["is not over"]);
            &["wait", "--end", "at rest already"]
        }
        _ => &["step"],
    };
    shop.go("RW-110", words).ended(0).out
}

#[test]
fn a_stop_gone_through_to_its_end_tells_every_step_as_it_was_done() {
    let shop = Shop::new();
    begun(&shop);
    let mut last = shop.go("RW-110", &["step", "yes"]).ended(0).out;
    while !last.contains("every step done") {
        last = answered(&shop, &last);
    }
    assert!(last.contains("every step done, to be finished"), "{last}");
    shop.go("RW-110", &["finish"]).ended(0);
    let told = shop.show("RW-110");
    assert!(told.contains("finished by Shift A"), "{told}");
    assert!(told.contains("wait ended early: at rest already"), "{told}");
    assert!(!told.contains("not done"), "{told}");
    let handover = run(shop.folder(), &["handover", "s.lantern"]).ended(0).out;
    assert!(handover.contains("RW-110 stopped"), "{handover}");
}

#[test]
fn what_can_not_be_begun_is_refused_with_why() {
    let shop = Shop::new();
    shop.go("RW-110", &["begin", "change_over"])
        .refused(&["not for pump RW-110"]);
    shop.go("RW-101A", &["begin", "change_over"])
        .refused(&["none was chosen"]);
    shop.go("RW-110", &["begin", "start_up"])
        .refused(&["there is no procedure 'start_up'"]);
    shop.go("RW-110", &["step"])
        .refused(&["no procedure was begun at pump RW-110"]);
    begun(&shop);
    shop.go("RW-110", &["permit", "B. Bell"])
        .refused(&["asks for no permission"]);
    let nobody = [
        "procedure",
        "s.lantern",
        "RW-110",
        "step",
        "yes",
        "--by",
        " ",
    ];
    run(shop.folder(), &nobody).refused(&["1 to 60 characters"]);
    let broken = [
        "procedure",
        "s.lantern",
        "RW-110",
        "step",
        "{\"kind\":\"num\"}",
        "--by",
        "A",
    ];
    assert_eq!(run(shop.folder(), &broken).code, 2);
}

#[test]
fn what_is_to_be_entered_is_shown_as_it_is_typed() {
    let shop = Shop::new();
    shop.go("RW-101A", &["begin", "change_over", "--with", "RW-101B"])
        .ended(0);
    shop.go("RW-101A", &["step"]).ended(0);
    shop.go("RW-101A", &["permit", "Control room"]).ended(0);
    let asked = shop.go("RW-101A", &["step", "yes"]).ended(0).out;
    let typed = r#"step '{"kind":"number","value":X,"unit":"bar"}', X from "#;
    assert!(asked.contains(typed), "{asked}");
}

#[test]
fn a_procedure_at_a_pump_that_left_the_plant_is_broken_off_all_the_same() {
    let shop = Shop::new();
    begun(&shop);
    let folder = shop.folder().join("changed");
    without_pump(&folder, "RW-110");
    run(shop.folder(), &["take-plant", "changed", "s.lantern"]).ended(0);
    let over = shop.go("RW-110", &["abort", "pump is gone"]).ended(0).out;
    assert!(
        over.contains("broken off by Shift A: pump is gone"),
        "{over}"
    );
    assert!(
        shop.go("RW-110", &["begin", "stop"])
            .ended(1)
            .err
            .contains("RW-110")
    );
}
