//! Records and card to a stick or a phone.

use super::codes;
use super::report::{fills, product_and_money, set_outside_words, span_title};
use crate::bay::at_work::Bay;
use crate::bay::ports::{Leave, OnStick, StickFault};
use crate::bay::reporting::taking::{CODE_BYTES, CodesOf, TakeStage, Taking, What};
use crate::bay::reporting::totals::{Landed, Report};
use crate::screens::generated::{ReportingView, StickLook, StickRow, Take, TakePage};
use crate::screens::models::update;
use crate::screens::tongue::tr;
use crate::screens::words;

/// Shows the way to a stick or a phone.
pub fn show(bay: &Bay, view: &ReportingView) {
    let taking = bay.taking();
    view.set_take_page(match taking.stage {
        TakeStage::What => TakePage::What,
        TakeStage::Stick => TakePage::Stick,
        TakeStage::Phone => TakePage::Phone,
    });
    match taking.stage {
        TakeStage::What => show_what(taking, view),
        TakeStage::Stick => show_stick(taking, view),
        TakeStage::Phone => show_phone(bay, taking, view),
    }
}

fn what_name(what: What) -> String {
    match what {
        What::Today => tr!("Today"),
        What::Week => tr!("7 days"),
        What::All => tr!("All"),
        What::Card => tr!("Wall card"),
    }
}

fn show_what(taking: &Taking, view: &ReportingView) {
    let takes = What::ALL
        .into_iter()
        .map(|what| Take {
            name: what_name(what).into(),
            note: match what {
                What::Card => tr!("alone"),
                _ => tr!("records"),
            }
            .into(),
            current: what == taking.what,
        })
        .collect();
    if let Some(new) = update(view.get_takes(), takes) {
        view.set_takes(new);
    }
}

/// Bytes for people.
fn size(bytes: u64) -> String {
    match bytes {
        b if b < 10_000 => format!("{b} B"),
        b => format!("{} kB", b.div_ceil(1000)),
    }
}

/// What the system said, where it said anything.
fn with_said(words: String, said: &str) -> String {
    match said {
        "" => words,
        said => format!("{words} ({said})"),
    }
}

fn fault_words(fault: &StickFault) -> String {
    match fault {
        StickFault::Gone => tr!(
            "The stick was pulled out too early: what was being written is not whole. Put it in and \
             try again."
        ),
        StickFault::ReadOnly => tr!(
            "The stick may only be read, nothing was put on it. Move the switch on its side, if it \
             has one, or take another stick."
        ),
        StickFault::Full { missing } => tr!(
            "The stick is full, nothing was put on it. It needs at least {} more. Delete something \
             on it, or take another stick.",
            size(*missing)
        ),
        StickFault::NoTool => tr!(
            "The wall cannot open sticks, nothing was put on it. The package udisks2 is missing on \
             this panel: who set it up can add it."
        ),
        StickFault::NotAllowed => tr!(
            "This panel does not let the wall open sticks, nothing was put on it. Who set it up can \
             allow it: the README tells how."
        ),
        StickFault::NotMounted { said } => with_said(
            tr!(
                "The stick cannot be opened, nothing was put on it. Take one that a computer can \
                 read, with FAT or exFAT on it."
            ),
            said,
        ),
        StickFault::Hangs => tr!(
            "The stick does not answer any more. Pull it out, and take another one: this one may be \
             broken."
        ),
        StickFault::Other { said } => with_said(
            tr!("The stick did not take it, nothing was put on it. Take another stick."),
            said,
        ),
    }
}

fn leave_words(leave: Leave, folder: &str) -> String {
    match leave {
        Leave::PullOut => tr!(
            "It may be pulled out now. Everything is in its folder {}.",
            folder
        ),
        Leave::NoTool => tr!(
            "Everything is in its folder {}, but this panel has no package udisks2 to close the \
             stick. Wait until its light has been still for 10 s, then pull it out.",
            folder
        ),
        Leave::Held => tr!(
            "Everything is in its folder {}, but something else holds the stick open. Wait until \
             its light has been still for 10 s, then pull it out.",
            folder
        ),
    }
}

/// How it is seen, its headline, what is said of it, and how far it has come, 0 to 1.
fn stick(taking: &Taking) -> (StickLook, String, String, f32) {
    match &taking.on_stick {
        None if taking.found.is_empty() => (
            StickLook::Waiting,
            tr!("Put a stick in"),
            tr!("No stick is in the panel. Put one in: it is seen by itself."),
            0.0,
        ),
        None => (
            StickLook::Choose,
            tr!("Which stick?"),
            tr!("Press the stick that it is to go on."),
            0.0,
        ),
        Some(OnStick::Opening) => (
            StickLook::Busy,
            tr!("To a stick"),
            tr!("The stick is being opened. Leave it in."),
            0.0,
        ),
        Some(OnStick::Writing { done, of }) => (
            StickLook::Busy,
            tr!("To a stick"),
            tr!("It is being written. Leave the stick in."),
            match of {
                0 => 0.0,
                of => *done as f32 / *of as f32,
            },
        ),
        Some(OnStick::Closing) => (
            StickLook::Busy,
            tr!("To a stick"),
            tr!("All is written, the stick is being closed. Leave it in."),
            1.0,
        ),
        Some(OnStick::Done { folder, leave }) => (
            StickLook::Done,
            match leave {
                Leave::PullOut => tr!("Pull the stick out"),
                Leave::NoTool | Leave::Held => tr!("Not closed"),
            },
            leave_words(*leave, folder),
            1.0,
        ),
        Some(OnStick::Failed(fault)) => (
            StickLook::Failed,
            tr!("Not on the stick"),
            fault_words(fault),
            0.0,
        ),
    }
}

fn show_stick(taking: &Taking, view: &ReportingView) {
    let (look, title, words, part) = stick(taking);
    view.set_stick_look(look);
    view.set_stick_title(title.into());
    view.set_stick_words(words.into());
    view.set_stick_part(part);
    let rows = taking
        .found
        .iter()
        .map(|stick| StickRow {
            id: stick.id.as_str().into(),
            name: stick.name.as_str().into(),
        })
        .collect();
    if let Some(new) = update(view.get_sticks(), rows) {
        view.set_sticks(new);
    }
}

fn landed_line(landed: &Landed) -> String {
    let (mean, least, most) = (landed.mean, landed.least, landed.most);
    let strengths = tr!(
        "{}: {} on the vehicle, {} to {}",
        &landed.chemical,
        mean.shown(),
        least.shown(),
        most.shown()
    );
    match landed.inside {
        Some(inside) => {
            let of = tr!("{} of {} in its band", inside, landed.fills.len());
            format!("{strengths}; {of}")
        }
        None => strengths,
    }
}

/// The totals as lines to read on a phone.
fn totals_lines(bay: &Bay, report: &Report) -> String {
    let currency = &bay.setup().currency;
    let all = &report.all;
    let span = bay.taking().what.span().unwrap_or_default();
    let mut lines = vec![
        short(&bay.setup().name),
        span_title(span, bay.report_today()),
        words::washes(all.washes),
        fills(all.fills),
        product_and_money(all, currency),
    ];
    let count = report.calibrated.len();
    if count > 0 {
        lines.push(tr!("Calibrations: {}", count));
    }
    if report.put_off.times > 0 {
        let put_off = report.put_off;
        lines.push(tr!(
            "Reminders put off: {}, washes meanwhile: {}",
            put_off.times,
            put_off.washes
        ));
    }
    lines.extend(report.set_outside.iter().map(|set| {
        let mut set = set.clone();
        set.chemical = short(&set.chemical);
        set.sprayer = set.sprayer.map(|name| short(&name));
        set_outside_words(&[set])
    }));
    // What is of single chemicals comes last: there may be many of them.
    lines.extend(report.landed.as_ref().map(|landed| {
        landed_line(&Landed {
            chemical: short(&landed.chemical),
            ..landed.clone()
        })
    }));
    for (name, figures) in report.by_chemical.iter().filter(|(_, f)| f.fills > 0) {
        let used = product_and_money(figures, currency);
        lines.push(format!("{}: {used}", short(name)));
    }
    into_a_code(lines)
}

/// A name of the bay, as far as a line of a code has room for it.
fn short(name: &str) -> String {
    const MOST: usize = 40;
    match name.chars().count() {
        0..=MOST => name.to_owned(),
        _ => name.chars().take(MOST - 1).chain(['…']).collect(),
    }
}

/// As many lines as one code holds; where that is not all of them, it says where the rest is.
fn into_a_code(lines: Vec<String>) -> String {
    let rest = tr!("The rest is in the table.");
    let all: usize = lines.iter().map(|line| line.len() + 1).sum();
    let room = match all <= CODE_BYTES {
        true => CODE_BYTES,
        false => CODE_BYTES - rest.len() - 1,
    };
    let mut text = String::new();
    for line in lines {
        if text.len() + line.len() + 1 > room {
            text.push_str(&rest);
            text.push('\n');
            break;
        }
        text.push_str(&line);
        text.push('\n');
    }
    text
}

fn show_phone(bay: &Bay, taking: &Taking, view: &ReportingView) {
    let totals = taking.codes == CodesOf::Totals;
    let report = bay.taken_totals().filter(|_| totals);
    let text = match &report {
        Some(report) => totals_lines(bay, report),
        None => taking.parts.get(taking.part).cloned().unwrap_or_default(),
    };
    let count = if totals { 1 } else { taking.parts.len() };
    view.set_code_title(match count {
        0 | 1 => what_name(taking.what).into(),
        _ => tr!("Scan in order").into(),
    });
    view.set_code_place(match count {
        0 | 1 => "".into(),
        n => tr!("{} of {}", taking.part + 1, n).into(),
    });
    view.set_code_words(match (totals, count) {
        (true, _) if !taking.table_fits() => tr!(
            "The totals, to read. The table is too long for codes: take fewer days, or a stick."
        )
        .into(),
        (true, _) if taking.parts.len() > 1 => tr!(
            "The totals, to read. The table takes {} codes.",
            taking.parts.len()
        )
        .into(),
        (true, _) => tr!("The totals, to read. No network is needed.").into(),
        (false, 0 | 1) => tr!("The table, as text. No network is needed.").into(),
        // There is no room beside the buttons; the head says what matters.
        (false, _) => "".into(),
    });
    view.set_has_several_codes(count > 1);
    // Nothing leads to a table that no code shows.
    view.set_has_totals(taking.what != What::Card && taking.table_fits());
    view.set_shows_totals(totals);
    // Drawn anew only where it is another one.
    if view.get_code_text() != text.as_str()
        && let Some((image, squares)) = codes::code(&text)
    {
        view.set_code(image);
        view.set_code_squares(squares);
        view.set_code_text(text.into());
    }
}
