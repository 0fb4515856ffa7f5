//! Updates: whether a package is one that may be installed. It is installed by `fillcall-update`, which
//! is root; the wall only asks for it.

pub mod asking;
pub mod signature;
pub mod told;
