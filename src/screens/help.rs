//! Help and cautions, and the page that shows what is wrong with a set-up.

mod own;

use super::day::beside_warning;
use super::generated::{FaultView, HelpPage, HelpView, Symbols};
use super::hazard;
use super::models::update;
use super::tongue::tr;
use super::wall::{Faults, Restorable};
use super::words::{date, lines_of, washes};
use crate::bay::action::Page;
use crate::bay::at_work::Bay;

fn page(title: &str, text: impl Into<slint::SharedString>) -> HelpPage {
    HelpPage {
        title: title.into(),
        text: text.into(),
        ..HelpPage::default()
    }
}

/// Shows help for the screen that it was asked for on, with the bay as it is.
pub fn show(bay: &Bay, view: &HelpView) {
    let mut pages = vec![own::own(bay)];
    // Who asks from home for the first time wants to know how to fill.
    if bay.help_for() == Page::Menu {
        pages.push(filling(bay));
    }
    pages.extend(never_beside(bay));
    pages.extend(hazards(bay));
    pages.extend([cautions(bay), safety(), beeps(), signals()]);
    pages.extend([filling(bay), calibrating(), keys(), hearing()]);
    let mut seen = Vec::new();
    pages.retain(|page| {
        let first = !seen.contains(&page.title);
        seen.push(page.title.clone());
        first
    });
    let pages: Vec<HelpPage> = pages.into_iter().flat_map(continued).collect();
    if let Some(new) = update(view.get_pages(), pages) {
        view.set_pages(new);
    }
}

/// Lines of help that the smallest panel has room for, and letters to each; symbols take some of them.
const HELP_LINES: usize = 9;
const HELP_LETTERS: usize = 66;
const SYMBOL_LETTERS: usize = 9;

/// A page, and where its text is too long for the smallest panel, another one behind it with the rest.
fn continued(page: HelpPage) -> Vec<HelpPage> {
    let has_symbols = page.symbols != Symbols::default();
    let letters = HELP_LETTERS - if has_symbols { SYMBOL_LETTERS } else { 0 };
    let (mut parts, mut used) = (vec![String::new()], 0);
    for line in page.text.split('\n') {
        let needs = lines_of(line, letters);
        match parts.last_mut() {
            Some(last) if used == 0 || used + needs <= HELP_LINES => {
                if used > 0 {
                    last.push('\n');
                }
                last.push_str(line);
                used += needs;
            }
            _ => {
                parts.push(line.to_owned());
                used = needs;
            }
        }
    }
    let title = page.title.clone();
    let titled = |(i, text): (usize, String)| HelpPage {
        title: match i {
            0 => title.clone(),
            _ => format!("{title} ({})", i + 1).into(),
        },
        text: text.into(),
        ..page.clone()
    };
    parts.into_iter().enumerate().map(titled).collect()
}

fn safety() -> HelpPage {
    page(
        &tr!("Safety"),
        tr!("Gloves and eye protection on. Fresh air.\n\
                 Acid into water, never water into acid; other products as their labels say.\n\
                 Never mix chemicals: acid and hypochlorite make chlorine gas.\n\
                 Rinse the sprayer when the chemical changes.\n\
                 Never point a lance at anyone: the jet goes through skin. A jet wound is an \
                 emergency, however small it looks.\n\
                 The label, the safety data sheet, local rules on drains and trained people \
                 come before this screen."),
    )
}

/// What another sprayer has that must never meet what this one has.
fn never_beside(bay: &Bay) -> Option<HelpPage> {
    let beside = bay.beside_never(&bay.sprayer().id)?;
    Some(page(&tr!("Never mix"), beside_warning(&beside)))
}

/// The hazard statements on the label of the chemical in hand; none where the set-up has none.
fn hazards(bay: &Bay) -> Option<HelpPage> {
    let chemical = bay.chemical();
    let statements = hazard::statements(chemical);
    (!statements.is_empty()).then(|| HelpPage {
        symbols: hazard::symbols(chemical),
        ..page(
            &tr!("Hazards"),
            format!("{}:\n{}", chemical.name, statements.join("\n")),
        )
    })
}

/// What is to be heeded of the chemical in hand.
fn cautions(bay: &Bay) -> HelpPage {
    let chemical = bay.chemical();
    let own = hazard::cautions(chemical).join("\n");
    HelpPage {
        symbols: hazard::symbols(chemical),
        ..page(
            &tr!("Cautions"),
            tr!(
                "{}:\n{}\n\nThe product's own label and safety data sheet come first.",
                &chemical.name,
                own
            ),
        )
    }
}

fn filling(bay: &Bay) -> HelpPage {
    let (first, then) = match bay.chemical().is_water_first() {
        true => (
            tr!("1. Water first: the figure beside it, measured."),
            tr!(
                "2. Then the product into the water: the large figure, in the measure named above it."
            ),
        ),
        false => (
            tr!("1. Measure the product: the large figure, in the measure named above it."),
            tr!("2. Water up to the line."),
        ),
    };
    let rest = tr!("3. Tap Filled: the fill is in the records.\n\
         4. After each vehicle tap Wash done. For ten seconds it can be taken back.\n\
         The strength shown is what the rounded figure puts on the vehicle: the sprayer \
         thins the bottle again with the washer's water.");
    page(&tr!("Filling"), format!("{first}\n{then}\n{rest}"))
}

fn calibrating() -> HelpPage {
    page(
        &tr!("Calibrating"),
        tr!(
            "Run the container dry into a bucket, or for a time that the screen beeps, with clean \
                 water only. What was drawn, divided by all that came out, is the part the sprayer \
                 draws. From that follows every dose. A timed check only sees whether it still does.\n\
                 Calibrate again when the screen says due, and whenever the nozzle, the washer or the \
                 water supply changes: tell the screen under Changed. A figure that is crossed out \
                 no longer applies."
        ),
    )
}

fn keys() -> HelpPage {
    page(
        &tr!("Keys"),
        tr!("A USB number pad or foot switch works too.\n\
                 Enter, space or a pedal: the main thing of the screen. At home it says the fill; \
                 while calibrating it goes on, starts and stops.\n\
                 +  counts a wash, or adds what is typed\n\
                 −  takes back\n\
                 *  takes the next sprayer\n\
                 /  goes back"),
    )
}

fn hearing() -> HelpPage {
    page(
        &tr!("Hearing"),
        tr!(
            "Say it speaks the fill and shows the words meanwhile. Pressed again while it \
                 speaks, it says it slower, with the strength and the ratio in the container.\n\
                 Touching the screen stops it.\n\
                 Sound, above, has the loudness, the language and the loudspeaker.\n\
                 While a run is timed only its countdown is spoken, behind the beeps, as loud as \
                 it can be."
        ),
    )
}

fn beeps() -> HelpPage {
    page(
        &tr!("Beeps"),
        tr!(
            "A volume is a rise of three notes, then its pulses in fives:\n\
                 low and long: 100 ml each\n\
                 high and short: 10 ml each\n\
                 highest and shortest: 1 ml each\n\
                 Two notes down: that was all. What is zero is left out: 590 ml is five low and nine high.\n\
                 The rise alone: look at the screen."
        ),
    )
}

fn signals() -> HelpPage {
    page(
        &tr!("Signals"),
        tr!("What is not a volume has a signal of its own:\n\
                 two notes up: done\n\
                 three notes down: taken back\n\
                 one note twice: a calibration is due\n\
                 to and fro: a calibration is overdue\n\
                 low and falling, twice: no figure, do not fill\n\
                 the rise alone: look at the screen"),
    )
}

/// Shows what keeps the bay from being opened, and the backup that can be brought back.
pub fn show_faults(faults: &Faults, backup: Option<&Restorable>, view: &FaultView) {
    let made = backup.map(|backup| date(backup.made.date_naive()));
    view.set_backup(made.unwrap_or_default().into());
    view.set_title(faults.title.as_str().into());
    view.set_count(
        match faults.faults.len() {
            1 => tr!("1 fault. No figure is shown until it is mended."),
            n => tr!("{} faults. No figure is shown until they are mended.", n),
        }
        .into(),
    );
    let backup = backup.map(|backup| (tr!("The newest backup"), backup_words(backup)));
    let pages = faults
        .faults
        .iter()
        .chain(&backup)
        .flat_map(|(title, text)| {
            in_pages(text)
                .into_iter()
                .map(move |text| page(title, text))
        })
        .collect();
    if let Some(new) = update(view.get_faults(), pages) {
        view.set_faults(new);
    }
}

/// What a backup holds, and what bringing it back does.
fn backup_words(backup: &Restorable) -> String {
    tr!(
        "{}, made {} at {}: {}, {}. Hold \"Restore\" to bring it back. What was done since then is \
         not in it; what is in the folder now is kept aside.",
        &backup.file,
        date(backup.made.date_naive()),
        backup.made.format("%H:%M").to_string(),
        washes(u32::try_from(backup.washes).unwrap_or(u32::MAX)),
        match backup.calibrations {
            1 => tr!("1 calibration"),
            n => tr!("{} calibrations", n),
        }
    )
}

/// Letters that fit on the fault page of the smallest panel.
const PAGE_LETTERS: usize = 160;

/// A text in parts that fit, broken between words.
fn in_pages(text: &str) -> Vec<String> {
    let mut pages = vec![String::new()];
    for word in text.split_whitespace() {
        let full = pages.last().is_some_and(|page| {
            !page.is_empty() && page.chars().count() + 1 + word.chars().count() > PAGE_LETTERS
        });
        if full {
            pages.push(String::new());
        }
        if let Some(page) = pages.last_mut() {
            if !page.is_empty() {
                page.push(' ');
            }
            page.push_str(word);
        }
    }
    pages
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_are_broken_between_words_and_lose_none() {
        let text = "word ".repeat(100);
        let pages = in_pages(&text);
        assert!(pages.len() > 3 && pages.iter().all(|p| p.chars().count() <= PAGE_LETTERS));
        assert_eq!(pages.join(" "), text.trim());
        assert_eq!(in_pages("short"), ["short"]);
    }

    #[test]
    fn a_page_that_is_too_long_goes_on_behind_itself_and_loses_nothing() {
        let lines: Vec<String> = (0..14)
            .map(|i| format!("{i} {}", "word ".repeat(16)))
            .collect();
        let pages = continued(page("Safety", lines.join("\n")));
        let titles: Vec<&str> = pages.iter().map(|page| page.title.as_str()).collect();
        assert_eq!(titles, ["Safety", "Safety (2)", "Safety (3)", "Safety (4)"]);
        let all: Vec<&str> = pages
            .iter()
            .flat_map(|page| page.text.split('\n'))
            .collect();
        assert_eq!(all, lines);
        assert_eq!(continued(page("Keys", "one\ntwo")).len(), 1);
    }
}
