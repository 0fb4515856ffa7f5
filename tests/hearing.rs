//! Whole shifts by ear: what is said, how loud, in which language, through which loudspeaker. On
//! real files, without a window and without a device.

mod common;

use chrono::NaiveTime;
use common::hands::Wall;
use common::{Around, Heard, lead, setup, spanish_voice, voice};
use fillcall::bay::action::{Action, Effect, Page};
use fillcall::bay::at_work::Bay;
use fillcall::bay::ports::{SoundState, Tone, Why};
use fillcall::bay::records::{Happening, SoundChoice, Step};
use fillcall::bay::setup::{Profile, QuietHours, Setup};
use fillcall::bay::stopwatch::Watch;
use fillcall::trade::announcement::Announcement;
use fillcall::trade::calibration::Way;
use fillcall::trade::fill_plan::Part;
use fillcall::trade::language::Language;
use std::time::Duration;

/// Loudness of the set-up, and while a run is timed.
const SET_UP: u8 = 80;
const TIMED: u8 = 100;

const FILL: &str = "Lance 1: 590 ml product, then water to the line.";

fn bay_setup() -> Setup {
    let setup = setup(Profile::Seven800);
    assert_eq!(setup.volume_percent, SET_UP);
    setup
}

/// A wall whose lance 1 gets 590 ml, at home, with nothing heard yet.
fn calibrated() -> Wall {
    calibrated_in(bay_setup())
}

fn calibrated_in(setup: Setup) -> Wall {
    let mut wall = Wall::new(setup);
    ready_to_run(&mut wall);
    wall.run_for(104.0);
    wall.enter("14.7");
    wall.act(Action::SaveCalibration);
    // With the first fill of a day the day's chemical is said: that was heard already.
    wall.act(Action::SayFill);
    // The notices go.
    wall.wait(22.0);
    wall.around.ears.take();
    wall
}

/// As far as the stopwatch.
fn ready_to_run(wall: &mut Wall) {
    wall.act(Action::CalibrateBy(Way::RunDry));
    wall.enter("820");
    wall.act(Action::NextStep);
    assert_eq!(wall.step(), Step::Ready);
}

/// What was said and played since it was last asked, as text; clicks are not the bay's.
fn heard(wall: &Wall) -> Vec<String> {
    in_words(wall.around.ears.take(), &voice())
}

fn in_words(heard: Vec<Heard>, voice: &fillcall::trade::speech::Lexicon) -> Vec<String> {
    let words = |heard: Heard| match heard {
        Heard::Said(said) => said.text(voice),
        Heard::SaidSlowly(said) => format!("slowly: {}", said.text(voice)),
        Heard::Tone(tone) => format!("({tone:?})"),
        Heard::Hush => "(hush)".to_owned(),
    };
    heard.into_iter().map(words).collect()
}

/// How it is asked to sound: loudness, language, loudspeaker.
fn sounding(wall: &Wall) -> (u8, Language, Option<String>) {
    let sounding = wall.around.ears.sounding.borrow();
    let sounding = sounding.clone().expect("told at the start");
    let loudspeaker = sounding.loudspeaker;
    (sounding.volume_percent, sounding.language, loudspeaker)
}

fn loudness(wall: &Wall) -> u8 {
    sounding(wall).0
}

fn tested() -> Heard {
    Heard::Said(Announcement::sound_test())
}

#[test]
fn a_fill_is_said_said_again_and_said_slowly_with_its_strength_and_ratio() {
    let mut wall = calibrated();
    wall.act(Action::SayFill);
    assert_eq!(heard(&wall), [FILL]);
    // What is said is shown, for as long as it sounds.
    assert_eq!(wall.notice(), FILL);
    assert!(wall.bay().notice().expect("shown").is_caption);
    // Fourteen words and two stops: 7.7 s with the clips of the program.
    wall.wait(7.8);
    assert_eq!(wall.notice(), FILL);
    wall.wait(2.0);
    assert_eq!(wall.notice(), "");

    wall.act(Action::SayAgain);
    assert_eq!(heard(&wall), [FILL]);
    // 590 ml of 820, of which 820 / 14700 is drawn: 4.01 %. 230 ml of water on 590 of product.
    wall.act(Action::SaySlower);
    let slowly = "Lance 1: 590 ml product, then water to the line, strength 4.01 %, 1 + 0.39.";
    assert_eq!(heard(&wall), [format!("slowly: {slowly}")]);
    assert_eq!(wall.notice(), slowly);
    // And at the usual pace again, without them.
    wall.act(Action::SayAgain);
    assert_eq!(heard(&wall), [FILL]);
}

#[test]
fn what_is_said_again_is_the_last_thing_said_and_a_test_is_none() {
    let mut wall = calibrated();
    wall.act(Action::SayFill);
    wall.act(Action::Filled);
    wall.act(Action::Undo);
    heard(&wall);
    wall.act(Action::TestSound);
    assert_eq!(wall.around.ears.take(), [tested()]);
    wall.acts([Action::SayAgain, Action::SaySlower]);
    assert_eq!(heard(&wall), ["Fill undone.", "slowly: Fill undone."]);
    wall.restart();
    heard(&wall);
    wall.act(Action::SayAgain);
    assert_eq!(heard(&wall), ["(Refused)"]);
    assert_eq!(wall.notice(), "Nothing was said yet.");
}

#[test]
fn a_fill_said_again_is_that_of_what_is_shown_now() {
    let mut wall = calibrated();
    wall.act(Action::SayFill);
    // Another part of it.
    wall.act(Action::ChoosePart(Part::Half));
    heard(&wall);
    wall.act(Action::SayAgain);
    let said = heard(&wall);
    assert!(said[0].starts_with("Lance 1, half fill: "), "{said:?}");
    // Another chemical.
    wall.act(Action::ChooseChemical("wheel".into()));
    heard(&wall);
    wall.act(Action::SayAgain);
    let said = heard(&wall);
    assert!(said[0].starts_with("Lance 1: "), "{said:?}");
    assert!(!said[0].contains("590 ml"), "{said:?}");
    // Another sprayer: nothing of the one before is said any more, and its own fill once asked for.
    wall.act(Action::ChooseSprayer("lance-2".into()));
    heard(&wall);
    wall.acts([Action::SayAgain, Action::SaySlower]);
    assert_eq!(heard(&wall), ["(Refused)", "(Refused)"]);
    wall.acts([Action::SayFill, Action::SayAgain]);
    let none_yet = "Lance 2: no calibration yet, please calibrate.";
    assert_eq!(heard(&wall), [none_yet, none_yet]);
    // Changed meanwhile: the figure said before is void, and is not said again.
    wall.act(Action::ChooseSprayer("lance-1".into()));
    wall.act(Action::SayFill);
    wall.act(Action::Changed(
        fillcall::trade::reminder::VoidCause::Nozzle,
    ));
    heard(&wall);
    wall.act(Action::SayAgain);
    let said = heard(&wall);
    assert!(said[0].starts_with("Lance 1: nozzle changed"), "{said:?}");
}

#[test]
fn a_touch_anywhere_ends_what_is_being_said_and_does_nothing_else() {
    let mut wall = calibrated();
    wall.act(Action::SayFill);
    let shown = wall.notice();
    heard(&wall);
    wall.act(Action::Touched);
    assert_eq!(heard(&wall), ["(hush)"]);
    assert_eq!((wall.bay().page(), wall.notice()), (Page::Fill, shown));
    // Another sprayer or language ends it too: what was being said is not of it.
    for action in [
        Action::NextSprayer,
        Action::ChooseLanguage(Language::Spanish),
    ] {
        wall.act(Action::SayFill);
        heard(&wall);
        wall.act(action);
        assert_eq!(heard(&wall), ["(hush)"]);
    }
}

#[test]
fn the_loudness_goes_by_steps_and_is_kept_over_a_restart() {
    let mut wall = calibrated();
    assert_eq!(loudness(&wall), SET_UP);
    wall.acts([Action::Louder, Action::Louder]);
    // Each step is heard as loud as it is.
    let steps = wall.around.ears.take_with_loudness();
    assert_eq!(steps, [(tested(), 90), (tested(), 100)]);
    assert!(!wall.bay().may_change_volume(true));
    wall.act(Action::Louder);
    assert_eq!(heard(&wall), ["(Refused)"]);
    assert_eq!(wall.bay().volume_percent(), 100);
    wall.restart();
    assert_eq!((wall.bay().volume_percent(), loudness(&wall)), (100, 100));

    wall.acts(vec![Action::Softer; 8]);
    assert!(wall.bay().may_change_volume(false));
    wall.around.ears.take();
    wall.act(Action::Softer);
    assert_eq!(wall.around.ears.take_with_loudness(), [(tested(), 10)]);
    // Who asks for the fill must hear that something is said.
    assert!(!wall.bay().may_change_volume(false));
    wall.act(Action::Softer);
    assert_eq!(heard(&wall), ["(Refused)"]);
    wall.restart();
    assert_eq!((wall.bay().volume_percent(), loudness(&wall)), (10, 10));
    // A new set-up does not change what was chosen at the wall.
    wall.setup.volume_percent = 50;
    wall.restart();
    assert_eq!(loudness(&wall), 10);
}

#[test]
fn a_loudness_between_two_steps_goes_to_the_next() {
    for (from, louder, softer) in [(73, 80, 70), (0, 10, 0), (100, 100, 90), (5, 10, 5)] {
        for (action, then) in [(Action::Louder, louder), (Action::Softer, softer)] {
            let mut wall = Wall::new(Setup {
                volume_percent: from,
                ..bay_setup()
            });
            wall.act(action);
            assert_eq!(wall.bay().volume_percent(), then, "from {from}");
        }
    }
}

#[test]
fn a_choice_that_cannot_be_kept_is_not_made() {
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    lead::let_in_to(&mut runner, Page::Loudspeakers);
    around.ears.take();
    around.records.0.borrow_mut().fails = true;
    for (action, says) in [
        (Action::Louder, "The loudness was not changed"),
        (
            Action::ChooseLanguage(Language::Spanish),
            "The language was not changed",
        ),
        (
            Action::ChooseLoudspeaker(Some("USB".into())),
            "The loudspeaker was not changed",
        ),
    ] {
        runner.act(action);
        let notice = runner.bay().notice().expect("said");
        let text = notice.text.to_string();
        assert!(notice.is_fault && text.starts_with(says), "{text}");
        assert!(text.contains("disk is full"), "{text}");
        assert_eq!(around.ears.take(), [Heard::Tone(Tone::Refused)]);
        let sounding = around.ears.sounding.borrow().clone().expect("told");
        assert_eq!(sounding.volume_percent, SET_UP);
        assert_eq!(sounding.language, Language::English);
        assert_eq!(sounding.loudspeaker, None);
    }
}

#[test]
fn it_is_louder_while_a_run_is_timed_and_as_before_after_it() {
    let mut wall = calibrated();
    wall.acts(vec![Action::Softer; 4]);
    assert_eq!(loudness(&wall), 40);
    ready_to_run(&mut wall);
    wall.around.ears.take();
    wall.start();
    wall.wait(5.0 + 60.0);
    assert_eq!(loudness(&wall), TIMED);
    wall.stop();
    let run = wall.around.ears.take_with_loudness();
    let tones: Vec<Tone> = run
        .iter()
        .filter_map(|(heard, _)| match heard {
            Heard::Tone(tone) => Some(*tone),
            _ => None,
        })
        .collect();
    let expected = [&[Tone::Countdown; 5][..], &[Tone::Go, Tone::Stop]].concat();
    assert_eq!(tones, expected);
    // The tone that ends it is heard beside the roar as well.
    for (heard, percent) in run.iter().filter(|(heard, _)| *heard != Heard::Hush) {
        assert_eq!(*percent, TIMED, "{heard:?}");
    }
    // Some seconds later it is over.
    wall.wait(3.0);
    assert_eq!(loudness(&wall), 40);
    assert_eq!(wall.bay().volume_percent(), 40, "nobody chose another");
    wall.act(Action::NothingLeft);
    wall.around.ears.take();
    wall.enter("14.7");
    let (said, percent) = wall.around.ears.take_with_loudness().remove(0);
    assert!(matches!(said, Heard::Said(_)) && percent == 40, "{said:?}");
}

#[test]
fn a_timed_check_is_loud_and_undisturbed_too() {
    let mut wall = calibrated();
    wall.act(Action::Show(Page::Check));
    wall.act(Action::BeginCheck { with_mix: false });
    wall.around.ears.take();
    wall.start();
    wall.wait(30.0);
    wall.acts([Action::SayAgain, Action::TestSound]);
    wall.wait(74.0 + 5.0);
    wall.stop();
    let heard = wall.around.ears.take_with_loudness();
    let words = in_words(heard.iter().map(|(h, _)| h.clone()).collect(), &voice());
    assert_eq!(words[1..3], ["(Countdown)", "5."]);
    assert_eq!(words[11..13], ["(Go)", "Start."]);
    assert_eq!(words[13..], ["(Stop)", "Lance 1: not changed."]);
    assert!(heard.iter().skip(1).all(|(_, percent)| *percent == TIMED));
    wall.wait(3.0);
    assert_eq!(loudness(&wall), SET_UP);
}

#[test]
fn nothing_is_said_into_a_running_stopwatch_but_words_behind_its_tones() {
    let mut wall = calibrated();
    wall.act(Action::SayFill);
    ready_to_run(&mut wall);
    heard(&wall);
    wall.start();
    let disturb = |wall: &mut Wall| {
        wall.acts([
            Action::SayFill,
            Action::SayAgain,
            Action::SaySlower,
            Action::TestSound,
            Action::Louder,
            Action::Softer,
            Action::ChooseLoudspeaker(Some("USB".into())),
            Action::ChooseLoudspeaker(None),
            Action::ChooseLanguage(Language::Spanish),
            Action::ChooseLanguage(Language::English),
        ]);
        // And the loudspeaker goes and comes.
        for state in [SoundState::NoDevice(Why::Absent), SoundState::Working] {
            wall.around.ears.state.set(state);
            wall.act(Action::Tick);
        }
    };
    wall.wait(0.5);
    disturb(&mut wall);
    wall.wait(14.5);
    assert!(matches!(wall.bay().watch(), Watch::Running(_)));
    disturb(&mut wall);
    wall.wait(10.0);
    wall.stop();
    // A change of the language or a refusal may end words, never add any.
    let said: Vec<String> = heard(&wall)
        .into_iter()
        .filter(|heard| heard != "(hush)" && heard != "(Refused)")
        .collect();
    let mut expected = Vec::new();
    for left in (1..=5).rev() {
        expected.extend(["(Countdown)".to_owned(), format!("{left}.")]);
    }
    expected.extend(["(Go)", "Start.", "(Stop)", "Stop."].map(str::to_owned));
    assert_eq!(said, expected);
    assert_eq!(wall.step(), Step::Left);
}

#[test]
fn the_last_seconds_of_a_chosen_time_are_counted_behind_their_tones() {
    let mut wall = calibrated();
    wall.act(Action::CalibrateBy(Way::Timed));
    wall.enter("820");
    wall.act(Action::TakeTime(Duration::from_secs(30)));
    while wall.step() != Step::Ready {
        wall.act(Action::NextStep);
    }
    wall.start();
    wall.wait(5.0 + 26.5);
    heard(&wall);
    // It calls the end by itself.
    wall.wait(4.0);
    let last = [
        "(Countdown)",
        "3.",
        "(Countdown)",
        "2.",
        "(Countdown)",
        "1.",
    ];
    assert_eq!(heard(&wall), [&last[..], &["(Stop)", "Stop."]].concat());
    assert_eq!(wall.step(), Step::Left);
}

fn at(hour: u32, minute: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(hour, minute, 0).expect("a time")
}

/// A wall that is quiet from ten to six, with the clock at eight in the morning.
fn with_a_quiet_night(volume_percent: u8) -> Wall {
    Wall::new(Setup {
        quiet: Some(QuietHours {
            from: at(22, 0),
            to: at(6, 0),
            volume_percent,
        }),
        ..bay_setup()
    })
}

fn go_on_to(wall: &mut Wall, hour: u32, minute: u32) {
    let now = wall.around.clock.now().wall.time();
    let minutes = (at(hour, minute) - now).num_minutes().rem_euclid(24 * 60);
    let by = Duration::from_secs(60 * u64::try_from(minutes).expect("not below 0"));
    wall.around.clock.go_on(by);
    wall.act(Action::Tick);
    assert_eq!(wall.around.clock.now().wall.time(), at(hour, minute));
}

#[test]
fn quiet_hours_hold_over_midnight() {
    let mut wall = with_a_quiet_night(20);
    for (hour, minute, percent) in [
        (8, 0, SET_UP),
        (21, 59, SET_UP),
        (22, 0, 20),
        (23, 59, 20),
        (0, 0, 20),
        (5, 59, 20),
        (6, 0, SET_UP),
        (12, 0, SET_UP),
    ] {
        go_on_to(&mut wall, hour, minute);
        assert_eq!(loudness(&wall), percent, "at {hour}:{minute:02}");
        assert_eq!(wall.bay().quiet_now().is_some(), percent == 20);
    }
    // What was chosen stands, and a bay that is softer anyway does not get louder by night.
    wall.acts(vec![Action::Softer; 7]);
    go_on_to(&mut wall, 23, 0);
    assert_eq!((wall.bay().volume_percent(), loudness(&wall)), (10, 10));
    // Not even a run is loud then: the neighbours sleep through it, and it is still shown.
    wall.acts(vec![Action::Louder; 9]);
    assert_eq!((wall.bay().volume_percent(), loudness(&wall)), (100, 20));
    ready_to_run(&mut wall);
    wall.start();
    wall.wait(6.0);
    assert_eq!(loudness(&wall), 20);
}

#[test]
fn quiet_hours_end_in_the_midst_of_a_run_and_at_a_restart_they_are_known() {
    let mut wall = with_a_quiet_night(0);
    go_on_to(&mut wall, 5, 59);
    wall.restart();
    assert_eq!(loudness(&wall), 0);
    ready_to_run(&mut wall);
    wall.start();
    wall.wait(50.0);
    assert_eq!(loudness(&wall), 0);
    wall.wait(15.0);
    assert_eq!(loudness(&wall), TIMED);
}

#[test]
fn a_clock_that_is_known_to_be_wrong_has_no_quiet_hours() {
    let mut wall = with_a_quiet_night(20);
    wall.act(Action::WashDone);
    // Midnight of another year: it went back behind what is in the records.
    wall.around.clock.lose_date();
    wall.act(Action::Tick);
    assert!(!wall.bay().clock_is_plausible());
    assert_eq!((loudness(&wall), wall.bay().quiet_now()), (SET_UP, None));
    wall.restart();
    assert_eq!(loudness(&wall), SET_UP);
    // Without records nobody can tell.
    let around = Around::default();
    around.clock.lose_date();
    let runner = around.runner(with_a_quiet_night(20).setup);
    assert_eq!(runner.bay().sounding().volume_percent, 20);
}

#[test]
fn the_language_is_chosen_at_the_wall_and_kept() {
    let mut wall = calibrated();
    assert_eq!(sounding(&wall).1, Language::English);
    wall.act(Action::ChooseLanguage(Language::Spanish));
    assert_eq!(heard(&wall), ["(hush)"]);
    assert_eq!(wall.bay().language(), Language::Spanish);
    assert_eq!(sounding(&wall).1, Language::Spanish);
    wall.act(Action::SayFill);
    let spanish = "Lance 1: 590 ml de producto, luego agua hasta la línea.";
    // Nothing was filled today: after the restart the day's chemical is said once more.
    let days = format!("Producto del día: Film remover, concentración 4 %. {spanish}");
    let said = in_words(wall.around.ears.take(), &spanish_voice());
    assert_eq!(said, [spanish]);
    assert_eq!(wall.notice(), spanish, "shown as it is said");
    wall.restart();
    assert_eq!(sounding(&wall).1, Language::Spanish);
    wall.act(Action::SayFill);
    assert_eq!(wall.notice(), days);
    // Chosen again it is nothing new.
    wall.around.ears.take();
    wall.act(Action::ChooseLanguage(Language::Spanish));
    assert_eq!(heard(&wall), [""; 0]);
    wall.act(Action::ChooseLanguage(Language::English));
    wall.act(Action::SayFill);
    assert_eq!(heard(&wall), ["(hush)", FILL]);
    // It was chosen: the set-up speaks for those who never chose.
    wall.setup.language = Language::Spanish;
    wall.restart();
    assert_eq!(wall.bay().language(), Language::English);
    let never_chosen = Wall::new(wall.setup.clone());
    assert_eq!(sounding(&never_chosen).1, Language::Spanish);
}

#[test]
fn the_loudspeaker_is_chosen_from_those_there_are_and_kept() {
    let mut wall = calibrated();
    assert_eq!(sounding(&wall).2, None);
    let found = ["USB Audio".to_owned(), "Built in".to_owned()];
    *wall.around.ears.loudspeakers.borrow_mut() = found.to_vec();
    wall.act(Action::Show(Page::Sound));
    assert!(wall.bay().loudspeakers().is_empty(), "not looked for yet");
    wall.lead_in_to(Page::Loudspeakers);
    assert_eq!(wall.bay().loudspeakers(), found);
    // One is plugged in while the page is open.
    wall.around
        .ears
        .loudspeakers
        .borrow_mut()
        .push("New".into());
    wall.wait(0.05);
    assert_eq!(wall.bay().loudspeakers().len(), 3);

    wall.around.ears.take();
    wall.act(Action::ChooseLoudspeaker(Some("USB Audio".into())));
    // Heard through the new one: it is set before the test is said.
    assert_eq!(sounding(&wall).2.as_deref(), Some("USB Audio"));
    assert_eq!(wall.around.ears.take(), [tested()]);
    assert_eq!(wall.bay().loudspeaker(), Some("USB Audio"));
    wall.restart();
    assert_eq!(sounding(&wall).2.as_deref(), Some("USB Audio"));
    // The system's own choice again, which is a choice as well.
    wall.lead_in_to(Page::Loudspeakers);
    wall.act(Action::ChooseLoudspeaker(None));
    assert_eq!(sounding(&wall).2, None);
    wall.restart();
    assert_eq!((wall.bay().loudspeaker(), sounding(&wall).2), (None, None));
    // The one in use says a test once more, and nothing is kept of it.
    let around = Around::default();
    let mut runner = around.runner(bay_setup());
    lead::let_in_to(&mut runner, Page::Loudspeakers);
    around.records.0.borrow_mut().happenings.clear();
    runner.act(Action::ChooseLoudspeaker(None));
    assert_eq!(around.ears.take(), [tested()]);
    runner.act(Action::ChooseLoudspeaker(Some("USB Audio".into())));
    let kept = around.records.0.borrow();
    let kept: Vec<&Happening> = kept.happenings.iter().map(|(_, h)| h).collect();
    let choice = SoundChoice::Loudspeaker(Some("USB Audio".into()));
    assert_eq!(kept, [&Happening::SoundChosen(choice)]);
}

#[test]
fn a_loudspeaker_that_goes_is_told_and_speech_tells_that_it_is_back() {
    let mut wall = calibrated();
    assert_eq!(wall.bay().sound(), SoundState::Working);
    wall.around
        .ears
        .state
        .set(SoundState::NoDevice(Why::Absent));
    wall.wait(0.05);
    assert_eq!(wall.bay().sound(), SoundState::NoDevice(Why::Absent));
    let notice = wall.bay().notice().expect("told").clone();
    assert_eq!(notice.text, "The loudspeaker is gone: read the screen.");
    assert!(notice.is_fault);
    assert_eq!(heard(&wall), [""; 0], "nobody would hear it");
    // The work goes on, and the notice is not put up again and again.
    wall.act(Action::CloseNotice);
    // Nor when more is known of it.
    wall.around.ears.state.set(SoundState::NoDevice(Why::InUse));
    wall.wait(1.0);
    assert_eq!(wall.notice(), "");
    wall.act(Action::SayFill);
    assert_eq!(wall.notice(), FILL, "shown all the same");
    wall.wait(12.0);
    heard(&wall);
    // It may take a while to open.
    wall.around.ears.state.set(SoundState::Opening);
    wall.wait(1.0);
    assert_eq!(heard(&wall), [""; 0]);
    wall.around.ears.state.set(SoundState::Working);
    wall.wait(0.05);
    assert_eq!(heard(&wall), ["Sound is back."]);
    assert_eq!(wall.notice(), "Sound is back.");
    wall.wait(20.0);
    assert_eq!(heard(&wall), [""; 0], "once");
    // And it can go again.
    wall.around
        .ears
        .state
        .set(SoundState::NoDevice(Why::Absent));
    wall.wait(0.05);
    assert_eq!(wall.notice(), "The loudspeaker is gone: read the screen.");
}

#[test]
fn a_loudspeaker_that_goes_hides_nothing_that_can_be_taken_back_for_long() {
    let mut wall = calibrated();
    wall.act(Action::WashDone);
    let counted = wall.notice();
    wall.around
        .ears
        .state
        .set(SoundState::NoDevice(Why::Absent));
    wall.wait(0.05);
    assert_eq!(wall.notice(), "The loudspeaker is gone: read the screen.");
    wall.wait(4.5);
    assert_eq!(wall.notice(), counted);
    // Back within the time to take it back: not laid over it.
    wall.around.ears.state.set(SoundState::Working);
    heard(&wall);
    wall.wait(0.05);
    assert_eq!(heard(&wall), [""; 0]);
    assert_eq!(wall.notice(), counted);
    wall.act(Action::Undo);
    assert_eq!(heard(&wall), ["Wash undone."]);
}

#[test]
fn a_bay_that_starts_without_a_loudspeaker_works_and_does_not_complain() {
    let around = Around::default();
    around.ears.state.set(SoundState::Opening);
    let mut runner = around.runner(bay_setup());
    around.ears.state.set(SoundState::NoDevice(Why::Absent));
    for _ in 0..3 {
        runner.act(Action::Tick);
    }
    assert_eq!(runner.bay().sound(), SoundState::NoDevice(Why::Absent));
    assert_eq!(runner.bay().notice(), None, "its sign is enough");
    runner.act(Action::SayFill);
    assert_eq!(around.ears.said().len(), 1);
    around.ears.take();
    around.ears.state.set(SoundState::Working);
    runner.act(Action::Tick);
    assert_eq!(around.ears.said(), [""; 0], "it was never gone");
    assert_ne!(
        runner.bay().notice().expect("the fill").text,
        "Sound is back."
    );
}

/// The device that comes back plays the fill that was asked for: that must not be talked over, nor
/// take its place where it is said again.
#[test]
fn a_sound_that_is_back_does_not_cut_the_fill_that_was_asked_for() {
    for asked_first in [true, false] {
        let mut wall = calibrated();
        wall.around
            .ears
            .state
            .set(SoundState::NoDevice(Why::Absent));
        wall.wait(60.0);
        heard(&wall);
        if asked_first {
            wall.act(Action::SayFill);
            wall.around.ears.state.set(SoundState::Working);
            wall.wait(1.0);
        } else {
            wall.around.ears.state.set(SoundState::Working);
            wall.act(Action::SayFill);
            wall.wait(1.0);
        }
        assert_eq!(heard(&wall), [FILL], "asked first: {asked_first}");
        assert_eq!(wall.notice(), FILL);
        wall.act(Action::SaySlower);
        assert!(heard(&wall)[0].starts_with("slowly: Lance 1"));
    }
}

#[test]
fn what_was_said_is_read_as_it_is_now() {
    let mut wall = calibrated();
    wall.act(Action::SayFill);
    wall.act(Action::ChooseChemical("degreaser".into()));
    wall.act(Action::Show(Page::Sound));
    let read = wall.bay().spoken_last().expect("read").text(&voice());
    assert!(!read.contains("590 ml"), "{read}");
    assert_eq!(heard(&wall)[0], FILL);
}

/// The disk may take its time: the tones of a stopwatch have gone out before anything is kept.
#[test]
fn a_stopwatch_is_not_held_up_by_the_disk() {
    let wall = calibrated();
    let around = &wall.around;
    let mut bay = Bay::open(
        bay_setup(),
        Box::new(around.records.clone()),
        around.clock.now(),
    )
    .expect("the bay opens");
    let now = || around.clock.now();
    bay.act(Action::CalibrateBy(Way::RunDry), now());
    for action in [Action::HoldsAsBefore, Action::NextStep] {
        bay.act(action, now());
    }
    let kept = || around.records.0.borrow().happenings.len();
    let start_stop = Action::StartStop {
        ago: Duration::ZERO,
    };
    for tone in [Tone::Countdown, Tone::Stop] {
        let before = kept();
        let effects = bay.act(start_stop.clone(), now());
        assert!(effects.contains(&Effect::Tone(tone)), "{effects:?}");
        assert_eq!(kept(), before, "{tone:?}");
        bay.settle();
        assert_eq!(kept(), before + 1, "{tone:?}");
        around.clock.go_on(Duration::from_secs(65));
        bay.act(Action::Tick, now());
    }
}
