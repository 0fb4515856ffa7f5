//! Compiles the screens, with the languages under `ui/lang` built in. Warnings of the Slint compiler
//! are errors. Also lists the voices that the program carries.

#[path = "build/voices.rs"]
mod voices;

use slint_build::{CompilerConfiguration, DefaultTranslationContext};

fn main() {
    voices::write_table();
    let config = CompilerConfiguration::new()
        // The tour and the tests find what they press by its name, which needs this; it makes the
        // program somewhat larger.
        .with_debug_info(true)
        .with_bundled_translations("ui/lang")
        // The same English words are the same words on every screen, and in the texts that come
        // from the Rust code, which know no component.
        .with_default_translation_context(DefaultTranslationContext::None);
    slint_build::compile_with_config("ui/wall.slint", config).expect("the screens compile");
}
