//! From contents to the text of a backup.

use super::contents::{Contents, InOrder, KeptCalibration, Moment, far_ahead, is_odd};
use crate::bay::records::Draft;
use crate::store::toml_text::write::{long_text, number, text as quoted};
use crate::trade::calibration::Run;
use crate::trade::units::{Volume, trim_number};
use std::time::Duration;

/// What every backup begins with.
pub(super) const FIRST_LINE: &str = "# fillcall backup";

const HEADER: &str = include_str!("header.txt");

/// The lines of a file in the making.
struct Lines(String);

impl Lines {
    fn section(&mut self, heading: &str) {
        self.0.push_str(&format!("\n{heading}\n"));
    }
    fn raw(&mut self, key: &str, value: impl std::fmt::Display) {
        self.0.push_str(&format!("{key} = {value}\n"));
    }
    fn text(&mut self, key: &str, value: &str) {
        self.raw(key, quoted(value));
    }
    fn moment(&mut self, key: &str, at: Moment) {
        self.raw(key, at.to_rfc3339());
    }
    fn ml(&mut self, key: &str, volume: Volume) {
        self.raw(key, number(volume.as_ml()));
    }
    fn runs(&mut self, key: &str, runs: &[Run]) {
        if runs.is_empty() {
            return;
        }
        let ml = |volume: Volume| number(volume.as_ml());
        let runs: Vec<String> = runs
            .iter()
            .map(|r| format!("[{}, {}, {}]", ml(r.drawn), ml(r.catch), seconds(r.time)))
            .collect();
        self.raw(key, format!("[{}]", runs.join(", ")));
    }
    fn mark(&mut self, key: &str, set: bool) {
        if set {
            self.raw(key, true);
        }
    }
    fn ids(&mut self, key: &str, ids: &[String]) {
        if !ids.is_empty() {
            let ids: Vec<String> = ids.iter().map(|id| quoted(id)).collect();
            self.raw(key, format!("[{}]", ids.join(", ")));
        }
    }
}

/// The whole file.
pub(super) fn text(contents: &Contents) -> String {
    let mut out = Lines(HEADER.to_owned());
    out.section("format = 1");
    out.moment("made", contents.made);
    if let Some(newest) = contents.newest {
        out.moment("newest", newest);
    }
    out.ids("former_sprayers", &contents.former_sprayers);
    out.ids("former_chemicals", &contents.former_chemicals);
    if let Some(sprayer) = &contents.last_sprayer {
        out.text("last_sprayer", sprayer);
    }
    if let Some((chemical, at)) = &contents.chosen_chemical {
        out.text("chosen_chemical", chemical);
        out.moment("chosen_chemical_at", *at);
    }
    out.raw("setup", long_text(&contents.setup));
    if let Some(run) = &contents.draft {
        out.section("[draft]");
        draft(&mut out, run);
    }
    let mut order = InOrder::default();
    for kept in &contents.calibrations {
        out.section("[[calibration]]");
        calibration(&mut out, kept);
        let record = &kept.record;
        let goes_back = order.goes_back(&record.sprayer, record.taken).is_some();
        let wrong = goes_back || far_ahead(record.taken, contents.made);
        out.mark("clock_wrong", wrong);
    }
    for washes in &contents.wash_counts {
        out.section("[[wash_count]]");
        out.text("sprayer", &washes.sprayer);
        out.text("chemical", &washes.chemical);
        out.raw("day", washes.day);
        out.raw("count", washes.count);
        if washes.taken_back > 0 {
            out.raw("taken_back", washes.taken_back);
        }
    }
    happenings(&mut out, contents);
    out.0
}

fn happenings(out: &mut Lines, contents: &Contents) {
    for kept in &contents.fills {
        out.section("[[fill]]");
        out.moment("at", kept.at);
        out.text("sprayer", &kept.fill.sprayer);
        out.text("chemical", &kept.fill.chemical);
        out.ml("fill_ml", kept.fill.fill);
        out.ml("poured_ml", kept.fill.poured);
        out.ml("water_ml", kept.fill.water);
        // Nine decimals are more than any measure shows, and stay the same from copy to copy.
        let percent = kept.fill.strength.as_percent();
        out.raw("strength_percent", trim_number(percent.max(1e-9), 9));
        out.text("standing", &kept.fill.standing);
        out.mark("taken_back", kept.taken_back);
    }
    for change in &contents.changes {
        out.section("[[change]]");
        out.moment("at", change.at);
        out.text("sprayer", &change.sprayer);
        out.text("what", change.what.word());
        if change.ended {
            out.mark("ended", true);
            out.raw("calibrations_before", change.calibrations_before);
        }
    }
    for kept in &contents.put_offs {
        out.section("[[put_off]]");
        out.moment("at", kept.at);
        out.text("sprayer", &kept.sprayer);
        out.raw("times", kept.put_off.times);
        out.raw("until_washes", kept.put_off.until_washes);
        out.mark("ended", kept.ended);
    }
    for (at, run) in &contents.thrown_away {
        out.section("[[thrown_away_run]]");
        out.moment("at", *at);
        draft(out, run);
    }
    for (at, setup) in &contents.setup_changes {
        out.section("[[earlier_setup]]");
        out.moment("at", *at);
        out.raw("text", long_text(setup));
    }
}

fn calibration(out: &mut Lines, kept: &KeptCalibration) {
    let record = &kept.record;
    let run = &record.calibration.run;
    out.text("sprayer", &record.sprayer);
    out.text("nozzle", &record.nozzle);
    out.text("washer", &record.washer);
    out.ml("holds_ml", record.calibration.holds);
    out.ml("drawn_ml", run.drawn);
    out.ml("catch_ml", run.catch);
    out.raw("seconds", seconds(run.time));
    out.runs("more_runs", &record.calibration.more);
    out.moment("taken", record.taken);
    out.raw("washes_since", kept.washes_since);
    if let Some(cause) = kept.void {
        out.text("void", cause.word());
    }
    out.mark("confirmed", is_odd(&record.calibration));
}

fn draft(out: &mut Lines, run: &Draft) {
    out.text("sprayer", &run.sprayer);
    out.text("step", run.step.word());
    if let Some(holds) = run.holds {
        out.ml("holds_ml", holds);
    }
    if let Some(time) = run.time {
        out.raw("seconds", seconds(time));
    }
    if !run.catch_loads.is_empty() {
        let loads: Vec<String> = run.catch_loads.iter().map(|l| number(l.as_ml())).collect();
        out.raw("catch_ml", format!("[{}]", loads.join(", ")));
    }
    out.runs("runs", &run.runs);
}

/// Seconds to the last nanosecond, without trailing zeros.
fn seconds(time: Duration) -> String {
    let text = format!("{}.{:09}", time.as_secs(), time.subsec_nanos());
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
