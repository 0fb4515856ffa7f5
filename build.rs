//! Compiles the screens. Warnings of the Slint compiler are errors.

fn main() {
    // Tests find elements by their ids and types; that swells the binary, so a release goes without.
    let debug = std::env::var("PROFILE").as_deref() == Ok("debug");
    let config = slint_build::CompilerConfiguration::new().with_debug_info(debug);
    slint_build::compile_with_config("ui/wall.slint", config).expect("the screens compile");
}
