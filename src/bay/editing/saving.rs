//! Changes of the set-up: in the file, in the records, and then at work.

use super::Stage;
use super::fields::{Field, Kind, kind_of};
use super::ids::id_for;
use super::present;
use super::task::{Target, Task};
use crate::bay::action::{Effect, Undo};
use crate::bay::at_work::Bay;
use crate::bay::ports::{NotChanged, SetupKeeper};
use crate::bay::records::{Happening, RecordsFault, SoundChoice};
use crate::bay::setup::Setup;
use crate::bay::setup_change::{Edit, Place, SetupChange, Value};
use crate::text;
use crate::trade::text::Text;

/// A set-up as a change would leave it, and the change.
type Planned = (Setup, SetupChange);

/// What became of a change of the set-up that nothing was in the way of.
pub(super) struct Made {
    /// The change; `None` where it was so already.
    pub(super) change: Option<SetupChange>,
    /// The file had been changed by hand, and that holds now too.
    pub(super) by_hand: bool,
}

impl Bay {
    /// Changes the set-up: all of the edits or none.
    pub(super) fn change_setup(&mut self, edits: &[Edit]) -> Result<Made, Vec<Effect>> {
        self.make(|keeper| keeper.plan(edits))
    }

    /// Plans a change by the set-up as it stands in the file, and makes it. Nothing comes into force
    /// that is not in the records, neither the change nor what was changed by hand before it.
    fn make(
        &mut self,
        plan: impl FnOnce(&mut dyn SetupKeeper) -> Result<Planned, NotChanged>,
    ) -> Result<Made, Vec<Effect>> {
        let by_hand = self.follow_the_file()?;
        let planned = plan(self.keeper.as_mut());
        let (setup, change) = planned.map_err(|not| self.refuse_change(&not))?;
        if change.text == change.text_before {
            let change = None;
            return Ok(Made { change, by_hand });
        }
        if let Some(why) = self.in_the_way(&setup) {
            return Err(self.refuse(why));
        }
        if let Err(not) = self.keeper.make(&change) {
            return Err(self.refuse_change(&not));
        }
        match self.keep(Happening::SetupChanged(change.clone())) {
            Ok(_) => {
                self.take_setup(setup);
                let change = Some(change);
                Ok(Made { change, by_hand })
            }
            // A change that nobody could see later must not be.
            Err(fault) => Err(match self.keeper.take_back(&change) {
                Ok(_) => self.not_kept("The set-up was not changed", &fault),
                Err(_) => {
                    self.take_setup(setup);
                    self.not_kept("The set-up is changed, but not in the records", &fault)
                }
            }),
        }
    }

    /// Somebody may have changed the file by hand: that is kept, and holds from now on. True where it
    /// was so.
    fn follow_the_file(&mut self) -> Result<bool, Vec<Effect>> {
        let found = self.keeper.plan(&[]);
        let (setup, found) = found.map_err(|not| self.refuse_change(&not))?;
        if setup == self.setup {
            return Ok(false);
        }
        if let Some(why) = self.in_the_way(&setup) {
            return Err(self.refuse(text!("The set-up's file was changed by hand. {}", why)));
        }
        if let Err(fault) = self.keep(Happening::SetupFound(found.text)) {
            return Err(self.not_kept("What was changed by hand does not hold yet", &fault));
        }
        self.take_setup(setup);
        Ok(true)
    }

    fn refuse_change(&mut self, not: &NotChanged) -> Vec<Effect> {
        self.refuse(not.message.clone())
    }

    /// All was asked: saves it.
    pub(super) fn save_task(&mut self) -> Vec<Effect> {
        let Some(task) = self.editing.task.clone() else {
            return Vec::new();
        };
        let id = match &task.target {
            Target::New(kind) => match self.id_for_new(*kind, &task) {
                Ok(id) => id,
                Err(fault) => return self.not_kept("The set-up was not changed", &fault),
            },
            Target::Item(_) | Target::Single(_) => String::new(),
        };
        let made = match self.change_setup(&task.edits(&id)) {
            Ok(made) => made,
            Err(effects) => return effects,
        };
        self.editing.task = None;
        self.editing.stage = match &task.target {
            Target::New(kind) => match kind.place(&id) {
                Some(item) => Stage::Item(item),
                None => Stage::Items(*kind),
            },
            Target::Item(item) => Stage::Item(item.clone()),
            Target::Single(kind) => Stage::Single(*kind),
        };
        self.editing.page = match &task.target {
            Target::New(_) => 0,
            _ => self.editing.page_of_fields,
        };
        let said = self.said_of_task(&task, &id);
        if task.answers.contains_key(&Field::Volume) {
            self.be_as_loud_as_the_setup();
        }
        match (made.change, made.by_hand) {
            (Some(change), _) => self.notify(said, Some(Undo::Setup(Box::new(change)))),
            (None, true) => self.notify(
                text!("The set-up's file was changed by hand: that holds from now on."),
                None,
            ),
            (None, false) => self.notify(text!("It was so already."), None),
        }
        Vec::new()
    }

    /// The set-up's loudness is the one until another is set at the wall, also after a restart.
    fn be_as_loud_as_the_setup(&mut self) {
        let volume = self.setup.volume_percent;
        // Where it cannot be kept, the loudness chosen before comes back after a restart: it is heard.
        let _ = self.keep(Happening::SoundChosen(SoundChoice::Volume(volume)));
        self.hearing.set_volume_percent(volume);
    }

    fn id_for_new(&mut self, kind: Kind, task: &Task) -> Result<String, RecordsFault> {
        let name = task.pairs().into_iter().find_map(|(_, pair)| match pair {
            ("name", Some(Value::Text(name))) => Some(name),
            _ => None,
        });
        let word = kind
            .place("")
            .and_then(|place| place.kind())
            .unwrap_or("item");
        let items = kind.items(&self.setup);
        id_for(&name.unwrap_or_default(), word, |id| {
            let is_there = |(own, _): &(String, String)| own.eq_ignore_ascii_case(id);
            if items.iter().any(is_there) {
                return Ok(true);
            }
            // One that is gone must not hand its calibration, its stock or what is said of it on to a
            // new one of its name.
            match kind.place(id) {
                Some(place) => self.records.know(&place),
                None => Ok(false),
            }
        })
    }

    fn said_of_task(&self, task: &Task, id: &str) -> Text {
        if let Target::New(kind) = &task.target {
            let item = kind.place(id);
            let name = item.and_then(|item| present::name(&self.setup, &item));
            return text!("{} is added", name.unwrap_or_default());
        }
        let field = task.steps[0];
        let item = task.item();
        let label = field.label();
        let what = match item.and_then(|item| present::name(&self.setup, item)) {
            Some(name) => text!("{}, {}", name, label),
            None => label,
        };
        match present::shown(field, &self.setup, item) {
            Some(value) => text!("{}: {}", what, value),
            None => text!("{}: none", what),
        }
    }

    /// Takes an item out.
    pub(super) fn remove(&mut self, item: &Place) -> Vec<Effect> {
        let (Some(kind), Some(id)) = (kind_of(item), item.id()) else {
            return Vec::new();
        };
        let last = kind.items(&self.setup).len() == 1;
        let refused = match kind {
            Kind::Sprayers if last => Some(text!("A bay needs a sprayer: add another one first.")),
            Kind::Chemicals if last => {
                Some(text!("A bay needs a chemical: add another one first."))
            }
            Kind::Measures if last => Some(text!("A bay needs a measure: add another one first.")),
            Kind::Chemicals if self.setup.day_chemical == id => Some(text!(
                "It is the day's chemical: set another one for that first."
            )),
            _ => None,
        };
        if let Some(why) = refused {
            return self.refuse(why);
        }
        let name = present::name(&self.setup, item).unwrap_or_default();
        let edit = Edit::Remove {
            place: item.clone(),
        };
        match self.change_setup(&[edit]) {
            Ok(made) => {
                self.editing.stage = Stage::Items(kind);
                self.editing.page = 0;
                let undo = made.change.map(|change| Undo::Setup(Box::new(change)));
                self.notify(text!("{} is removed", name), undo);
                Vec::new()
            }
            Err(effects) => effects,
        }
    }

    /// Takes a change back, which is a change of its own.
    pub(in crate::bay) fn take_setup_back(
        &mut self,
        change: &SetupChange,
    ) -> Result<(), Vec<Effect>> {
        if change.is_of_first_run() {
            return Err(self.refuse(text!(
                "It is an answer of the first set-up, and there was none before it: change it instead."
            )));
        }
        self.make(|keeper| keeper.plan_back(change)).map(|_| ())
    }

    /// The notice's Undo for a change of the set-up.
    pub(in crate::bay) fn undo_setup(&mut self, change: &SetupChange) -> Vec<Effect> {
        match self.take_setup_back(change) {
            Ok(()) => {
                self.notices.pop();
                self.notify(text!("The set-up is as it was before"), None);
                Vec::new()
            }
            Err(effects) => effects,
        }
    }
}
