//! The `[[measure]]` sections.

use super::{Part, id, name, volume};
use crate::bay::limits::{GRADUATION, SIZE};
use crate::store::toml_text::{Reader, Section};
use crate::trade::measure::Measure;

pub(super) fn read(reader: &mut Reader, top: &mut Section<'_>) -> Vec<Part<Measure>> {
    let sections = top.sections(reader, "measure", true);
    sections.into_iter().map(|s| measure(reader, s)).collect()
}

fn measure(reader: &mut Reader, mut section: Section<'_>) -> Part<Measure> {
    let id = id(reader, &mut section);
    let name_right = "write the name that the screen shows, in quotes";
    let shown = name(reader, &mut section, "name", name_right);
    let size_right = "write what it takes, such as \"1 l\"";
    let size = volume(reader, &mut section, "size", size_right, SIZE);
    let size = section.required(reader, "size", size, size_right);
    let step_right = "write the step between two of its lines, such as \"10 ml\"";
    let step = volume(reader, &mut section, "graduation", step_right, GRADUATION);
    let step = section.required(reader, "graduation", step, step_right);
    if let (Some(size), Some(step)) = (&size, &step)
        && step.value > size.value
    {
        reader.at(
            step,
            format!(
                "a graduation of {} is more than all of {}",
                step.value.shown(),
                size.value.shown()
            ),
            step_right,
        );
    }
    section.finish(reader);
    let whole = || {
        Some(Measure {
            id: id.as_ref()?.value.clone(),
            name: shown.as_ref()?.value.clone(),
            size: size?.value,
            graduation: step?.value,
        })
    };
    let whole = whole();
    Part {
        id,
        name: shown,
        refers: Vec::new(),
        whole,
    }
}
