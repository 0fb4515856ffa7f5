//! Millimetres and contrast: every touch target, gap and text of every screen at every profile.
//!
//! The limits are design measures: 20 mm targets (Colle and Hiszem, Ergonomics 47(13), 2004; at
//! least 19 mm for mittens, MIL-STD-1472E 5.4.3.1.3.3), character heights by viewing distance
//! (2·D·tan(angle/2), NUREG-0700 r2 1.3.1-4), contrast by the WCAG 2.2 formula.

mod common;

use common::walk::{self, LANGUAGES, Seen};
use fillcall::bay::glass::MOST_CREEP;
use fillcall::bay::limits::DIM_PERCENT;
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::generated::{Look, Theme};
use fillcall::trade::language::Language;
use i_slint_backend_testing::{AccessibleRole, ElementHandle, ElementQuery};
use slint::{Color, ComponentHandle};
use std::collections::BTreeSet;

const TARGET_MM: f64 = 20.0;
const MAIN_TARGET_MM: f64 = 25.0;
const GAP_MM: f64 = 3.0;
/// The shift lead's letters alone: ten of them stand side by side on a 7 inch panel.
const LETTER_MM: f64 = 13.0;
const LETTER_GAP_MM: f64 = 2.0;
const TEXT_MM: f64 = 4.0;
const BENCH_MM: f64 = 12.0;
const FIGURE_MM: f64 = 29.0;
/// Half a pixel of the coarsest panel: layouts are snapped to whole pixels.
const SNAP_MM: f64 = 0.1;
/// Cap height of the font as a part of its size (Roboto Condensed, OS/2 table: 1456 of 2048).
const CAP: f64 = 1456.0 / 2048.0;

/// Left, top, right, bottom in mm.
#[derive(Debug, Clone, Copy)]
struct Box4 {
    x: f64,
    y: f64,
    r: f64,
    b: f64,
}

impl Box4 {
    fn of(element: &ElementHandle, per_mm: f64) -> Self {
        let (at, size) = (element.absolute_position(), element.size());
        let mm = |v: f32| f64::from(v) / per_mm;
        Self {
            x: mm(at.x),
            y: mm(at.y),
            r: mm(at.x + size.width),
            b: mm(at.y + size.height),
        }
    }
    fn width(&self) -> f64 {
        self.r - self.x
    }
    fn height(&self) -> f64 {
        self.b - self.y
    }
    fn inside(&self, other: &Self) -> bool {
        let s = SNAP_MM;
        self.x >= other.x - s
            && self.y >= other.y - s
            && self.r <= other.r + s
            && self.b <= other.b + s
    }
    /// The clear distance between two boxes; negative where they overlap.
    fn gap(&self, other: &Self) -> f64 {
        let x = (other.x - self.r).max(self.x - other.r);
        let y = (other.y - self.b).max(self.y - other.b);
        x.max(y)
    }
}

/// A text on one line: its words, whether it is cut, its line, and its letters in it.
struct Line {
    words: String,
    cut: bool,
    line: Box4,
    letters: Box4,
}

impl Line {
    /// As wide as its letters, as high as its line.
    fn letters_on(&self, line: Box4) -> Box4 {
        let (x, r) = (self.letters.x, self.letters.r);
        Box4 { x, r, ..line }
    }
}

/// A text on several lines.
struct Para {
    words: String,
    cut: bool,
    area: Box4,
}

/// What one screen shows in one language, in mm: all that the checks below go by.
struct Measured {
    /// Screen, language and panel, for messages.
    at: String,
    name: String,
    per_mm: f64,
    english: bool,
    glass: Box4,
    /// What can be seen and pressed.
    targets: Vec<(String, Box4)>,
    /// Which of them are letters.
    letters: Vec<Box4>,
    lines: Vec<Line>,
    paras: Vec<Para>,
    /// The notice strip lies over the head of the screen: what is under it cannot be seen.
    strip: Option<Box4>,
    /// What it must not hide: the way back, the tiles on top, what is typed.
    needed: Vec<Box4>,
    /// The mark of a training at the foot, or what stands wrong with the panel: where it is, and the word on it.
    band: Option<(Box4, Option<Box4>)>,
}

impl Measured {
    fn of(seen: &Seen<'_>, language: Language, profile: Profile) -> Self {
        let per_mm = Panel::usual(profile).pixels_per_mm();
        let (w, h) = profile.pixels();
        let wall = seen.window.off.screen().wall();
        let of_type = |name: &str| {
            ElementQuery::from_root(wall)
                .match_inherits(name)
                .find_all()
        };
        let label = |e: &ElementHandle| e.accessible_label().unwrap_or_default().to_string();
        let is_cut = |e: &ElementHandle| e.accessible_description().is_some_and(|d| !d.is_empty());
        let named = |b: &ElementHandle| (label(b), Box4::of(b, per_mm));
        // Over a page it lies on a strip of the wall; home has a place for it.
        let notice = |name: &str| of_type(name).into_iter().next();
        let strip = notice("NoticeStrip").or_else(|| notice("NoticeCard"));
        let mut bands = of_type("TrainingBand");
        // What stands wrong with the panel has the same place.
        bands.extend(of_type("StandingBand"));
        assert!(bands.len() < 2, "{} marks", bands.len());
        let band = bands.first().map(|band| Box4::of(band, per_mm));
        let on_the_band = |b: &Box4| band.is_some_and(|band| b.inside(&band));
        let mut targets: Vec<_> = seen.window.off.buttons().iter().map(named).collect();
        let tiles = of_type("PadCard").into_iter().chain(of_type("Tile"));
        let mut needed: Vec<_> = tiles.map(|tile| Box4::of(&tile, per_mm)).collect();
        let back = |(label, _): &&(String, Box4)| ["Back", "Atrás"].contains(&label.as_str());
        needed.extend(targets.iter().filter(back).map(|(_, target)| *target));
        if let Some(strip) = &strip {
            let under = Box4::of(strip, per_mm);
            targets.retain(|(_, target)| !target.inside(&under));
            let own = strip
                .query_descendants()
                .match_accessible_role(AccessibleRole::Button)
                .find_all();
            targets.extend(own.iter().map(named));
        }
        let marked = if band.is_some() { ", training" } else { "" };
        let (code, panel) = (language.code(), profile.name());
        let at = format!("{} in {code}, {panel}{marked}", seen.name);
        let (banner, lines): (Vec<_>, Vec<_>) = of_type("Line")
            .iter()
            .map(|line| {
                let inner = line.query_descendants().match_inherits("Text").find_all();
                let letters = inner.first();
                let letters = letters.unwrap_or_else(|| panic!("{at}: a line without text"));
                Line {
                    words: label(line),
                    cut: is_cut(line),
                    line: Box4::of(line, per_mm),
                    letters: Box4::of(letters, per_mm),
                }
            })
            .filter(|line| !line.words.is_empty())
            .partition(|line: &Line| on_the_band(&line.line));
        let paras = of_type("Para")
            .iter()
            .map(|para| Para {
                words: label(para),
                cut: is_cut(para),
                area: Box4::of(para, per_mm),
            })
            .filter(|para| !para.words.is_empty())
            .collect();
        Self {
            at,
            name: seen.name.to_owned(),
            per_mm,
            english: language == Language::English,
            glass: Box4 {
                x: 0.0,
                y: 0.0,
                r: f64::from(w) / per_mm,
                // What lies under the mark of a training is as little to be seen as what lies off
                // the glass.
                b: band.map_or(f64::from(h) / per_mm, |band| band.y),
            },
            targets,
            letters: of_type("LetterKey")
                .iter()
                .map(|key| Box4::of(key, per_mm))
                .collect(),
            lines,
            paras,
            strip: strip.map(|strip| Box4::of(&strip, per_mm)),
            needed,
            band: band.map(|band| {
                let whole = |line: &&Line| !line.cut;
                (band, banner.iter().find(whole).map(|line| line.line))
            }),
        }
    }
}

impl Measured {
    /// True for a key of the letters.
    fn is_letter(&self, target: &Box4) -> bool {
        self.letters
            .iter()
            .any(|letter| letter.inside(target) && target.inside(letter))
    }
}

/// The walk through every screen is what takes the time: it is done once for a panel, and every
/// check made of every screen in every language, without and with the mark of a training.
fn check_every_screen(profile: Profile) {
    let (mut faults, mut screens) = (Vec::new(), 0);
    let mut main_actions = BTreeSet::new();
    let mut figures = 0;
    walk::every_screen(profile, &mut |seen: Seen<'_>| {
        screens += 1;
        let wall = seen.window.off.screen();
        for language in LANGUAGES {
            seen.in_language(language, || {
                let screen = Measured::of(&seen, language, profile);
                check_screen(&screen, &mut faults);
                the_main_actions_are_higher(&screen, &mut main_actions, &mut faults);
                figures += the_figures_can_be_read_from_afar(&screen, &mut faults);
                if screen.band.is_some() {
                    the_training_can_be_seen(&screen, &mut faults);
                } else {
                    wall.mark_training(true);
                    let marked = Measured::of(&seen, language, profile);
                    check_screen(&marked, &mut faults);
                    the_training_can_be_seen(&marked, &mut faults);
                    wall.mark_training(false);
                }
            });
        }
    });
    assert!(
        faults.is_empty(),
        "{} faults:\n{}",
        faults.len(),
        faults.join("\n")
    );
    assert!(screens > 40, "the walk saw {screens} screens only");
    assert_eq!(main_actions.len(), MAIN_ACTIONS.len(), "{main_actions:?}");
    assert_eq!(figures, 3 * LANGUAGES.len());
}

fn check_screen(screen: &Measured, faults: &mut Vec<String>) {
    nothing_creeps_off_the_glass(screen, faults);
    targets_are_large_apart_and_on_the_glass(screen, faults);
    text_is_large_enough_and_none_is_clipped(screen, faults);
    texts_and_targets_keep_to_their_places(screen, faults);
    no_text_runs_into_another(screen, faults);
    a_notice_hides_nothing_that_is_needed(screen, faults);
}

/// The whole picture moves by some points each way; not in training, where the band is at the edge.
fn nothing_creeps_off_the_glass(screen: &Measured, faults: &mut Vec<String>) {
    if screen.band.is_some() {
        return;
    }
    let creep = f64::from(MOST_CREEP) / screen.per_mm;
    let Box4 { x, y, r, b } = screen.glass;
    let within = Box4 {
        x: x + creep,
        y: y + creep,
        r: r - creep,
        b: b - creep,
    };
    let targets = screen.targets.iter().map(|(label, at)| (label, *at));
    let lines = screen
        .lines
        .iter()
        .map(|line| (&line.words, line.letters_on(line.line)));
    let paras = screen.paras.iter().map(|para| (&para.words, para.area));
    for (what, at) in targets.chain(lines).chain(paras) {
        if !at.inside(&within) {
            faults.push(format!(
                "{}: \"{what}\" {at:.1?} creeps off the glass",
                screen.at
            ));
        }
    }
}

fn a_notice_hides_nothing_that_is_needed(screen: &Measured, faults: &mut Vec<String>) {
    let Some(strip) = screen.strip else { return };
    for hidden in screen.needed.iter().filter(|b| b.gap(&strip) < -SNAP_MM) {
        faults.push(format!(
            "{}: the notice {strip:.1?} lies over {hidden:.1?}",
            screen.at
        ));
    }
}

fn the_training_can_be_seen(screen: &Measured, faults: &mut Vec<String>) {
    let readable = |word: &Box4| word.height() >= TEXT_MM - 0.01;
    if !screen
        .band
        .is_some_and(|(_, word)| word.is_some_and(|w| readable(&w)))
    {
        faults.push(format!("{}: the mark cannot be read", screen.at));
    }
}

// A test for each panel, so that they go side by side.

#[test]
fn every_screen_of_the_coarse_seven_inch_panel() {
    check_every_screen(Profile::Seven800);
}

#[test]
fn every_screen_of_the_fine_seven_inch_panel() {
    check_every_screen(Profile::Seven1024);
}

#[test]
fn every_screen_of_the_ten_inch_panel() {
    check_every_screen(Profile::Ten1280);
}

#[test]
fn no_panel_is_left_out() {
    let checked = [Profile::Seven800, Profile::Seven1024, Profile::Ten1280];
    assert_eq!(Profile::ALL, checked);
}

fn targets_are_large_apart_and_on_the_glass(screen: &Measured, faults: &mut Vec<String>) {
    let Measured { at, targets, .. } = screen;
    // One that only wakes, or is wiped, has nothing to press.
    let presses_nothing = ["glass-dark", "glass-dark-elsewhere", "glass-wiped"];
    if targets.is_empty() != presses_nothing.contains(&screen.name.as_str()) {
        faults.push(format!("{at}: {} targets found", targets.len()));
    }
    for (label, target) in targets {
        let mut fault = |what: &str| faults.push(format!("{at}: \"{label}\" {target:.1?} {what}"));
        if label.is_empty() {
            fault("has no name");
        }
        let least = match screen.is_letter(target) {
            true => LETTER_MM,
            false => TARGET_MM,
        };
        if target.width() < least - SNAP_MM {
            fault("is too narrow");
        }
        if target.height() < least - SNAP_MM {
            fault("is too low");
        }
        if !target.inside(&screen.glass) {
            fault("is off the glass");
        }
    }
    for (i, (a, first)) in targets.iter().enumerate() {
        for (b, second) in &targets[i + 1..] {
            let gap = first.gap(second);
            let least = match screen.is_letter(first) && screen.is_letter(second) {
                true => LETTER_GAP_MM,
                false => GAP_MM,
            };
            if gap < least - SNAP_MM {
                faults.push(format!("{at}: \"{a}\" and \"{b}\" are {gap:.2} mm apart"));
            }
        }
    }
}

/// By their English names; in other languages they are the same elements.
const MAIN_ACTIONS: [&str; 23] = [
    "Say it",
    "Filled",
    "Wash done",
    "Calibrate",
    "Start",
    "Stop",
    "Next",
    "Save",
    "It is full to the line",
    "Nozzle changed",
    "Use the old figure once",
    "Read it again",
    "Run dry",
    "Timed",
    "By weight",
    "Timed check",
    "Break off",
    "Clean water",
    "The mix",
    "Check again",
    "Correct the dose",
    "End the correction",
    "One more run",
];

fn the_main_actions_are_higher(
    screen: &Measured,
    found: &mut BTreeSet<&'static str>,
    faults: &mut Vec<String>,
) {
    for (label, target) in screen.targets.iter().filter(|_| screen.english) {
        if let Some(name) = MAIN_ACTIONS.iter().find(|m| *m == label) {
            found.insert(name);
            if target.height() < MAIN_TARGET_MM - SNAP_MM {
                let height = target.height();
                faults.push(format!("{}: \"{label}\" is {height:.1} mm", screen.at));
            }
        }
    }
}

fn text_is_large_enough_and_none_is_clipped(screen: &Measured, faults: &mut Vec<String>) {
    for text in &screen.lines {
        let Line {
            words,
            line,
            letters,
            ..
        } = text;
        let mut fault =
            |what: &str| faults.push(format!("{}: \"{words}\" {line:.1?} {what}", screen.at));
        if line.height() < TEXT_MM - 0.01 {
            fault("is lower than 4 mm");
        }
        // The letters, not their line: a text wider than its line runs into its neighbour.
        if text.cut || letters.width() > line.width() + SNAP_MM {
            fault(&format!("is cut: {letters:.1?}"));
        }
        if !line.inside(&screen.glass) {
            fault("is off the glass");
        }
    }
    let found = screen.lines.len() + screen.paras.len();
    if found < 2 {
        faults.push(format!("{}: {found} texts found", screen.at));
    }
    for Para { words, cut, area } in &screen.paras {
        let mut fault =
            |what: &str| faults.push(format!("{}: \"{words}\" {area:.1?} {what}", screen.at));
        if *cut {
            fault("is cut short");
        }
        if !area.inside(&screen.glass) {
            fault("is off the glass");
        }
    }
}

fn texts_and_targets_keep_to_their_places(screen: &Measured, faults: &mut Vec<String>) {
    let hidden = |b: &Box4| screen.strip.is_some_and(|s| b.gap(&s) < 0.0);
    // The lines of a longer text have some room over and under their letters.
    const ROOM_MM: f64 = 1.0;
    for para in screen.paras.iter().filter(|p| !hidden(&p.area)) {
        for (label, target) in screen.targets.iter().filter(|(_, b)| !hidden(b)) {
            let wider = Box4 {
                x: target.x,
                y: target.y - ROOM_MM,
                r: target.r,
                b: target.b + ROOM_MM,
            };
            if para.area.gap(target) < -ROOM_MM && !para.area.inside(&wider) {
                faults.push(format!(
                    "{}: \"{}\" {:.1?} runs over the edge of \"{label}\" {target:.1?}",
                    screen.at, para.words, para.area
                ));
            }
        }
    }
    for text in screen.lines.iter().filter(|t| !hidden(&t.line)) {
        for (label, target) in screen.targets.iter().filter(|(_, b)| !hidden(b)) {
            if text.line.gap(target) < -SNAP_MM && !text.line.inside(target) {
                faults.push(format!(
                    "{}: \"{}\" {:.1?} runs over the edge of \"{label}\" {target:.1?}",
                    screen.at, text.words, text.line
                ));
            }
        }
    }
}

fn no_text_runs_into_another(screen: &Measured, faults: &mut Vec<String>) {
    // As wide as its letters, as high as its capitals.
    let lines = screen
        .lines
        .iter()
        .map(|text| (&text.words, text.letters_on(text.line)));
    let mut texts: Vec<_> = lines.collect();
    texts.extend(screen.paras.iter().map(|para| (&para.words, para.area)));
    texts.retain(|(_, b)| {
        screen
            .strip
            .is_none_or(|s| b.inside(&s) || b.gap(&s) >= 0.0)
    });
    if texts.len() < 2 {
        faults.push(format!("{}: {} texts", screen.at, texts.len()));
    }
    for (i, (a, first)) in texts.iter().enumerate() {
        for (b, second) in &texts[i + 1..] {
            let hidden = |s: Box4| first.inside(&s) || second.inside(&s);
            if !screen.strip.is_some_and(hidden) && first.gap(second) < -0.3 {
                faults.push(format!(
                    "{}: \"{a}\" {first:.1?} runs into \"{b}\" {second:.1?}",
                    screen.at
                ));
            }
        }
    }
}

/// How many screens with figures it was: one or none.
fn the_figures_can_be_read_from_afar(screen: &Measured, faults: &mut Vec<String>) -> usize {
    let fills = ["fill", "fill-drum"].contains(&screen.name.as_str());
    if !fills && screen.name != "running" {
        return 0;
    }
    let heights: Vec<f64> = screen.lines.iter().map(|l| l.line.height()).collect();
    let as_high_as = |mm: f64| heights.iter().filter(|h| **h >= mm - 0.01).count();
    // Figure, its unit and water.
    if as_high_as(FIGURE_MM) == 0 || (fills && as_high_as(BENCH_MM) < 3) {
        faults.push(format!("{}: {heights:.1?}", screen.at));
    }
    1
}

/// 2·D·tan(angle/2): the height that is `minutes` of arc at `distance` mm.
fn height_for(minutes: f64, distance: f64) -> f64 {
    2.0 * distance * (minutes / 60.0 / 2.0).to_radians().tan()
}

#[test]
fn heights_follow_from_distances() {
    // NUREG-0700 r2 1.3.1-4: 20 minutes of arc at 700 mm, 1 m and 2 m.
    for (distance, height) in [(700.0, 4.07), (1000.0, 5.82), (2000.0, 11.64)] {
        assert!((height_for(20.0, distance) - height).abs() < 0.005);
    }
    assert!(FIGURE_MM + 0.1 >= height_for(20.0, 5000.0));
    assert!(BENCH_MM >= height_for(20.0, 2000.0));
}

#[test]
fn the_cap_height_is_that_of_the_font() {
    let window = common::window::window(Profile::Seven800);
    let theme = window.off.screen().wall().global::<Theme>();
    assert!((f64::from(theme.get_cap_part()) - CAP).abs() < 0.001);
}

fn luminance(color: Color) -> f64 {
    let channel = |c: u8| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * channel(color.red()) + 0.7152 * channel(color.green()) + 0.0722 * channel(color.blue())
}

fn contrast(a: Color, b: Color) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn the_contrast_formula_is_that_of_wcag() {
    // WCAG 2.2: white on black 21, and the greys of its technique texts on white.
    let grey = |hex: u32| Color::from_argb_encoded(0xff00_0000 | hex);
    let white = grey(0xff_ffff);
    for (hex, ratio) in [
        (0x00_0000, 21.0),
        (0x76_7676, 4.54),
        (0x77_7777, 4.48),
        (0x59_5959, 7.00),
        (0x94_9494, 3.03),
    ] {
        assert!(
            (contrast(grey(hex), white) - ratio).abs() < 0.006,
            "{hex:x}"
        );
    }
}

#[test]
fn every_pair_of_the_theme_keeps_its_contrast() {
    let window = common::window::window(Profile::Seven800);
    let theme = window.off.screen().wall().global::<Theme>();
    let looks: [(&str, Look); 8] = [
        ("aid", theme.get_aid()),
        ("wall", theme.get_wall()),
        ("card", theme.get_card()),
        ("accent", theme.get_accent()),
        ("pressed", theme.get_pressed()),
        ("due", theme.get_due()),
        ("alert", theme.get_alert()),
        ("off", theme.get_off()),
    ];
    let wall = theme.get_wall().back;
    for (name, look) in &looks {
        assert!(contrast(look.text, look.back) >= 7.0, "{name} text");
        assert!(contrast(look.quiet, look.back) >= 7.0, "{name} quiet text");
        // Its edge tells a target from the wall.
        if *name != "wall" {
            let edge = contrast(look.edge, wall);
            assert!(edge >= 3.0, "{name} edge on the wall: {edge:.2}");
        }
    }
    assert!(
        contrast(theme.get_wall().text, wall) >= 12.0,
        "the fill figure"
    );
    // The drawing: product against water, both inside the container's edge.
    assert!(contrast(theme.get_product(), theme.get_water()) >= 3.0);
    assert!(contrast(theme.get_card().edge, theme.get_card().back) >= 3.0);
    // The water's surface is told by the line drawn over it, its sides by the container's edge.
    assert!(contrast(theme.get_wall().text, theme.get_water()) >= 3.0);
    assert!(contrast(theme.get_card().edge, theme.get_water()) >= 3.0);
    // Signs drawn on the wall.
    assert!(contrast(theme.get_alert().back, wall) >= 3.0);
}

/// The figure of home can be read from the mixing bench, as dim as the glass may be set and drawn.
#[test]
fn a_dimmed_picture_can_be_read() {
    let window = common::window::window(Profile::Seven800);
    let theme = window.off.screen().wall().global::<Theme>();
    let least = f64::from(*DIM_PERCENT.start()) / 100.0;
    let dimmed = |color: Color| {
        let part = |channel: u8| (f64::from(channel) * least).round() as u8;
        Color::from_rgb_u8(part(color.red()), part(color.green()), part(color.blue()))
    };
    let on = |look: &Look| contrast(dimmed(look.text), dimmed(look.back));
    // WCAG 2.2, 1.4.3: 4.5 for text, 3 for large text, of which home has no other. At twice the
    // usual least height for the distance (20 minutes of arc), the figure is large.
    for look in [theme.get_wall(), theme.get_card(), theme.get_due()] {
        assert!(on(&look) >= 4.5, "{:.2}", on(&look));
    }
    for look in [theme.get_accent(), theme.get_alert(), theme.get_aid()] {
        assert!(on(&look) >= 3.0, "{:.2}", on(&look));
    }
    assert!(FIGURE_MM >= 2.0 * height_for(20.0, 2000.0));
    // At night it is dark, and its words can be read.
    let night = theme.get_night();
    assert!(contrast(night.text, night.back) >= 7.0);
    assert!(contrast(night.quiet, night.back) >= 7.0);
}

#[test]
fn every_size_of_text_is_one_of_the_themes() {
    // What a test of the layout cannot see: the letters of a text on several lines.
    each_file_of_the_screens(|name, line, code| {
        if let Some(cap) = code.split("cap: ").nth(1) {
            let value = cap.split([';', '}']).next().unwrap_or_default();
            let own: Option<f64> = value
                .split(" * Theme.u")
                .next()
                .and_then(|n| n.parse().ok());
            let fine = own.map_or(
                // What fits is never smaller than the theme's smallest.
                ["Theme.", "root.cap", "root.fitting"]
                    .iter()
                    .any(|known| value.contains(known)),
                |n| n >= TEXT_MM,
            );
            assert!(fine, "{name}:{line}: cap {value}");
            if let Some(factor) = value.strip_prefix("Theme.small * ") {
                assert!(
                    factor.trim().parse::<f64>().is_ok_and(|f| f >= 1.0),
                    "{name}:{line}: {value}"
                );
            }
        }
        let raw = code.contains("font-size") || code.trim_start().starts_with("Text {");
        assert!(
            !raw || name == "text.slint",
            "{name}:{line}: a text outside parts/text.slint"
        );
        let clicked = code.contains("clicked");
        assert!(
            !clicked,
            "{name}:{line}: wet glass clicks by itself; see parts/press.slint"
        );
    });
}

#[test]
fn no_screen_names_a_colour_of_its_own() {
    each_file_of_the_screens(|name, line, code| {
        let hex = code
            .split('#')
            .skip(1)
            .any(|rest| rest.chars().take_while(char::is_ascii_hexdigit).count() >= 3);
        assert!(
            !hex || name == "theme.slint",
            "{name}:{line}: a colour outside theme.slint"
        );
    });
}

/// Every line of every file under `ui/`, without its comment.
fn each_file_of_the_screens(mut check: impl FnMut(&str, usize, &str)) {
    let mut folders = vec![std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("ui")];
    let mut read = 0;
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("the folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "slint") {
                let name = path
                    .file_name()
                    .and_then(|n| n.to_str())
                    .unwrap_or_default();
                let text = std::fs::read_to_string(&path).expect("the file");
                read += 1;
                for (n, line) in text.lines().enumerate() {
                    check(name, n + 1, line.split("//").next().unwrap_or_default());
                }
            }
        }
    }
    assert!(read > 10, "{read} files read");
}
