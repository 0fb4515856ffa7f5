//! The first set-up: from an empty screen to the calibration of the first sprayer, one question after
//! another. Each answer is in the file before the next is asked, and so is which one that is.

use super::answer::{self, Beside, Pair};
use super::fields::{Editor, Field, Kind};
use super::half::Half;
use crate::bay::action::{Action, Effect, Page};
use crate::bay::at_work::Bay;
use crate::bay::panel::PanelAction;
use crate::bay::ports::Tone;
use crate::bay::setup::Setup;
use crate::bay::setup_change::{Edit, Place, SETTING_UP, Value};
use crate::text;
use crate::trade::language::Language;
use crate::trade::units::Volume;
use std::collections::BTreeMap;

/// One step of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirstStep {
    /// What this is, what is needed and how long it takes. It is no question, and so has no place among
    /// [`STEPS`].
    Greet,
    /// A field is asked for.
    Ask(Field),
    /// The shift lead's PIN, which may be set later.
    Pin,
    /// Everything once more before it is used.
    Summary,
}

/// All of them. Their places are in the file: new ones only at the end, before the last two.
pub const STEPS: [FirstStep; 19] = {
    use FirstStep::{Ask, Pin, Summary};
    [
        Ask(Field::Language),
        Ask(Field::Units),
        Ask(Field::BayName),
        Ask(Field::SprayerName),
        Ask(Field::SprayerKind),
        Ask(Field::Holds),
        Ask(Field::Nozzle),
        Ask(Field::Washer),
        Ask(Field::Size),
        Ask(Field::Graduation),
        Ask(Field::ChemicalName),
        Ask(Field::Target),
        Ask(Field::Nature),
        Ask(Field::Hazards),
        Ask(Field::Cautions),
        Ask(Field::BandLeast),
        Ask(Field::BandMost),
        Pin,
        Summary,
    ]
};

/// The place of the washer among them.
const WASHER: usize = 7;

/// The places of both ends of what is allowed.
const BAND: [usize; 2] = [15, 16];

/// What is in hand of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in crate::bay) struct FirstRun {
    /// Whoever is there has read what it is, and began.
    pub(super) begun: bool,
    /// The step that is shown, from 0; the one asked next where nobody went back.
    pub(super) at: Option<usize>,
    pub(super) halves: BTreeMap<Field, Half>,
}

/// The place after another one, by what was answered.
fn step_after(at: usize, direct: bool, has_band: bool) -> usize {
    match at + 1 {
        WASHER if direct => WASHER + 1,
        after if after == BAND[1] && !has_band => BAND[1] + 1,
        after => after.min(STEPS.len() - 1),
    }
}

/// The first item of the kind that a field belongs to.
pub(super) fn item_of(field: Field, setup: &Setup) -> Option<Place> {
    let kind = Kind::ALL
        .into_iter()
        .find(|kind| kind.fields().contains(&field))?;
    let (id, _) = kind.items(setup).into_iter().next()?;
    kind.place(&id)
}

impl Bay {
    /// True while the first set-up is not done.
    pub fn is_being_set_up(&self) -> bool {
        self.setup.unfinished.is_some()
    }

    /// The step that is asked next, from 0.
    fn next_first_step(&self) -> usize {
        let step = self.setup.unfinished.unwrap_or(1);
        let next = usize::try_from(step)
            .map_or(0, |n| n.saturating_sub(1))
            .min(STEPS.len() - 1);
        // A file that an earlier version began has not been asked for the weakest.
        match next == BAND[1] && self.first_has_no_band() {
            true => BAND[0],
            false => next,
        }
    }

    /// True while nobody has begun, and where one went back to the beginning.
    fn greets(&self) -> bool {
        !self.editing.first.begun && self.first_place() == 0
    }

    fn first_has_no_band(&self) -> bool {
        self.setup
            .chemicals
            .first()
            .is_some_and(|c| c.band.is_none())
    }

    /// The places of steps that are not asked, by what was answered.
    fn first_skipped(&self) -> impl Iterator<Item = usize> + use<> {
        let washer = self.first_sprayer_is_direct().then_some(WASHER);
        let no_band = self.first_is_answered(Field::BandLeast) && self.first_has_no_band();
        washer.into_iter().chain(no_band.then_some(BAND[1]))
    }

    fn first_place(&self) -> usize {
        let next = self.next_first_step();
        self.editing.first.at.map_or(next, |at| at.min(next))
    }

    /// The step that is shown.
    pub fn first_step(&self) -> FirstStep {
        match self.greets() {
            true => FirstStep::Greet,
            false => STEPS[self.first_place()],
        }
    }

    /// True where a step has been answered; what stands in the file before that is nobody's answer.
    pub(super) fn first_is_answered(&self, field: Field) -> bool {
        let place = STEPS.iter().position(|step| *step == FirstStep::Ask(field));
        place.is_some_and(|place| place < self.next_first_step())
    }

    /// Which page of how many it is, from 1: the first one greets.
    pub fn first_progress(&self) -> (usize, usize) {
        let all = STEPS.len() + 1 - self.first_skipped().count();
        if self.greets() {
            return (1, all);
        }
        let at = self.first_place();
        let before = self.first_skipped().filter(|skipped| *skipped < at).count();
        (at + 2 - before, all)
    }

    fn first_sprayer_is_direct(&self) -> bool {
        self.first_is_answered(Field::SprayerKind)
            && self
                .setup
                .sprayers
                .first()
                .is_some_and(|s| s.kind.is_direct())
    }

    /// What is typed of the step that is shown.
    pub(super) fn first_half(&self) -> Half {
        let FirstStep::Ask(field) = self.first_step() else {
            return Half::Nothing;
        };
        match self.editing.first.halves.get(&field) {
            Some(half) => half.clone(),
            None => self.fresh_first_half(field),
        }
    }

    /// Nothing is there that could be taken for true; what was answered is there to be changed.
    pub(super) fn fresh_first_half(&self, field: Field) -> Half {
        let item = item_of(field, &self.setup);
        if self.first_is_answered(field) {
            return match Half::of(field, &self.setup, item.as_ref()) {
                Half::Text { text, .. } => Half::Text { text, typing: true },
                other => other,
            };
        }
        match field.editor() {
            Editor::Text(_) => Half::Text {
                text: String::new(),
                typing: true,
            },
            Editor::Many => Half::Many(Vec::new()),
            Editor::Lines(_) => Half::Lines {
                lines: Vec::new(),
                open: None,
            },
            // By the units alone, which were answered.
            Editor::Number(_) => Half::of(field, &self.setup, None),
            Editor::One => Half::Nothing,
        }
    }

    /// The same, to be typed on.
    pub(super) fn first_half_mut(&mut self) -> Option<&mut Half> {
        let FirstStep::Ask(field) = self.first_step() else {
            return None;
        };
        let half = self.first_half();
        Some(self.editing.first.halves.entry(field).or_insert(half))
    }

    /// Takes what is typed, and goes on.
    pub(super) fn first_save(&mut self) -> Vec<Effect> {
        match self.first_step() {
            FirstStep::Greet => {
                self.editing.first.begun = true;
                self.drop_words();
                Vec::new()
            }
            FirstStep::Ask(_) if self.first_keeps_its_number() => self.first_pass_on(),
            FirstStep::Ask(field) => {
                let half = self.first_half();
                let item = item_of(field, &self.setup);
                let answers = BTreeMap::new();
                let fresh;
                let beside = Beside {
                    // A size that stands there for nobody's answer says nothing against this one.
                    setup: if self.first_is_answered(field) {
                        &self.setup
                    } else {
                        fresh = self.without_answers_to_come();
                        &fresh
                    },
                    item: item.as_ref(),
                    kind: None,
                    answers: &answers,
                };
                match answer::typed(field, &half, &beside) {
                    Ok(pairs) => self.first_answer(field, pairs),
                    Err(why) => self.refuse_typed(why),
                }
            }
            FirstStep::Pin => self.first_go_on(Vec::new()),
            FirstStep::Summary => self.first_finish(),
        }
    }

    /// The set-up without what only keeps a place in the file.
    fn without_answers_to_come(&self) -> Setup {
        let mut setup = self.setup.clone();
        if !self.first_is_answered(Field::Graduation)
            && let Some(measure) = setup.measures.first_mut()
        {
            measure.graduation = Volume::ml(0.1);
        }
        if !self.first_is_answered(Field::Target)
            && let Some(chemical) = setup.chemicals.first_mut()
        {
            chemical.band = None;
        }
        setup
    }

    /// The bay does without what is asked.
    pub(super) fn first_leave_out(&mut self) -> Vec<Effect> {
        match self.first_step() {
            FirstStep::Ask(field) if field.may_be_missing_at_first() => {
                self.first_answer(field, answer::left_out(field))
            }
            _ => vec![Effect::Tone(Tone::Refused)],
        }
    }

    /// One of a few was picked.
    pub(super) fn first_pick(&mut self, id: &str) -> Vec<Effect> {
        match self.first_step() {
            FirstStep::Greet => match Language::from_code(id) {
                Some(language) => {
                    let effects = self.choose_language(language);
                    self.drop_words();
                    effects
                }
                None => Vec::new(),
            },
            FirstStep::Ask(field) => {
                let effects = self.first_answer(field, answer::picked(field, id));
                match (field, Language::from_code(id)) {
                    // It is shown from the next question on.
                    (Field::Language, Some(language)) => {
                        let mut all = effects;
                        all.extend(self.choose_language(language));
                        self.drop_words();
                        all
                    }
                    _ => effects,
                }
            }
            FirstStep::Pin => self.show(Page::Pin),
            FirstStep::Summary => {
                let place = STEPS
                    .iter()
                    .position(|step| matches!(step, FirstStep::Ask(field) if field.id() == id));
                // The strongest is asked behind the weakest.
                let skipped = |place: &usize| self.first_skipped().any(|of| of == *place);
                self.editing.first.at = match place {
                    Some(place) if place == BAND[1] && skipped(&place) => Some(BAND[0]),
                    place => place,
                };
                Vec::new()
            }
        }
    }

    fn first_answer(&mut self, field: Field, mut pairs: Vec<Pair>) -> Vec<Effect> {
        let text_of = |pairs: &[Pair], key: &str| {
            pairs.iter().find_map(|(k, value)| match value {
                Some(Value::Text(text)) if *k == key => Some(text.clone()),
                _ => None,
            })
        };
        let size = text_of(&pairs, "size").and_then(|size| Volume::parse(&size).ok());
        // A measure is called by its size until somebody calls it otherwise.
        if field == Field::Size
            && let Some(size) = size
        {
            pairs.push(("name", Some(Value::Text(size.shown()))));
            // The lines are asked next: until then they are no more than the size.
            if !self.first_is_answered(Field::Graduation) {
                let line = text_of(&pairs, "size").map(Value::Text);
                pairs.push((
                    "graduation",
                    line.filter(|_| size <= Volume::litres(5.0))
                        .or(Some(Value::Text("1 l".into()))),
                ));
            }
        }
        let item = item_of(field, &self.setup);
        let edits = pairs.into_iter().map(|(key, value)| Edit::Set {
            place: field.place(item.as_ref()),
            key,
            value,
        });
        self.first_go_on(edits.collect())
    }

    /// Saves, and shows the next step.
    fn first_go_on(&mut self, mut edits: Vec<Edit>) -> Vec<Effect> {
        let at = self.first_place();
        let mut next = self.next_first_step();
        let kind = edits.iter().find_map(|edit| match edit {
            Edit::Set {
                key: "kind",
                value: Some(Value::Text(kind)),
                ..
            } => Some(kind.clone()),
            _ => None,
        });
        let direct = match &kind {
            Some(kind) => kind == "direct sprayer",
            None => self.first_sprayer_is_direct(),
        };
        let band = edits.iter().find_map(|edit| match edit {
            Edit::Set {
                key: "band", value, ..
            } => Some(value.is_some()),
            _ => None,
        });
        let (was_direct, had_band) = (self.first_sprayer_is_direct(), !self.first_has_no_band());
        let has_band = band.unwrap_or(had_band);
        let after = step_after(at, direct, has_band);
        next = next.max(after);
        if kind.is_some() && was_direct && !direct {
            // It has a washer now, which nobody named.
            next = WASHER.min(next);
        }
        if at == BAND[0] && has_band && !had_band {
            // It has a strongest now, which nobody named.
            next = BAND[1].min(next);
        }
        let done = self.next_first_step() == STEPS.len() - 1 && next == STEPS.len() - 1;
        edits.push(Edit::Set {
            place: Place::Bay,
            key: SETTING_UP,
            value: i64::try_from(next + 1).ok().map(Value::Whole),
        });
        match self.change_setup(&edits) {
            Ok(_) => {
                // Who changes an answer at the end comes back to the end.
                self.editing.first.at = Some(after).filter(|at| !done && *at < next);
                self.editing.page = 0;
                if let FirstStep::Ask(field) = STEPS[at] {
                    self.editing.first.halves.remove(&field);
                }
                self.drop_words();
                Vec::new()
            }
            Err(effects) => effects,
        }
    }

    /// What was answered stays, and the next step is shown.
    fn first_pass_on(&mut self) -> Vec<Effect> {
        let (next, direct) = (self.next_first_step(), self.first_sprayer_is_direct());
        let after = step_after(self.first_place(), direct, !self.first_has_no_band());
        let is_at_the_end = next == STEPS.len() - 1;
        self.editing.first.at = Some(after).filter(|at| !is_at_the_end && *at < next);
        self.editing.page = 0;
        self.drop_words();
        Vec::new()
    }

    /// True where the step that is shown was answered with a number, or with none, and nothing else is
    /// typed.
    pub(super) fn first_keeps_its_number(&self) -> bool {
        let FirstStep::Ask(field) = self.first_step() else {
            return false;
        };
        let is_empty =
            matches!(self.first_half(), Half::Number { typed, .. } if typed.text().is_empty());
        is_empty && self.first_is_answered(field)
    }

    /// Everything is answered: from now on it is a bay.
    fn first_finish(&mut self) -> Vec<Effect> {
        let edit = Edit::Set {
            place: Place::Bay,
            key: SETTING_UP,
            value: None,
        };
        if let Err(effects) = self.change_setup(&[edit]) {
            return effects;
        }
        self.editing.first = FirstRun::default();
        let direct = self.sprayer().kind.is_direct();
        let effects = self.show(if direct { Page::Fill } else { Page::Ways });
        self.notify(text!("The bay is set up. Calibrate its sprayer now."), None);
        if direct {
            self.drop_words();
        }
        effects
    }

    /// One step back.
    pub(super) fn first_back(&mut self) -> Vec<Effect> {
        let at = self.first_place();
        if at == 0 {
            self.editing.first.begun = false;
            return Vec::new();
        }
        let skipped: Vec<usize> = self.first_skipped().collect();
        let before = (0..at).rev().find(|place| !skipped.contains(place));
        self.editing.first.begun = true;
        self.editing.first.at = before;
        self.editing.page = 0;
        Vec::new()
    }

    /// While the first set-up is not done, nothing is offered, and everything leads back to it.
    pub(in crate::bay) fn keep_to_the_first_run(&mut self) {
        let beside = matches!(
            self.page,
            Page::FirstRun | Page::Pin | Page::Help | Page::Sound
        );
        if self.is_being_set_up() && !beside {
            self.page = Page::FirstRun;
        }
        // Ended by hand, in the file.
        if !self.is_being_set_up() && self.page == Page::FirstRun {
            self.page = Page::Fill;
        }
    }

    /// True for what cannot be done before the first set-up is.
    pub(in crate::bay) fn waits_for_the_first_run(&self, action: &Action) -> bool {
        let may = matches!(
            action,
            Action::Tick
                | Action::Panel(PanelAction::Plugged)
                | Action::Touched
                | Action::TooSoon
                | Action::Show(_)
                | Action::Back
                | Action::Main
                | Action::Undo
                | Action::CloseNotice
                | Action::Pad(_)
                | Action::Type(_)
                | Action::Edit(_)
                | Action::Lead(_)
                | Action::TestSound
                | Action::Louder
                | Action::Softer
                | Action::ChooseLanguage(_)
        );
        self.is_being_set_up() && !may
    }
}
