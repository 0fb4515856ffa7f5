//! From contents to the text of a backup.

use super::contents::{Contents, InOrder, KeptCalibration, KeptSetup, Moment, far_ahead, is_odd};
use crate::bay::records::{Draft, FillHow, Load, Scope, StockMove};
use crate::bay::setup_change::ChangedKey;
use crate::store::records::sound::Chosen;
use crate::store::records::{lead, stock, weights};
use crate::store::toml_text::write::{long_text, number, text as quoted};
use crate::trade::calibration::{Run, Way};
use crate::trade::days_strength::Allowed;
use crate::trade::units::{Strength, Volume, trim_number};
use crate::trade::weighing::Weighed;
use std::time::Duration;

const HEADER: &str = include_str!("header.txt");

/// How every backup begins: by this one is found among other files.
pub(super) const FIRST_LINE: &str = "# fillcall backup";

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
    /// Keys with their values, each on a line of its own.
    fn keys(&mut self, keys: &[Key]) {
        for (key, value) in keys {
            self.raw(key, value);
        }
    }
    /// A list with one entry to a line.
    fn list(&mut self, key: &str, entries: &[String]) {
        if !entries.is_empty() {
            self.raw(key, format!("[\n    {},\n]", entries.join(",\n    ")));
        }
    }
    /// Runs that tell no more than volumes and time as three numbers in a row.
    fn runs(&mut self, key: &str, runs: &[Run]) {
        let ml = |volume: Volume| number(volume.as_ml());
        let plain: Option<Vec<String>> = runs
            .iter()
            .map(|r| {
                let plain = details(r).is_empty();
                plain.then(|| format!("[{}, {}, {}]", ml(r.drawn), ml(r.catch), seconds(r.time)))
            })
            .collect();
        match plain {
            Some(plain) if plain.is_empty() => {}
            Some(plain) => self.raw(key, format!("[{}]", plain.join(", "))),
            None => {
                let all = runs.iter().map(|run| in_a_line(&all_of(run)));
                self.list(key, &all.collect::<Vec<_>>());
            }
        }
    }
    /// Loads of which nothing but the volume is known as a number each.
    fn loads(&mut self, key: &str, loads: &[Load]) {
        if loads.is_empty() {
            return;
        }
        let load = |load: &Load| {
            let ml = number(load.volume.as_ml());
            match load.graduation {
                None => ml,
                Some(step) => in_a_line(&[("ml", ml), ("graduation_ml", number(step.as_ml()))]),
            }
        };
        let loads: Vec<String> = loads.iter().map(load).collect();
        self.raw(key, format!("[{}]", loads.join(", ")));
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

/// A key and its value.
type Key = (&'static str, String);

/// Keys with their values as a section in one line.
fn in_a_line(keys: &[Key]) -> String {
    let keys: Vec<String> = keys.iter().map(|(k, v)| format!("{k} = {v}")).collect();
    format!("{{ {} }}", keys.join(", "))
}

/// A run's volumes and time, and what else is known of it.
fn all_of(run: &Run) -> Vec<Key> {
    let mut keys = vec![
        ("drawn_ml", number(run.drawn.as_ml())),
        ("catch_ml", number(run.catch.as_ml())),
        ("seconds", seconds(run.time)),
    ];
    keys.extend(details(run));
    keys
}

/// What is known of a run besides volumes and time: nothing for a run dry without more.
fn details(run: &Run) -> Vec<Key> {
    let mut keys = way(run.way);
    if run.left.is_some_liquid() {
        keys.push(("left_ml", number(run.left.as_ml())));
    }
    if let Some(read) = run.read {
        keys.push(("drawn_uncertainty_ml", number(read.drawn.as_ml())));
        keys.push(("catch_uncertainty_ml", number(read.catch.as_ml())));
    }
    keys.extend(weighed(|of| run.weights.map(|all| all.reading(of))));
    keys
}

fn way(way: Way) -> Vec<Key> {
    match way {
        Way::RunDry => Vec::new(),
        _ => vec![("way", quoted(way.word()))],
    }
}

fn weighed(reading: impl Fn(Weighed) -> Option<f64>) -> Vec<Key> {
    let shown = |of: Weighed| Some((weights::column(of), number(reading(of)?)));
    Weighed::ALL.into_iter().filter_map(shown).collect()
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
    sound(&mut out, &contents.sound);
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
    for back in &contents.brought_back {
        out.section("[[brought_back]]");
        out.moment("at", back.at);
        out.raw("calibration", back.calibration + 1);
        out.raw("calibrations_before", back.calibrations_before);
        out.raw("fills_before", back.fills_before);
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

/// Only what somebody chose.
fn sound(out: &mut Lines, sound: &Chosen) {
    if let Some(percent) = sound.volume_percent {
        out.raw("volume_percent", percent);
    }
    if let Some(language) = sound.language {
        out.text("language", language.code());
    }
    if let Some(name) = &sound.loudspeaker {
        out.text("loudspeaker", name.as_deref().unwrap_or_default());
    }
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
        out.raw("strength_percent", percent(kept.fill.strength));
        out.text("standing", &kept.fill.standing);
        match kept.fill.how {
            FillHow::Fresh => {}
            FillHow::ToppedUp { left, product } => {
                out.ml("left_ml", left);
                out.ml("left_product_ml", product);
            }
            FillHow::Mispoured { meant } => out.ml("meant_ml", meant),
        }
        out.mark("taken_back", kept.taken_back);
    }
    around_the_fill(out, contents);
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
    for kept in &contents.checks {
        out.section("[[check]]");
        out.moment("at", kept.record.at);
        out.text("sprayer", &kept.record.sprayer);
        if let Some(mix) = &kept.record.mix {
            out.text("mix", mix);
        }
        out.raw("seconds", seconds(kept.record.time));
        out.raw("calibrated_seconds", seconds(kept.record.calibrated));
        out.mark("ended", kept.ended);
    }
    for kept in &contents.corrections {
        out.section("[[correction]]");
        out.moment("at", kept.at);
        out.text("sprayer", &kept.sprayer);
        out.text("chemical", &kept.chemical);
        match kept.factor {
            Some(factor) => out.raw("factor", number(factor)),
            None => out.mark("lifted", true),
        }
        out.mark("ended", kept.ended);
    }
    for (at, run) in &contents.thrown_away {
        out.section("[[thrown_away_run]]");
        out.moment("at", *at);
        draft(out, run);
    }
    for (at, access) in &contents.lead {
        out.section("[[lead_access]]");
        out.moment("at", *at);
        out.text("what", lead::word(*access));
    }
    for (at, newest) in &contents.clocks {
        out.section("[[clock_put_right]]");
        out.moment("at", *at);
        out.moment("newest", *newest);
    }
    for (at, kept) in &contents.setup_changes {
        out.section("[[earlier_setup]]");
        out.moment("at", *at);
        match kept {
            KeptSetup::Found(text) => out.raw("text", long_text(text)),
            KeptSetup::Changed(change) => {
                let keys: Vec<String> = change.keys.iter().map(changed_key).collect();
                out.list("changed", &keys);
                out.raw("text_before", long_text(&change.text_before));
                out.raw("text", long_text(&change.text));
            }
        }
    }
}

fn changed_key(changed: &ChangedKey) -> String {
    let mut keys = vec![("place", quoted(&changed.place))];
    if !changed.key.is_empty() {
        keys.push(("key", quoted(&changed.key)));
    }
    keys.extend(
        changed
            .before
            .as_deref()
            .map(|text| ("before", quoted(text))),
    );
    keys.extend(changed.after.as_deref().map(|text| ("after", quoted(text))));
    in_a_line(&keys)
}

/// Rinses, the stock and the day's chemical.
fn around_the_fill(out: &mut Lines, contents: &Contents) {
    for kept in &contents.rinses {
        out.section("[[rinse]]");
        out.moment("at", kept.at);
        out.text("sprayer", &kept.sprayer);
        out.raw("fills_before", kept.fills_before);
        out.mark("taken_back", kept.taken_back);
    }
    for kept in &contents.stock {
        out.section("[[stock]]");
        out.moment("at", kept.at);
        out.text("chemical", &kept.chemical);
        let (word, containers, volume) = match kept.what {
            StockMove::Delivered { containers, volume } => {
                (stock::DELIVERED, Some(containers), Some(volume))
            }
            StockMove::Opened { containers } => (stock::OPENED, Some(containers), None),
            StockMove::Counted { volume } => (stock::COUNTED, None, Some(volume)),
        };
        out.text("what", word);
        if let Some(containers) = containers {
            out.raw("containers", containers);
        }
        if let Some(volume) = volume {
            out.ml("ml", volume);
        }
        out.raw("fills_before", kept.fills_before);
        out.mark("taken_back", kept.taken_back);
    }
    for kept in &contents.day_settings {
        out.section("[[day_setting]]");
        out.moment("at", kept.at);
        if let Scope::Sprayer(sprayer) = &kept.scope {
            out.text("sprayer", sprayer);
        }
        out.mark("taken_back", kept.taken_back);
        let Some(setting) = &kept.setting else {
            out.mark("ended", true);
            continue;
        };
        out.text("chemical", &setting.chemical);
        if let Some(strength) = setting.strength {
            out.raw("strength_percent", percent(strength));
        }
        out.mark("today_only", setting.today_only);
        if setting.allowed != Allowed::Freely {
            out.text("outside", setting.allowed.word());
        }
        out.mark("beside_never", setting.beside_never);
    }
    for choice in &contents.choices {
        out.section("[[choice]]");
        out.moment("at", choice.at);
        if let Scope::Sprayer(sprayer) = &choice.scope {
            out.text("sprayer", sprayer);
        }
        out.text("chemical", &choice.chemical);
        out.raw("settings_before", choice.settings_before);
    }
}

/// Nine decimals are more than any measure shows, and stay the same from copy to copy.
fn percent(strength: Strength) -> String {
    trim_number(strength.as_percent().max(1e-9), 9)
}

fn calibration(out: &mut Lines, kept: &KeptCalibration) {
    let record = &kept.record;
    let run = &record.calibration.run;
    out.text("sprayer", &record.sprayer);
    out.text("nozzle", &record.nozzle);
    out.text("washer", &record.washer);
    if let Some(dial) = &record.dial {
        out.text("dial", dial);
    }
    if let Some(container) = record.calibration.holds {
        // By weight older versions took for what it holds what had been drawn.
        let key = match run.way {
            Way::ByWeight => "measured_ml",
            Way::RunDry | Way::Timed => "holds_ml",
        };
        out.ml(key, container.holds());
    }
    out.ml("drawn_ml", run.drawn);
    out.ml("catch_ml", run.catch);
    out.raw("seconds", seconds(run.time));
    out.keys(&details(run));
    out.runs("more_runs", &record.calibration.more);
    out.moment("taken", record.taken);
    out.raw("washes_since", kept.washes_since);
    out.raw("fills_before", kept.fills_before);
    if let Some(cause) = kept.void {
        out.text("void", cause.word());
    }
    out.mark("confirmed", is_odd(&record.calibration));
    out.mark("taken_back", kept.taken_back);
}

fn draft(out: &mut Lines, run: &Draft) {
    out.text("sprayer", &run.sprayer);
    out.keys(&way(run.way));
    out.text("step", run.step.word());
    if let Some(holds) = run.holds {
        out.ml("holds_ml", holds);
    }
    if let Some(time) = run.set_time {
        out.raw("set_seconds", seconds(time));
    }
    if let Some(time) = run.time {
        out.raw("seconds", seconds(time));
    }
    out.loads("left_ml", &run.left_loads);
    out.loads("catch_ml", &run.catch_loads);
    out.keys(&weighed(|of| run.weights.get(&of).copied()));
    out.runs("runs", &run.runs);
}

/// Seconds to the last nanosecond, without trailing zeros.
fn seconds(time: Duration) -> String {
    let text = format!("{}.{:09}", time.as_secs(), time.subsec_nanos());
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
