//! The known word that a mistyped one was probably meant to be.

/// The nearest of `known`, where one is near enough to propose.
pub(crate) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    known
        .map(|k| (steps(word, k), k))
        .min_by_key(|(steps, _)| *steps)
        .filter(|(steps, k)| *steps <= (k.len().max(word.len()) / 3).max(1))
        .map(|(_, k)| k)
}

/// How many letters must be put in, left out or changed to make one word of the other.
fn steps(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.to_lowercase().chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.to_lowercase().chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, cb) in b.iter().enumerate() {
            let changed = diagonal + usize::from(ca != *cb);
            diagonal = row[j + 1];
            row[j + 1] = changed.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_recognised_and_a_strange_word_is_not() {
        let known = ["name", "nozzle", "washer", "overdue_washes"];
        let of = |word| nearest(word, known.into_iter());
        assert_eq!(of("nozle"), Some("nozzle"));
        assert_eq!(of("Washer"), Some("washer"));
        assert_eq!(of("overdue-washes"), Some("overdue_washes"));
        assert_eq!(of("colour"), None);
        assert_eq!(steps("kitten", "sitting"), 3);
        assert_eq!(steps("", "abc"), 3);
    }
}
