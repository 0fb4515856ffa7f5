//! The arithmetic of uncertainty against Python's `uncertainties` on random figures.
//!
//! The package propagates through the written-out formulas by itself, so a wrong sensitivity, a
//! part left out or one counted twice shows. `tests/uncertainties/install` installs it;
//! `FILLCALL_PYTHON` names another Python that has it.

use fillcall::trade::calibration::{Calibration, Container, Read, Run, Way};
use fillcall::trade::measure::Measure;
use fillcall::trade::repeats;
use fillcall::trade::uncertainty::{DoseUncertainty, RunReading, mixed_readings, readings};
use fillcall::trade::units::Volume;
use fillcall::trade::weighing;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::Duration;

/// Random figures that are the same every time (SplitMix64).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }
    fn whole(&mut self, low: u64, high: u64) -> u64 {
        low + self.next() % (high - low + 1)
    }
}

/// One question for the reference, and our answer.
struct Case {
    question: String,
    ours: f64,
    /// How far apart the answers may be, relative.
    apart: f64,
}

/// Apart by no more than floating-point sums are.
const EXACT: f64 = 1e-9;

fn question(word: &str, numbers: &[f64]) -> String {
    numbers.iter().fold(word.to_string(), |mut line, number| {
        write!(line, " {number:?}").expect("text");
        line
    })
}

/// A dose after one to five runs, read with measures or weighed, now and then with the container
/// read apart.
fn dose(random: &mut Random) -> Case {
    let holds = random.between(300.0, 20_000.0);
    let by_weight = random.whole(0, 2) == 0;
    let scatter = random.between(0.005, 0.05);
    let pour = random.between(0.0001, 0.05);
    let holds_u = match random.whole(0, 1) {
        0 => 0.0,
        _ => holds * random.between(0.0001, 0.02),
    };
    let mut numbers = vec![random.between(0.001, 0.1), holds, holds_u, scatter, pour];
    let mut runs = Vec::new();
    for _ in 0..random.whole(1, 5) {
        let drawn = holds * random.between(0.8, 1.0);
        let catch = drawn / random.between(0.01, 0.5);
        let (drawn_u, catch_u) = match by_weight {
            true => {
                let step = random.between(0.001, 0.1);
                let sure = weighing::volume_uncertainty(step, 20.0).expect("a step");
                (sure, sure)
            }
            false => {
                let step = Volume::ml(random.between(1.0, 50.0));
                (
                    readings(step, 1),
                    readings(step, random.whole(1, 30) as u32),
                )
            }
        };
        numbers.extend([drawn, drawn_u.as_ml(), catch, catch_u.as_ml()]);
        let run = Run::dry(
            Volume::ml(drawn),
            Volume::ml(catch),
            Duration::from_secs(100),
        );
        let read = match by_weight {
            true => RunReading::by_weight,
            false => RunReading::by_measure,
        };
        runs.push(read(&run, drawn_u, catch_u).expect("a draw fraction"));
    }
    let mut of = DoseUncertainty::of_runs(&runs, repeats::scatter(scatter, None))
        .with_holds(holds_u / holds);
    of.pour = pour;
    let word = if by_weight { "dose-weighed" } else { "dose" };
    Case {
        question: question(word, &numbers),
        ours: of.standard(),
        apart: EXACT,
    }
}

/// A dose by a whole calibration of one to five runs in this way: the reference is told what was
/// read, and finds by itself what cancels between the container and the draw fraction.
fn calibrated(way: Way, random: &mut Random) -> Case {
    let holds = random.between(300.0, 20_000.0);
    let holds_u = holds * random.between(0.001, 0.02);
    let scatter = random.between(0.005, 0.05);
    let size = Volume::ml(random.between(500.0, 5_000.0));
    let pour = Measure {
        id: "jug".into(),
        name: "jug".into(),
        size,
        graduation: size * random.between(0.001, 0.02),
    };
    let dose = Volume::ml(holds * random.between(0.05, 0.9));
    let poured = readings(pour.graduation, pour.loads(dose)) / dose;
    let mut numbers = vec![holds, holds_u, scatter, poured];
    let fraction = random.between(0.01, 0.5);
    let mut runs = Vec::new();
    for _ in 0..random.whole(1, 5) {
        let left = match way {
            Way::Timed => holds * random.between(0.1, 0.7),
            Way::RunDry | Way::ByWeight => 0.0,
        };
        let drawn = holds - left;
        let catch = drawn / (fraction * random.between(0.97, 1.03));
        // By weight both volumes are read on one balance.
        let weighed_u = holds * random.between(0.0005, 0.02);
        let (own_u, catch_u) = match way {
            Way::RunDry => (0.0, catch * random.between(0.0005, 0.02)),
            Way::Timed => (
                left * random.between(0.001, 0.02),
                catch * random.between(0.0005, 0.02),
            ),
            Way::ByWeight => (weighed_u, weighed_u),
        };
        numbers.extend([left, own_u, catch, catch_u]);
        runs.push(Run {
            way,
            read: Some(Read {
                drawn: Volume::ml(own_u),
                catch: Volume::ml(catch_u),
            }),
            ..Run::dry(
                Volume::ml(drawn),
                Volume::ml(catch),
                Duration::from_secs(100),
            )
        });
    }
    let calibration = Calibration::of(Container::measured(Volume::ml(holds)), &runs).expect("runs");
    let prior = repeats::scatter(scatter, None);
    let (holds, holds_u) = (Volume::ml(holds), Volume::ml(holds_u));
    let of = DoseUncertainty::of_calibration(&calibration, holds, holds_u, &pour, prior);
    Case {
        question: question(way.word(), &numbers),
        ours: of.expect("draw fractions").poured(dose, &pour).standard(),
        apart: EXACT,
    }
}

/// The share of the time where a dose was corrected by a timed check.
fn corrected(random: &mut Random) -> Case {
    let drawn = random.between(300.0, 20_000.0);
    // Whole milliseconds, which is what both sides can hold.
    let time = Duration::from_millis(random.whole(20_000, 600_000));
    let stopping = Duration::from_millis(random.whole(50, 2_000));
    let draw = drawn / time.as_secs_f64();
    let fraction = random.between(0.01, 0.9);
    let carrier = draw / fraction - draw;
    let nothing = DoseUncertainty::of_runs(&[], repeats::scatter(0.0, None));
    let numbers = [drawn, carrier, time.as_secs_f64(), stopping.as_secs_f64()];
    Case {
        question: question("corrected", &numbers),
        ours: nothing.with_timing(stopping, time, fraction).standard(),
        apart: EXACT,
    }
}

/// A scatter blended from the prior and the bay's own repeats, and the factor that it is taken with.
fn blended(random: &mut Random) -> [Case; 2] {
    let prior = random.between(0.005, 0.05);
    let own = repeats::Pooled {
        relative: random.between(0.001, 0.1),
        degrees_of_freedom: random.whole(1, 60) as u32,
        runs: 0,
    };
    let blend = repeats::scatter(prior, Some(own));
    let degrees = f64::from(own.degrees_of_freedom);
    let numbers = [prior, own.relative, degrees];
    [
        Case {
            question: question("blend", &numbers),
            ours: blend.relative,
            apart: EXACT,
        },
        Case {
            question: question("factor", &[degrees]),
            ours: blend.for_bands() / blend.relative,
            // The reference integrates Student's density by steps.
            apart: 1e-6,
        },
    ]
}

/// What one fill lands, after one to five runs: the mean of the runs and a fill of its own.
fn one_fill(random: &mut Random) -> Case {
    let holds = random.between(300.0, 20_000.0);
    let scatter = random.between(0.005, 0.05);
    let pour = random.between(0.0001, 0.05);
    let mut numbers = vec![holds, scatter, pour];
    let mut runs = Vec::new();
    for _ in 0..random.whole(1, 5) {
        let catch = holds / random.between(0.02, 0.2);
        let catch_u = readings(Volume::ml(random.between(1.0, 50.0)), 18);
        numbers.extend([catch, catch_u.as_ml()]);
        let run = Run::dry(
            Volume::ml(holds),
            Volume::ml(catch),
            Duration::from_secs(100),
        );
        runs.push(RunReading::by_measure(&run, Volume::ZERO, catch_u).expect("a draw fraction"));
    }
    let mut of = DoseUncertainty::of_runs(&runs, repeats::scatter(scatter, None)).of_one_fill();
    of.pour = pour;
    Case {
        question: question("one-fill", &numbers),
        ours: of.standard(),
        apart: EXACT,
    }
}

/// A catch in loads of several measures.
fn loads(random: &mut Random) -> Case {
    let steps: Vec<f64> = (0..random.whole(1, 30))
        .map(|_| random.between(0.1, 50.0))
        .collect();
    Case {
        ours: mixed_readings(steps.iter().copied().map(Volume::ml)).as_ml(),
        question: question("loads", &steps),
        apart: EXACT,
    }
}

/// A volume between two readings of a balance.
fn weighed(random: &mut Random) -> Case {
    let lighter = random.between(0.1, 3.0);
    let heavier = lighter + random.between(0.1, 25.0);
    let step = random.between(0.0001, 0.1);
    let celsius = random.between(0.0, 40.0);
    let per_gram = weighing::ml_per_gram(celsius).expect("in range");
    let sure = weighing::volume_uncertainty(step, celsius).expect("a step");
    Case {
        question: question("weighed", &[lighter, heavier, step, per_gram]),
        ours: sure.as_ml(),
        apart: EXACT,
    }
}

/// The Python that has the package.
fn python() -> PathBuf {
    std::env::var_os("FILLCALL_PYTHON").map_or_else(
        || {
            let root = env!("CARGO_MANIFEST_DIR");
            PathBuf::from(root).join("target/uncertainties/bin/python3")
        },
        PathBuf::from,
    )
}

/// Asks the reference all questions at once.
fn ask(cases: &[Case]) -> Vec<f64> {
    let python = python();
    let script = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/uncertainties/reference.py"
    );
    let how = "run tests/uncertainties/install, or name a Python that has `uncertainties` in \
        FILLCALL_PYTHON";
    let mut reference = Command::new(&python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{} does not start ({error}): {how}", python.display()));
    let questions: String = cases
        .iter()
        .map(|case| format!("{}\n", case.question))
        .collect();
    // A reference that ended at once has shut the pipe; its own words are shown below. Taken out,
    // so that the pipe is shut behind the last question.
    let sent = reference
        .stdin
        .take()
        .expect("its standard input")
        .write_all(questions.as_bytes());
    let answer = reference.wait_with_output().expect("it ends");
    let said = String::from_utf8_lossy(&answer.stderr);
    assert!(
        answer.status.success(),
        "{} did not answer: {how}. It said:\n{said}",
        python.display()
    );
    sent.expect("all questions were taken");
    let answers: Vec<f64> = String::from_utf8(answer.stdout)
        .expect("text")
        .lines()
        .map(|line| line.parse().expect("a number"))
        .collect();
    assert_eq!(answers.len(), cases.len(), "one answer to a question");
    answers
}

#[test]
fn uncertainties_agree_with_an_independent_library() {
    let mut random = Random(3_141_592_653);
    let mut cases: Vec<Case> = (0..300).map(|_| dose(&mut random)).collect();
    for _ in 0..100 {
        cases.extend(Way::ALL.map(|way| calibrated(way, &mut random)));
        cases.extend([
            corrected(&mut random),
            loads(&mut random),
            weighed(&mut random),
            one_fill(&mut random),
        ]);
        cases.extend(blended(&mut random));
    }
    let (mut exact, mut about) = (0.0f64, 0.0f64);
    for (case, theirs) in cases.iter().zip(ask(&cases)) {
        let apart = (case.ours / theirs - 1.0).abs();
        // Not-a-number fails too.
        assert!(
            apart < case.apart,
            "{}: ours {}, theirs {theirs}",
            case.question,
            case.ours
        );
        let worst = match case.apart == EXACT {
            true => &mut exact,
            false => &mut about,
        };
        *worst = worst.max(apart);
    }
    println!(
        "{} cases, at most {exact:.1e} apart; doses by weight {about:.1e}",
        cases.len()
    );
}
