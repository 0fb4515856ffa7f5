//! What the screens of editing show: one description for all of them.

use super::fields::{Field, Figure, Kind};
use super::first_run::{FirstStep, STEPS, item_of};
use super::half::{Half, Unit};
use super::task::Target;
use super::{ADD, NONE, REMOVE, Stage, options, present};
use crate::bay::action::Page;
use crate::bay::at_work::Bay;
use crate::bay::setup_change::{Place, Value};
use crate::text;
use crate::trade::fill_plan;
use crate::trade::hazard::Hazard;
use crate::trade::language::Language;
use crate::trade::text::Text;

/// So many changes of the set-up are shown at once.
pub const CHANGES_A_PAGE: usize = 2;
/// So many tiles are on a page, of the usual ones and of those with long words.
const TILES: usize = 6;
const WIDE_TILES: usize = 4;
/// So many letters of a line that is typed are in sight, under its short name.
const IN_SIGHT: usize = 40;
/// And so many of a name, under a question that may take two lines.
const NAME_IN_SIGHT: usize = 18;

/// How it is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Six tiles to a page.
    Tiles,
    /// Four tiles with room for long words.
    WideTiles,
    /// The letters.
    Letters,
    /// The number pad.
    Number,
    /// Words to read, and tiles under them.
    Words,
}

/// What the button that goes on says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaveWord {
    /// It saves.
    Save,
    /// More is asked behind it.
    Next,
    /// A line, or the first set-up, is done.
    Done,
    /// It begins.
    Begin,
    /// There is none: what is saved is that.
    None,
}

/// A tile.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tile {
    /// By which it is picked.
    pub id: String,
    /// Its name.
    pub name: Text,
    /// What it is at present; empty for what is only picked.
    pub value: Text,
    /// It is what is chosen.
    pub chosen: bool,
    /// It adds something.
    pub adds: bool,
    /// It cannot be undone as simply as it is pressed.
    pub hold: bool,
    /// The hazard statement that it stands for.
    pub hazard: Option<Hazard>,
}

/// A screen of editing.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// What it is about.
    pub title: Text,
    /// What is asked, or a warning.
    pub words: Text,
    /// How it is laid out.
    pub shape: Shape,
    /// The tiles of this page.
    pub tiles: Vec<Tile>,
    /// Which page, from 0.
    pub page: usize,
    /// Of how many.
    pub pages: usize,
    /// What is typed, as far as it is in sight.
    pub typed: String,
    /// The unit of a number.
    pub unit: Text,
    /// The unit that it can be taken for instead.
    pub other_unit: Option<Text>,
    /// The bay can do without it.
    pub may_leave_out: bool,
    /// Something can be saved; without a word there is no button for it.
    pub may_save: bool,
    /// Why nothing can be saved yet; empty where it can.
    pub waits: Text,
    /// Which page of how many it is, where they are counted.
    pub step: Text,
    /// What saving is called.
    pub save: Option<SaveWord>,
}

impl Scene {
    fn new(title: Text, words: Text, shape: Shape) -> Self {
        Self {
            title,
            words,
            shape,
            tiles: Vec::new(),
            page: 0,
            pages: 1,
            typed: String::new(),
            unit: Text::default(),
            other_unit: None,
            may_leave_out: false,
            may_save: false,
            waits: Text::default(),
            step: Text::default(),
            save: None,
        }
    }

    /// Whether something can be saved, and else what is missing.
    fn savable(mut self, what: Missing) -> Self {
        let waits = match (what, self.save) {
            (Missing::Nothing, _) | (_, None) => Text::default(),
            (Missing::Typed, Some(SaveWord::Next)) => text!("Next waits: nothing is typed yet."),
            (Missing::Typed, _) => text!("Nothing is typed yet."),
            (Missing::Line, Some(SaveWord::Next)) => text!("Next waits for a line."),
            (Missing::Line, _) => text!("Save waits for a line."),
        };
        self.may_save = what == Missing::Nothing;
        self.waits = waits;
        self
    }

    /// The tiles of one page of all.
    fn with_tiles(mut self, all: Vec<Tile>, page: usize) -> Self {
        let a_page = match self.shape {
            Shape::WideTiles => WIDE_TILES,
            _ => TILES,
        };
        self.pages = all.len().div_ceil(a_page).max(1);
        self.page = page.min(self.pages - 1);
        self.tiles = all
            .into_iter()
            .skip(self.page * a_page)
            .take(a_page)
            .collect();
        self
    }
}

/// What is missing before something can be saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Missing {
    Nothing,
    Typed,
    Line,
}

impl Missing {
    fn typed(is_missing: bool) -> Self {
        if is_missing {
            Self::Typed
        } else {
            Self::Nothing
        }
    }
}

/// What a field is held against where it is shown.
struct Of<'a> {
    field: Field,
    half: &'a Half,
    item: Option<&'a Place>,
    title: Text,
    save: SaveWord,
    /// What the set-up says is known: not at the first set-up before it was answered.
    known: bool,
}

impl Bay {
    /// The screen of editing, or of the first set-up.
    pub fn edit_scene(&self) -> Scene {
        if self.page() == Page::FirstRun {
            return self.first_scene();
        }
        let setup = &self.setup;
        let page = self.editing.page;
        match &self.editing.stage {
            Stage::Kinds => {
                let kinds = Kind::ALL.into_iter().filter(|kind| kind.is_of_the_bay());
                let tiles = kinds.map(|kind| Tile {
                    id: format!("{kind:?}"),
                    name: kind.label(),
                    ..Tile::default()
                });
                Scene::new(
                    text!("Set-up"),
                    text!("What is to be changed?"),
                    Shape::Tiles,
                )
                .with_tiles(tiles.collect(), page)
            }
            Stage::Items(kind) => {
                let mut tiles: Vec<Tile> = kind
                    .items(setup)
                    .into_iter()
                    .map(|(id, name)| Tile {
                        id,
                        name: Text::from_plain(name),
                        ..Tile::default()
                    })
                    .collect();
                tiles.push(Tile {
                    id: ADD.into(),
                    name: text!("Add"),
                    adds: true,
                    ..Tile::default()
                });
                Scene::new(kind.label(), Text::default(), Shape::Tiles).with_tiles(tiles, page)
            }
            Stage::Single(kind) => Scene::new(kind.label(), Text::default(), Shape::Tiles)
                .with_tiles(self.field_tiles(*kind, None), page),
            Stage::Item(item) => {
                let kind = super::fields::kind_of(item).unwrap_or(Kind::Bay);
                let mut tiles = self.field_tiles(kind, Some(item));
                tiles.push(Tile {
                    id: REMOVE.into(),
                    name: text!("Remove"),
                    value: text!("hold"),
                    hold: true,
                    ..Tile::default()
                });
                let name = present::name(setup, item).unwrap_or_default();
                Scene::new(Text::from_plain(name), Text::default(), Shape::Tiles)
                    .with_tiles(tiles, page)
            }
            Stage::Asking => self.task_scene(),
        }
    }

    fn field_tiles(&self, kind: Kind, item: Option<&Place>) -> Vec<Tile> {
        let direct = present::sprayer(&self.setup, item).is_some_and(|s| s.kind.is_direct());
        let fields = kind.fields().iter();
        fields
            .filter(|field| !matches!(field, Field::Washer | Field::Dial) || !direct)
            .map(|field| Tile {
                id: field.id(),
                name: field.label(),
                value: present::shown(*field, &self.setup, item).unwrap_or_else(|| text!("none")),
                ..Tile::default()
            })
            .collect()
    }

    fn task_scene(&self) -> Scene {
        let Some(task) = &self.editing.task else {
            return Scene::new(text!("Set-up"), Text::default(), Shape::Tiles);
        };
        let (field, item) = (task.field(), task.item());
        let title = match &task.target {
            Target::New(_) => text!("New: {} of {}", task.at + 1, task.steps.len()),
            Target::Item(item) => {
                let name = present::name(&self.setup, item).unwrap_or_default();
                match matches!(task.half(), Half::Number { .. }) {
                    true => text!("{}, {}", name, field.label()),
                    false => Text::from_plain(name),
                }
            }
            Target::Single(_) => field.label(),
        };
        let more = task.at + 1 < task.steps.len();
        let scene = self.field_scene(Of {
            field,
            half: task.half(),
            item,
            title,
            save: if more { SaveWord::Next } else { SaveWord::Save },
            known: true,
        });
        Scene {
            // What a new thing is asked for it has to have.
            may_leave_out: field.may_be_left_out() && item_has(self, field, item),
            ..scene
        }
    }

    /// What becomes of the calibration.
    fn warning(&self, field: Field, item: Option<&Place>) -> Option<Text> {
        let sprayer = present::sprayer(&self.setup, item)?;
        let record = self.sprayers.get(&sprayer.id)?.calibration.as_ref()?;
        let measured = fill_plan::measured(sprayer, &record.calibration).is_some();
        match field {
            Field::Nozzle | Field::Washer => Some(text!("Another one makes its calibration void.")),
            Field::Dial if record.dial.is_some() => {
                Some(text!("Another setting makes its calibration void."))
            }
            // Whether the dial was turned since, only a hand can tell.
            Field::Dial => Some(text!(
                "Calibrated without a setting: if turned since, say so on its page."
            )),
            // What it holds was measured for the calibration, and that is what doses are made of.
            Field::Holds if measured => Some(text!(
                "Doses go by its calibration: this counts from the next one on."
            )),
            _ => None,
        }
    }

    fn field_scene(&self, of: Of<'_>) -> Scene {
        let Of {
            field,
            half,
            item,
            title,
            save,
            known,
        } = of;
        let setup = &self.setup;
        let words = self
            .warning(field, item)
            .unwrap_or_else(|| match field.question() {
                none if none.is_empty() => field.label(),
                question => question,
            });
        let page = self.editing.page;
        let scene = |shape| Scene {
            save: Some(save),
            may_save: true,
            ..Scene::new(title.clone(), words.clone(), shape)
        };
        let one = |chosen: Option<String>, add: bool| {
            let mut tiles: Vec<Tile> = options::of(field, setup, item)
                .into_iter()
                .map(|choice| Tile {
                    chosen: chosen.as_ref() == Some(&choice.id),
                    id: choice.id,
                    name: choice.name,
                    ..Tile::default()
                })
                .collect();
            if add && field.may_be_left_out() {
                tiles.push(Tile {
                    id: NONE.into(),
                    name: text!("None"),
                    chosen: chosen.is_none(),
                    ..Tile::default()
                });
            }
            if add {
                tiles.push(Tile {
                    id: ADD.into(),
                    name: text!("Another"),
                    adds: true,
                    ..Tile::default()
                });
            }
            Scene::new(title.clone(), words.clone(), Shape::Tiles).with_tiles(tiles, page)
        };
        let now = || known.then(|| present::one(field, setup, item)).flatten();
        match half {
            Half::Nothing => one(now(), false),
            Half::Text { typing: false, .. } => one(now(), true),
            Half::Text { text, typing: true } => {
                let is_empty = text.trim().is_empty();
                // One that the bay can do without is left out by emptying it.
                let leaves_out = is_empty && field.may_be_left_out();
                Scene {
                    typed: in_sight(text, NAME_IN_SIGHT),
                    save: Some(if leaves_out { SaveWord::None } else { save }),
                    ..scene(Shape::Letters)
                }
                .savable(Missing::typed(is_empty && !leaves_out))
            }
            Half::Lines {
                open: Some(line),
                lines,
            } => Scene {
                words: text!("Line {}", line.at.unwrap_or(lines.len()) + 1),
                typed: in_sight(&line.text, IN_SIGHT),
                save: Some(SaveWord::Done),
                ..scene(Shape::Letters)
            }
            .savable(Missing::typed(
                line.at.is_none() && line.text.trim().is_empty(),
            )),
            Half::Lines { lines, open: None } => {
                let mut tiles: Vec<Tile> = lines
                    .iter()
                    .enumerate()
                    .map(|(at, line)| Tile {
                        id: at.to_string(),
                        name: text!("Line {}", at + 1),
                        value: Text::from_plain(line),
                        ..Tile::default()
                    })
                    .collect();
                tiles.push(Tile {
                    id: ADD.into(),
                    name: text!("Add a line"),
                    adds: true,
                    ..Tile::default()
                });
                let may_be_none = lines.is_empty() && self.labels_hazards(item);
                let scene = Scene {
                    save: Some(if may_be_none { SaveWord::None } else { save }),
                    ..scene(Shape::WideTiles)
                };
                let scene = match lines.is_empty() && !may_be_none {
                    true => scene.savable(Missing::Line),
                    false => scene,
                };
                let waits = scene.waits.clone();
                if let Some(add) = tiles.last_mut() {
                    add.value = waits;
                }
                scene.with_tiles(tiles, page)
            }
            Half::Many(picked) => {
                let tiles = options::of(field, setup, item)
                    .into_iter()
                    .map(|choice| Tile {
                        chosen: picked.contains(&choice.id),
                        id: choice.id,
                        name: choice.name,
                        hazard: choice.hazard,
                        ..Tile::default()
                    })
                    .collect();
                Scene {
                    save: Some(if picked.is_empty() {
                        SaveWord::None
                    } else {
                        save
                    }),
                    ..scene(Shape::WideTiles).with_tiles(tiles, page)
                }
            }
            Half::Number { typed, unit } => {
                let words = match present::shown(field, setup, item).filter(|_| known) {
                    Some(now) => text!("{} Now: {}.", words.clone(), now),
                    None => words.clone(),
                };
                Scene {
                    words,
                    typed: match unit {
                        Unit::Of(Figure::Clock) => as_time(typed.text()),
                        Unit::OnePlus if !typed.text().is_empty() => {
                            format!("1 + {}", typed.text())
                        }
                        _ => typed.text().into(),
                    },
                    unit: self.unit_word(*unit),
                    other_unit: match unit {
                        Unit::Volume(volume) if volume.other() != *volume => {
                            Some(Text::from_plain(volume.other().shown()))
                        }
                        Unit::Percent => Some(Text::from_plain("1 + …")),
                        Unit::OnePlus => Some(Text::from_plain("%")),
                        _ => None,
                    },
                    ..scene(Shape::Number)
                }
                .savable(Missing::typed(typed.text().is_empty()))
            }
        }
    }

    fn unit_word(&self, unit: Unit) -> Text {
        match unit {
            Unit::Volume(volume) => Text::from_plain(volume.shown()),
            Unit::Percent
            | Unit::Of(Figure::Percent | Figure::Target | Figure::Loudness | Figure::Brightness) => {
                Text::from_plain("%")
            }
            Unit::OnePlus => text!("water"),
            Unit::Of(Figure::Washes) => text!("washes"),
            Unit::Of(Figure::Days) => text!("days"),
            Unit::Of(Figure::Times | Figure::Share) => text!("times"),
            Unit::Of(Figure::Minutes) => Text::from_plain("min"),
            Unit::Of(Figure::Money) => Text::from_plain(&self.setup.currency),
            Unit::Of(Figure::Grams) => Text::from_plain("g"),
            Unit::Of(Figure::Clock) => text!("h"),
            Unit::Of(Figure::Volume) => Text::default(),
        }
    }

    // ---- The first set-up ------------------------------------------------------------------

    fn first_scene(&self) -> Scene {
        let (at, of) = self.first_progress();
        let title = text!("Step {} of {}", at, of);
        match self.first_step() {
            FirstStep::Greet => self.greeting(title),
            FirstStep::Ask(field) => {
                let half = self.first_half();
                let item = item_of(field, &self.setup);
                let scene = self.field_scene(Of {
                    field,
                    half: &half,
                    item: item.as_ref(),
                    title,
                    save: SaveWord::Next,
                    known: self.first_is_answered(field),
                });
                let scene = match self.first_keeps_its_number() {
                    true => scene.savable(Missing::Nothing),
                    false => scene,
                };
                Scene {
                    may_leave_out: field.may_be_missing_at_first(),
                    step: text!("{} of {}", at, of),
                    ..scene
                }
            }
            FirstStep::Pin => {
                let tile = Tile {
                    id: "pin".into(),
                    name: text!("Set a PIN"),
                    ..Tile::default()
                };
                let words = text!("The shift lead's PIN: now, or later.");
                Scene {
                    save: Some(SaveWord::Next),
                    may_save: true,
                    ..Scene::new(title, words, Shape::WideTiles).with_tiles(vec![tile], 0)
                }
            }
            FirstStep::Summary => {
                let fields = STEPS.iter().filter_map(|step| match step {
                    FirstStep::Ask(field) => Some(*field),
                    FirstStep::Greet | FirstStep::Pin | FirstStep::Summary => None,
                });
                let direct = self
                    .setup
                    .sprayers
                    .first()
                    .is_some_and(|s| s.kind.is_direct());
                let tiles = fields
                    .filter(|field| *field != Field::Washer || !direct)
                    .map(|field| {
                        let item = item_of(field, &self.setup);
                        let value = present::shown(field, &self.setup, item.as_ref());
                        Tile {
                            id: field.id(),
                            name: field.label_of_all(),
                            value: value.unwrap_or_else(|| text!("none")),
                            ..Tile::default()
                        }
                    })
                    .collect();
                let words = text!("Is everything right?");
                Scene {
                    save: Some(SaveWord::Done),
                    may_save: true,
                    ..Scene::new(title, words, Shape::Tiles).with_tiles(tiles, self.editing.page)
                }
            }
        }
    }
}

impl Bay {
    /// The first page of all: what this is, what is needed, how long it takes.
    fn greeting(&self, title: Text) -> Scene {
        let words = text!(
            "This wall screen says how much product to measure into each sprayer. First it asks what \
             your bay has, one question a page.\n\
             At hand: a sprayer with its container, a jug with lines, and the product with its label \
             and safety data sheet.\n\
             The questions take about 10 minutes, the first calibration after them as long again. What \
             is answered is kept: you can stop at any time."
        );
        let others = Language::ALL
            .into_iter()
            .filter(|of| *of != self.language());
        let tiles = others
            .map(|language| Tile {
                id: language.code().into(),
                name: Text::from_plain(language.own_name()),
                ..Tile::default()
            })
            .collect();
        Scene {
            save: Some(SaveWord::Begin),
            may_save: true,
            ..Scene::new(title, words, Shape::Words).with_tiles(tiles, 0)
        }
    }

    /// True where hazard statements are told of the chemical in hand.
    fn labels_hazards(&self, item: Option<&Place>) -> bool {
        let task = self
            .editing
            .task
            .as_ref()
            .filter(|_| !self.is_being_set_up());
        let answered = task.and_then(|task| task.answers.get(&Field::Hazards));
        match answered {
            Some(pairs) => pairs
                .iter()
                .any(|(_, value)| matches!(value, Some(Value::List(list)) if !list.is_empty())),
            None => !present::picked(Field::Hazards, &self.setup, item).is_empty(),
        }
    }
}

impl Field {
    /// Its name where things of several kinds stand side by side.
    fn label_of_all(self) -> Text {
        match self {
            Self::BayName => text!("Bay"),
            Self::SprayerName => text!("Sprayer"),
            Self::ChemicalName => text!("Chemical"),
            Self::Size => text!("Measure"),
            field => field.label(),
        }
    }
}

/// True where there is something to be left out.
fn item_has(bay: &Bay, field: Field, item: Option<&Place>) -> bool {
    match field {
        Field::ProductStrength | Field::OverdueWashes => true,
        field => present::shown(field, &bay.setup, item).is_some(),
    }
}

/// The end of what is typed: that is where the next letter goes.
fn in_sight(text: &str, most: usize) -> String {
    let letters = text.chars().count();
    match letters.checked_sub(most) {
        None | Some(0) => text.into(),
        Some(hidden) => {
            let rest: String = text.chars().skip(hidden).collect();
            format!("…{rest}")
        }
    }
}

/// Digits as a time of the day.
fn as_time(digits: &str) -> String {
    match digits.len() {
        0..=2 => digits.into(),
        _ => format!("{}:{}", &digits[..2], &digits[2..]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_stays_in_sight_at_its_end() {
        assert_eq!(in_sight("short", IN_SIGHT), "short");
        let long = "x".repeat(IN_SIGHT) + "end";
        let seen = in_sight(&long, IN_SIGHT);
        assert!(seen.starts_with('…') && seen.ends_with("end"));
        assert_eq!(seen.chars().count(), IN_SIGHT + 1);
        assert_eq!(as_time("06"), "06");
        assert_eq!(as_time("063"), "06:3");
        assert_eq!(as_time("0630"), "06:30");
    }
}
