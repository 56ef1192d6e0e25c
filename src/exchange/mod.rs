//! Bundles: writing, reading untrusted ones, planning a merge.
