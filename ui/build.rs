//! Compiles the screens, with the languages under `lang` built in.

use slint_build::{CompilerConfiguration, DefaultTranslationContext};

fn main() {
    let config = CompilerConfiguration::new()
        // The tour and the tests find what they press by its name, which needs this; it makes the
        // program somewhat larger.
        .with_debug_info(true)
        .with_bundled_translations("lang")
        // The same English words are the same words on every screen, and in the texts that come
        // from the Rust code, which know no component.
        .with_default_translation_context(DefaultTranslationContext::None);
    slint_build::compile_with_config("wall.slint", config).expect("the screens compile");
}
