//! Counted drops: rates with their exact intervals, and when enough has been counted.
