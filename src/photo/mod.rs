//! Pictures: downscaled, stripped of metadata, marked.
