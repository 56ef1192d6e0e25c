//! What is wrong with a plant's files, told so that somebody can mend it.

use crate::say;
use std::fmt;

/// One thing that is wrong in a plant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlantFault {
    /// File it is in, as a path inside the plant folder; `plant` where the plant came as one.
    pub file: String,
    /// Pump it is about, where it is about one.
    pub pump: Option<String>,
    /// Field that is wrong, where it is one.
    pub field: Option<String>,
    /// What is wrong, and what would be right.
    pub what: String,
}

impl PlantFault {
    /// A fault of a whole file.
    pub fn of_file(file: &str, what: impl Into<String>) -> Self {
        Self {
            file: file.to_owned(),
            pump: None,
            field: None,
            what: what.into(),
        }
    }
}

impl fmt::Display for PlantFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: ", self.file)?;
        if let Some(pump) = &self.pump {
            write!(f, "{}: ", say!("pump {pump}", pump))?;
        }
        if let Some(field) = &self.field {
            write!(f, "{}: ", say!("field `{field}`", field))?;
        }
        f.write_str(&self.what)
    }
}

impl std::error::Error for PlantFault {}
