//! A newer version of this program.

use super::generated::UpdateView;
use super::tongue::{shown, tr};
use super::wall::Hands;
use crate::bay::action::Action;
use crate::bay::at_work::Bay;
use crate::bay::ports::{FetchFault, Fit, Looked, Package, UpdateStep};
use crate::bay::updating::{UpdateAction, in_fours};

/// Shows the bay on this screen.
pub fn show(bay: &Bay, view: &UpdateView) {
    let (figure, words) = told(bay);
    view.set_figure(figure.into());
    view.set_words(words.into());
    let key = bay.update_key().map(in_fours);
    let key = key.map(|key| tr!("Key of this panel: {}", key));
    view.set_key(key.unwrap_or_default().into());
    let looked = bay.update_looked();
    view.set_busy(bay.is_updating() || looked == Some(&Looked::Busy));
    view.set_possible(bay.may_update());
    let (package, key) = match looked {
        Some(Looked::Found { package, key }) => (package.as_ref(), key.is_some()),
        _ => (None, false),
    };
    view.set_may_install(package.is_some_and(|package| package.fit == Fit::Newer));
    view.set_may_take_key(key);
}

/// What is pressed on this screen.
pub fn connect(view: &UpdateView, hands: &Hands) {
    let does = |action: UpdateAction| hands.on(move || Action::Update(action));
    view.on_look(does(UpdateAction::Look));
    view.on_install(does(UpdateAction::Install));
    view.on_take_key(does(UpdateAction::TakeKey));
}

/// What stands there in large letters, and what is said of it.
fn told(bay: &Bay) -> (String, String) {
    let runs = bay.version();
    if !bay.may_update() {
        let words = tr!(
            "This wall was not installed from its package: it is updated in the way that it was installed."
        );
        return (runs, words);
    }
    if bay.is_updating() {
        return (
            going_on(&bay.update_told().step),
            going_on_words(&bay.update_told().step),
        );
    }
    match bay.update_looked() {
        Some(Looked::Busy) => (
            runs,
            tr!("The stick is looked at, and what is on it fetched. Leave it in."),
        ),
        Some(Looked::NoStick) => (
            runs,
            tr!("No stick is in the panel. Put one in, and look again."),
        ),
        Some(Looked::Failed(fault)) => (runs, fault_words(fault)),
        Some(Looked::Found {
            package: Some(package),
            ..
        }) => (package.version.clone(), package_words(package, &runs)),
        Some(Looked::Found { key: Some(key), .. }) => (
            in_fours(key),
            tr!(
                "A key is on the stick. Compare its number with the one that whoever publishes this program \
                 told you. From then on nothing else is taken than what was signed with it."
            ),
        ),
        Some(Looked::Found { .. }) => (
            runs,
            tr!(
                "No newer version is on the stick. It has the package and its signature, with the names that they came with."
            ),
        ),
        None => {
            let end = bay.end_words().map(|(words, _)| shown(&words));
            (
                runs,
                end.unwrap_or_else(|| tr!("This version runs. A newer one comes on a stick.")),
            )
        }
    }
}

fn package_words(package: &Package, runs: &str) -> String {
    match &package.fit {
        Fit::Newer => tr!(
            "It is newer than {}, which runs, and signed. The stick may be pulled out. Install it: the wall \
             stops for some seconds, and is watched for two minutes.",
            runs
        ),
        Fit::Same => tr!("The version on the stick runs already."),
        Fit::Older => tr!(
            "The version on the stick is older than {}, which runs. It is not taken.",
            runs
        ),
        Fit::OtherMachine => tr!("The package on the stick is for other panels. It is not taken."),
        Fit::NoKey => tr!(
            "This panel has no key for updates, so no package is taken. Whoever publishes this program gives \
             one: put its file on the stick, too."
        ),
        Fit::NoSignature => {
            tr!("No signature lies beside the package on the stick. It is not taken.")
        }
        Fit::OtherKey => tr!(
            "The package on the stick was signed with another key than that of this panel. It is not taken."
        ),
        Fit::Damaged => tr!(
            "The package on the stick is not what was signed: it is damaged or was changed. It is not taken."
        ),
    }
}

fn fault_words(fault: &FetchFault) -> String {
    match fault {
        FetchFault::Gone => tr!(
            "The stick was pulled out too early, or cannot be read. Nothing was changed. Look again."
        ),
        FetchFault::NoTool => {
            tr!("The wall cannot open sticks: the package udisks2 is missing on this panel.")
        }
        FetchFault::NotAllowed => {
            tr!("This panel does not let the wall open sticks. Who set it up can allow it.")
        }
        FetchFault::NotMounted => tr!(
            "The stick cannot be opened. Take one that a computer can read, with FAT or exFAT on it."
        ),
        FetchFault::Full => {
            tr!("The panel's disk is too full for the package. Nothing was changed.")
        }
        FetchFault::Disk(said) => tr!(
            "The panel's disk does not take the package: {}. Nothing was changed.",
            said
        ),
    }
}

/// How far an update is, in few words.
fn going_on(step: &Option<UpdateStep>) -> String {
    match step {
        None => tr!("Asked for"),
        Some(UpdateStep::Copy | UpdateStep::Check) => tr!("Checking"),
        Some(UpdateStep::Backup) => tr!("Backup"),
        Some(UpdateStep::Try) => tr!("Trying it"),
        Some(UpdateStep::Install) => tr!("Installing"),
        Some(UpdateStep::Watch) => tr!("Watching it"),
        Some(UpdateStep::Back) => tr!("Going back"),
    }
}

fn going_on_words(step: &Option<UpdateStep>) -> String {
    match step {
        None => tr!("It begins in a moment."),
        Some(UpdateStep::Copy | UpdateStep::Check) => {
            tr!("Signature, version and room are looked at. Nothing is changed yet.")
        }
        Some(UpdateStep::Backup) => tr!("A backup is taken. Nothing is changed yet."),
        Some(UpdateStep::Try) => {
            tr!("The newer version is tried on a copy of the records. Nothing is changed yet.")
        }
        Some(UpdateStep::Install) => {
            tr!("The wall stops now, and comes back within a minute. Leave the panel on.")
        }
        Some(UpdateStep::Watch) => tr!(
            "The newer version runs. Fill and wash as always: after two minutes it stays, or the one before comes back."
        ),
        Some(UpdateStep::Back) => {
            tr!("The version before comes back. What was counted stays counted.")
        }
    }
}
