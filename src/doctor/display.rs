//! The display: whether there is one, and whether it is the one of the set-up.

use super::{Finding, Root, Told, in_window, no_kernel, settings};
use crate::bay::panel::Standing;
use crate::bay::setup::Profile;
use crate::text;
use crate::trade::text::Text;

const WHAT: &str = "display";

/// Width and height in points.
type Mode = (u32, u32);

/// A display that is connected.
struct Connected {
    /// The kernel's name of its socket, such as `HDMI-A-1`; empty where it has none.
    socket: String,
    /// Its modes, the one that is used first.
    modes: Vec<Mode>,
}

/// Holds the display's mode against the panel of the set-up.
pub fn look(root: &Root, told: &Told) -> Finding {
    if told.in_window {
        return in_window(WHAT);
    }
    if !root.runs() {
        return no_kernel(WHAT);
    }
    let displays = connected(root);
    let Some(display) = displays.first() else {
        return Finding::wrong(
            WHAT,
            "No display is connected.",
            "Push its cable home at both ends. Switch the panel off and on. If it stays so: journalctl -k",
        );
    };
    let Some(&mode) = display.modes.first() else {
        return Finding::wrong(
            WHAT,
            "The display does not tell its size.",
            "Push its cable home at both ends. If it stays so, take another cable.",
        );
    };
    if let Some(finding) = turned(root, mode) {
        return finding;
    }
    let other_place = settings::profile(root);
    let profile = other_place.or(told.profile).unwrap_or(Profile::Seven800);
    if mode != profile.pixels() {
        return another(display, mode, profile, other_place.is_some());
    }
    if displays.len() > 1 {
        return Finding::warn(
            WHAT,
            text!(
                "{} displays are connected. The wall uses one.",
                displays.len()
            ),
            "Unplug the others.",
        );
    }
    Finding::good(WHAT, text!("{}, as in the set-up.", points(mode)))
}

/// A display that stands on end, or a picture that is not drawn point by point.
fn turned(root: &Root, mode: Mode) -> Option<Finding> {
    let (width, height) = mode;
    if height > width {
        return Some(Finding::wrong(
            WHAT,
            text!(
                "This panel stands upright: {}. The wall is laid out for lying panels.",
                points(mode)
            ),
            "Put in a display that is wider than high.",
        ));
    }
    let rotation = settings::value(root, "SLINT_KMS_ROTATION").unwrap_or_default();
    if rotation == "90" || rotation == "270" {
        return Some(Finding::wrong(
            WHAT,
            text!(
                "This panel stands upright: the picture is turned by {}°. The wall is laid out for lying panels.",
                rotation
            ),
            text!(
                "Hang the display upright or upside down. Take SLINT_KMS_ROTATION out of {}, or set it to 180.",
                settings::FILE
            ),
        ));
    }
    let scale = settings::value(root, "SLINT_SCALE_FACTOR")?;
    (scale.parse() != Ok(1.0)).then(|| {
        Finding::wrong(
            WHAT,
            text!(
                "The picture is drawn {} times as large. Lengths on the glass are not true then.",
                scale
            ),
            text!("Take SLINT_SCALE_FACTOR out of {}.", settings::FILE),
        )
    })
}

/// A mode that is not the one of the set-up.
fn another(display: &Connected, mode: Mode, profile: Profile, from_settings: bool) -> Finding {
    let fitting = Profile::of_pixels(mode);
    let (has, is_for) = (points(mode), points(profile.pixels()));
    let says = match fitting {
        Some(_) => text!(
            "The display has {}. The set-up is for {}. The wall is laid out for what it has, and takes it to be as \
             large as such panels usually are.",
            has,
            is_for
        ),
        None => text!(
            "The display has {}. The set-up is for {}. Lengths go by the diagonal in the set-up, and some of the \
             screens may be cut off.",
            has,
            is_for
        ),
    };
    let remedy = if let Some(fitting) = fitting {
        let place = match from_settings {
            true => text!("Write --profile {} in {}.", fitting.name(), settings::FILE),
            false => text!(
                "Write profile = \"{}\" below [screen] in bay.toml.",
                fitting.name()
            ),
        };
        text!(
            "{} Then start the wall anew: systemctl restart fillcall",
            place
        )
    } else if display.modes.contains(&profile.pixels()) && !display.socket.is_empty() {
        let (width, height) = profile.pixels();
        text!(
            "The display can be set so. Add this to the kernel's command line: {}",
            format!("video={}:{width}x{height}", display.socket)
        )
    } else {
        let sizes = Profile::ALL.map(|p| points(p.pixels()));
        text!("Put in a display with one of these: {}.", Text::list(sizes))
    };
    Finding::wrong(WHAT, says, remedy).standing(Standing::OtherDisplay)
}

fn points((width, height): Mode) -> Text {
    text!("{} × {} points", width, height)
}

/// The displays that are connected, in the order of their sockets.
fn connected(root: &Root) -> Vec<Connected> {
    let sockets = root.names("sys/class/drm").into_iter().filter_map(|name| {
        let socket = name.strip_prefix("card")?.split_once('-')?.1.to_owned();
        let folder = format!("sys/class/drm/{name}");
        let status = root.text(&format!("{folder}/status"))?;
        (status == "connected").then(|| Connected {
            socket,
            modes: modes(&root.text(&format!("{folder}/modes")).unwrap_or_default()),
        })
    });
    let sockets: Vec<Connected> = sockets.collect();
    if !sockets.is_empty() || !root.names("sys/class/drm").is_empty() {
        return sockets;
    }
    // A display of which the kernel knows only a piece of memory.
    let plain = root.text("sys/class/graphics/fb0/modes");
    let plain = plain.map(|text| Connected {
        socket: String::new(),
        modes: modes(&text),
    });
    plain.into_iter().collect()
}

/// Modes as the kernel writes them, one a line: `1024x600`, `1920x1080i`, `U:800x480p-60`.
fn modes(text: &str) -> Vec<Mode> {
    let lines = text.lines().filter_map(|line| {
        let line = line.split_once(':').map_or(line, |(_, mode)| mode);
        let (width, rest) = line.trim().split_once('x')?;
        let height = rest.split(|c: char| !c.is_ascii_digit()).next()?;
        Some((width.parse().ok()?, height.parse().ok()?))
    });
    lines.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn modes_are_read_as_the_kernel_writes_them() {
        for (text, read) in [
            ("1024x600\n800x600", vec![(1024, 600), (800, 600)]),
            ("1920x1080i", vec![(1920, 1080)]),
            ("U:800x480p-60", vec![(800, 480)]),
            ("nothing", vec![]),
        ] {
            assert_eq!(modes(text), read, "{text}");
        }
    }
}
