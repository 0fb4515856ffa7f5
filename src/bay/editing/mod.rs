//! Changing the set-up at the screen, and the first set-up.
//!
//! One small engine for all of it: kinds of things, their items, an item's fields, and one editor for
//! each kind of value. What can be changed stands in `fields`; nothing else knows all fields by name.

pub(crate) mod answer;
mod changes;
pub(crate) mod fields;
mod first_run;
pub(crate) mod half;
mod ids;
mod in_the_way;
mod options;
mod present;
mod resuming;
mod saving;
mod scene;
mod taking_in;
mod task;
mod told;

use super::action::{Action, Effect, PadKey, Page, TextKey};
use super::at_work::Bay;
use super::ports::Tone;
use super::records::Entry;
use super::setup::Setup;
use super::setup_change::Place;
use crate::trade::text::Text;
use answer::Beside;
pub use changes::Changed;
use fields::{Editor, Field, Kind, kind_of};
use first_run::FirstRun;
pub use first_run::FirstStep;
use half::{Half, OpenLine};
pub(super) use resuming::FirstRunPlace;
pub use scene::{CHANGES_A_PAGE, SaveWord, Scene, Shape, Tile};
use task::{Target, Task};

/// Picks what is not there yet.
const ADD: &str = "+";
/// Takes an item out.
const REMOVE: &str = "-";
/// Picks that there is none.
const NONE: &str = "0";

/// What can be done there.
#[derive(Debug, Clone, PartialEq)]
pub enum EditAction {
    /// The tile with this id.
    Pick(String),
    /// The next page of tiles.
    More,
    /// Take what is typed or picked.
    Save,
    /// Take the number for the other unit of its kind.
    SwitchUnit,
    /// The bay does without this field.
    LeaveOut,
    /// On the page of the panel: change how the glass rests.
    Glass,
    /// Take this change back, of those that are shown. Asked for by a held press only.
    TakeBack(Entry),
}

/// What is shown of the set-up.
#[derive(Debug, Clone, PartialEq, Default)]
enum Stage {
    /// What there is to change.
    #[default]
    Kinds,
    /// The items of a kind.
    Items(Kind),
    /// The fields of what there is one of.
    Single(Kind),
    /// The fields of an item.
    Item(Place),
    /// The field that the task asks for.
    Asking,
}

/// What is in hand there.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Editing {
    stage: Stage,
    /// The page of tiles, from 0.
    page: usize,
    /// The same of the fields, to come back to.
    page_of_fields: usize,
    /// What is half typed; it stays when its field is left, until another one is opened.
    task: Option<Task>,
    changes: Vec<Changed>,
    changes_page: usize,
    first: FirstRun,
    wants_reopening: bool,
}

impl Editing {
    /// Leaves what is no longer there.
    fn sanitise(&mut self, setup: &Setup) {
        let is_gone = |item: &Place| present::name(setup, item).is_none();
        if self.task.as_ref().and_then(Task::item).is_some_and(is_gone) {
            self.task = None;
            if self.stage == Stage::Asking {
                self.stage = Stage::Kinds;
            }
        }
        if let Stage::Item(item) = &self.stage
            && is_gone(item)
        {
            self.stage = kind_of(item).map_or(Stage::Kinds, Stage::Items);
            self.page = 0;
        }
    }
}

impl Bay {
    pub(super) fn editing_act(&mut self, action: EditAction) -> Vec<Effect> {
        match (self.page, action) {
            (Page::Panel, EditAction::Glass) => {
                self.editing.stage = Stage::Single(Kind::Glass);
                self.editing.page = 0;
                self.turn_to(Page::Edit);
                Vec::new()
            }
            (Page::Changes, EditAction::TakeBack(entry)) => self.take_change_back(entry),
            (Page::Changes, EditAction::More) => {
                let pages = self.editing.changes.len().div_ceil(CHANGES_A_PAGE).max(1);
                self.editing.changes_page = (self.editing.changes_page + 1) % pages;
                Vec::new()
            }
            (Page::Edit | Page::FirstRun, EditAction::More) => {
                let pages = self.edit_scene().pages.max(1);
                self.editing.page = (self.editing.page + 1) % pages;
                Vec::new()
            }
            (Page::Edit, EditAction::Pick(id)) => self.pick(&id),
            (Page::Edit, EditAction::Save) => self.save_typed(),
            (Page::Edit, EditAction::LeaveOut) => self.leave_out(),
            (Page::FirstRun, EditAction::Pick(id)) => match self.pick_in_half(&id) {
                true => Vec::new(),
                false => self.first_pick(&id),
            },
            (Page::FirstRun, EditAction::LeaveOut) => self.first_leave_out(),
            (Page::FirstRun, EditAction::Save) => match self.close_line() {
                true => Vec::new(),
                false => self.first_save(),
            },
            (Page::Edit | Page::FirstRun, EditAction::SwitchUnit) => {
                match self.half_in_hand().is_some_and(Half::switch_unit) {
                    true => Vec::new(),
                    false => vec![Effect::Tone(Tone::Refused)],
                }
            }
            _ => vec![Effect::Tone(Tone::Refused)],
        }
    }

    /// Opens one of its pages.
    pub(super) fn editing_open(&mut self, page: Page) -> Vec<Effect> {
        match page {
            Page::Changes => self.open_changes(),
            Page::FirstRun if !self.is_being_set_up() => self.show(Page::Fill),
            page => {
                // One is where one was.
                self.turn_to(page);
                Vec::new()
            }
        }
    }

    /// One step back from one of its pages.
    pub(super) fn editing_back(&mut self) -> Vec<Effect> {
        if self.page == Page::Changes {
            return self.show(Page::Lead);
        }
        if self.leave_line() {
            return Vec::new();
        }
        if self.page == Page::FirstRun {
            return self.first_back();
        }
        let stage = match (&self.editing.stage, &mut self.editing.task) {
            (Stage::Kinds, _) => return self.show(Page::Lead),
            (Stage::Single(Kind::Glass), _) => {
                self.editing.stage = Stage::Kinds;
                return self.show(Page::Panel);
            }
            (Stage::Items(_) | Stage::Single(_), _) => Stage::Kinds,
            (Stage::Item(item), _) => kind_of(item).map_or(Stage::Kinds, Stage::Items),
            (Stage::Asking, Some(task)) if task.at > 0 => {
                task.at -= 1;
                self.editing.page = 0;
                return Vec::new();
            }
            (Stage::Asking, task) => match task.as_ref().map(|task| &task.target) {
                Some(Target::Item(item)) => Stage::Item(item.clone()),
                Some(Target::Single(kind)) => Stage::Single(*kind),
                Some(Target::New(kind)) => Stage::Items(*kind),
                None => Stage::Kinds,
            },
        };
        self.editing.page = match stage {
            Stage::Item(_) | Stage::Single(_) => self.editing.page_of_fields,
            _ => 0,
        };
        self.editing.stage = stage;
        Vec::new()
    }

    /// A key of the number pad on one of its pages.
    pub(super) fn editing_pad(&mut self, key: PadKey) -> Vec<Effect> {
        match self.half_in_hand().is_some_and(|half| half.digit(key)) {
            true => {
                self.drop_words();
                Vec::new()
            }
            false => vec![Effect::Tone(Tone::Refused)],
        }
    }

    /// A key of the letters on one of its pages.
    pub(super) fn editing_type(&mut self, key: TextKey) -> Vec<Effect> {
        let longest = self
            .field_in_hand()
            .map_or(0, |field| match field.editor() {
                Editor::Text(longest) | Editor::Lines(longest) => longest,
                _ => 0,
            });
        match self
            .half_in_hand()
            .is_some_and(|half| half.letter(key, longest))
        {
            true => {
                self.drop_words();
                Vec::new()
            }
            false => vec![Effect::Tone(Tone::Refused)],
        }
    }

    /// The main thing of one of its pages: the Enter key, or a foot switch.
    pub(super) fn editing_main(&mut self) -> Vec<Effect> {
        match self.page != Page::Changes && self.edit_scene().may_save {
            true => self.act_again(Action::Edit(EditAction::Save)),
            false => Vec::new(),
        }
    }

    /// True where letters are typed: every key of a keyboard is one then.
    pub fn types_letters(&self) -> bool {
        self.is_editing() && self.edit_scene().shape == Shape::Letters
    }
    /// True where a number of the set-up is typed.
    pub fn types_a_setup_number(&self) -> bool {
        self.is_editing() && self.edit_scene().shape == Shape::Number
    }
    fn is_editing(&self) -> bool {
        matches!(self.page, Page::Edit | Page::FirstRun)
    }

    fn field_in_hand(&self) -> Option<Field> {
        match (self.page, &self.editing.stage, &self.editing.task) {
            (Page::FirstRun, ..) => match self.first_step() {
                FirstStep::Ask(field) => Some(field),
                FirstStep::Greet | FirstStep::Pin | FirstStep::Summary => None,
            },
            (Page::Edit, Stage::Asking, Some(task)) => Some(task.field()),
            _ => None,
        }
    }

    fn half_in_hand(&mut self) -> Option<&mut Half> {
        match (self.page, &self.editing.stage) {
            (Page::FirstRun, _) => self.first_half_mut(),
            (Page::Edit, Stage::Asking) => self.editing.task.as_mut().map(Task::half_mut),
            _ => None,
        }
    }

    fn pick(&mut self, id: &str) -> Vec<Effect> {
        match self.editing.stage.clone() {
            Stage::Kinds => {
                let kind = Kind::ALL.into_iter().find(|kind| format!("{kind:?}") == id);
                if let Some(kind) = kind {
                    self.editing.page = 0;
                    self.editing.stage = match kind.has_items() {
                        true => Stage::Items(kind),
                        false => Stage::Single(kind),
                    };
                }
                Vec::new()
            }
            Stage::Items(kind) if id == ADD => {
                self.ask(Target::New(kind), kind.asked_of_new().to_vec());
                Vec::new()
            }
            Stage::Items(kind) => {
                if let Some(item) = kind.place(id) {
                    self.editing.page = 0;
                    self.editing.stage = Stage::Item(item);
                }
                Vec::new()
            }
            Stage::Item(item) if id == REMOVE => self.remove(&item),
            Stage::Item(item) => self.open_field(Target::Item(item), id),
            Stage::Single(kind) => self.open_field(Target::Single(kind), id),
            Stage::Asking => self.pick_in_task(id),
        }
    }

    fn open_field(&mut self, target: Target, id: &str) -> Vec<Effect> {
        if let Some(field) = Field::from_id(id) {
            self.editing.page_of_fields = self.editing.page;
            self.ask(target, vec![field]);
        }
        Vec::new()
    }

    /// Begins to ask, or goes on where the same was half typed.
    fn ask(&mut self, target: Target, steps: Vec<Field>) {
        let same = |task: &Task| task.target == target && task.steps.first() == steps.first();
        if !self.editing.task.as_ref().is_some_and(same) {
            self.editing.task = Some(Task::new(target, steps));
        }
        if let Some(task) = &mut self.editing.task {
            task.open(&self.setup);
        }
        self.editing.page = 0;
        self.editing.stage = Stage::Asking;
    }

    fn pick_in_task(&mut self, id: &str) -> Vec<Effect> {
        if self.pick_in_half(id) {
            return Vec::new();
        }
        let Some(field) = self.field_in_hand() else {
            return Vec::new();
        };
        if id == NONE && field.may_be_left_out() {
            return self.leave_out();
        }
        self.answer(answer::picked(field, id))
    }

    /// A tile that only changes what is half typed. False where it is an answer.
    fn pick_in_half(&mut self, id: &str) -> bool {
        match self.half_in_hand() {
            Some(Half::Text { typing, .. }) if id == ADD => {
                *typing = true;
                true
            }
            Some(Half::Many(picked)) => {
                match picked.iter().position(|own| own == id) {
                    Some(at) => {
                        picked.remove(at);
                    }
                    None => picked.push(id.into()),
                }
                true
            }
            Some(Half::Lines { lines, open }) => {
                let at: Option<usize> = id.parse().ok().filter(|at| *at < lines.len());
                if at.is_some() || id == ADD {
                    let text = at.map_or(String::new(), |at| lines[at].clone());
                    *open = Some(OpenLine { at, text });
                }
                true
            }
            _ => false,
        }
    }

    /// The line that is typed is done: one that was emptied goes. False where none was typed.
    fn close_line(&mut self) -> bool {
        let Some(Half::Lines { lines, open }) = self.half_in_hand() else {
            return false;
        };
        let Some(line) = open.take() else {
            return false;
        };
        let text = line.text.trim().to_owned();
        match (line.at, text.is_empty()) {
            (Some(at), true) if at < lines.len() => {
                lines.remove(at);
            }
            (Some(at), false) if at < lines.len() => lines[at] = text,
            (None, false) => lines.push(text),
            _ => {}
        }
        self.editing.page = 0;
        true
    }

    /// Leaves the letters by the way back; false where there is nothing to leave but the field.
    fn leave_line(&mut self) -> bool {
        if self.close_line() {
            return true;
        }
        let knows_some = self
            .field_in_hand()
            .is_some_and(|field| !field.known(&self.setup).is_empty());
        let asks_first = self.page == Page::FirstRun;
        match self.half_in_hand() {
            Some(Half::Text { typing, .. }) if *typing && knows_some && !asks_first => {
                *typing = false;
                true
            }
            _ => false,
        }
    }

    fn save_typed(&mut self) -> Vec<Effect> {
        if self.close_line() {
            return Vec::new();
        }
        let Some(task) = self
            .editing
            .task
            .as_ref()
            .filter(|_| self.editing.stage == Stage::Asking)
        else {
            return Vec::new();
        };
        let beside = Beside {
            setup: &self.setup,
            item: task.item(),
            kind: match &task.target {
                Target::New(kind) => Some(*kind),
                _ => None,
            },
            answers: &task.answers,
        };
        match answer::typed(task.field(), task.half(), &beside) {
            Ok(pairs) => self.answer(pairs),
            Err(why) => self.refuse_typed(why),
        }
    }

    /// Says why what is typed cannot be.
    pub(super) fn refuse_typed(&mut self, why: Text) -> Vec<Effect> {
        if let Some(half) = self.half_in_hand() {
            half.refuse();
        }
        self.refuse(why)
    }

    fn leave_out(&mut self) -> Vec<Effect> {
        match self.field_in_hand() {
            Some(field) if field.may_be_left_out() => self.answer(answer::left_out(field)),
            _ => vec![Effect::Tone(Tone::Refused)],
        }
    }

    fn answer(&mut self, pairs: Vec<answer::Pair>) -> Vec<Effect> {
        self.editing.page = 0;
        let Some(task) = &mut self.editing.task else {
            return Vec::new();
        };
        match task.answer(pairs, &self.setup) {
            true => {
                self.drop_words();
                Vec::new()
            }
            false => self.save_task(),
        }
    }
}
