//! A loudspeaker that is a pipe: an ALSA configuration sends what is played into it, and a thread
//! takes it out again at the pace of a real device, or stops taking.

use std::ffi::OsString;
use std::fs::{self, OpenOptions};
use std::io::Read;
use std::path::PathBuf;
use std::process::Command;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

/// Frames a second of the device: two channels, 16 bits.
pub const RATE: usize = 48_000;

pub struct Device {
    folder: tempfile::TempDir,
    heard: Arc<Mutex<Vec<u8>>>,
    stalled: Arc<AtomicBool>,
    over: Arc<AtomicBool>,
}

impl Device {
    /// A device that plays; the configuration is not written yet.
    pub fn new() -> Self {
        Self::with_pace(1)
    }

    /// A device that plays so many times as fast as others.
    pub fn with_pace(pace: u32) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let pipe = folder.path().join("pipe");
        assert!(
            Command::new("mkfifo")
                .arg(&pipe)
                .status()
                .expect("mkfifo runs")
                .success()
        );
        // Open for both, so that neither opening nor the end of a writer matters.
        let mut end = OpenOptions::new()
            .read(true)
            .write(true)
            .open(&pipe)
            .expect("the pipe opens");
        let device = Self {
            folder,
            heard: Arc::default(),
            stalled: Arc::default(),
            over: Arc::default(),
        };
        let (heard, stalled, over) = (
            device.heard.clone(),
            device.stalled.clone(),
            device.over.clone(),
        );
        thread::spawn(move || {
            let mut due = Instant::now();
            // 10 ms of sound.
            let mut piece = [0; RATE * 4 / 100];
            while !over.load(Ordering::Relaxed) {
                if stalled.load(Ordering::Relaxed) {
                    thread::sleep(Duration::from_millis(10));
                    due = Instant::now();
                    continue;
                }
                let count = end.read(&mut piece).expect("the pipe is read");
                heard.lock().expect("not poisoned").extend(&piece[..count]);
                due += Duration::from_secs(1) * count as u32 / (RATE * 4) as u32 / pace;
                thread::sleep(due.saturating_duration_since(Instant::now()));
            }
        });
        device
    }

    pub fn config(&self) -> PathBuf {
        self.folder.path().join("asound.conf")
    }

    /// The configuration names the pipe as the default device.
    pub fn plug_in(&self) {
        self.write(&self.called("!default", None));
    }

    /// The configuration names these as well, under a name and with a description of their own.
    pub fn plug_in_with(&self, others: &[(&str, &str, &Self)]) {
        let others = others
            .iter()
            .map(|(name, description, device)| device.called(name, Some(description)));
        let all: String = std::iter::once(self.called("!default", None))
            .chain(others)
            .collect();
        self.write(&all);
    }

    /// This device in a configuration.
    fn called(&self, name: &str, description: Option<&str>) -> String {
        let pipe = self.folder.path().join("pipe");
        let hint = description.map_or(String::new(), |text| {
            format!(" hint {{ show on description \"{text}\" }}\n")
        });
        format!(
            "pcm.{name} {{\n type plug\n slave {{\n  pcm {{ type file file \"{}\" format raw \
             slave.pcm {{ type null }} }}\n  format S16_LE\n  rate {RATE}\n  channels 2\n \
             }}\n{hint}}}\n",
            pipe.display()
        )
    }

    /// The device fails as soon as it is given samples.
    pub fn break_down(&self) {
        self.write(
            "pcm.!default {\n type plug\n slave.pcm { type file file \"/dev/full\" format raw \
             slave.pcm { type null } }\n}\n",
        );
    }

    /// The configuration names a card that is not there.
    pub fn unplug(&self) {
        self.write("pcm.!default { type hw card 31 }\n");
    }

    fn write(&self, text: &str) {
        fs::write(self.config(), text).expect("the configuration is written");
    }

    /// The device takes no samples any more, or takes them again.
    pub fn stall(&self, stalled: bool) {
        self.stalled.store(stalled, Ordering::Relaxed);
    }

    /// What an output process needs to find this device and no other.
    pub fn environment(&self) -> Vec<(OsString, OsString)> {
        vec![("ALSA_CONFIG_PATH".into(), self.config().into())]
    }

    /// What was played so far: the left channel, -1 to 1.
    pub fn heard(&self) -> Vec<f32> {
        let bytes = self.heard.lock().expect("not poisoned");
        bytes
            .chunks_exact(4)
            .map(|frame| f32::from(i16::from_le_bytes([frame[0], frame[1]])) / 32_768.0)
            .collect()
    }

    /// Forgets what was played.
    pub fn forget(&self) {
        let mut heard = self.heard.lock().expect("not poisoned");
        // What is left begins with a whole frame.
        let part = heard.len() % 4;
        let end = heard.len() - part;
        heard.drain(..end);
    }
}

impl Drop for Device {
    fn drop(&mut self) {
        // The reader ends with the next piece; a pipe that nobody writes to any more holds it up
        // until the test program ends, which is soon.
        self.over.store(true, Ordering::Relaxed);
    }
}
