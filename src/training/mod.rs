//! Training at the wall without a lance: a simulated sprayer behind the bay's own port, and the
//! count of washes that wears it.
//!
//! The truth of every sprayer follows from the seed, its wear from the washes in the records. A new
//! nozzle is not simulated: what was worn stays worn.

mod trainer;
mod washes;

pub use trainer::Trainer;
pub use washes::{Counted, Washes};
