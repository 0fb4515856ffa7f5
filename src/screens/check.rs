//! The timed check: a full container against the stopwatch.

use super::calibrate::watch_text;
use super::generated::{CheckLook, CheckPage, CheckView, Fact};
use super::models::{fact, update};
use super::sound::is_unheard;
use super::tongue::tr;
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::checking::{CheckFound, CheckStage, Checking};
use crate::bay::offer::Offer;
use crate::bay::stopwatch::Watch;
use crate::trade::calibration::time_shown;
use crate::trade::timed_check::{TimedCheck, TimedCheckError, Verdict, WithMix};
use crate::trade::units::trim_number;
use std::time::Duration;

fn percent(part: f64) -> String {
    let size = part.abs() * 100.0;
    format!("{} %", trim_number(size, usize::from(size < 9.95)))
}

/// A change of flow in words: "7 % slower".
fn change_words(change: f64) -> String {
    match change < 0.0 {
        true => tr!("{} slower", percent(change)),
        false => tr!("{} faster", percent(change)),
    }
}

/// The same as a headline.
fn draws_words(change: f64) -> String {
    match change < 0.0 {
        true => tr!("Draws {} slower", percent(change)),
        false => tr!("Draws {} faster", percent(change)),
    }
}

/// Why a check came to nothing.
fn error_words(error: TimedCheckError) -> String {
    match error {
        TimedCheckError::NoTime => {
            tr!("The check took no time: run it again with a full container.")
        }
        TimedCheckError::NoCalibratedTime => {
            tr!("The calibration has no time to compare with: calibrate first.")
        }
        TimedCheckError::NothingDrawn => {
            tr!("Nothing was drawn in the check: start with a full container.")
        }
        TimedCheckError::NoCarrier => {
            tr!("The washer's own flow is not known: calibrate first.")
        }
    }
}

/// Shows the timed check in hand.
pub fn show(bay: &Bay, view: &CheckView) {
    let Some(checking) = bay.checking() else {
        return;
    };
    let (sprayer, chemical) = (bay.sprayer(), bay.chemical());
    view.set_sprayer(sprayer.name.as_str().into());
    let lasts = bay.calibrated_time().map_or(String::new(), time_shown);
    view.set_intro(
        tr!(
            "A full container, run dry against the stopwatch. By its calibration that takes {} with \
             water. What is in it?",
            lasts
        )
        .into(),
    );
    let fill = match bay.offer() {
        Offer::Fill(plan) => Some(plan),
        _ => None,
    };
    view.set_may_mix(fill.is_some());
    view.set_mix_note(match &fill {
        Some(_) => chemical.name.as_str().into(),
        None => tr!("no figure for {}", &chemical.name).into(),
    });
    show_ready(bay, checking, view);
    view.set_counting_down(matches!(bay.watch(), Watch::Countdown(_)));
    let (seconds, tenth) = watch_text(bay.watch());
    view.set_watch(seconds.into());
    view.set_watch_tenth(tenth.into());
    if let (CheckStage::Result, Some(time), Some(found)) =
        (checking.stage, checking.time, bay.check_found())
    {
        show_result(bay, time, &found, view);
    }
    view.set_stage(match checking.stage {
        CheckStage::Fluid => CheckPage::Fluid,
        CheckStage::Ready => CheckPage::Ready,
        CheckStage::Running => CheckPage::Running,
        CheckStage::Result => CheckPage::Result,
    });
}

fn show_ready(bay: &Bay, checking: &Checking, view: &CheckView) {
    let of_mix = checking
        .mix
        .as_ref()
        .and_then(|id| bay.setup().chemical(id));
    let title = match of_mix {
        None => tr!("Water to the line"),
        Some(_) => tr!("Mix to the line"),
    };
    let words = match (of_mix, is_unheard(bay)) {
        (None, false) => tr!(
            "Rinse it, clean water to the line, dial as it is used. Five beeps, then a long one: \
             pull the trigger, into a bucket or drain, and hold it. Stop when it runs dry."
        ),
        (None, true) => tr!(
            "Rinse it, clean water to the line, dial as it is used. No sound: watch the screen count \
             to 1. Pull the trigger, into a bucket or drain, and hold it. Stop when it runs dry."
        ),
        (Some(chemical), false) => tr!(
            "Made up with {}, full to the line. Five beeps, then a long one: pull the trigger, \
             onto the vehicle, and hold it. Stop when it runs dry.",
            &chemical.name
        ),
        (Some(chemical), true) => tr!(
            "Made up with {}, full to the line. No sound: watch the screen count to 1. Pull the \
             trigger, onto the vehicle, and hold it. Stop when it runs dry.",
            &chemical.name
        ),
    };
    view.set_ready_title(title.into());
    view.set_ready_words(words.into());
}

fn show_result(bay: &Bay, time: Duration, found: &CheckFound, view: &CheckView) {
    let calibrated = bay.calibrated_time().unwrap_or_default();
    let mut facts = vec![
        fact(&tr!("This run"), time_shown(time)),
        fact(&tr!("Calibrated"), time_shown(calibrated)),
    ];
    view.set_may_calibrate(false);
    view.set_corrected("".into());
    view.set_may_correct(false);
    let (look, headline, words) = match found {
        CheckFound::Water(check) => {
            facts.push(fact(&tr!("Draws"), change_words(check.change)));
            facts.push(fact(
                &tr!("One run sees"),
                tr!("from {}", percent(check.band)),
            ));
            view.set_may_calibrate(check.verdict == Verdict::Recalibrate);
            water_words(bay, check)
        }
        CheckFound::Mix {
            drawn,
            offered,
            in_force,
            by_label,
        } => {
            facts.push(fact(
                &tr!("One run sees"),
                tr!("from {}", percent(drawn.band)),
            ));
            match (*by_label, *in_force) {
                (true, _) => (
                    CheckLook::Fine,
                    draws_words(drawn.change),
                    tr!(
                        "This label gives the bottle ratio, so the dose stays. What lands on the \
                         vehicle differs by as much."
                    ),
                ),
                (false, Some(factor)) => again_words(bay, factor, *offered, &mut facts, view),
                (false, None) => mix_words(bay, drawn, offered.is_some(), &mut facts, view),
            }
        }
        CheckFound::Nothing(error) => (CheckLook::Doubt, tr!("No result"), error_words(*error)),
        CheckFound::Unlikely { .. } => (
            CheckLook::Doubt,
            tr!("This can hardly be"),
            tr!(
                "Was it full to the line, and run until dry? This time is not kept. Fill it and \
                 check again."
            ),
        ),
    };
    view.set_look(look);
    view.set_headline(headline.into());
    view.set_words(words.into());
    if let Some(new) = update(view.get_facts(), facts) {
        view.set_facts(new);
    }
}

fn water_words(bay: &Bay, check: &TimedCheck) -> (CheckLook, String, String) {
    // What one run cannot see is no limit.
    let limit = percent(bay.setup().check_limit.max(check.band));
    match check.verdict {
        Verdict::Fine => (
            CheckLook::Fine,
            tr!("Fine"),
            tr!("No change that one run can see. The calibration stands."),
        ),
        Verdict::Watch => (
            CheckLook::Watch,
            tr!("Watch it"),
            tr!(
                "It changed, by less than this bay's limit of {}. Check it again soon.",
                limit
            ),
        ),
        Verdict::Recalibrate => (
            CheckLook::Act,
            tr!("Recalibrate"),
            tr!(
                "It changed by more than this bay's limit of {}. Look at nozzle, filter and tube, \
                 then calibrate.",
                limit
            ),
        ),
    }
}

/// With a correction in force.
fn again_words(
    bay: &Bay,
    factor: f64,
    offered: Option<f64>,
    facts: &mut Vec<Fact>,
    view: &CheckView,
) -> (CheckLook, String, String) {
    if let Some(dose) = bay.dose_in_force() {
        facts.push(fact(&tr!("Dose now"), dose.product_shown()));
    }
    let stands = tr!(
        "The dose is corrected already, × {}.",
        trim_number(factor, 2)
    );
    match (offered, bay.corrected_dose()) {
        (Some(_), Some(dose)) => {
            facts.push(fact(&tr!("By this check"), dose.product_shown()));
            view.set_corrected(dose.product_shown().into());
            view.set_may_correct(true);
            let says = tr!("This check says another dose.");
            not_as_corrected(&stands, &says)
        }
        (Some(_), None) => {
            let says = tr!("What this check asks for cannot be poured here.");
            not_as_corrected(&stands, &says)
        }
        (None, _) => {
            let says = tr!("This check is no other than one run can tell.");
            let words = format!("{stands} {says}");
            (CheckLook::Fine, tr!("As corrected"), words)
        }
    }
}

fn not_as_corrected(stands: &str, says: &str) -> (CheckLook, String, String) {
    let words = format!("{stands} {says}");
    (CheckLook::Watch, tr!("Not as corrected"), words)
}

fn mix_words(
    bay: &Bay,
    drawn: &WithMix,
    offered: bool,
    facts: &mut Vec<Fact>,
    view: &CheckView,
) -> (CheckLook, String, String) {
    if !offered {
        let words = tr!(
            "Measured: {}. That is no more than one run can tell: the dose stays.",
            change_words(drawn.change)
        );
        return (CheckLook::Fine, tr!("Draws as water does"), words);
    }
    if let Some(dose) = bay.dose_in_force() {
        facts.push(fact(&tr!("Dose now"), dose.product_shown()));
    }
    let headline = draws_words(drawn.change);
    let less = drawn.change < 0.0;
    let words = match bay.corrected_dose() {
        Some(dose) => {
            facts.push(fact(&tr!("Corrected"), dose.product_shown()));
            view.set_corrected(dose.product_shown().into());
            view.set_may_correct(true);
            match less {
                true => tr!(
                    "So less of it lands than meant. The corrected dose makes up for that, until \
                     the next calibration or change."
                ),
                false => tr!(
                    "So more of it lands than meant. The corrected dose makes up for that, until \
                     the next calibration or change."
                ),
            }
        }
        None => match less {
            true => tr!(
                "So less of it lands than meant, and the dose that would make up for it cannot be \
                 poured here. Ask the shift lead."
            ),
            false => tr!(
                "So more of it lands than meant, and the dose that would make up for it cannot be \
                 poured here. Ask the shift lead."
            ),
        },
    };
    (CheckLook::Watch, headline, words)
}

/// What is pressed in a timed check.
pub fn connect(view: &CheckView, hands: &Hands) {
    view.on_water(hands.on(|| Action::BeginCheck { with_mix: false }));
    view.on_with_mix(hands.on(|| Action::BeginCheck { with_mix: true }));
    view.on_start_stop({
        let hands = hands.clone();
        move |ago_ms| {
            let ago = Duration::from_millis(u64::try_from(ago_ms).unwrap_or(0));
            hands.act(Action::StartStop { ago });
        }
    });
    view.on_again(hands.on(|| Action::CheckAgain));
    view.on_calibrate({
        let hands = hands.clone();
        move || {
            // The check is over: what comes of it is a calibration.
            hands.act(Action::Back);
            hands.act(Action::Show(Page::Ways));
        }
    });
    view.on_correct(hands.on(|| Action::TakeCorrection));
}
