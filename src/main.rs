//! The desktop entry: the window, or one headless command.

fn main() {}
