//! What a command is.

use super::{App, AppError};

/// One thing to do, whole or not at all. Each command is a struct beside what it is about; [`App::perform`] is the
/// one way to run it.
pub trait Command {
    /// What came of it: what the face needs to show what changed.
    type Outcome;

    /// Does it in one transaction. Called by [`App::perform`] only.
    ///
    /// # Errors
    /// A sentence that says what is wrong and what to do; nothing has changed then.
    fn perform(self, app: &mut App) -> Result<Self::Outcome, AppError>;
}
