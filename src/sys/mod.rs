//! The world, injected: clock, ids, files.
