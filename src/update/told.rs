//! What `fillcall-update` tells: lines of `KEY=VALUE` in two files, one while it goes on and one of how the
//! last one ended.

use crate::bay::ports::{UpdateEnd, UpdateHow, UpdateStep, UpdateTold};
use std::path::Path;

/// The folder of what goes on.
pub const RUNNING: &str = "/run/fillcall-update/status";
/// How the last one ended.
pub const ENDED: &str = "/var/lib/fillcall-update/outcome";

/// Reads both; a file that is not there tells nothing.
pub fn told(running: &Path, ended: &Path) -> UpdateTold {
    let read = |path: &Path| std::fs::read_to_string(path).unwrap_or_default();
    let (running, ended) = (read(running), read(ended));
    UpdateTold {
        step: step(value(&running, "step")),
        end: end(&ended),
    }
}

fn value<'t>(text: &'t str, key: &str) -> &'t str {
    text.lines()
        .find_map(|line| line.strip_prefix(key)?.strip_prefix('='))
        .unwrap_or_default()
}

fn step(word: &str) -> Option<UpdateStep> {
    Some(match word {
        "copy" => UpdateStep::Copy,
        "check" => UpdateStep::Check,
        "backup" => UpdateStep::Backup,
        "try" => UpdateStep::Try,
        "install" => UpdateStep::Install,
        "watch" => UpdateStep::Watch,
        "back" => UpdateStep::Back,
        _ => return None,
    })
}

fn end(text: &str) -> Option<UpdateEnd> {
    let how = match value(text, "ended") {
        "updated" => UpdateHow::Updated,
        "back" => UpdateHow::Back,
        "stuck" => UpdateHow::Stuck,
        "refused" => UpdateHow::Refused,
        "key" => UpdateHow::Key,
        _ => return None,
    };
    Some(UpdateEnd {
        how,
        why: value(text, "why").to_owned(),
        old: value(text, "old").to_owned(),
        new: value(text, "new").to_owned(),
        at: value(text, "at").parse().unwrap_or_default(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The program itself, as it is installed.
    const UPDATER: &str = include_str!("../../kiosk-setup/files/usr/sbin/fillcall-update");

    #[test]
    fn every_word_of_the_updater_is_known() {
        let words_after = |before: &str| -> Vec<&str> {
            let lines = UPDATER
                .lines()
                .filter_map(|line| line.trim().strip_prefix(before));
            lines.filter_map(|rest| rest.split(' ').next()).collect()
        };
        let steps = words_after("now ");
        assert!(steps.len() >= 7, "{steps:?}");
        for word in steps {
            assert!(step(word).is_some(), "{word}");
        }
        let ends = words_after("ended ");
        assert!(ends.len() >= 4, "{ends:?}");
        for word in ends {
            assert!(end(&format!("ended={word}\n")).is_some(), "{word}");
        }
        assert!(UPDATER.contains(&format!("shown={RUNNING}")));
        assert!(
            UPDATER.contains("here=/var/lib/fillcall-update\n")
                && ENDED.ends_with("-update/outcome")
        );
    }

    #[test]
    fn what_is_told_is_read_and_what_is_not_there_tells_nothing() {
        let dir = tempfile::tempdir().expect("folder");
        let (running, ended) = (dir.path().join("status"), dir.path().join("outcome"));
        assert_eq!(told(&running, &ended), UpdateTold::default());
        std::fs::write(&running, "step=watch\nold=0.1.0\nnew=0.2.0\n").expect("file");
        std::fs::write(
            &ended,
            "ended=back\nwhy=it ended\nold=0.1.0\nnew=0.2.0\nat=77\nsaid=x\n",
        )
        .expect("file");
        let told = told(&running, &ended);
        assert_eq!(told.step, Some(UpdateStep::Watch));
        let end = told.end.expect("ended");
        assert_eq!((end.how, end.why.as_str()), (UpdateHow::Back, "it ended"));
        assert_eq!(
            (end.old.as_str(), end.new.as_str(), end.at),
            ("0.1.0", "0.2.0", 77)
        );
    }
}
