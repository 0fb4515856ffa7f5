//! What belongs together: ids and names that must differ, and ids that must be there.

use super::Part;
use crate::store::toml_text::{Found, Reader};
use crate::trade::chemical::Chemical;
use crate::trade::measure::Measure;
use crate::trade::sprayer::Sprayer;
use crate::trade::vehicle::VehicleClass;
use std::collections::BTreeMap;

pub(super) fn check(
    reader: &mut Reader,
    day_chemical: Option<&Found<String>>,
    sprayers: &[Part<Sprayer>],
    chemicals: &[Part<Chemical>],
    measures: &[Part<Measure>],
    vehicles: &[Part<VehicleClass>],
) {
    differ(reader, sprayers);
    differ(reader, chemicals);
    differ(reader, measures);
    differ(reader, vehicles);
    let ids: Vec<&str> = chemicals
        .iter()
        .filter_map(|c| c.id.as_ref().map(|id| id.value.as_str()))
        .collect();
    // A chemical whose own id is wrong may be the one that is meant.
    let all_ids_known = ids.len() == chemicals.len() && !ids.is_empty();
    if let Some(day) = day_chemical
        && all_ids_known
        && !ids.contains(&day.value.as_str())
    {
        reader.at(
            day,
            format!("no [[chemical]] has the id \"{}\"", day.value),
            format!("write one of \"{}\"", ids.join("\", \"")),
        );
    }
    for chemical in chemicals {
        for other in &chemical.refers {
            let is_itself = chemical
                .id
                .as_ref()
                .is_some_and(|id| id.value == other.value);
            let right = || {
                let own = chemical.id.as_ref().map(|id| id.value.as_str());
                let others: Vec<&str> = ids.iter().copied().filter(|id| Some(*id) != own).collect();
                match others.is_empty() {
                    true => "take it out of the list".to_owned(),
                    false => format!("write one of \"{}\"", others.join("\", \"")),
                }
            };
            if is_itself {
                reader.at(
                    other,
                    format!("\"{}\" is this chemical itself", other.value),
                    right(),
                );
            } else if all_ids_known && !ids.contains(&other.value.as_str()) {
                let wrong = format!("no [[chemical]] has the id \"{}\"", other.value);
                reader.at(other, wrong, right());
            }
        }
    }
}

/// Operators choose by name and the records go by id: no two may be the same.
fn differ<T>(reader: &mut Reader, parts: &[Part<T>]) {
    unique(reader, parts.iter().filter_map(|p| p.id.as_ref()), "id");
    unique(reader, parts.iter().filter_map(|p| p.name.as_ref()), "name");
}

fn unique<'a>(reader: &mut Reader, all: impl Iterator<Item = &'a Found<String>>, what: &str) {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for found in all {
        let same = found.value.trim().to_lowercase();
        match seen.get(&same) {
            Some(first) => reader.at(
                found,
                format!(
                    "the {what} \"{}\" stands on line {first} already",
                    found.value
                ),
                format!("give each one {what} of its own"),
            ),
            None => {
                seen.insert(same, found.line);
            }
        }
    }
}
