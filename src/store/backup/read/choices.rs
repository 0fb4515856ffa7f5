//! What operators chose beside the day's chemical.

use super::keys::WASHES;
use super::{Backup, Moment, Section};
use crate::bay::records::Scope;
use crate::store::backup::contents::{Choice, DaySet};

impl Backup<'_> {
    /// All of them, in their places among the settings of the day.
    pub(super) fn choices(&mut self, top: &mut Section<'_>, settings: &[DaySet]) -> Vec<Choice> {
        let for_the_bay = self.choice_for_the_bay(top, settings);
        let each = self.each(top, "choice", |backup, section| {
            backup.choice(section, settings)
        });
        let mut all: Vec<Choice> = for_the_bay.into_iter().chain(each).collect();
        all.sort_by_key(|choice| choice.settings_before);
        all
    }

    fn choice(&mut self, mut section: Section<'_>, settings: &[DaySet]) -> Option<Choice> {
        let at = self.at(&mut section, "at");
        let is_for_one = section.has("sprayer");
        let sprayer = self.optional_sprayer(&mut section, "sprayer");
        let chemical = self.chemical(&mut section, "chemical");
        let told = section.whole(self.reader, "settings_before", WASHES);
        section.finish(self.reader);
        let at = at?;
        Some(Choice {
            at,
            scope: match is_for_one {
                true => Scope::Sprayer(sprayer?),
                false => Scope::Bay,
            },
            chemical: chemical?,
            settings_before: place(told.map(|told| told.value), at, settings),
        })
    }

    /// As earlier versions wrote it: one choice, for the whole bay, at the top of the file.
    fn choice_for_the_bay(&mut self, top: &mut Section<'_>, settings: &[DaySet]) -> Option<Choice> {
        const BOTH: [&str; 2] = ["chosen_chemical", "chosen_chemical_at"];
        let told = top.whole(self.reader, "chosen_chemical_settings_before", WASHES);
        if !BOTH.iter().any(|key| top.has(key)) {
            // Asked for, so that they are known.
            let _ = top.text(self.reader, BOTH[0], "");
            let _ = top.moment(self.reader, BOTH[1]);
            return None;
        }
        let chemical = self.chemical(top, BOTH[0]);
        let at = self.at(top, BOTH[1]);
        let (chemical, at) = chemical.zip(at)?;
        Some(Choice {
            at,
            scope: Scope::Bay,
            chemical,
            settings_before: place(told.map(|told| told.value), at, settings),
        })
    }
}

/// How many of the day's settings came before a choice: as it is told, else by the dates.
fn place(told: Option<u32>, at: Moment, settings: &[DaySet]) -> usize {
    match told {
        // More than there are is after all of them.
        Some(told) => (told as usize).min(settings.len()),
        None => {
            let earlier = settings.iter().rposition(|set| set.at <= at);
            earlier.map_or(0, |last| last + 1)
        }
    }
}
