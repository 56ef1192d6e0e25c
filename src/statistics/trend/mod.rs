//! Baselines, slopes and the days left to a limit.
