//! Help for the very screen that it was asked for on: what to do there, and why.

use super::page;
use crate::bay::action::Page;
use crate::bay::at_work::Bay;
use crate::bay::calibrating::Calibrating;
use crate::bay::checking::{CheckStage, Checking};
use crate::bay::lead::PinStage;
use crate::bay::records::Step;
use crate::screens::generated::HelpPage;
use crate::screens::tongue::tr;

/// The page for that screen, the first one that is shown.
pub(super) fn own(bay: &Bay) -> HelpPage {
    match bay.help_for() {
        // Help for itself there is none.
        Page::Fill | Page::Help | Page::Wipe => super::filling(bay),
        Page::Emergency => emergency(),
        Page::Calibrate => calibrating(bay.calibrating().map(Calibrating::step)),
        Page::Check => checking(bay.checking()),
        Page::Pin => pin(bay.pin_stage()),
        Page::Lead
        | Page::Clock
        | Page::Panel
        | Page::Doctor
        | Page::SetClock
        | Page::Update
        | Page::Day
        | Page::Edit
        | Page::Changes => leads(bay.help_for()),
        Page::Menu
        | Page::Rinse
        | Page::FirstRun
        | Page::Mix
        | Page::Stock
        | Page::Reports
        | Page::TakeAway => around(bay.help_for()),
        at_the_sprayer => sprayer(at_the_sprayer),
    }
}

/// Choosing, and what can be known and done of a sprayer.
fn sprayer(page_: Page) -> HelpPage {
    match page_ {
        Page::Reaching => page(
            &tr!("Out of reach"),
            tr!(
                "Neat product in this sprayer would still be too weak on the vehicle: it draws too \
                 little of it.\n\
                 The sprayers shown do reach the strength. Tap one: home then shows its dose of the \
                 same product, or says that it must be rinsed first."
            ),
        ),
        Page::Sprayers => page(
            &tr!("Which sprayer?"),
            tr!(
                "Tap the sprayer that is to be filled, or that was used: home then shows its dose, and \
                 counts its washes.\n\
                 Each sprayer draws its own part of the product, so each has a dose of its own. The \
                 line under a name says what its calibration needs."
            ),
        ),
        Page::Chemicals => page(
            &tr!("Which chemical?"),
            tr!(
                "Tap the product for the next fills of this sprayer; the others keep theirs. Tomorrow it is \
                 the shift lead's product again.\n\
                 Empty and rinse the sprayer before another product goes in: what is left in it would \
                 mix with the new one.\n\
                 Out of reach means that this sprayer draws too little for that strength."
            ),
        ),
        Page::Parts => page(
            &tr!("How much to make up?"),
            tr!(
                "Tap the part of the container that is needed: product that is mixed and left over is \
                 lost.\n\
                 Dose and water go down together, so the strength on the vehicle stays. Each tile says \
                 its dose; fill with water to that part of the line."
            ),
        ),
        Page::Changed => page(
            &tr!("Changed"),
            tr!(
                "Hold the button of what is another one now, for more than a second. It cannot be \
                 taken back.\n\
                 Each of them changes how much the sprayer draws. The dose is crossed out until it is \
                 calibrated again: better no figure than a wrong one.\n\
                 If nothing was changed, go back."
            ),
        ),
        Page::Ways => page(
            &tr!("Which way?"),
            tr!(
                "Run dry: from the line until it draws air. The surest, where a bucket takes it all.\n\
                 Timed: for a set time, and what is left is measured. For small buckets and drums.\n\
                 By weight: a balance instead of jugs.\n\
                 Timed check: a stopwatch alone. It shows whether the sprayer runs as it did when it \
                 was calibrated, and sets no dose."
            ),
        ),
        Page::Sure => page(
            &tr!("How sure?"),
            tr!(
                "The ± beside the dose is how far it may be off in the mean of many fills; 19 of 20 \
                 times it is less. One fill scatters besides: what it lands stands on the right too.\n\
                 On the right is what it comes from. The words on the left say what would help most: a \
                 finer measure, a longer run, one more run.\n\
                 A corrected dose goes by a timed check with the mix, which draws slower than water."
            ),
        ),
        Page::Trend => page(
            &tr!("Over time"),
            tr!(
                "Each point is a calibration: the part that the sprayer drew then. Tap one, or step \
                 with Earlier and Later, to read it.\n\
                 The shift lead can bring an earlier one back, but not across a change.\n\
                 Bars are changes of nozzle, washer or another part. A square lies outside the lines that \
                 the others stay in: look for wear, a blocked filter, another pressure, or a mistake \
                 in the run."
            ),
        ),
        Page::Sound => page(
            &tr!("Sound"),
            tr!(
                "Softer, louder and the test let you hear at once how loud it is. In quiet hours it \
                 is never louder than the bay's set-up allows.\n\
                 Again and Slower repeat what was said last.\n\
                 The last button changes the language of screen and voice, for all.\n\
                 The loudspeaker is the shift lead's to choose."
            ),
        ),
        Page::Loudspeakers => page(
            &tr!("Which loudspeaker?"),
            tr!(
                "Tap one: a test is heard from it at once. Automatic leaves it to the system.\n\
                 One that is unplugged stays chosen, and the screen says that it is missing: the wall \
                 never goes to another one by itself, which might be heard in the wrong place."
            ),
        ),
        _ => page(
            &tr!("The sprayer's care"),
            tr!(
                "Here is how its calibration stands. Tap the figures to see how sure the dose is, and \
                 how it went over time.\n\
                 Calibrate: measure anew how much it draws, with clean water.\n\
                 Changed: tell that nozzle, washer, supply, dial, filter or tube is another one.\n\
                 Put off: not now, but after a few more washes. It is kept in the records."
            ),
        ),
    }
}

/// First aid.
fn emergency() -> HelpPage {
    page(
        &tr!("First aid"),
        tr!(
            "The words are those of the label's own statements for eyes and skin. Rinse first, read \
             later: take the safety data sheet along to the doctor.\n\
             Where eye wash and data sheets are, and whom to call, the shift lead sets under the bay."
        ),
    )
}

/// The steps of a calibration.
fn calibrating(step: Option<Step>) -> HelpPage {
    match step {
        Some(Step::Holds) => page(
            &tr!("What it holds"),
            tr!(
                "Put the pick-up tube in: it takes room too. Fill the container to its line with clean \
                 water, pour that out into a measure, and type how much it was. The measure stands level; \
                 let bubbles settle, and read with the eye at the line, where the water is lowest.\n\
                 As before takes the figure of the last calibration: right as long as container, tube \
                 and line are the same."
            ),
        ),
        Some(Step::SetTime) => page(
            &tr!("How long to run"),
            tr!("Type the seconds, or tap one of the times.\n\
                 A long run draws much, and then a slip in reading a jug weighs little. But it must \
                 not run dry: from then on it draws air, and the figure would be wrong."),
        ),
        Some(
            Step::Temperature
            | Step::BucketEmpty
            | Step::ContainerFull
            | Step::ContainerAfter
            | Step::BucketFull
            | Step::CatchTemperature,
        ) => page(
            &tr!("Weighing"),
            tr!(
                "Type what the balance shows, in kg. The bucket is weighed empty and with the catch, \
                 the container full and after the run: only what they differ by counts.\n\
                 Weigh the bucket wet and poured out, as it is after a run; wipe the container dry, with \
                 the same tube and lid both times. Nothing else may touch the balance. Warm water is \
                 lighter: a temperature each for the container and the catch, up to 60 °C."
            ),
        ),
        Some(Step::FillToLine) => page(
            &tr!("Fill to the line"),
            tr!(
                "Clean water only: what comes out is caught and measured, and product would hurt \
                 whoever does it. Rinse the container first.\n\
                 To the line, with the pick-up tube in, on level ground: from here the run is \
                 reckoned.\n\
                 Gloves and eye protection on."
            ),
        ),
        Some(Step::Ready | Step::Running) => page(
            &tr!("The run"),
            tr!(
                "Dial as it is used for washing, nozzle in the bucket, washer on.\n\
                 Start beeps five seconds down. At the long beep pull the trigger, and hold it: each \
                 pause is measured as if it had run. All must land in the bucket.\n\
                 The Enter key or a foot switch starts and stops too, with both hands on the lance.\n\
                 Never point it at anyone. While it runs there is no help here."
            ),
        ),
        Some(Step::Left) => page(
            &tr!("What is left"),
            tr!(
                "Pour all that the run left in the container into a measure that stands level: tap each \
                 full load, type the last one. Run dry, it may be nothing, which is one tap; a few \
                 millilitres that the tube does not reach make the dose too small where nobody tells \
                 them.\n\
                 What it held, less what is left, is what was drawn. A wrong load is taken back by \
                 Undo, beside the loads."
            ),
        ),
        Some(Step::Catch) => page(
            &tr!("What was caught"),
            tr!(
                "Measure all that is in the bucket: tap each full load, and type the last one. The jug \
                 stands level; let bubbles settle, and read with the eye at the line, at the bottom of \
                 the water's curve. A wrong load is taken back by Undo, beside the loads.\n\
                 It is what was drawn and the washer's water together. What was spilt makes it seem \
                 that the sprayer draws more than it does, and the dose too small."
            ),
        ),
        Some(Step::Review) => page(
            &tr!("The result"),
            tr!(
                "At the top is the part that it draws, beside what it was. What is odd is named, with \
                 what may be behind it: then run again rather than save.\n\
                 Runs: one more run makes it surer, and one that differs can be dropped.\n\
                 Again and Throw cannot be taken back. Save, held, makes it the figure that all doses \
                 of this sprayer go by; for ten seconds Undo takes it back."
            ),
        ),
        None => super::calibrating(),
    }
}

/// The stages of a timed check.
fn checking(checking: Option<&Checking>) -> HelpPage {
    match checking.map(|checking| checking.stage) {
        Some(CheckStage::Fluid) => page(
            &tr!("Timed check"),
            tr!(
                "A full container is run dry against the stopwatch: nothing is caught.\n\
                 Clean water shows whether the sprayer still is as it was calibrated. Slower or faster \
                 means wear, a blocked filter, air in the tube.\n\
                 The mix shows how much slower the product draws than water; the dose can then be \
                 corrected for it."
            ),
        ),
        Some(CheckStage::Result) => page(
            &tr!("What the check found"),
            tr!(
                "One run sees only changes above a size that is named here: what is smaller is no \
                 news.\n\
                 Again: one more, where a slip is likely. Calibrate: where it changed by more than the \
                 bay allows.\n\
                 With the mix, holding the dose takes it for this product from now on. It is shown \
                 wherever the dose is, and ends with the next calibration."
            ),
        ),
        Some(CheckStage::Ready | CheckStage::Running) | None => page(
            &tr!("The check's run"),
            tr!(
                "Full to the line, dial as it is used. Start beeps five seconds down; at the long beep \
                 pull the trigger and hold it. Stop as soon as it draws air: the sound changes, the \
                 jet gets thin.\n\
                 The Enter key or a foot switch starts and stops too.\n\
                 Never point it at anyone. While it runs there is no help here."
            ),
        ),
    }
}

/// The PIN.
fn pin(stage: PinStage) -> HelpPage {
    match stage {
        PinStage::Ask => page(
            &tr!("The PIN"),
            tr!(
                "The day's product, the set-up of the bay and the loudspeaker are the shift lead's. \
                 Type the PIN, then Open. Filling, hearing and calibrating go on without it.\n\
                 After three wrong ones there is a wait, longer each time. Each try is kept.\n\
                 Forgotten? Who looks after the panel puts an empty file forget-lead-pin into the \
                 bay's folder: then a new PIN is chosen here."
            ),
        ),
        PinStage::Old | PinStage::Choose | PinStage::Again => page(
            &tr!("Your own PIN"),
            tr!(
                "4 to 8 digits, typed twice. Do not take a year, the bay's number or four equal \
                 digits, and do not write it on the wall.\n\
                 Who knows it may set the day's product and change the bay.\n\
                 The panel keeps no PIN, only a hash that shows whether one is right."
            ),
        ),
    }
}

/// The shift lead's pages.
fn leads(page_: Page) -> HelpPage {
    match page_ {
        Page::Day => page(
            &tr!("The day's chemical"),
            tr!(
                "Choose the product, how strong it is on the vehicle, for all sprayers or for one, and \
                 for today or until it is changed.\n\
                 Inside the product's band no more is asked. Outside of it, or where another sprayer \
                 has what it must never meet, the screen says what may come of it and asks again.\n\
                 Home shows the new product at once. It asks for a rinse first, and refuses what must \
                 never meet in a sprayer."
            ),
        ),
        Page::Edit => page(
            &tr!("Change the bay"),
            tr!(
                "Choose what to change: sprayers and nozzles, washers, products, measures, limits. \
                 Nothing holds before it is saved, and nothing is saved that cannot be.\n\
                 Each change is in the records, with what was before, and can be taken back under \
                 Changes. Another nozzle or washer makes the calibration of its sprayer void."
            ),
        ),
        Page::Clock => page(
            &tr!("Clock"),
            tr!(
                "Dates are believed as long as the clock shows no less than the newest record. One record \
                 kept while the clock stood in the future ends that: day reminders, quiet hours, today's \
                 figures and the days of stock wait then. Washes are counted all the same.\n\
                 Compare date and time with a watch. Where they are wrong, press Set it. Where they are \
                 right, hold The time is right: what was kept with later dates stays as it is, and what comes after it counts by its order."
            ),
        ),
        Page::Panel => page(
            &tr!("The panel"),
            tr!(
                "What the wall runs on: whether anything is wrong with it, and the loudspeaker that it is heard \
                 through.\n\
                 Glass: after how long without a touch home is dimmed and how far, and in which hours it \
                 goes dark. The next touch or key wakes it and does nothing else."
            ),
        ),
        Page::Doctor => page(
            &tr!("Check the panel"),
            tr!(
                "Everything that the wall needs was looked at just now: what is wrong comes first, each with \
                 what to do, then what could be better, then what is good.\n\
                 Commands are for whoever looks after the panel. The same is printed there by: fillcall doctor\n\
                 What keeps the wall from its work stands at the foot of every page until it is mended."
            ),
        ),
        Page::SetClock => page(
            &tr!("Set the clock"),
            tr!(
                "Choose date and time by a watch, in the time of the place, and hold Set it. Seconds begin at \
                 zero.\n\
                 Where the clock shows less than the newest record after that, what was kept with later dates \
                 stays as it is and is not believed any more.\n\
                 A clock that is wrong after each power cut needs a new battery."
            ),
        ),
        Page::Update => page(
            &tr!("Update"),
            tr!(
                "A newer version of this program comes on a stick: the package and its signature. It is \
                 taken only where it was signed with the key whose number is shown here.\n\
                 Before anything is changed it is looked at and tried on a copy of the records, and a \
                 backup is taken. Then the wall stops for some seconds and starts with the newer version. \
                 Where that does not run well for two minutes, the one before comes back by itself. \
                 Washes that were counted meanwhile stay counted."
            ),
        ),
        Page::Changes => page(
            &tr!("Changes of the bay"),
            tr!(
                "What was changed in the set-up, the newest first, each with what was before and \
                 after.\n\
                 Taking one back brings back what was before, as long as that was not changed again. \
                 It is a change itself, and is kept as one."
            ),
        ),
        _ => page(
            &tr!("Shift lead"),
            tr!(
                "Today: the product and its strength. The bay: sprayers, products, measures, limits. \
                 Changes: what was changed, to take it back.\n\
                 The head says how long it stays open without a touch on it. Going home does not close \
                 it: hold Leave before you go.\n\
                 Each time it is opened and left is in the records."
            ),
        ),
    }
}

/// The menu, and the day around the fill.
fn around(page_: Page) -> HelpPage {
    match page_ {
        Page::Rinse => page(
            &tr!("Rinse first"),
            tr!(
                "Another product is in this sprayer, or was. Empty it where your rules for drains \
                 allow, rinse container and tube with clean water, and let the lance run until it \
                 comes clear.\n\
                 Some products must never meet, not even as a rest: acid and hypochlorite make \
                 chlorine gas."
            ),
        ),
        Page::FirstRun => page(
            &tr!("The first set-up"),
            tr!(
                "One question at a time, until the bay can be filled by: what it has, what its \
                 containers hold, which products it uses and how strong.\n\
                 Take strengths and cautions from the product's label and safety data sheet, never \
                 from memory. What is answered is kept: it can be broken off, and goes on here."
            ),
        ),
        Page::Mix => page(
            &tr!("Other fills"),
            tr!(
                "For when it is not a whole new fill: a part for some vehicles, a rest in the container \
                 that is brought to today's strength, another dose than the one shown, or a mix of \
                 which only the bottle ratio is known.\n\
                 Type what is there. The screen says what to add, or why nothing can put it right. \
                 Never add another product than the one that is in it."
            ),
        ),
        Page::Stock => page(
            &tr!("Stock"),
            tr!(
                "What there is of each product, and for how many days at the present rate. Fills are \
                 taken off by themselves.\n\
                 Tell when containers come or are opened. Measure all there is now and then: what was \
                 spilt or poured without the screen is right again after that."
            ),
        ),
        Page::Reports => page(
            &tr!("Records"),
            tr!(
                "What was filled, washed and calibrated, today, in the week and for each sprayer, and \
                 how strong it landed.\n\
                 Nothing can be changed here. A fill or a wash that was taken back does not count; \
                 reminders that were put off do."
            ),
        ),
        Page::TakeAway => page(
            &tr!("Take it along"),
            tr!(
                "Put a USB stick in, and what happened goes onto it as tables, with the card of all \
                 doses. Wait until the screen says that it can be taken out: sooner, files are lost.\n\
                 Or hold a phone to the code on the screen: it is text, nothing is sent over a network."
            ),
        ),
        _ => page(
            &tr!("Menu"),
            tr!(
                "Other fills: a rest in the container, a dose poured by mistake, a part for some \
                 vehicles.\n\
                 Stock: how long each product lasts. Records: what was done.\n\
                 Sound: loudness, language, said again.\n\
                 Shift lead: the day's product and the bay, with a PIN."
            ),
        ),
    }
}
