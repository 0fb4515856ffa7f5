//! The timed check: a full container against the stopwatch.

use super::calibrate::watch_text;
use super::generated::{CheckLook, CheckPage, CheckView, Fact};
use super::models::{fact, update};
use super::wall::Hands;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::checking::{CheckFound, CheckStage, Checking};
use crate::bay::offer::Offer;
use crate::bay::stopwatch::Watch;
use crate::trade::calibration::time_shown;
use crate::trade::timed_check::{TimedCheck, Verdict, WithMix};
use crate::trade::units::trim_number;
use std::time::Duration;

fn percent(part: f64) -> String {
    let size = part.abs() * 100.0;
    format!("{} %", trim_number(size, usize::from(size < 9.95)))
}

/// A change of flow in words: "7 % slower".
fn change_words(change: f64) -> String {
    let way = match change < 0.0 {
        true => "slower",
        false => "faster",
    };
    format!("{} {way}", percent(change))
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
        format!(
            "A full container, run dry against the stopwatch. By its calibration that takes \
             {lasts} with water. What is in it?"
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
        None => format!("no figure for {}", chemical.name).into(),
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
    let (title, fill, place) = match of_mix {
        None => (
            "Water to the line",
            "Rinse it, clean water to the line, dial wide open.".to_owned(),
            "into a bucket or drain",
        ),
        Some(chemical) => (
            "Mix to the line",
            format!("Made up with {}, full to the line.", chemical.name),
            "onto the vehicle",
        ),
    };
    view.set_ready_title(title.into());
    view.set_ready_words(
        format!(
            "{fill} Five beeps, then a long one: pull the trigger, {place}, and hold it. Stop \
             when it runs dry. Never point it at anyone: the jet goes through skin."
        )
        .into(),
    );
}

fn show_result(bay: &Bay, time: Duration, found: &CheckFound, view: &CheckView) {
    let calibrated = bay.calibrated_time().unwrap_or_default();
    let mut facts = vec![
        fact("This run", time_shown(time)),
        fact("Calibrated", time_shown(calibrated)),
    ];
    view.set_may_calibrate(false);
    view.set_corrected("".into());
    view.set_may_correct(false);
    let (look, headline, words) = match found {
        CheckFound::Water(check) => {
            facts.push(fact("Draws", change_words(check.change)));
            facts.push(fact(
                "One run sees",
                format!("from {}", percent(check.band)),
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
                "One run sees",
                format!("from {}", percent(drawn.band)),
            ));
            match (*by_label, *in_force) {
                (true, _) => (
                    CheckLook::Fine,
                    format!("Draws {}", change_words(drawn.change)),
                    "This label gives the bottle ratio, so the dose stays. What lands on the vehicle \
                     differs by as much."
                        .into(),
                ),
                (false, Some(factor)) => again_words(bay, factor, *offered, &mut facts, view),
                (false, None) => mix_words(bay, drawn, offered.is_some(), &mut facts, view),
            }
        }
        CheckFound::Nothing(error) => (CheckLook::Doubt, "No result".to_owned(), error.to_string()),
        CheckFound::Unlikely { .. } => (
            CheckLook::Doubt,
            "This can hardly be".into(),
            "Was it full to the line, and run until dry? This time is not kept. Fill it and check \
             again."
                .into(),
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
    let limit = percent(bay.setup().check_limit);
    match check.verdict {
        Verdict::Fine => (
            CheckLook::Fine,
            "Fine".into(),
            "No change that one run can see. The calibration stands.".into(),
        ),
        Verdict::Watch => (
            CheckLook::Watch,
            "Watch it".into(),
            format!("It changed, by less than this bay's limit of {limit}. Check it again soon."),
        ),
        Verdict::Recalibrate => (
            CheckLook::Act,
            "Recalibrate".into(),
            format!(
                "It changed by more than this bay's limit of {limit}. Look at nozzle, filter and \
                 tube, then calibrate."
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
        facts.push(fact("Dose now", dose.shown()));
    }
    let stands = format!(
        "The dose is corrected already, × {}.",
        trim_number(factor, 2)
    );
    match (offered, bay.corrected_dose()) {
        (Some(_), Some(dose)) => {
            facts.push(fact("By this check", dose.shown()));
            view.set_corrected(dose.shown().into());
            view.set_may_correct(true);
            let words = format!("{stands} This check says another dose.");
            (CheckLook::Watch, "Not as corrected".into(), words)
        }
        (Some(_), None) => {
            let words = format!("{stands} What this check asks for cannot be poured here.");
            (CheckLook::Watch, "Not as corrected".into(), words)
        }
        (None, _) => {
            let words = format!("{stands} This check is no other than one run can tell.");
            (CheckLook::Fine, "As corrected".into(), words)
        }
    }
}

fn mix_words(
    bay: &Bay,
    drawn: &WithMix,
    offered: bool,
    facts: &mut Vec<Fact>,
    view: &CheckView,
) -> (CheckLook, String, String) {
    if !offered {
        let words = format!(
            "Measured: {}. That is no more than one run can tell: the dose stays.",
            change_words(drawn.change)
        );
        return (CheckLook::Fine, "Draws as water does".into(), words);
    }
    if let Some(dose) = bay.dose_in_force() {
        facts.push(fact("Dose now", dose.shown()));
    }
    let headline = format!("Draws {}", change_words(drawn.change));
    let less = match drawn.change < 0.0 {
        true => "less",
        false => "more",
    };
    let words = match bay.corrected_dose() {
        Some(dose) => {
            facts.push(fact("Corrected", dose.shown()));
            view.set_corrected(dose.shown().into());
            view.set_may_correct(true);
            format!(
                "So {less} of it lands than meant. The corrected dose makes up for that, until the \
                 next calibration or change."
            )
        }
        None => format!(
            "So {less} of it lands than meant, and the dose that would make up for it cannot be \
             poured here. Ask the shift lead."
        ),
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
