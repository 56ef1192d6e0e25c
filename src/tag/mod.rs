//! Tags: payload, short id, drawing and reading codes.
