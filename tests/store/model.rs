//! The records as a list in memory: slow, plain, and what the store must agree with.

use chrono::{DateTime, FixedOffset};
use fillcall::bay::records::{
    CalibrationRecord, Entry, Fill, Happening, LastFill, LeadAccess, Logged, Milestone, Past,
    Placed, SoundChoice, SprayerPast,
};
use std::collections::{BTreeMap, HashSet};

/// Everything that was confirmed, in order.
#[derive(Debug, Default, Clone)]
pub struct Model {
    kept: Vec<(Entry, DateTime<FixedOffset>, Happening)>,
}

impl Model {
    pub fn keep(&mut self, entry: Entry, at: DateTime<FixedOffset>, happening: &Happening) {
        self.kept.push((entry, at, happening.clone()));
    }

    pub fn washes(&self) -> Vec<Entry> {
        self.entries(|h| matches!(h, Happening::Wash { .. }))
    }

    pub fn fills(&self) -> Vec<Entry> {
        let log = self.log(0).into_iter();
        let fills = log.filter(|logged| matches!(logged.what, Happening::Fill(_)));
        fills.map(|logged| logged.entry).collect()
    }

    pub fn last_fill(&self, of: &str) -> Option<LastFill> {
        let mut last = None;
        for logged in self.log(0) {
            match logged.what {
                Happening::Fill(fill) if fill.sprayer == of => {
                    last = Some(LastFill {
                        entry: logged.entry,
                        at: logged.at,
                        fill,
                        used: false,
                    });
                }
                Happening::Wash { sprayer, .. } if sprayer == of => {
                    last = last.map(|last| LastFill { used: true, ..last });
                }
                _ => {}
            }
        }
        last
    }

    /// Calibrations that were not taken back and of which nothing that voids them was told since.
    pub fn calibrations(&self) -> Vec<(Entry, CalibrationRecord)> {
        let undone = self.undone();
        let mut standing: Vec<(Entry, CalibrationRecord)> = Vec::new();
        for (entry, _, happening) in &self.kept {
            match happening {
                Happening::Calibrated(record) if !undone.contains(entry) => {
                    standing.push((*entry, record.clone()));
                }
                Happening::Changed { sprayer, .. } => {
                    standing.retain(|(_, record)| record.sprayer != *sprayer);
                }
                _ => {}
            }
        }
        standing
    }

    /// Numbers of calibrations that were neither taken back nor brought back.
    pub fn calibrations_to_undo(&self) -> Vec<Entry> {
        let back: HashSet<Entry> = self
            .kept
            .iter()
            .filter_map(|(_, _, h)| match h {
                Happening::CalibrationBroughtBack { of, .. } => Some(*of),
                _ => None,
            })
            .collect();
        let mut all = self.entries(|h| matches!(h, Happening::Calibrated(_)));
        all.retain(|entry| !back.contains(entry));
        all
    }

    pub fn rinses(&self) -> Vec<Entry> {
        self.entries(|h| matches!(h, Happening::Rinsed { .. }))
    }

    pub fn days(&self) -> Vec<Entry> {
        self.entries(|h| matches!(h, Happening::DaySet { .. }))
    }

    pub fn stock(&self) -> Vec<Entry> {
        self.entries(|h| matches!(h, Happening::Stock { .. }))
    }

    /// Numbers of happenings of one sort that have not been taken back.
    fn entries(&self, of: impl Fn(&Happening) -> bool) -> Vec<Entry> {
        let undone = self.undone();
        self.kept
            .iter()
            .filter(|(entry, _, h)| of(h) && !undone.contains(entry))
            .map(|(entry, ..)| *entry)
            .collect()
    }

    /// What was added to a mispoured fill has the number behind it.
    fn undone(&self) -> HashSet<Entry> {
        // By what each was taken back.
        let mut taken: BTreeMap<Entry, Entry> = BTreeMap::new();
        let mut with_additions: HashSet<Entry> = HashSet::new();
        for (entry, _, h) in &self.kept {
            let (of, is_fill) = match h {
                Happening::WashUndone(of)
                | Happening::CalibrationUndone(of)
                | Happening::RinseUndone(of)
                | Happening::DayUndone(of)
                | Happening::StockUndone(of) => (*of, false),
                Happening::FillUndone(of) => (*of, true),
                Happening::Mispoured {
                    instead_of, added, ..
                } => {
                    if added.is_some() {
                        with_additions.insert(*entry);
                    }
                    match instead_of {
                        Some(of) => (*of, true),
                        None => continue,
                    }
                }
                _ => continue,
            };
            taken.insert(of, *entry);
            if is_fill && with_additions.contains(&of) {
                taken.entry(of + 1).or_insert(*entry);
            }
            if let Happening::FillUndone(of) = h {
                taken.retain(|_, by| by != of);
            }
        }
        taken.into_keys().collect()
    }

    /// The fills of a happening, with their numbers.
    fn fills_of(entry: Entry, what: &Happening) -> Vec<(Entry, Fill)> {
        match what {
            Happening::Fill(fill) => vec![(entry, fill.clone())],
            Happening::Mispoured { fill, added, .. } => {
                let fills = std::iter::once(fill).chain(added).cloned();
                (entry..).zip(fills).collect()
            }
            _ => Vec::new(),
        }
    }

    pub fn past(&self) -> Past {
        let mut past = Past::default();
        let undone = self.undone();
        // A calibration rinses nothing out of a sprayer, but leaves nothing of the mix: true.
        let mut in_them: BTreeMap<String, (String, bool)> = BTreeMap::new();
        for (entry, at, happening) in &self.kept {
            let mut dates = vec![*at];
            let stands = !undone.contains(entry);
            match happening {
                Happening::Wash { sprayer, .. } => {
                    let of = past.sprayers.entry(sprayer.clone()).or_default();
                    of.washes_since += u32::from(!undone.contains(entry));
                }
                Happening::Calibrated(record) if !stands => {
                    dates.push(record.taken);
                    past.draft = None;
                }
                Happening::Calibrated(record) => {
                    dates.push(record.taken);
                    if let Some((_, run_out)) = in_them.get_mut(&record.sprayer) {
                        *run_out = true;
                    }
                    past.draft = None;
                    let new = SprayerPast {
                        calibration: Some(record.clone()),
                        ..SprayerPast::default()
                    };
                    past.sprayers.insert(record.sprayer.clone(), new);
                    if record.calibration.count() > 1 {
                        let runs = record.calibration.runs();
                        let each = runs.map(|r| r.draw_fraction().expect("one").as_fraction());
                        past.repeats.push(each.collect());
                    }
                }
                Happening::CalibrationBroughtBack { of, record } => {
                    let sprayer = record.sprayer.clone();
                    let since = self.kept.iter().filter(|(wash, _, h)| {
                        let own =
                            matches!(h, Happening::Wash { sprayer: by, .. } if *by == sprayer);
                        own && wash > of && wash < entry && !undone.contains(wash)
                    });
                    let new = SprayerPast {
                        calibration: Some((**record).clone()),
                        washes_since: since.count() as u32,
                        ..SprayerPast::default()
                    };
                    past.sprayers.insert(sprayer, new);
                }
                Happening::CalibrationUndone(_) => {}
                Happening::Changed { sprayer, what } => {
                    let of = past.sprayers.entry(sprayer.clone()).or_default();
                    of.void = Some(*what);
                    of.check = None;
                    of.corrections.clear();
                }
                Happening::PutOff { sprayer, put_off } => {
                    past.sprayers.entry(sprayer.clone()).or_default().put_off = *put_off;
                }
                Happening::RunThrownAway(_) => past.draft = None,
                Happening::RunDropped { draft, .. } => past.draft = Some((**draft).clone()),
                Happening::Drafted(draft) => past.draft = Some(draft.clone()),
                Happening::SprayerChosen(id) => past.last_sprayer = Some(id.clone()),
                Happening::ChemicalChosen { scope, chemical } => {
                    let chosen = placed(*entry, *at, chemical.clone());
                    past.chosen_chemicals.insert(scope.clone(), chosen);
                }
                Happening::SoundChosen(choice) => match choice.clone() {
                    SoundChoice::Volume(percent) => past.volume_percent = Some(percent),
                    SoundChoice::Language(language) => past.language = Some(language),
                    SoundChoice::Loudspeaker(name) => past.loudspeaker = name,
                },
                Happening::Checked(record) => {
                    dates.push(record.at);
                    if record.mix.is_none() {
                        let of = past.sprayers.entry(record.sprayer.clone()).or_default();
                        of.check = Some(record.clone());
                    }
                }
                Happening::Corrected {
                    sprayer,
                    chemical,
                    factor,
                } => {
                    let of = past.sprayers.entry(sprayer.clone()).or_default();
                    match factor {
                        Some(factor) => of.corrections.insert(chemical.clone(), *factor),
                        None => of.corrections.remove(chemical),
                    };
                }
                Happening::Fill(_) | Happening::Mispoured { .. } => {
                    for (entry, fill) in Self::fills_of(*entry, happening) {
                        if !undone.contains(&entry) {
                            past.last_fills.insert(fill.chemical.clone(), *at);
                            in_them.insert(fill.sprayer, (fill.chemical, false));
                        }
                    }
                }
                Happening::Rinsed { sprayer } if stands => {
                    in_them.remove(sprayer);
                }
                Happening::DaySet { scope, setting } if stands => {
                    match setting {
                        Some(setting) => {
                            let setting = placed(*entry, *at, setting.clone());
                            past.day.insert(scope.clone(), setting)
                        }
                        None => past.day.remove(scope),
                    };
                }
                Happening::Lead(LeadAccess::Refused) => past.wrong_pins += 1,
                Happening::Lead(LeadAccess::Left) => {}
                Happening::Lead(_) => past.wrong_pins = 0,
                Happening::ClockPutRight { .. } => past.clock_right = Some(*at),
                Happening::Rinsed { .. }
                | Happening::FillUndone(_)
                | Happening::WashUndone(_)
                | Happening::RinseUndone(_)
                | Happening::DaySet { .. }
                | Happening::DayUndone(_)
                | Happening::SetupChanged(_)
                | Happening::SetupFound(_)
                | Happening::Stock { .. }
                | Happening::StockUndone(_) => {}
            }
            past.newest = match happening {
                Happening::ClockPutRight { .. } => Some(*at),
                _ => dates.into_iter().chain(past.newest).max(),
            };
        }
        for (sprayer, (chemical, run_out)) in in_them {
            let of = past.sprayers.entry(sprayer).or_default();
            (of.in_it, of.run_out) = (Some(chemical), run_out);
        }
        past.sprayers.retain(|_, of| *of != SprayerPast::default());
        past
    }

    /// True where the clock was put right after an entry at a date before `since`: if that has such a
    /// date, it is not believed.
    pub fn disowned(&self, of: Entry, since: DateTime<FixedOffset>) -> bool {
        self.kept.iter().any(|(entry, at, what)| {
            matches!(what, Happening::ClockPutRight { .. }) && *entry > of && *at < since
        })
    }

    /// What the log must tell, from that number on.
    pub fn log(&self, from: Entry) -> Vec<Logged> {
        let undone = self.undone();
        let told = |h: &Happening| {
            matches!(
                h,
                Happening::Wash { .. }
                    | Happening::Calibrated(_)
                    | Happening::CalibrationBroughtBack { .. }
                    | Happening::Changed { .. }
                    | Happening::PutOff { .. }
                    | Happening::DaySet { .. }
                    | Happening::Rinsed { .. }
                    | Happening::Lead(_)
                    | Happening::ClockPutRight { .. }
                    | Happening::SetupChanged(_)
                    | Happening::Stock { .. }
            )
        };
        let each = self.kept.iter().flat_map(|(entry, at, what)| {
            let fills = Self::fills_of(*entry, what).into_iter();
            let fills = fills.map(|(entry, fill)| (entry, Happening::Fill(fill)));
            let other = told(what).then(|| (*entry, what.clone()));
            fills.chain(other).map(|(entry, what)| Logged {
                entry,
                at: *at,
                what,
                times: 1,
            })
        });
        each.filter(|logged| logged.entry >= from && !undone.contains(&logged.entry))
            .collect()
    }

    pub fn history(&self, of: &str) -> Vec<Milestone> {
        let mut history = Vec::new();
        let undone = self.undone();
        // The calibration that counts.
        let mut counts = None;
        for (entry, at, happening) in &self.kept {
            match happening {
                Happening::Calibrated(record)
                    if record.sprayer == of && !undone.contains(entry) =>
                {
                    counts = Some(*entry);
                    history.push(Milestone::Calibrated {
                        entry: *entry,
                        record: Box::new(record.clone()),
                        washes: 0,
                    });
                }
                Happening::CalibrationBroughtBack {
                    of: earlier,
                    record,
                } if record.sprayer == of => {
                    counts = Some(*earlier);
                    history.push(Milestone::BroughtBack {
                        of: *earlier,
                        at: *at,
                    });
                }
                Happening::Changed { sprayer, what } if sprayer == of => {
                    history.push(Milestone::Changed {
                        what: *what,
                        at: *at,
                    });
                }
                Happening::Wash { sprayer, .. } if sprayer == of && !undone.contains(entry) => {
                    let newest = history.iter_mut().find_map(|milestone| match milestone {
                        Milestone::Calibrated { entry, washes, .. } if Some(*entry) == counts => {
                            Some(washes)
                        }
                        _ => None,
                    });
                    // Those before the first calibration belong to none.
                    if let Some(washes) = newest {
                        *washes += 1;
                    }
                }
                _ => {}
            }
        }
        history
    }
}

fn placed<T>(entry: Entry, at: DateTime<FixedOffset>, what: T) -> Placed<T> {
    Placed { entry, at, what }
}
