//! Times as people read them.

use crate::record::Stamp;
use chrono::{DateTime, FixedOffset};

/// The stamp as local time where it was written, ISO 8601 with its offset: `2026-03-02T06:10:00+01:00`.
pub fn local_time(stamp: Stamp) -> String {
    written(stamp, "%Y-%m-%dT%H:%M:%S%:z")
}

/// The same to the minute, as a clock on the wall there showed it: `2026-03-02 06:10`.
pub fn clock_time(stamp: Stamp) -> String {
    written(stamp, "%Y-%m-%d %H:%M")
}

fn written(stamp: Stamp, format: &str) -> String {
    let offset = FixedOffset::east_opt(i32::from(stamp.offset_min) * 60);
    match (DateTime::from_timestamp_millis(stamp.utc_ms), offset) {
        (Some(utc), Some(offset)) => utc.with_timezone(&offset).format(format).to_string(),
        // A clock this far off has no calendar date; the number itself is the truth.
        _ => format!("{} ms", stamp.utc_ms),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_shown_as_the_clock_on_the_wall_had_it() {
        let stamp = Stamp {
            utc_ms: 1_772_428_200_000,
            offset_min: 60,
        };
        assert_eq!(local_time(stamp), "2026-03-02T06:10:00+01:00");
        assert_eq!(clock_time(stamp), "2026-03-02 06:10");
    }

    #[test]
    fn a_time_beyond_the_calendar_is_told_as_it_is() {
        let stamp = Stamp {
            utc_ms: i64::MAX,
            offset_min: 0,
        };
        assert_eq!(local_time(stamp), format!("{} ms", i64::MAX));
    }
}
