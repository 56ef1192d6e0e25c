//! The two files of knowledge, read and proved.

use super::{Build, Feature, Sign, Weight};
use serde::Deserialize;
use std::{collections::BTreeMap, sync::OnceLock};

/// One trouble. Its texts are English, as they stand in the file; whoever shows one asks `language::word` for it.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trouble {
    /// As it is written in files.
    pub key: String,
    /// In plain words.
    pub words: String,
    /// What to do first.
    pub first_action: String,
    /// When to stop the pump for it.
    pub stop_when: String,
    /// What can hurt.
    pub caution: String,
    /// It is one gland's: what is seen at another says nothing of it. Its first action brings hands there or to its feed.
    #[serde(default)]
    pub at_gland: bool,
    /// The first action takes up the gland.
    #[serde(default)]
    pub tightens: bool,
    /// It begins only with one of these. While none is told, it stands behind whatever fits as well.
    #[serde(default)]
    pub begins_with: Vec<Sign>,
    /// Its signs that many machines show without it. By these alone it counts as one sign, and is held back.
    #[serde(default)]
    pub common_signs: Vec<Sign>,
    /// It is one bearing's: what is seen at another says nothing of it.
    #[serde(default)]
    pub of_one_bearing: bool,
    /// The pump must have all of these.
    #[serde(default)]
    pub needs: Vec<Feature>,
    /// The pump must have one of these, where any is named.
    #[serde(default)]
    pub needs_one: Vec<Feature>,
}

impl Trouble {
    /// A pump of this build can have it.
    pub fn can_be_on(&self, build: &Build) -> bool {
        self.needs.iter().all(|&feature| build.has(feature))
            && (self.needs_one.is_empty()
                || self.needs_one.iter().any(|&feature| build.has(feature)))
    }
}

/// What one sign says about one trouble.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Key of the trouble.
    pub trouble: String,
    /// The sign.
    pub sign: Sign,
    /// What it says when present.
    pub if_present: Weight,
    /// What it says when absent.
    pub if_absent: Weight,
    /// Where it stands that sign and trouble go together: a publication with its section, "common practice, no
    /// source" or "from memory".
    pub source: String,
}

/// What is wrong with a knowledge file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum KnowledgeError {
    /// The troubles do not parse.
    #[error("the troubles cannot be read: {0}; correct that entry")]
    Troubles(String),
    /// A row of knowledge does not parse.
    #[error("line {line} of the knowledge cannot be read: {reason}; correct that line")]
    Row {
        /// Line in the file, the heading being 1.
        line: usize,
        /// What is wrong.
        reason: String,
    },
    /// A trouble stands twice.
    #[error("the trouble '{0}' stands twice; take one out")]
    Twice(String),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Troubles {
    trouble: Vec<Trouble>,
}

/// What is known of troubles and their signs.
#[derive(Debug)]
pub struct Knowledge {
    troubles: Vec<Trouble>,
    rows: Vec<BTreeMap<Sign, Row>>,
}

impl Knowledge {
    /// The knowledge that comes with the program, read once.
    ///
    /// # Errors
    /// Where a file in the program is faulty; the tests prove that it is not.
    pub fn built_in() -> Result<&'static Self, &'static KnowledgeError> {
        static READ: OnceLock<Result<Knowledge, KnowledgeError>> = OnceLock::new();
        READ.get_or_init(|| {
            Self::read(include_str!("troubles.toml"), include_str!("knowledge.csv"))
        })
        .as_ref()
    }

    /// Reads troubles (TOML) and rows of knowledge (CSV).
    ///
    /// # Errors
    /// Where one does not parse, names what is not known, lacks a source, or stands twice.
    pub fn read(troubles: &str, rows: &str) -> Result<Self, KnowledgeError> {
        let Troubles { trouble: troubles } =
            toml::from_str(troubles).map_err(|e| KnowledgeError::Troubles(e.to_string()))?;
        let mut places = BTreeMap::new();
        for (place, trouble) in troubles.iter().enumerate() {
            if places.insert(trouble.key.clone(), place).is_some() {
                return Err(KnowledgeError::Twice(trouble.key.clone()));
            }
        }
        let mut by_trouble = vec![BTreeMap::new(); troubles.len()];
        for (number, row) in csv::Reader::from_reader(rows.as_bytes())
            .deserialize()
            .enumerate()
        {
            let fault = |reason: String| KnowledgeError::Row {
                line: number + 2,
                reason,
            };
            let row: Row = row.map_err(|e| fault(e.to_string()))?;
            let &place = places
                .get(&row.trouble)
                .ok_or_else(|| fault(format!("there is no trouble '{}'", row.trouble)))?;
            if row.source.trim().is_empty() {
                return Err(fault("it names no source".to_owned()));
            }
            if by_trouble[place].insert(row.sign, row).is_some() {
                return Err(fault("sign and trouble stand together twice".to_owned()));
            }
        }
        Ok(Self {
            troubles,
            rows: by_trouble,
        })
    }

    /// Every trouble, commonest first.
    pub fn troubles(&self) -> &[Trouble] {
        &self.troubles
    }

    /// Every row.
    pub fn rows(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().flat_map(BTreeMap::values)
    }

    /// The rows of the trouble at this place, by sign.
    pub(super) fn rows_of(&self, place: usize) -> &BTreeMap<Sign, Row> {
        &self.rows[place]
    }
}
