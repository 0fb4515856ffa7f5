//! From the text of a backup to contents, with every mistake at its line.

mod calibrations;
mod checks;
mod choices;
mod drafts;
mod fills;
mod happenings;
mod keys;
mod lead;
mod runs;
mod sound;

use super::contents::{Change, Contents, KeptCalibration, Moment};
use crate::bay::setup::Setup;
use crate::store::fault::SetupFault;
use crate::store::setup_file;
use crate::store::toml_text::{self, Found, MOMENT, Reader, Section, hidden};
use crate::trade::letters::hiding;
use crate::trade::reminder::VoidCause;
use crate::trade::units::Volume;
use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

/// More than any bay measures, in ml.
const ML: std::ops::RangeInclusive<f64> = 0.0..=999_999_999.0;

/// Reads the whole file.
pub(super) fn contents(text: &str) -> Result<(Contents, Setup), Vec<SetupFault>> {
    let mut reader = Reader::new(text);
    let read = toml_text::parse(text, &mut reader).and_then(|document| {
        let top = Section::top(document.as_table());
        Backup::new(&mut reader, text).read(top)
    });
    match read {
        Some(read) if reader.is_clean() => Ok(read),
        _ => Err(reader.into_faults()),
    }
}

/// The sprayers of which something can have come to an end.
fn outlived(calibrations: &[Found<KeptCalibration>], changes: &[Change]) -> BTreeSet<String> {
    let calibrated = calibrations.iter().map(|c| &c.value.record.sprayer);
    let changed = changes.iter().map(|c| &c.sprayer);
    calibrated.chain(changed).cloned().collect()
}

/// A backup being read: what its entries are checked against.
struct Backup<'r> {
    reader: &'r mut Reader,
    text: &'r str,
    /// Ids that may stand in it; `None` where the set-up cannot be read, so that nobody can say.
    sprayers: Option<BTreeSet<String>>,
    chemicals: Option<BTreeSet<String>>,
    /// False once a calibration could not be read: what refers to one may then be right.
    calibrations_read: bool,
    /// The same for the changes.
    changes_read: bool,
    /// The same for the fills.
    fills_read: bool,
}

impl<'r> Backup<'r> {
    fn new(reader: &'r mut Reader, text: &'r str) -> Self {
        Self {
            reader,
            text,
            sprayers: None,
            chemicals: None,
            calibrations_read: true,
            changes_read: true,
            fills_read: true,
        }
    }

    fn read(mut self, mut top: Section<'_>) -> Option<(Contents, Setup)> {
        self.format(&mut top);
        let made = top.moment(self.reader, "made");
        let made = top.required(self.reader, "made", made, MOMENT);
        let newest = top.moment(self.reader, "newest");
        let former_sprayers = self.former(&mut top, "former_sprayers");
        let former_chemicals = self.former(&mut top, "former_chemicals");
        let setup = self.setup(&mut top);
        if let Some((_, setup)) = &setup {
            let ids = setup.sprayers.iter().map(|s| s.id.clone());
            self.sprayers = Some(ids.chain(former_sprayers.iter().cloned()).collect());
            let ids = setup.chemicals.iter().map(|c| c.id.clone());
            self.chemicals = Some(ids.chain(former_chemicals.iter().cloned()).collect());
        }
        let last_sprayer = self.optional_sprayer(&mut top, "last_sprayer");
        let sound = self.sound(&mut top);
        let draft = top
            .section(self.reader, "draft", false)
            .map(|section| self.draft(section, false));
        let before = self.reader.count();
        let fills = self.each(&mut top, "fill", Self::fill);
        self.fills_read = self.reader.count() == before;
        let calibrations = self.calibrations(&mut top, made.as_ref(), &fills);
        let brought_back = self.brought_back(&mut top, &calibrations, &fills);
        let wash_counts = self.wash_counts(&mut top);
        let rinses = self.rinses(&mut top, &fills);
        let stock = self.stock(&mut top, &fills);
        let day_settings = self.each(&mut top, "day_setting", Self::day_setting);
        let choices = self.choices(&mut top, &day_settings);
        let lead = self.each(&mut top, "lead_access", Self::lead_access);
        let clocks = self.each(&mut top, "clock_put_right", Self::clock_put_right);
        let changes = self.changes(&mut top, &calibrations);
        let put_offs = self.put_offs(&mut top, &calibrations);
        let outlived = outlived(&calibrations, &changes);
        let checks = self.each(&mut top, "check", |b, s| b.check(s, &outlived));
        let corrections = self.each(&mut top, "correction", |b, s| b.correction(s, &outlived));
        let thrown_away = self.each(&mut top, "thrown_away_run", |backup, section| {
            backup.draft(section, true)
        });
        let setup_changes = self.each(&mut top, "earlier_setup", Self::earlier_setup);
        top.finish(self.reader);
        let (setup_text, setup) = setup?;
        let contents = Contents {
            made: made?.value,
            newest: newest.map(|n| n.value),
            setup: setup_text,
            former_sprayers,
            former_chemicals,
            last_sprayer,
            choices,
            sound,
            draft: draft.flatten().map(|(_, run)| run),
            calibrations: calibrations.into_iter().map(|c| c.value).collect(),
            brought_back,
            wash_counts,
            fills,
            changes,
            put_offs,
            checks,
            corrections,
            thrown_away: thrown_away
                .into_iter()
                .filter_map(|(at, run)| Some((at?, run)))
                .collect(),
            rinses,
            stock,
            day_settings,
            lead,
            clocks,
            setup_changes,
        };
        Some((contents, setup))
    }

    fn format(&mut self, top: &mut Section<'_>) {
        const RIGHT: &str = "format = 1 must stand above everything else";
        let format = top.whole(self.reader, "format", 1..=u32::MAX);
        let format = top.required(self.reader, "format", format, RIGHT);
        if let Some(newer) = format.filter(|f| f.value != 1) {
            self.reader.at(
                &newer,
                format!("format {} is not known to this fillcall", newer.value),
                "restore it with the fillcall that wrote it, or a newer one",
            );
        }
    }

    /// The text of `bay.toml` and what it says. Its mistakes are told at their lines of this file.
    fn setup(&mut self, top: &mut Section<'_>) -> Option<(String, Setup)> {
        const RIGHT: &str = "write the whole text of bay.toml between ''' and '''";
        let found = top.text(self.reader, "setup", RIGHT);
        let found = top.required(self.reader, "setup", found, RIGHT)?;
        match setup_file::read(&found.value) {
            Ok(setup) => Some((found.value, setup)),
            Err(faults) => {
                // A line break just behind the three quotes is not part of the text.
                let opening = self.text.lines().nth(found.line - 1).unwrap_or_default();
                let opening = opening.trim_end();
                let below = opening.ends_with("'''") || opening.ends_with("\"\"\"");
                let above = found.line - usize::from(!below);
                for fault in faults {
                    self.reader.fault(
                        above + fault.line,
                        format!("setup: {}", fault.key),
                        fault.wrong,
                        fault.right,
                    );
                }
                None
            }
        }
    }

    fn former(&mut self, top: &mut Section<'_>, key: &'static str) -> Vec<String> {
        const RIGHT: &str = "write the ids in quotes, such as [\"lance-9\"]";
        let ids = top.list(self.reader, key, RIGHT, |value| {
            let id = value.as_str().ok_or("an id is not a text in quotes")?;
            match hiding(id) {
                Some(sign) => Err(format!("an id: {}", hidden(sign))),
                None => Ok(id.to_owned()),
            }
        });
        let ids = ids.map(|ids| ids.value).unwrap_or_default();
        ids.into_iter().map(|id| id.value).collect()
    }

    /// Every `[[key]]`, as far as it can be read.
    fn each<T>(
        &mut self,
        top: &mut Section<'_>,
        key: &'static str,
        read: impl Fn(&mut Self, Section<'_>) -> Option<T>,
    ) -> Vec<T> {
        let sections = top.sections(self.reader, key, false);
        sections.into_iter().filter_map(|s| read(self, s)).collect()
    }
}
