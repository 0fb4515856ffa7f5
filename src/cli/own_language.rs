//! The language that the panel's system is set to.

use fillcall::trade::language::Language;

/// What a new bay begins in: the system's language where the screens have it, else English.
pub fn of_the_system() -> Language {
    // In this order, as every program of the system goes by them.
    let told = ["LC_ALL", "LC_MESSAGES", "LANG"].map(std::env::var);
    let first = told.into_iter().flatten().find(|told| !told.is_empty());
    of_locale(&first.unwrap_or_default())
}

/// The language of a locale such as `es_ES.UTF-8`.
fn of_locale(locale: &str) -> Language {
    let code = locale.split(['_', '.', '@']).next().unwrap_or_default();
    Language::from_code(code).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn locales_have_a_language() {
        for (locale, language) in [
            ("es_ES.UTF-8", Language::Spanish),
            ("es", Language::Spanish),
            ("es@x", Language::Spanish),
            ("en_GB.UTF-8", Language::English),
            ("C.UTF-8", Language::English),
            ("est_EE", Language::English),
            ("", Language::English),
        ] {
            assert_eq!(of_locale(locale), language, "{locale}");
        }
    }
}
