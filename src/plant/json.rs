//! A plant as one piece of JSON, the form in which it is kept and sent.

use super::{Plant, PlantFault, examine};

/// What a fault calls the file when the plant came as one piece.
const WHOLE: &str = "plant";

impl Plant {
    /// The plant as canonical JSON: fields in the order of the structs, no white space. The same plant gives the same bytes.
    ///
    /// # Errors
    /// Only those of `serde_json`; a plant without faults has none.
    pub fn to_json(&self) -> Result<Vec<u8>, serde_json::Error> {
        serde_json::to_vec(self)
    }

    /// Reads a plant from JSON and checks it.
    ///
    /// # Errors
    /// Every fault found: text that is no plant, or what [`Plant::check`] finds.
    pub fn from_json(json: &[u8]) -> Result<Self, Vec<PlantFault>> {
        let mut deserializer = serde_json::Deserializer::from_slice(json);
        let plant: Plant =
            serde_path_to_error::deserialize(&mut deserializer).map_err(|error| {
                let path = error.path().to_string();
                vec![PlantFault {
                    field: (path != ".").then_some(path),
                    ..PlantFault::of_file(WHOLE, error.inner().to_string())
                }]
            })?;
        deserializer
            .end()
            .map_err(|error| vec![PlantFault::of_file(WHOLE, error.to_string())])?;
        match plant.check() {
            faults if faults.is_empty() => Ok(plant),
            faults => Err(faults),
        }
    }

    /// Everything that is wrong with this plant; nothing where it can be used.
    pub fn check(&self) -> Vec<PlantFault> {
        let mut found = examine::parts(self);
        found.extend(examine::references(self));
        found
            .into_iter()
            .map(|found| found.in_file(WHOLE))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_that_is_no_plant_says_where_it_stops_being_one() {
        let faults = Plant::from_json(br#"{"id":"k","name":3}"#).unwrap_err();
        assert_eq!(
            faults[0].to_string(),
            "plant: field `name`: invalid type: integer `3`, expected a string at line 1 column 18"
        );
    }

    #[test]
    fn a_cut_off_plant_is_refused() {
        assert!(Plant::from_json(b"{\"id\":\"k\",").is_err());
    }
}
