//! What is wrong in a plant's files is told with file, pump, field and what would be right.

mod files;
mod folder;
mod limits;
mod parts;
mod whole;
