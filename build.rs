//! Compiles the screens. Warnings of the Slint compiler are errors.

fn main() {
    // The tour and the tests find what they press by its name, which needs this; it makes the
    // program somewhat larger.
    let config = slint_build::CompilerConfiguration::new().with_debug_info(true);
    slint_build::compile_with_config("ui/wall.slint", config).expect("the screens compile");
}
