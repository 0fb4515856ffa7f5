//! The input devices as `/proc/bus/input/devices` tells of them.

use super::Root;

// From the kernel's list of input codes.
const ENTER: usize = 28;
const SPACE: usize = 57;
const NUMBER_PAD_ENTER: usize = 96;
const TOUCH: usize = 0x14a;
const PEN: usize = 0x140;
const FINGER: usize = 0x145;
const ABS_X: usize = 0;
const ABS_Y: usize = 1;
const ABS_MT_POSITION_X: usize = 53;
const REL_X: usize = 0;
const BTN_LEFT: usize = 0x110;
const POINTER: usize = 0;
const DIRECT: usize = 1;

/// A row of bits as the kernel writes it: numbers of 64 bits in hex, the highest first.
#[derive(Debug, Default)]
struct Bits(Vec<u64>);

impl Bits {
    fn read(text: &str) -> Self {
        let words = text.split_whitespace().rev();
        Self(
            words
                .map_while(|word| u64::from_str_radix(word, 16).ok())
                .collect(),
        )
    }
    fn has(&self, bit: usize) -> bool {
        self.0
            .get(bit / 64)
            .is_some_and(|word| word >> (bit % 64) & 1 == 1)
    }
}

/// One device.
#[derive(Debug, Default)]
pub struct Input {
    /// What it calls itself.
    pub name: String,
    properties: Bits,
    keys: Bits,
    axes: Bits,
    wheels: Bits,
}

impl Input {
    /// True for a panel that is touched where its picture is: no touchpad, no pen.
    pub fn is_touch_panel(&self) -> bool {
        if self.properties.has(POINTER) {
            return false;
        }
        let other = self.keys.has(PEN) || self.keys.has(FINGER);
        let one_finger = self.axes.has(ABS_X) && self.axes.has(ABS_Y) && self.keys.has(TOUCH);
        let places = self.axes.has(ABS_MT_POSITION_X) || one_finger;
        places && (self.properties.has(DIRECT) || !other)
    }

    /// True for a mouse.
    pub fn is_mouse(&self) -> bool {
        self.wheels.has(REL_X) && self.keys.has(BTN_LEFT)
    }

    /// True for what types a key that the wall takes: a keyboard, a number pad, a pedal.
    pub fn has_keys(&self) -> bool {
        [ENTER, SPACE, NUMBER_PAD_ENTER]
            .iter()
            .any(|key| self.keys.has(*key))
    }
}

/// The names of the devices of a kind, as a list in the kernel's order; `None` where there is none.
pub fn names(root: &Root, is_one: fn(&Input) -> bool) -> Option<String> {
    let text = root.text("proc/bus/input/devices")?;
    let devices = text.split("\n\n").filter(|block| !block.trim().is_empty());
    let of_the_kind = devices.map(read).filter(is_one);
    let names: Vec<String> = of_the_kind.map(|input| input.name).collect();
    (!names.is_empty()).then(|| names.join(", "))
}

fn read(block: &str) -> Input {
    let mut input = Input::default();
    for line in block.lines() {
        let Some((_, said)) = line.split_once(": ") else {
            continue;
        };
        match said.split_once('=') {
            Some(("Name", name)) => input.name = name.trim_matches('"').to_owned(),
            Some(("PROP", bits)) => input.properties = Bits::read(bits),
            Some(("KEY", bits)) => input.keys = Bits::read(bits),
            Some(("ABS", bits)) => input.axes = Bits::read(bits),
            Some(("REL", bits)) => input.wheels = Bits::read(bits),
            _ => {}
        }
    }
    input
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bits_are_counted_from_the_last_number() {
        let bits = Bits::read("2608000 3");
        assert!(bits.has(0) && bits.has(1) && !bits.has(2));
        assert!(bits.has(64 + 15) && !bits.has(64 + 14) && !bits.has(500));
        assert!(Bits::read("20000000000000").has(ABS_MT_POSITION_X));
    }
}
