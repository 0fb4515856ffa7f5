//! Ids for new things, made of their names.

/// The longest id made here: the set-up file takes 32 characters.
const LONGEST: usize = 28;

/// An id of letters, digits and hyphens for `name`, that `is_taken` does not know; of `kind` where the
/// name has no letter for it.
///
/// # Errors
/// Those of `is_taken`.
pub fn id_for<E>(
    name: &str,
    kind: &str,
    mut is_taken: impl FnMut(&str) -> Result<bool, E>,
) -> Result<String, E> {
    let mut id = String::new();
    for letter in name.chars().flat_map(char::to_lowercase) {
        let plain = plain(letter);
        if plain.is_ascii_alphanumeric() {
            id.push(plain);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
        if id.len() >= LONGEST {
            break;
        }
    }
    let id = id.trim_end_matches('-');
    let id = if id.is_empty() { kind } else { id };
    let (mut free, mut number) = (id.to_owned(), 1_u32);
    while is_taken(&free)? {
        number += 1;
        free = format!("{id}-{number}");
    }
    Ok(free)
}

/// The letter without what stands over or under it, where it is one of the keyboard's.
const fn plain(letter: char) -> char {
    match letter {
        'á' | 'à' | 'â' | 'ä' => 'a',
        'é' | 'è' | 'ê' | 'ë' => 'e',
        'í' | 'ì' | 'î' | 'ï' => 'i',
        'ó' | 'ò' | 'ô' | 'ö' => 'o',
        'ú' | 'ù' | 'û' | 'ü' => 'u',
        'ñ' => 'n',
        'ç' => 'c',
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_made_of_the_name_and_is_its_own() {
        let free = |_: &str| Ok::<_, ()>(false);
        for (name, id) in [
            ("Lance 3", "lance-3"),
            ("  Pulverizador de suelo, nº 2", "pulverizador-de-suelo-n-2"),
            ("Quitagrasa ácido", "quitagrasa-acido"),
            ("¡!", "sprayer"),
            (
                "A very long name that goes on and on",
                "a-very-long-name-that-goes-o",
            ),
        ] {
            assert_eq!(id_for(name, "sprayer", free), Ok(id.to_owned()));
        }
        let taken = |id: &str| Ok::<_, ()>(["lance", "lance-2"].contains(&id));
        assert_eq!(id_for("Lance", "sprayer", taken), Ok("lance-3".to_owned()));
        let unread = |_: &str| Err("unread");
        assert_eq!(id_for("Lance", "sprayer", unread), Err("unread"));
    }
}
