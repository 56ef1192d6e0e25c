//! An entry against limits, rate of change and the entry before it.
