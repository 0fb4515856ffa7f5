//! The `[[vehicle]]` sections: classes of vehicle.

use super::{Part, id, name};
use crate::bay::limits::SHARE;
use crate::store::toml_text::{Reader, Section};
use crate::trade::vehicle::VehicleClass;

pub(super) fn read(reader: &mut Reader, top: &mut Section<'_>) -> Vec<Part<VehicleClass>> {
    let sections = top.sections(reader, "vehicle", false);
    sections.into_iter().map(|s| vehicle(reader, s)).collect()
}

fn vehicle(reader: &mut Reader, mut section: Section<'_>) -> Part<VehicleClass> {
    let id = id(reader, &mut section);
    let name_right = "write the name that the screen shows, in quotes";
    let shown = name(reader, &mut section, "name", name_right);
    let share = section.number(reader, "share", SHARE);
    let share_right = "write how much spray it takes beside the usual vehicle, such as 1.5 for half \
        as much again";
    let share = section.required(reader, "share", share, share_right);
    section.finish(reader);
    let whole = || {
        Some(VehicleClass {
            id: id.as_ref()?.value.clone(),
            name: shown.as_ref()?.value.clone(),
            share: share?.value,
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
