//! Millimetres and contrast: every touch target, gap and text of every screen at every profile.
//!
//! The limits are design measures: 20 mm targets (Colle and Hiszem, Ergonomics 47(13), 2004; at
//! least 19 mm for mittens, MIL-STD-1472E 5.4.3.1.3.3), character heights by viewing distance
//! (2·D·tan(angle/2), NUREG-0700 r2 1.3.1-4), contrast by the WCAG 2.2 formula.

mod common;

use common::walk::{self, Seen};
use fillcall::bay::setup::{Panel, Profile};
use fillcall::screens::generated::{Look, Theme};
use i_slint_backend_testing::{ElementHandle, ElementQuery};
use slint::{Color, ComponentHandle};
use std::collections::BTreeSet;

const TARGET_MM: f64 = 20.0;
const MAIN_TARGET_MM: f64 = 25.0;
const GAP_MM: f64 = 3.0;
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

fn of_type(seen: &Seen<'_>, name: &str) -> Vec<ElementHandle> {
    ElementQuery::from_root(seen.window.off.screen().wall())
        .match_inherits(name)
        .find_all()
}

/// The notice strip lies over the head of the screen: what is under it cannot be seen or pressed.
fn strip(seen: &Seen<'_>, per_mm: f64) -> Option<Box4> {
    of_type(seen, "NoticeStrip")
        .first()
        .map(|strip| Box4::of(strip, per_mm))
}

fn each_screen(mut check: impl FnMut(&Seen<'_>, f64, Box4)) {
    for profile in Profile::ALL {
        let per_mm = Panel::usual(profile).pixels_per_mm();
        let (w, h) = profile.pixels();
        let glass = Box4 {
            x: 0.0,
            y: 0.0,
            r: f64::from(w) / per_mm,
            b: f64::from(h) / per_mm,
        };
        let mut screens = 0;
        walk::every_screen(profile, &mut |seen: Seen<'_>| {
            screens += 1;
            check(&seen, per_mm, glass);
        });
        assert!(screens > 40, "the walk saw {screens} screens only");
    }
}

#[test]
fn targets_are_large_apart_and_on_the_glass() {
    each_screen(|seen, per_mm, glass| {
        let strip = strip(seen, per_mm);
        let targets: Vec<(String, Box4)> = seen
            .window
            .off
            .buttons()
            .iter()
            .map(|b| {
                (
                    b.accessible_label().unwrap_or_default().into(),
                    Box4::of(b, per_mm),
                )
            })
            .filter(|(_, b)| match &strip {
                // Under the strip: hidden, and the strip takes the presses.
                Some(strip) => !b.inside(strip) || matches_strip(b, strip),
                None => true,
            })
            .collect();
        assert!(!targets.is_empty(), "{}: no targets found", seen.name);
        for (label, target) in &targets {
            let at = format!(
                "{} at {:.0} mm: \"{label}\" {target:.1?}",
                seen.name, glass.r
            );
            assert!(!label.is_empty(), "{at} has no name");
            assert!(target.width() >= TARGET_MM - SNAP_MM, "{at} is too narrow");
            assert!(target.height() >= TARGET_MM - SNAP_MM, "{at} is too low");
            assert!(target.inside(&glass), "{at} is off the glass");
        }
        for (i, (a, first)) in targets.iter().enumerate() {
            for (b, second) in &targets[i + 1..] {
                let under = |t: &Box4| strip.is_some_and(|s| t.inside(&s) && !matches_strip(t, &s));
                if under(first) || under(second) {
                    continue;
                }
                let gap = first.gap(second);
                assert!(
                    gap >= GAP_MM - SNAP_MM,
                    "{}: \"{a}\" and \"{b}\" are {gap:.2} mm apart",
                    seen.name
                );
            }
        }
    });
}

/// The strip's own buttons stand at its right end; what it hides is as wide as the screen's head.
fn matches_strip(target: &Box4, strip: &Box4) -> bool {
    let (undo_width, close_width) = (34.0, 24.0);
    let from_right = strip.r - target.x;
    let unit = strip.height() / 24.0;
    from_right <= (undo_width + close_width + 3.0 + 2.0) * unit + SNAP_MM
        && (target.width() - undo_width * unit)
            .abs()
            .min((target.width() - close_width * unit).abs())
            < SNAP_MM
}

#[test]
fn the_main_actions_are_higher() {
    let main = [
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
    let mut found = BTreeSet::new();
    each_screen(|seen, per_mm, _| {
        for button in seen.window.off.buttons() {
            let label = button.accessible_label().unwrap_or_default().to_string();
            if let Some(name) = main.iter().find(|m| **m == label) {
                found.insert(*name);
                let height = Box4::of(&button, per_mm).height();
                assert!(
                    height >= MAIN_TARGET_MM - SNAP_MM,
                    "{}: \"{label}\" is {height:.1} mm",
                    seen.name
                );
            }
        }
    });
    assert_eq!(found.len(), main.len(), "{found:?}");
}

#[test]
fn text_is_large_enough_and_none_is_clipped() {
    let mut short = Vec::new();
    each_screen(|seen, per_mm, glass| {
        let lines = of_type(seen, "Line");
        let mut texts = 0;
        for line in &lines {
            let inner = line.query_descendants().match_inherits("Text").find_all();
            let text = inner
                .first()
                .unwrap_or_else(|| panic!("{}: a line without text", seen.name));
            let words = line.accessible_label().unwrap_or_default();
            if words.is_empty() {
                continue;
            }
            texts += 1;
            let cut = line.accessible_description().unwrap_or_default();
            let (line, text) = (Box4::of(line, per_mm), Box4::of(text, per_mm));
            let at = format!("{} at {:.0} mm: \"{words}\" {line:.1?}", seen.name, glass.r);
            assert!(line.height() >= TEXT_MM - 0.01, "{at} is lower than 4 mm");
            // The glyphs' box, not the line's: a text wider than its line runs into its neighbour.
            assert!(
                text.width() <= line.width() + SNAP_MM,
                "{at} is cut: {text:.1?}"
            );
            assert!(line.inside(&glass), "{at} is off the glass");
            if !cut.is_empty() {
                short.push(at);
            }
        }
        assert!(texts > 1, "{}: {texts} texts found", seen.name);
        for para in of_type(seen, "Para") {
            let words = para.accessible_label().unwrap_or_default();
            let cut = para.accessible_description().unwrap_or_default();
            let para_box = Box4::of(&para, per_mm);
            let at = format!(
                "{} at {:.0} mm: \"{words}\" {para_box:.1?}",
                seen.name, glass.r
            );
            assert!(para_box.inside(&glass), "{at} is off the glass");
            if !cut.is_empty() {
                short.push(at);
            }
        }
    });
    assert!(short.is_empty(), "cut short:\n{}", short.join("\n"));
}

#[test]
fn texts_and_targets_keep_to_their_places() {
    each_screen(|seen, per_mm, glass| {
        let strip = strip(seen, per_mm);
        let hidden = |b: &Box4| strip.is_some_and(|s| b.gap(&s) < 0.0);
        let buttons: Vec<_> = seen
            .window
            .off
            .buttons()
            .iter()
            .map(|b| Box4::of(b, per_mm))
            .collect();
        let texts: Vec<_> = of_type(seen, "Line")
            .iter()
            .map(|l| Box4::of(l, per_mm))
            .collect();
        for text in texts.iter().filter(|t| t.width() > 0.0 && !hidden(t)) {
            for button in buttons.iter().filter(|b| !hidden(b)) {
                let clear = text.gap(button) >= -SNAP_MM;
                assert!(
                    clear || text.inside(button),
                    "{} at {:.0} mm: a text {text:.1?} runs over the edge of a target {button:.1?}",
                    seen.name,
                    glass.r
                );
            }
        }
    });
}

#[test]
fn no_text_runs_into_another() {
    each_screen(|seen, per_mm, glass| {
        let strip = strip(seen, per_mm);
        let mut texts: Vec<(String, Box4)> = Vec::new();
        for line in of_type(seen, "Line") {
            let label: String = line.accessible_label().unwrap_or_default().into();
            let whole = Box4::of(&line, per_mm);
            let inner = line.query_descendants().match_inherits("Text").find_all();
            let words = Box4::of(inner.first().expect("its text"), per_mm);
            // As wide as its letters, as high as its capitals.
            texts.push((
                label,
                Box4 {
                    x: words.x,
                    r: words.r,
                    ..whole
                },
            ));
        }
        for para in of_type(seen, "Para") {
            let label: String = para.accessible_label().unwrap_or_default().into();
            texts.push((label, Box4::of(&para, per_mm)));
        }
        texts.retain(|(label, b)| {
            !label.is_empty() && strip.is_none_or(|s| b.inside(&s) || b.gap(&s) >= 0.0)
        });
        assert!(texts.len() > 1, "{}: {} texts", seen.name, texts.len());
        for (i, (a, first)) in texts.iter().enumerate() {
            for (b, second) in &texts[i + 1..] {
                let hidden = strip.is_some_and(|s| first.inside(&s) || second.inside(&s));
                assert!(
                    hidden || first.gap(second) >= -0.3,
                    "{} at {:.0} mm: \"{a}\" {first:.1?} runs into \"{b}\" {second:.1?}",
                    seen.name,
                    glass.r
                );
            }
        }
    });
}

#[test]
fn the_figures_can_be_read_from_afar() {
    let mut figures = 0;
    each_screen(|seen, per_mm, _| {
        if seen.name != "fill" && seen.name != "fill-drum" && seen.name != "running" {
            return;
        }
        let heights: Vec<f64> = of_type(seen, "Line")
            .iter()
            .map(|l| Box4::of(l, per_mm).height())
            .collect();
        assert!(
            heights.iter().any(|h| *h >= FIGURE_MM - 0.01),
            "{}: {heights:.1?}",
            seen.name
        );
        if seen.name.starts_with("fill") {
            let bench = heights.iter().filter(|h| **h >= BENCH_MM - 0.01).count();
            assert!(
                bench >= 3,
                "{}: figure, water and strength: {heights:.1?}",
                seen.name
            );
        }
        figures += 1;
    });
    assert_eq!(figures, 9);
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
    let looks: [(&str, Look); 7] = [
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
                value.contains("Theme.") || value.contains("root.cap"),
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
