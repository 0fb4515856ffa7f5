//! The code that the Slint compiler makes of the screens: generated code and nothing else, so that a
//! change of the program behind the screens does not compile it again.
#![allow(missing_docs, unsafe_code, clippy::all)]

slint::include_modules!();
