//! From what was scanned or keyed in to a pump. Never by a guess.

use super::{App, AppError, Command, Register, sound::LONGEST_CODE};
use crate::{
    plant::PumpId,
    record::{Body, TagAdopted},
    say,
    tag::{
        Luma, Reading,
        read::{self, Code},
        short_id::KeyingError,
    },
};

/// What a scan or a keyed text led to.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A pump of this plant, by its tag.
    Pump(PumpId),
    /// A pump of this plant, by its keyed number: no proof that anybody stood at it.
    ByNumber(PumpId),
    /// A pump of this plant, by its keyed short id.
    ByShortId(PumpId),
    /// A pump of this plant, by a code adopted for it.
    ByAdoptedCode(PumpId),
    /// A sound tag of this plant, of no pump in the store's plant.
    NotInPlant,
    /// A tag of another plant.
    OtherPlant(String),
    /// Read or keyed wrong; the sentence says what to do.
    Again(String),
    /// Some other code; it can be adopted for a pump.
    Foreign(String),
    /// Several different codes; somebody must choose.
    Several(Vec<CodeInView>),
    /// No code in sight.
    Nothing,
}

impl Register {
    /// What the text of one code leads to.
    pub fn find(&self, text: &str) -> Found {
        match Reading::of(text, self.host()) {
            Reading::Ours(id) => match self.pump_by_tag(id) {
                Some(pump) => Found::Pump(pump.id.clone()),
                None => Found::NotInPlant,
            },
            Reading::OtherPlant { host, .. } => Found::OtherPlant(host.to_string()),
            bad @ Reading::BadCheck { .. } => Found::Again(bad.to_string()),
            Reading::Foreign(text) => match self.pumps_by_adopted(&text) {
                [] => Found::Foreign(text),
                [pump] => Found::ByAdoptedCode(pump.clone()),
                pumps => Found::Again(say!(
                    "This code was adopted for more than one pump ({pumps}). Use the pump's own tag or key in its short id.",
                    pumps = pumps
                        .iter()
                        .map(PumpId::as_str)
                        .collect::<Vec<_>>()
                        .join(", ")
                )),
            },
        }
    }

    /// The codes in a still picture. Looks harder until one is a tag: a nameplate's own code beside it is easier to
    /// read.
    pub fn read(&self, picture: &Luma) -> Vec<Code> {
        read::thorough(picture, |code| {
            !matches!(self.find(&code.text), Found::Foreign(_))
        })
    }

    fn in_view(&self, text: &str) -> CodeInView {
        let leads_to = match self.find(text) {
            Found::Pump(id) | Found::ByAdoptedCode(id) => {
                let name = self.pump(&id).map_or("", |pump| pump.name.as_str());
                format!("{id} {name}")
            }
            Found::Foreign(_) => say!("Not one of this plant's tags").to_owned(),
            other => other.to_string(),
        };
        CodeInView {
            text: text.to_owned(),
            leads_to,
        }
    }

    /// What the codes in one picture lead to. The label carries its code twice: the same text counts once.
    pub fn find_codes(&self, codes: &[Code]) -> Found {
        let mut texts: Vec<&str> = codes.iter().map(|code| code.text.as_str()).collect();
        texts.sort_unstable();
        texts.dedup();
        match texts[..] {
            [] => Found::Nothing,
            [text] => self.find(text),
            _ => Found::Several(texts.into_iter().map(|text| self.in_view(text)).collect()),
        }
    }

    /// What a text keyed in by hand or by a wedge scanner leads to: a whole tag link, a short id, or a pump's number.
    pub fn find_keyed(&self, text: &str) -> Found {
        let text = text.trim();
        if text.is_empty() {
            return Found::Nothing;
        }
        if text.contains("://") || !self.pumps_by_adopted(text).is_empty() {
            return self.find(text);
        }
        if let Some(pump) = self
            .plant()
            .pumps
            .iter()
            .find(|pump| pump.id.as_str().eq_ignore_ascii_case(text))
        {
            return Found::ByNumber(pump.id.clone());
        }
        match self.short_ids().find(text) {
            Ok(tag) => match self.pump_by_tag(tag) {
                Some(pump) => Found::ByShortId(pump.id.clone()),
                None => Found::NotInPlant,
            },
            Err(KeyingError::Unknown { .. }) => Found::NotInPlant,
            Err(error) => Found::Again(error.to_string()),
        }
    }
}

/// One of several codes in view.
#[derive(Clone, Debug, PartialEq)]
pub struct CodeInView {
    /// Its text.
    pub text: String,
    /// What choosing it leads to, in words: a pump with its name, or what the code is.
    pub leads_to: String,
}

/// Let a code that is on the pump already stand for it.
#[derive(Clone, Debug)]
pub struct AdoptTag {
    /// Which pump.
    pub pump: PumpId,
    /// The code's text.
    pub code: String,
}

impl Command for AdoptTag {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let Self { pump, code } = self;
        let register = app.register()?;
        register.pump(&pump)?;
        if let Some(why) = why_not_adopted(&register, &code) {
            return Err(AppError::NotAdopted { pump, code, why });
        }
        app.append(Body::TagAdopted(TagAdopted { pump, code }))?;
        app.register = app.load_register()?;
        Ok(())
    }
}

fn why_not_adopted(register: &Register, code: &str) -> Option<String> {
    match register.find(code) {
        Found::Foreign(_) if code.trim().is_empty() => Some(say!("it is empty").to_owned()),
        Found::Foreign(_) if code.len() > LONGEST_CODE => Some(say!(
            "it is longer than {most} characters",
            most = LONGEST_CODE
        )),
        Found::Foreign(_) => None,
        Found::ByAdoptedCode(other) => Some(say!("it stands for pump {other} already", other)),
        _ => Some(say!("it has the form of a plant's own tag").to_owned()),
    }
}

impl std::fmt::Display for Found {
    /// One sentence with what to do.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sentence = match self {
            Found::Pump(pump) | Found::ByNumber(pump) | Found::ByShortId(pump) => say!("Pump {pump}.", pump),
            Found::ByAdoptedCode(pump) => say!("A code adopted for pump {pump}.", pump),
            Found::NotInPlant => say!("A sound tag, but its pump is not in this plant's register here. Ask the planner for the newest plant.").to_owned(),
            Found::OtherPlant(host) => say!("A tag of another plant ({host}). Nothing was opened. Check that you are at the right pump.", host),
            Found::Again(sentence) => sentence.clone(),
            Found::Foreign(text) => say!("Not one of this plant's tags. The code says: {text}", text),
            Found::Several(codes) => say!("{count} different codes in view. Choose one, or scan again closer up.", count = codes.len()),
            Found::Nothing => say!("No code found. Hold the tag straight, fill a third of the picture with it, wipe the label, or key in the short id.").to_owned(),
        };
        f.write_str(&sentence)
    }
}
