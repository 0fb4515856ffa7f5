//! The keys by which the back end of a bare panel ends the program: Ctrl and Alt with Backspace or Delete.
//! A wall has nobody who would start it again.

/// Left and right Ctrl, left and right Alt, by their codes of the kernel's `input-event-codes.h`.
const CTRL: [u32; 2] = [29, 97];
const ALT: [u32; 2] = [56, 100];
/// Backspace, Delete, and the key of the number pad that is Delete without NumLock.
const ENDING: [u32; 3] = [14, 111, 83];

/// Which of Ctrl and Alt are held down, on all keyboards together.
#[derive(Debug, Default)]
pub struct Chord {
    ctrl: [bool; 2],
    alt: [bool; 2],
}

impl Chord {
    /// True where this key, by its code of the kernel, would end the program as it goes down or comes up.
    pub fn takes(&mut self, code: u32, pressed: bool) -> bool {
        for (held, codes) in [(&mut self.ctrl, CTRL), (&mut self.alt, ALT)] {
            for (held, of) in held.iter_mut().zip(codes) {
                if of == code {
                    *held = pressed;
                }
            }
        }
        let held = |keys: &[bool; 2]| keys.iter().any(|held| *held);
        ENDING.contains(&code) && held(&self.ctrl) && held(&self.alt)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_keys_that_end_the_program_are_taken_with_both_held_and_only_then() {
        for ctrl in CTRL {
            for alt in ALT {
                for key in ENDING {
                    let mut chord = Chord::default();
                    assert!(!chord.takes(key, true), "alone it erases");
                    assert!(!chord.takes(ctrl, true) && !chord.takes(key, true));
                    assert!(!chord.takes(alt, true), "it goes on to Slint");
                    assert!(chord.takes(key, true) && chord.takes(key, false));
                    assert!(!chord.takes(30, true), "another key is none of them");
                    assert!(!chord.takes(ctrl, false) && !chord.takes(key, true));
                }
            }
        }
    }
}
