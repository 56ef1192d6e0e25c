//! Evidence to likely causes, to the check that tells them apart.
