//! Anything that can be done at the wall, in any order, by whoever stands there.

use super::Around;
use super::lead::{every_page, let_in_to};
use super::places::{AWAY, Written, open};
use fillcall::bay::action::{Action, PadKey, Page, TextKey};
use fillcall::bay::at_work::Bay;
use fillcall::bay::day::DayAction;
use fillcall::bay::editing::EditAction;
use fillcall::bay::lead::LeadAction;
use fillcall::bay::mixing::{GotField, MixAction, MixOf, MixStage};
use fillcall::bay::panel::{ClockField, PanelAction};
use fillcall::bay::records::Scope;
use fillcall::bay::reporting::taking::{CodesOf, What};
use fillcall::bay::reporting::{ReportAction, Tab};
use fillcall::bay::runner::Runner;
use fillcall::bay::stock::StockAction;
use fillcall::bay::updating::UpdateAction;
use fillcall::store::setup_file::{FileKeeper, read_bay};
use fillcall::store::setup_path;
use fillcall::trade::calibration::Way;
use fillcall::trade::fill_plan::Part;
use fillcall::trade::language::Language;
use fillcall::trade::reminder::VoidCause;
use proptest::prelude::*;
use std::path::Path;
use std::time::Duration;
use tempfile::TempDir;

/// Two sprayers that need no calibration, a band, a ratio, an acid and a bleach.
const BAY: &str = r#"
name = "Invented yard"
day_chemical = "film"
operators_may_change_chemical = true
[screen]
profile = "7in-800x480"
[sound]
voice = "speech"
volume_percent = 80
[reminder]
washes = 6
[glass]
dim_minutes = 0
[[sprayer]]
id = "pump"
name = "Pump sprayer"
kind = "direct sprayer"
holds = "5 l"
nozzle = "flat"
[[sprayer]]
id = "pump-2"
name = "Pump 2"
kind = "direct sprayer"
holds = "5 l"
nozzle = "flat"
[[chemical]]
id = "film"
name = "Film remover"
on_vehicle = "4 %"
band = ["3 %", "5 %"]
cautions = ["Gloves"]
spray_per_vehicle = "2 l"
[[chemical]]
id = "wheel"
name = "Wheel cleaner"
bottle_ratio = "1 + 10"
cautions = ["Gloves"]
[[chemical]]
id = "acid"
name = "Rim acid"
on_vehicle = "2 %"
cautions = ["Gloves"]
nature = "acid"
[[chemical]]
id = "bleach"
name = "Bleach wash"
on_vehicle = "2 %"
cautions = ["Gloves"]
nature = "hypochlorite"
[[measure]]
id = "jug"
name = "Jug"
size = "1 l"
graduation = "10 ml"
"#;

/// A bay on a folder of its own, whose set-up can be changed at the screen.
pub struct Yard {
    pub around: Around,
    pub runner: Runner,
    /// Goes when the bay does.
    folder: TempDir,
    places: Written,
}

impl Yard {
    pub fn open() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(setup_path(folder.path()), BAY).expect("the set-up is written");
        let setup = read_bay(folder.path()).unwrap_or_else(|faults| panic!("{faults:?}"));
        let around = Around::default();
        let bay = Bay::open(setup, Box::new(around.records.clone()), around.clock.now())
            .expect("the bay opens")
            .with_lead(
                Box::new(FileKeeper::new(folder.path())),
                Box::new(around.lock.clone()),
            )
            .with_sticks(Box::new(around.sticks.clone()))
            .with_updates(Box::new(around.updates.clone()))
            .with_panel(
                Box::new(around.panel.clone()),
                Box::new(around.panel.clone()),
            );
        let runner = Runner::new(
            bay,
            Box::new(around.ears.clone()),
            Box::new(around.clock.clone()),
        );
        Self {
            around,
            runner,
            folder,
            places: Written::default(),
        }
    }

    /// The same with its records on disk, and where the hand is kept all the time.
    pub fn on_disk() -> Self {
        let yard = Self::open();
        Self {
            runner: open(yard.folder.path(), &yard.around, &yard.places),
            ..yard
        }
    }

    /// The program ends in the middle, and starts anew a moment later.
    pub fn start_anew(self) -> Self {
        let Self {
            mut runner,
            folder,
            around,
            places,
        } = self;
        runner.keep_place();
        drop(runner);
        around.clock.go_on(AWAY);
        let runner = open(folder.path(), &around, &places);
        Self {
            runner,
            folder,
            around,
            places,
        }
    }

    /// What was written down last of where the hand is.
    pub fn written(&self) -> String {
        self.places.text.borrow().clone().unwrap_or_default()
    }

    /// The folder of the bay.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    pub fn bay(&self) -> &Bay {
        self.runner.bay()
    }

    /// Does one thing. What the screen does not show cannot be picked.
    pub fn does(&mut self, does: &Does) {
        match does {
            Does::Acts(action) => self.runner.act(action.clone()),
            Does::ComesIn(page) => let_in_to(&mut self.runner, *page),
            Does::Picks(n) => {
                let tiles = self.bay().edit_scene().tiles;
                if let Some(tile) = tiles.get(n % tiles.len().max(1)) {
                    let pick = EditAction::Pick(tile.id.clone());
                    self.runner.act(Action::Edit(pick));
                }
            }
            Does::TakesBack => {
                if let Some(changed) = self.bay().setup_changes().first() {
                    let take_back = EditAction::TakeBack(changed.entry);
                    self.runner.act(Action::Edit(take_back));
                }
            }
            Does::SetsUp(digit) => self.set_up(*digit),
            Does::SetsTheDay(chemical, digit, confirms) => {
                self.set_the_day(chemical, *digit, *confirms);
            }
            Does::Passes(seconds) => {
                self.around.clock.go_on(Duration::from_secs(*seconds));
                self.runner.act(Action::Tick);
            }
            Does::Fails(fails) => self.around.records.0.borrow_mut().fails = *fails,
        }
    }

    /// The shift lead, with the PIN, sets another chemical at another strength for the bay.
    fn set_the_day(&mut self, chemical: &str, digit: u8, confirms: bool) {
        let_in_to(&mut self.runner, Page::Day);
        let confirm = confirms.then_some(DayAction::Confirm);
        let before = [
            DayAction::For(Scope::Bay),
            DayAction::Chemical(chemical.into()),
            DayAction::OpenPad,
        ];
        let after = [DayAction::TakeTyped, DayAction::Set].into_iter();
        for action in before {
            self.runner.act(Action::Day(action));
        }
        self.runner.act(Action::Pad(PadKey::Digit(digit)));
        for action in after.chain(confirm) {
            self.runner.act(Action::Day(action));
        }
    }

    /// All that changes the strength of the film remover in the set-up; it is for whoever is in.
    fn set_up(&mut self, digit: u8) {
        self.runner.act(Action::Show(Page::Edit));
        for _ in 0..4 {
            self.runner.act(Action::Back);
        }
        self.runner.act(Action::Show(Page::Edit));
        for pick in ["Chemicals", "film", "Target"] {
            self.runner.act(Action::Edit(EditAction::Pick(pick.into())));
        }
        for _ in 0..6 {
            self.runner.act(Action::Pad(PadKey::Back));
        }
        self.runner.act(Action::Pad(PadKey::Digit(digit)));
        self.runner.act(Action::Edit(EditAction::Save));
    }
}

impl Does {
    /// True where the PIN is given.
    pub fn gives_the_pin(&self) -> bool {
        matches!(self, Self::ComesIn(_) | Self::SetsTheDay(..))
    }
    /// True where what is asked is answered with yes.
    pub fn confirms(&self) -> bool {
        matches!(
            self,
            Self::Acts(Action::Day(DayAction::Confirm)) | Self::SetsTheDay(_, _, true)
        )
    }
}

/// One thing that somebody does.
#[derive(Debug, Clone)]
pub enum Does {
    Acts(Action),
    /// The shift lead comes to a page with the PIN.
    ComesIn(Page),
    /// One of the tiles of editing that are shown.
    Picks(usize),
    /// The newest change of the set-up that is listed.
    TakesBack,
    /// The strength of the film remover in the set-up, key by key.
    SetsUp(u8),
    /// The day's chemical with a strength in percent, key by key with the PIN; and yes to what is
    /// asked.
    SetsTheDay(String, u8, bool),
    /// Time goes by, in seconds.
    Passes(u64),
    /// The records begin to fail, or work again.
    Fails(bool),
}

fn sprayer() -> impl Strategy<Value = String> {
    prop::sample::select(vec!["pump", "pump-2"]).prop_map(str::to_owned)
}

fn chemical() -> impl Strategy<Value = String> {
    prop::sample::select(vec!["film", "wheel", "acid", "bleach"]).prop_map(str::to_owned)
}

fn part() -> impl Strategy<Value = Part> {
    prop::sample::select(Part::ALL.to_vec())
}

fn day() -> impl Strategy<Value = DayAction> {
    prop_oneof![
        3 => Just(DayAction::For(Scope::Bay)),
        3 => sprayer().prop_map(|id| DayAction::For(Scope::Sprayer(id))),
        1 => Just(DayAction::OpenChemicals),
        2 => chemical().prop_map(DayAction::Chemical),
        1 => Just(DayAction::Weaker),
        3 => Just(DayAction::Stronger),
        1 => Just(DayAction::OpenPad),
        1 => Just(DayAction::TakeTyped),
        1 => Just(DayAction::UsualStrength),
        1 => any::<bool>().prop_map(DayAction::TodayOnly),
        5 => Just(DayAction::Set),
        3 => Just(DayAction::Confirm),
        2 => Just(DayAction::End),
        1 => sprayer().prop_map(DayAction::RinseOf),
        2 => Just(DayAction::Rinsed),
    ]
}

fn edit() -> impl Strategy<Value = EditAction> {
    let picks = vec!["Chemicals", "film", "Target", "Sprayers", "pump", "+", "-"];
    prop_oneof![
        3 => prop::sample::select(picks).prop_map(|id| EditAction::Pick(id.into())),
        1 => Just(EditAction::More),
        3 => Just(EditAction::Save),
        1 => Just(EditAction::SwitchUnit),
        1 => Just(EditAction::LeaveOut),
        1 => (0..40i64).prop_map(EditAction::TakeBack),
    ]
}

fn mix() -> impl Strategy<Value = MixAction> {
    use MixStage::{
        Choose, Coverage, Got, Left, LeftTyped, Level, Mispoured, Poured, UpTo, Vehicles,
    };
    let stages = vec![
        Choose, Vehicles, Coverage, Left, LeftTyped, UpTo, Poured, Level, Mispoured, Got,
    ];
    let fields = vec![GotField::Ratio, GotField::Product, GotField::All];
    prop_oneof![
        3 => prop::sample::select(stages).prop_map(MixAction::Open),
        3 => Just(MixAction::Next),
        1 => Just(MixAction::SwitchUnit),
        1 => Just(MixAction::Say),
        3 => Just(MixAction::Done),
        1 => (0usize..2).prop_map(MixAction::OneMore),
        1 => Just(MixAction::OneLess),
        1 => any::<bool>().prop_map(MixAction::TypeCount),
        1 => part().prop_map(MixAction::MakeUp),
        2 => part().prop_map(MixAction::AboutLeft),
        1 => Just(MixAction::AddLoad("jug".into())),
        1 => Just(MixAction::UndoLoad),
        1 => Just(MixAction::TakeLoads),
        1 => Just(MixAction::Of(MixOf::LastFill)),
        1 => Just(MixAction::ToTheLine),
        1 => Just(MixAction::MakeSmallest),
        1 => any::<bool>().prop_map(MixAction::Replace),
        2 => Just(MixAction::LogPoured),
        1 => prop::sample::select(fields).prop_map(MixAction::Field),
    ]
}

fn stock() -> impl Strategy<Value = StockAction> {
    prop_oneof![
        3 => chemical().prop_map(StockAction::Look),
        1 => Just(StockAction::Deliver),
        2 => Just(StockAction::Count),
        1 => Just(StockAction::Opened),
        1 => Just(StockAction::AddContainer),
        1 => Just(StockAction::DropContainer),
        1 => Just(StockAction::SwitchUnit),
        2 => Just(StockAction::Save),
    ]
}

fn panel() -> impl Strategy<Value = PanelAction> {
    let fields = ClockField::ALL.to_vec();
    prop_oneof![
        Just(PanelAction::LookAgain),
        Just(PanelAction::More),
        (prop::sample::select(fields), any::<bool>())
            .prop_map(|(field, up)| PanelAction::Step(field, up)),
        Just(PanelAction::SetClock),
    ]
}

fn report() -> impl Strategy<Value = ReportAction> {
    prop_oneof![
        prop::sample::select(Tab::ALL.to_vec()).prop_map(ReportAction::ShowTab),
        Just(ReportAction::SwitchSpan),
        Just(ReportAction::Choose),
        prop::option::of(sprayer()).prop_map(ReportAction::TakeSprayer),
        prop::option::of(chemical()).prop_map(ReportAction::TakeChemical),
        Just(ReportAction::Take(What::All)),
        Just(ReportAction::ToStick),
        Just(ReportAction::PickStick("usb".into())),
        Just(ReportAction::TryAgain),
        Just(ReportAction::ToPhone),
        Just(ReportAction::ShowCodes(CodesOf::Rows)),
        Just(ReportAction::NextCode),
        Just(ReportAction::PreviousCode),
    ]
}

/// Any action, those of the shift lead among them.
pub fn anything() -> impl Strategy<Value = Action> {
    let pages = every_page().chain([
        Page::Fill,
        Page::Help,
        Page::Wipe,
        Page::Pin,
        Page::Check,
        Page::Calibrate,
    ]);
    let page = prop::sample::select(pages.collect::<Vec<_>>());
    let digit = || (0u8..10).prop_map(|digit| Action::Pad(PadKey::Digit(digit)));
    let loudspeaker = prop::option::of(Just("USB".to_owned()));
    let common = prop_oneof![
        4 => page.prop_map(Action::Show),
        2 => Just(Action::Back),
        1 => Just(Action::Main),
        1 => Just(Action::Touched),
        2 => Just(Action::Undo),
        1 => Just(Action::CloseNotice),
        4 => digit(),
        1 => Just(Action::Pad(PadKey::Back)),
        1 => Just(Action::Pad(PadKey::Point)),
        1 => Just(Action::Type(TextKey::Sign('x'))),
        1 => Just(Action::SayFill),
        1 => Just(Action::ChooseLanguage(Language::Spanish)),
        1 => part().prop_map(Action::ChoosePart),
        1 => Just(Action::CalibrateBy(Way::RunDry)),
        1 => Just(Action::Changed(VoidCause::Nozzle)),
        1 => Just(Action::UseVoidOnce),
        1 => sprayer().prop_map(Action::ChooseSprayer),
        2 => chemical().prop_map(Action::ChooseChemical),
        3 => Just(Action::Filled),
        1 => Just(Action::WashDone),
        2 => loudspeaker.prop_map(Action::ChooseLoudspeaker),
    ];
    let lead = prop_oneof![
        3 => Just(LeadAction::Enter),
        1 => Just(LeadAction::ChangePin),
        1 => Just(LeadAction::Leave),
        1 => Just(LeadAction::ClockIsRight),
    ];
    prop_oneof![
        24 => common,
        3 => lead.prop_map(Action::Lead),
        10 => day().prop_map(Action::Day),
        6 => edit().prop_map(Action::Edit),
        6 => mix().prop_map(Action::Mix),
        3 => stock().prop_map(Action::Stock),
        3 => report().prop_map(Action::Report),
        1 => prop::sample::select(vec![
            UpdateAction::Look,
            UpdateAction::Install,
            UpdateAction::TakeKey,
        ])
        .prop_map(Action::Update),
        2 => panel().prop_map(Action::Panel),
    ]
}

/// Anything, by the shift lead as well, while time goes by and disks fill up.
pub fn anybody() -> impl Strategy<Value = Does> {
    let pages = vec![
        Page::Lead,
        Page::Day,
        Page::Day,
        Page::Edit,
        Page::Changes,
        Page::Clock,
        Page::Panel,
        Page::Update,
        Page::Doctor,
        Page::SetClock,
    ];
    prop_oneof![
        40 => anything().prop_map(Does::Acts),
        4 => prop::sample::select(pages).prop_map(Does::ComesIn),
        4 => (0usize..12).prop_map(Does::Picks),
        1 => Just(Does::TakesBack),
        2 => (1u8..10).prop_map(Does::SetsUp),
        3 => prop::sample::select(vec![1u64, 11, 61, 400, 24 * 3600]).prop_map(Does::Passes),
        2 => (chemical(), 1u8..8, any::<bool>())
            .prop_map(|(chemical, digit, yes)| Does::SetsTheDay(chemical, digit, yes)),
        2 => Just(Does::Acts(Action::Undo)),
        1 => any::<bool>().prop_map(Does::Fails),
    ]
}
