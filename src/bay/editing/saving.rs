//! Changes of the set-up: in the file, in the records, and then at work.

use super::Stage;
use super::fields::{Field, Kind, kind_of};
use super::ids::id_for;
use super::present;
use super::task::{Target, Task};
use crate::bay::action::{Effect, Undo};
use crate::bay::at_work::Bay;
use crate::bay::ports::NotChanged;
use crate::bay::records::{Happening, SoundChoice};
use crate::bay::setup::Setup;
use crate::bay::setup_change::{Edit, Place, SetupChange, Value};
use crate::text;
use crate::trade::text::Text;

impl Bay {
    /// Changes the set-up: all of the edits or none. The change, where there was something to change.
    pub(super) fn change_setup(
        &mut self,
        edits: &[Edit],
    ) -> Result<Option<SetupChange>, Vec<Effect>> {
        let changed = self.keeper.change(edits);
        self.take_change(changed)
    }

    fn take_change(
        &mut self,
        changed: Result<(Setup, SetupChange), NotChanged>,
    ) -> Result<Option<SetupChange>, Vec<Effect>> {
        let (setup, change) = match changed {
            Ok(changed) => changed,
            Err(not) => return Err(self.refuse(text!("{}", not.message))),
        };
        if change.keys.is_empty() {
            // As it was, but perhaps changed by hand meanwhile.
            self.take_setup(setup);
            return Ok(None);
        }
        match self.keep(Happening::SetupChanged(change.clone())) {
            Ok(_) => {
                self.take_setup(setup);
                Ok(Some(change))
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

    /// All was asked: saves it.
    pub(super) fn save_task(&mut self) -> Vec<Effect> {
        let Some(task) = self.editing.task.clone() else {
            return Vec::new();
        };
        if let Some(why) = self.in_the_way(&task) {
            return self.refuse(why);
        }
        let id = match &task.target {
            Target::New(kind) => self.id_for_new(*kind, &task),
            Target::Item(_) | Target::Single(_) => String::new(),
        };
        let change = match self.change_setup(&task.edits(&id)) {
            Ok(change) => change,
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
        match change {
            Some(change) => self.notify(said, Some(Undo::Setup(Box::new(change)))),
            None => self.notify(text!("It was so already."), None),
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

    /// What a change of a calibration in hand would make of it.
    fn in_the_way(&self, task: &Task) -> Option<Text> {
        let draft = &self.calibrating.as_ref()?.draft.sprayer;
        let own = matches!(&task.target, Target::Item(Place::Sprayer(id)) if id == draft);
        let measures = matches!(task.target, Target::Item(Place::Measure(_)));
        let hangs_on_it = task.answers.keys().any(|field| match field {
            Field::SprayerKind | Field::Nozzle | Field::Washer => own,
            Field::Size | Field::Graduation => measures,
            Field::Units | Field::BalanceStep => true,
            _ => false,
        });
        hangs_on_it.then(unfinished_calibration)
    }

    fn id_for_new(&self, kind: Kind, task: &Task) -> String {
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
            // A sprayer that is gone must not hand its calibration on to a new one of its name.
            let had = kind == Kind::Sprayers && self.sprayers.contains_key(id);
            had || items.iter().any(|(own, _)| own == id)
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
            Kind::Sprayers | Kind::Measures => self
                .calibrating
                .as_ref()
                .filter(|c| kind == Kind::Measures || c.draft.sprayer == id)
                .map(|_| unfinished_calibration()),
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
            Ok(change) => {
                self.editing.stage = Stage::Items(kind);
                self.editing.page = 0;
                let undo = change.map(|change| Undo::Setup(Box::new(change)));
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
        let changed = self.keeper.take_back(change);
        self.take_change(changed).map(|_| ())
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

fn unfinished_calibration() -> Text {
    text!("A calibration is not finished: save it or throw it away first.")
}
