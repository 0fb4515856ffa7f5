//! The real player and its output process on an ALSA device that is a pipe without any pace: what
//! is said comes out of it as fast as it can be mixed, each announcement cut out by the silence
//! around it.

use fillcall::bay::ports::{Announcer, Pace, SoundState};
use fillcall::bay::setup::Voice;
use fillcall::sound::Player;
use fillcall::sound::player::Program;
use fillcall::sound::voice::Pack;
use fillcall::sound::{render, samples_in_ms};
use fillcall::trade::announcement::Announcement;
use fillcall::trade::speech::Lexicon;
use std::fs::{self, File, OpenOptions};
use std::io::Read;
use std::process::Command;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

/// Frames a second of the device: two channels, 16 bits.
const RATE: usize = 48_000;
/// So much silence ends an announcement; no stop inside one is as long.
const SILENCE: usize = RATE * 400 / 1000;
const PATIENCE: Duration = Duration::from_secs(20);

pub struct Loudspeaker {
    player: Player,
    heard: Receiver<Vec<i16>>,
    _folder: tempfile::TempDir,
}

impl Loudspeaker {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let (pipe, config) = (
            folder.path().join("pipe"),
            folder.path().join("asound.conf"),
        );
        let made = Command::new("mkfifo").arg(&pipe).status();
        assert!(made.expect("mkfifo runs").success());
        // Open for both, so that neither opening nor the end of a writer matters.
        let end = OpenOptions::new().read(true).write(true).open(&pipe);
        let (cut, heard) = channel();
        let end = end.expect("the pipe opens");
        thread::spawn(move || listen(end, &cut));
        fs::write(
            &config,
            format!(
                "pcm.!default {{\n type plug\n slave {{\n  pcm {{ type file file \"{}\" format raw \
                 slave.pcm {{ type null }} }}\n  format S16_LE\n  rate {RATE}\n  channels 2\n }}\n}}\n",
                pipe.display()
            ),
        )
        .expect("written");
        let program = Program {
            path: env!("CARGO_BIN_EXE_fillcall").into(),
            environment: vec![("ALSA_CONFIG_PATH".into(), config.into())],
        };
        let mut player = Player::new(program, Voice::Speech, 100);
        let begun = Instant::now();
        while player.state() != SoundState::Working {
            assert!(begun.elapsed() < PATIENCE, "{:?}", player.reason());
            thread::sleep(Duration::from_millis(10));
        }
        Self {
            player,
            heard,
            _folder: folder,
        }
    }

    pub fn lexicon(&self) -> &'static Lexicon {
        &Pack::built_in("en").expect("English").lexicon
    }

    /// Says it and returns what came out, at 48,000 samples a second. `without_unit`: the last word
    /// and the gap before it are cut off.
    pub fn record(&mut self, said: &Announcement, without_unit: bool) -> Vec<i16> {
        self.player.say(said, Pace::Usual);
        let mut heard = self.heard.recv_timeout(PATIENCE).expect("it is heard");
        if without_unit {
            let unit = Pack::built_in("en")
                .expect("English")
                .samples("millilitres")
                .expect("a clip");
            let silent = unit.iter().rev().take_while(|s| **s == 0).count();
            let cut = unit.len() - silent + samples_in_ms(render::WORD_GAP_MS);
            heard.truncate(heard.len().saturating_sub(cut * RATE / 22_050));
        }
        heard
    }
}

/// Cuts what is played into announcements.
fn listen(mut end: File, cut: &Sender<Vec<i16>>) {
    let mut piece = vec![0; RATE * 4 / 10];
    let (mut sound, mut silence) = (Vec::new(), 0);
    let mut rest = 0;
    while let Ok(count) = end.read(&mut piece[rest..]) {
        let whole = (rest + count) / 4 * 4;
        for frame in piece[..whole].chunks_exact(4) {
            let sample = i16::from_le_bytes([frame[0], frame[1]]);
            if sample != 0 {
                silence = 0;
            } else if sound.is_empty() {
                continue;
            } else {
                silence += 1;
            }
            sound.push(sample);
            if silence == SILENCE {
                sound.truncate(sound.len() - SILENCE);
                if cut.send(std::mem::take(&mut sound)).is_err() {
                    return;
                }
                silence = 0;
            }
        }
        piece.copy_within(whole..rest + count, 0);
        rest = rest + count - whole;
    }
}
