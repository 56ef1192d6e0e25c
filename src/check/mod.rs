//! Which checks a pump has, and what can be entered for them.
