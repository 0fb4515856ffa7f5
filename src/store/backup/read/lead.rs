//! The shift lead's side: the day's chemical, who got in, and earlier set-ups.

use super::{Backup, Moment, Section};
use crate::bay::records::{DaySetting, LeadAccess, Scope};
use crate::bay::setup_change::{ChangedKey, SetupChange};
use crate::store::backup::contents::{DaySet, KeptSetup};
use crate::store::records::lead;
use crate::trade::days_strength::Allowed;
use crate::trade::units::Unreadable;

impl Backup<'_> {
    pub(super) fn day_setting(&mut self, mut section: Section<'_>) -> Option<DaySet> {
        let at = self.at(&mut section, "at");
        let for_one = section.has("sprayer");
        let sprayer = self.optional_sprayer(&mut section, "sprayer");
        let ended = self.mark(&mut section, "ended");
        let chemical = match ended {
            true => None,
            false => Some(self.chemical(&mut section, "chemical")),
        };
        let strength = self.strength(&mut section);
        let today_only = self.mark(&mut section, "today_only");
        const OUTSIDE: &str = "write \"too-weak\" or \"too-strong\", or leave it out";
        let outside = section.parsed(self.reader, "outside", OUTSIDE, |word| {
            let outside = Allowed::from_word(word).filter(|of| *of != Allowed::Freely);
            outside.ok_or_else(|| Unreadable {
                wrong: format!("no strength is \"{word}\""),
                right: OUTSIDE.into(),
            })
        });
        let beside_never = self.mark(&mut section, "beside_never");
        let taken_back = self.mark(&mut section, "taken_back");
        if ended && section.has("chemical") {
            let found = section.text(self.reader, "chemical", "write the chemical's id in quotes");
            if let Some(found) = found {
                self.reader.at(
                    &found,
                    "chemical and ended are both here, and only one can be meant",
                    "write the chemical that was set, or ended = true where the setting was ended",
                );
            }
        }
        section.finish(self.reader);
        // One that cannot be read must not become a setting of the whole bay.
        if for_one && sprayer.is_none() {
            return None;
        }
        let scope = sprayer.map_or(Scope::Bay, Scope::Sprayer);
        let setting = match chemical {
            None => None,
            Some(chemical) => Some(DaySetting {
                scope: scope.clone(),
                chemical: chemical?,
                strength,
                today_only,
                allowed: outside.map_or(Allowed::Freely, |outside| outside.value),
                beside_never,
            }),
        };
        Some(DaySet {
            at: at?,
            scope,
            setting,
            taken_back,
        })
    }

    pub(super) fn lead_access(&mut self, mut section: Section<'_>) -> Option<(Moment, LeadAccess)> {
        let at = self.at(&mut section, "at");
        let right = format!("write one of \"{}\"", lead::words().join("\", \""));
        let what = section.parsed(self.reader, "what", &right, |word| {
            lead::from_word(word).ok_or_else(|| Unreadable {
                wrong: format!("\"{word}\" does not happen on the shift lead's side"),
                right: right.clone(),
            })
        });
        let what = self.must(&section, "what", what, &right);
        section.finish(self.reader);
        at.zip(what)
    }

    pub(super) fn clock_put_right(&mut self, mut section: Section<'_>) -> Option<(Moment, Moment)> {
        let at = self.at(&mut section, "at");
        let newest = self.at(&mut section, "newest");
        section.finish(self.reader);
        at.zip(newest)
    }

    pub(super) fn earlier_setup(
        &mut self,
        mut section: Section<'_>,
    ) -> Option<(Moment, KeptSetup)> {
        const RIGHT: &str = "write the whole text between ''' and '''";
        let at = self.at(&mut section, "at");
        let keys = self.changed_keys(&mut section);
        let before = section.text(self.reader, "text_before", RIGHT);
        if section.has("changed") {
            section.required(self.reader, "text_before", before.clone(), RIGHT);
        }
        let text = self.text(&mut section, "text");
        section.finish(self.reader);
        let text = text?;
        let kept = match before {
            None => KeptSetup::Found(text),
            Some(before) => KeptSetup::Changed(SetupChange {
                keys,
                text_before: before.value,
                text,
            }),
        };
        Some((at?, kept))
    }

    /// What was changed, as far as it can be read.
    fn changed_keys(&mut self, section: &mut Section<'_>) -> Vec<ChangedKey> {
        const RIGHT: &str = "write each change as { place = \"reminder\", key = \"washes\", \
            before = \"40\", after = \"50\" }";
        let entries = section.entries(self.reader, "changed", RIGHT);
        let mut keys = Vec::new();
        for (place, entry) in (1..).zip(entries.map(|e| e.value).unwrap_or_default()) {
            let Some(mut section) = Section::of_entry(&entry, place) else {
                self.reader
                    .at(&entry, "a change is not written in curly brackets", RIGHT);
                continue;
            };
            let place = self.text(&mut section, "place");
            let mut text = |key| section.text(self.reader, key, RIGHT).map(|t| t.value);
            let (key, before, after) = (text("key"), text("before"), text("after"));
            section.finish(self.reader);
            keys.extend(place.map(|place| ChangedKey {
                place,
                key: key.unwrap_or_default(),
                before,
                after,
            }));
        }
        keys
    }
}
