//! Everything that stands between the bay and the glass.

pub mod glass;
