//! What goes on a stick, and in which folder.

use super::csv;
use super::taking::What;
use super::totals::Span;
use crate::bay::at_work::Bay;
use crate::bay::card::{self, Format};
use crate::bay::ports::Parcel;
use chrono::NaiveDate;

/// Names on a stick must be right on every file system: longer ones are cut.
const LONGEST_NAME: usize = 40;

/// A folder's name from the bay's: letters and digits of English, dashes for all else.
fn folder(bay: &str, day: Option<NaiveDate>) -> String {
    let mut name = String::new();
    for letter in bay.chars().take(LONGEST_NAME) {
        match letter {
            l if l.is_ascii_alphanumeric() => name.push(l),
            _ if name.ends_with('-') || name.is_empty() => {}
            _ => name.push('-'),
        }
    }
    let name = match name.trim_end_matches('-') {
        "" => "bay",
        name => name,
    };
    match day {
        Some(day) => format!("{name}-{day}"),
        None => format!("{name}-no-date"),
    }
}

impl Bay {
    /// The rows of the records for what is taken away; empty for the card.
    pub fn records_csv(&self, what: What) -> String {
        let span = match what {
            What::Today => Span::Today,
            What::Week => Span::Week,
            What::All => Span::All,
            What::Card => return String::new(),
        };
        let days = span.days(self.reporting.today);
        let rows = self
            .reporting
            .log
            .iter()
            .filter(|dated| span.holds(&days, dated.day));
        csv::write(rows, &self.setup)
    }

    /// The wall card as a table.
    pub(super) fn card_csv(&self) -> String {
        card::write(self, self.now.wall, Format::Csv)
    }

    /// All the files that go on a stick.
    pub(super) fn parcel(&self, what: What) -> Parcel {
        let mut files = Vec::new();
        if what != What::Card {
            files.push(("records.csv".to_owned(), self.records_csv(what)));
        }
        let html = card::write(self, self.now.wall, Format::Html);
        files.push(("card.html".to_owned(), html));
        files.push(("card.csv".to_owned(), self.card_csv()));
        let named = folder(&self.setup.name, self.reporting.today);
        Parcel {
            folder: match self.setup.demo {
                // Invented figures must not be taken for others.
                true => format!("DEMO-{named}"),
                false => named,
            },
            files,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bay_of_any_name_makes_a_folder_of_any_file_system() {
        let day = NaiveDate::from_ymd_opt(2026, 3, 2);
        for (bay, expected) in [
            ("Harbour depot, bay 2", "Harbour-depot-bay-2-2026-03-02"),
            ("../../etc", "etc-2026-03-02"),
            ("Nº 3: \"A/B\" ", "N-3-A-B-2026-03-02"),
            ("浴场", "bay-2026-03-02"),
            ("", "bay-2026-03-02"),
        ] {
            assert_eq!(folder(bay, day), expected);
        }
        assert_eq!(folder("Bay", None), "Bay-no-date");
        assert!(folder(&"x".repeat(500), day).len() < 60);
    }
}
