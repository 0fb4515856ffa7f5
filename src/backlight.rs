//! The light behind the glass, as Linux lets it be set: a folder for each in `/sys/class/backlight`.

use crate::bay::ports::Backlight;
use std::fs;
use std::path::{Path, PathBuf};

/// Where the lights are, below the root.
const FOLDER: &str = "sys/class/backlight";
/// The eye sees a light of one fifth as half as bright.
const GAMMA: f64 = 2.2;

/// One light.
struct Lamp {
    /// The file that its level is written to.
    brightness: PathBuf,
    /// Its highest level.
    most: u32,
    /// It was told that it cannot be set.
    is_told: bool,
}

/// All lights of the panel. Where it is dropped they are as bright as they can be: nobody else is there
/// to see to that.
pub struct SysfsBacklight {
    lamps: Vec<Lamp>,
}

impl SysfsBacklight {
    /// The lights of the system whose root folder this is; none is fine.
    pub fn below(root: &Path) -> Self {
        let entries = fs::read_dir(root.join(FOLDER)).into_iter().flatten();
        let lamps = entries.flatten().filter_map(|entry| {
            let most = fs::read_to_string(entry.path().join("max_brightness")).ok()?;
            Some(Lamp {
                brightness: entry.path().join("brightness"),
                most: most.trim().parse().ok().filter(|most| *most > 0)?,
                is_told: false,
            })
        });
        Self {
            lamps: lamps.collect(),
        }
    }
}

/// The level of a light for so many percent of what an eye sees. Never 0: that is off for good on some
/// panels.
fn level(percent: u8, most: u32) -> u32 {
    let part = (f64::from(percent.min(100)) / 100.0).powf(GAMMA);
    ((f64::from(most) * part).round() as u32).clamp(1, most)
}

impl Backlight for SysfsBacklight {
    fn light(&mut self, percent: u8) -> bool {
        let mut is_lit = false;
        for lamp in &mut self.lamps {
            match fs::write(&lamp.brightness, level(percent, lamp.most).to_string()) {
                Ok(()) => is_lit = true,
                Err(_) if lamp.is_told => {}
                Err(error) => {
                    lamp.is_told = true;
                    eprintln!(
                        "fillcall: the backlight {} cannot be set: {error}",
                        lamp.brightness.display()
                    );
                }
            }
        }
        is_lit
    }
}

impl Drop for SysfsBacklight {
    fn drop(&mut self) {
        self.light(100);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tempfile::TempDir;

    /// A folder with the lights of a panel, by their highest levels.
    fn planted(lights: &[(&str, &str)]) -> TempDir {
        let root = tempfile::tempdir().expect("a folder");
        for (name, most) in lights {
            let folder = root.path().join(FOLDER).join(name);
            fs::create_dir_all(&folder).expect("made");
            fs::write(folder.join("max_brightness"), most).expect("written");
            fs::write(folder.join("brightness"), "1\n").expect("written");
        }
        root
    }

    fn level_of(root: &TempDir, name: &str) -> String {
        let file = root.path().join(FOLDER).join(name).join("brightness");
        fs::read_to_string(file).expect("read")
    }

    #[test]
    fn every_light_is_set_by_its_own_highest_level() {
        let root = planted(&[("a", "255\n"), ("b", "1000\n")]);
        let mut light = SysfsBacklight::below(root.path());
        assert!(light.light(100));
        assert_eq!(
            (level_of(&root, "a"), level_of(&root, "b")),
            ("255".into(), "1000".into())
        );
        assert!(light.light(60));
        // 0.6 to the power of 2.2 is 0.325.
        assert_eq!(
            (level_of(&root, "a"), level_of(&root, "b")),
            ("83".into(), "325".into())
        );
        drop(light);
        assert_eq!(level_of(&root, "b"), "1000", "nobody else lights it again");
    }

    #[test]
    fn no_light_is_ever_off() {
        for most in [1, 7, 15, 255, 65_535] {
            for percent in 0..=100 {
                assert!((1..=most).contains(&level(percent, most)));
            }
            assert_eq!(level(100, most), most);
            assert_eq!(level(u8::MAX, most), most);
        }
    }

    #[test]
    fn where_none_can_be_set_that_is_said() {
        let none = tempfile::tempdir().expect("a folder");
        assert!(!SysfsBacklight::below(none.path()).light(60));
        // A folder in the place of the file takes no writing, not even root's.
        let root = planted(&[("a", "255\n")]);
        let file = root.path().join(FOLDER).join("a/brightness");
        fs::remove_file(&file).expect("removed");
        fs::create_dir(&file).expect("made");
        assert!(!SysfsBacklight::below(root.path()).light(60));
        // And a highest level that is none.
        let odd = planted(&[("a", "0\n"), ("b", "bright\n")]);
        assert!(!SysfsBacklight::below(odd.path()).light(60));
        assert_eq!(level_of(&odd, "a"), "1\n");
        // One of two is enough.
        let two = planted(&[("a", "0\n"), ("b", "10\n")]);
        assert!(SysfsBacklight::below(two.path()).light(60));
    }
}
