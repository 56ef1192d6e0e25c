//! A generated history for the demo plant.
