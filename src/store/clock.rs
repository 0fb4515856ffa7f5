//! The system's date, whatever it is.

use chrono::{DateTime, FixedOffset, Local};
use std::time::SystemTime;

/// The local date and time. A panel without a battery may begin before 1970, where chrono's own `now`
/// panics.
pub fn now() -> DateTime<FixedOffset> {
    at(SystemTime::now())
}

fn at(time: SystemTime) -> DateTime<FixedOffset> {
    DateTime::<Local>::from(time).fixed_offset()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::{Duration, UNIX_EPOCH};

    #[test]
    fn a_clock_before_1970_shows_its_date() {
        let day = Duration::from_secs(24 * 60 * 60);
        for (time, utc) in [
            (UNIX_EPOCH - day, "1969-12-31T00:00:00+00:00"),
            (UNIX_EPOCH - 25_567 * day, "1900-01-01T00:00:00+00:00"),
            (UNIX_EPOCH + day, "1970-01-02T00:00:00+00:00"),
        ] {
            assert_eq!(at(time).to_utc().to_rfc3339(), utc);
        }
        // What is asked for all over the program is what the system says.
        let gap = now().to_utc() - DateTime::<chrono::Utc>::from(SystemTime::now());
        assert!(gap.num_seconds().abs() < 60, "{gap}");
    }

    #[test]
    fn nobody_asks_chrono_itself() {
        fn sources(dir: &std::path::Path, found: &mut Vec<std::path::PathBuf>) {
            for entry in std::fs::read_dir(dir).expect("the sources").flatten() {
                match entry.path() {
                    path if path.is_dir() => sources(&path, found),
                    path => found.push(path),
                }
            }
        }
        let mut found = Vec::new();
        let src = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        sources(&src, &mut found);
        assert!(found.len() > 100);
        for path in found {
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            for asked in [concat!("Local::", "now("), concat!("Utc::", "now(")] {
                assert!(!text.contains(asked), "{}: {asked}", path.display());
            }
        }
    }
}
