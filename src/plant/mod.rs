//! What a plant is: areas, pumps and how they are built, limits, rounds.
