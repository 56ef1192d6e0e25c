//! Numbers come back from JSON to the last bit; canonical bytes and hashes stand on it.

use proptest::prelude::*;

proptest! {
    /// Source of the law: IEEE 754 shortest decimal text reads back as the same double.
    #[test]
    fn a_number_reads_back_from_json_to_the_last_bit(
        value in any::<f64>().prop_filter("JSON has finite numbers only", |value| value.is_finite()),
    ) {
        let text = serde_json::to_string(&value).expect("finite");
        let back: f64 = serde_json::from_str(&text).expect("JSON");
        prop_assert_eq!(back.to_bits(), value.to_bits(), "{}", text);
    }
}
