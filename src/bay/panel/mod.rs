//! The panel that the wall runs on: what is wrong with it, told on the glass and on a page of the shift
//! lead's side; and its clock, to be set there.

mod finding;
mod setting;
mod standing;

use super::action::{Effect, Page};
use super::at_work::Bay;
use super::ports::{ClockSetter, Extent, OnlyToLookAt, PanelDoctor, Tone};
use super::ticking::FOLLOWED;
use std::collections::BTreeMap;
use std::time::Duration;

pub use finding::{Finding, State};
pub use setting::{ClockField, Setting};
pub use standing::Standing;

/// How often it is looked whether the touch panel is there, at the disk and the display, and at the
/// card, for which a program is run.
const EVERY: [(Extent, Duration); 3] = [
    (Extent::Inputs, Duration::from_secs(30)),
    (Extent::Disk, Duration::from_secs(30)),
    (Extent::Sound, Duration::from_secs(300)),
];
/// A look that takes longer is not waited for: another may be begun.
const HANGS: Duration = Duration::from_secs(60);
/// What was plugged in is looked for at once, and again after this time: some come up slowly.
const SETTLED: Duration = Duration::from_secs(3);
/// So many things that are good stand on one page. Each that is not has a page of its own.
const TO_A_PAGE: usize = 4;

/// What can be done there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PanelAction {
    /// Something was plugged in or pulled out. Comes from the panel, not from a hand.
    Plugged,
    /// Look at everything again.
    LookAgain,
    /// Turn to the next page of what was found.
    More,
    /// One more or one less of a part of date and time.
    Step(ClockField, bool),
    /// Set the clock to what is chosen. Asked for by a held press only.
    SetClock,
}

/// What is known of the panel, and in hand on its pages.
pub(super) struct PanelSide {
    doctor: Box<dyn PanelDoctor>,
    /// When each was last begun; `None` before the first time.
    begun: BTreeMap<Extent, Duration>,
    /// Looks that were begun and have not answered.
    awaited: BTreeMap<Extent, Duration>,
    /// When something was plugged in or pulled out that is to be looked at once more.
    plugged: Option<Duration>,
    /// The newest finding about each thing.
    seen: BTreeMap<&'static str, Finding>,
    /// A touch panel was there since the start.
    had_touch: bool,
    /// What the page shows: what is wrong first.
    found: Vec<Finding>,
    /// Which page of it, from 0.
    page: usize,
    clock: Box<dyn ClockSetter>,
    setting: Setting,
}

impl Default for PanelSide {
    fn default() -> Self {
        Self {
            doctor: Box::new(OnlyToLookAt),
            begun: BTreeMap::new(),
            awaited: BTreeMap::new(),
            plugged: None,
            seen: BTreeMap::new(),
            had_touch: false,
            found: Vec::new(),
            page: 0,
            clock: Box::new(OnlyToLookAt),
            setting: Setting::default(),
        }
    }
}

impl PanelSide {
    /// Begins a look, where none of that extent is waited for.
    fn begin(&mut self, extent: Extent, now: Duration) {
        let waits = self.awaited.get(&extent);
        if waits.is_some_and(|since| now < *since + HANGS) {
            return;
        }
        self.begun.insert(extent, now);
        self.awaited.insert(extent, now);
        self.doctor.look(extent);
    }

    /// Takes what was found.
    fn take(&mut self, extent: Extent, findings: Vec<Finding>) {
        self.awaited.remove(&extent);
        for finding in &findings {
            self.had_touch |= finding.what == TOUCH && finding.state == State::Good;
            self.seen.insert(finding.what, finding.clone());
        }
        if extent == Extent::All {
            self.found = findings;
            // As the page lists them; what is alike stays in its order.
            self.found.sort_by_key(|finding| match finding.state {
                State::Wrong => 0,
                State::Warn => 1,
                State::Good if !finding.remedy.is_empty() => 2,
                State::Good => 3,
                State::NotHere => 4,
            });
            self.page = 0;
        }
    }

    /// The findings of each page.
    fn pages(&self) -> Vec<&[Finding]> {
        let alone = self.found.iter().take_while(|f| !f.remedy.is_empty());
        let (alone, together) = self.found.split_at(alone.count());
        alone.chunks(1).chain(together.chunks(TO_A_PAGE)).collect()
    }
}

/// The year before which no panel with this program was ever on: a clock that shows less lost its time.
pub const FIRST_YEAR: i32 = 2025;
/// The name under which the touch panel is looked at.
pub const TOUCH: &str = "touch";

impl Bay {
    /// The panel is looked at by this, and its clock set.
    pub fn with_panel(mut self, doctor: Box<dyn PanelDoctor>, clock: Box<dyn ClockSetter>) -> Self {
        self.panel.doctor = doctor;
        self.panel.clock = clock;
        self
    }

    /// The findings on the page that is shown, which page that is, from 1, and of how many.
    pub fn findings(&self) -> (&[Finding], usize, usize) {
        let pages = self.panel.pages();
        let shown = pages.get(self.panel.page).copied().unwrap_or_default();
        (shown, self.panel.page + 1, pages.len().max(1))
    }
    /// How many things are wrong, and how many could be better.
    pub fn panel_faults(&self) -> (usize, usize) {
        let of = |state| self.panel.found.iter().filter(|f| f.state == state).count();
        (of(State::Wrong), of(State::Warn))
    }
    /// True while everything is being looked at.
    pub fn looks_at_the_panel(&self) -> bool {
        self.panel.awaited.contains_key(&Extent::All)
    }

    pub(super) fn panel_act(&mut self, action: PanelAction) -> Vec<Effect> {
        match action {
            PanelAction::Plugged => {
                let now = self.now.monotonic;
                self.panel.plugged = Some(now);
                // One that is under way may have seen what was there before.
                self.panel.awaited.remove(&Extent::Inputs);
                self.panel.begin(Extent::Inputs, now);
                Vec::new()
            }
            PanelAction::LookAgain => {
                self.look_at_everything();
                Vec::new()
            }
            PanelAction::More => {
                self.panel.page = (self.panel.page + 1) % self.panel.pages().len().max(1);
                Vec::new()
            }
            PanelAction::Step(field, up) => self.step_clock(field, up),
            PanelAction::SetClock => self.set_clock(),
        }
    }

    fn look_at_everything(&mut self) {
        self.panel.page = 0;
        self.panel.begin(Extent::All, self.now.monotonic);
    }

    /// Opens one of its pages.
    pub(super) fn panel_open(&mut self, page: Page) -> Vec<Effect> {
        match page {
            Page::Doctor => self.look_at_everything(),
            _ => self.begin_setting(),
        }
        self.turn_to(page);
        Vec::new()
    }

    /// One step back from one of its pages.
    pub(super) fn panel_back(&mut self) -> Vec<Effect> {
        self.show(match self.page {
            Page::SetClock => Page::Clock,
            _ => Page::Panel,
        })
    }

    /// A key of the number pad: none of its pages takes one.
    pub(super) fn panel_pad(&mut self) -> Vec<Effect> {
        vec![Effect::Tone(Tone::Refused)]
    }

    /// How long it is until a look is due, or is to be seen whether one has come to its end.
    pub(super) fn until_a_look(&self) -> Duration {
        let now = self.now.monotonic;
        let waits = |since: &Duration| now < *since + HANGS;
        if self.sets_the_clock() || self.panel.awaited.values().any(waits) {
            return FOLLOWED;
        }
        let left = |at: Duration| at.saturating_sub(now);
        let due = EVERY.iter().map(|(extent, every)| {
            let last = self.panel.begun.get(extent);
            last.map_or(Duration::ZERO, |last| left(*last + *every))
        });
        let settles = self.panel.plugged.map(|plugged| left(plugged + SETTLED));
        due.chain(settles).min().unwrap_or(FOLLOWED).max(FOLLOWED)
    }

    /// Time goes by: what was looked at is taken, and what is due looked at.
    pub(super) fn panel_tick(&mut self) -> Vec<Effect> {
        let now = self.now.monotonic;
        while let Some((extent, findings)) = self.panel.doctor.found() {
            self.panel.take(extent, findings);
        }
        let settled = |plugged: &Duration| now >= *plugged + SETTLED;
        if self.panel.plugged.as_ref().is_some_and(settled) {
            self.panel.plugged = None;
            self.panel.begun.remove(&Extent::Inputs);
        }
        for (extent, every) in EVERY {
            let last = self.panel.begun.get(&extent);
            if last.is_none_or(|last| now >= *last + every) {
                self.panel.begin(extent, now);
            }
        }
        self.follow_setting()
    }
}
