//! Counts as the command line says them, and numbers as they are typed on it.

use fillcall::trade::units::no_comma;

/// "1 wash", "12 washes".
pub fn count(count: u64, one: &str, more: &str) -> String {
    match count {
        1 => format!("1 {one}"),
        n => format!("{n} {more}"),
    }
}

/// A count of what a computer can count.
pub fn how_many(things: usize, one: &str, more: &str) -> String {
    count(u64::try_from(things).unwrap_or(u64::MAX), one, more)
}

/// A whole number as it was typed.
///
/// # Errors
/// What is to be typed in its place.
pub fn whole(text: &str) -> Result<u64, String> {
    no_comma(text).map_err(|fault| fault.to_string())?;
    text.trim()
        .parse()
        .map_err(|_| "write a whole number, such as 7".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_one_and_a_comma_is_told_what_is_meant() {
        assert_eq!(count(1, "wash", "washes"), "1 wash");
        assert_eq!(how_many(0, "wash", "washes"), "0 washes");
        assert_eq!(count(2, "wash", "washes"), "2 washes");
        assert_eq!(whole("7"), Ok(7));
        for (text, says) in [
            ("7,5", "write 7.5"),
            ("1,000", "1000, whichever is meant"),
            ("seven", "a whole number, such as 7"),
            ("-1", "a whole number, such as 7"),
        ] {
            let wrong = whole(text).expect_err(text);
            assert!(wrong.contains(says), "{wrong}");
        }
    }
}
