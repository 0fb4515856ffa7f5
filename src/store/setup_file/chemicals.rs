//! The `[[chemical]]` sections.

use super::{Part, hazards, id, name, volume};
use crate::bay::limits::{COST, DELIVERED_IN, LONGEST_CAUTION, SPRAY, WATER_PARTS};
use crate::store::toml_text::{Found, Reader, Section, wrong_line};
use crate::trade::chemical::{Band, Chemical, Target};
use crate::trade::units::{BottleRatio, Strength, Unreadable, no_comma, trim_number};

const TARGET: &str = "write either on_vehicle = \"4 %\" (the strength that lands) or \
    bottle_ratio = \"1 + 10\" (where the label gives only that)";

pub(super) fn read(reader: &mut Reader, top: &mut Section<'_>) -> Vec<Part<Chemical>> {
    let sections = top.sections(reader, "chemical", true);
    sections.into_iter().map(|s| chemical(reader, s)).collect()
}

fn chemical(reader: &mut Reader, mut section: Section<'_>) -> Part<Chemical> {
    let id = id(reader, &mut section);
    let name_right = "write the name that the screen shows, in quotes";
    let shown = name(reader, &mut section, "name", name_right);
    const PERCENT: &str = "write it in percent, such as \"4 %\"";
    let delivered = section.parsed(reader, "product_strength", PERCENT, Strength::parse);
    // Where it is there but wrong, checks against it would only find the same mistake again.
    let delivered = match (delivered, section.has("product_strength")) {
        (Some(found), _) => Some(found.value),
        (None, false) => Some(Strength::NEAT),
        (None, true) => None,
    };
    let target = target(reader, &mut section, delivered);
    let band = band(reader, &mut section, target.as_ref());
    let statements = hazards::statements(reader, &mut section);
    // Where they are there but wrong, that a caution is missing would be one mistake too many.
    let is_cautioned = statements.as_ref().is_none_or(|list| !list.is_empty());
    let cautions = cautions(reader, &mut section, is_cautioned);
    let put_on = hazards::put_on(reader, &mut section);
    let nature = hazards::nature(reader, &mut section);
    let order = hazards::order(reader, &mut section);
    let never_with = hazards::never_with(reader, &mut section);
    let container = volume(
        reader,
        &mut section,
        "delivered_in",
        "write what one container holds as it is delivered, such as \"20 l\"",
        DELIVERED_IN,
    );
    let spray = volume(
        reader,
        &mut section,
        "spray_per_vehicle",
        "write the spray that one vehicle takes, such as \"4 l\"",
        SPRAY,
    );
    let cost = section.number(reader, "cost_per_litre", COST);
    section.finish(reader);
    let whole = || {
        Some(Chemical {
            id: id.as_ref()?.value.clone(),
            name: shown.as_ref()?.value.clone(),
            target: target?.value,
            band,
            product_strength: delivered?,
            cautions: cautions?,
            hazards: statements?,
            put_on: put_on?,
            nature: nature?,
            order: order?,
            never_with: never_with
                .as_ref()?
                .iter()
                .map(|found| found.value.clone())
                .collect(),
            delivered_in: container.map(|c| c.value),
            spray_per_vehicle: spray.map(|s| s.value),
            cost_per_litre: cost.map(|c| c.value),
        })
    };
    let whole = whole();
    Part {
        id,
        name: shown,
        refers: never_with.unwrap_or_default(),
        whole,
    }
}

/// A label's ratio, not thinner than any.
fn bottle_ratio(text: &str) -> Result<BottleRatio, Unreadable> {
    let ratio = BottleRatio::parse(text)?;
    if WATER_PARTS.contains(&ratio.water_parts()) {
        return Ok(ratio);
    }
    let end = |end: &f64| format!("1 + {}", trim_number(*end, 0));
    Err(Unreadable {
        wrong: format!("\"{text}\" cannot be"),
        right: format!(
            "write a ratio from {} to {}",
            end(WATER_PARTS.start()),
            end(WATER_PARTS.end())
        ),
    })
}

/// Exactly one of the two ways to say how strong.
fn target(
    reader: &mut Reader,
    section: &mut Section<'_>,
    delivered: Option<Strength>,
) -> Option<Found<Target>> {
    let on_vehicle = section.parsed(reader, "on_vehicle", TARGET, Strength::parse);
    let ratio = section.parsed(reader, "bottle_ratio", TARGET, bottle_ratio);
    if section.has("on_vehicle") && section.has("bottle_ratio") {
        let line = ratio.as_ref().map_or(section.line, |found| found.line);
        let key = section.key("bottle_ratio");
        let wrong = "on_vehicle and bottle_ratio are both here, and only one can be meant";
        reader.fault(line, key, wrong, TARGET);
        return None;
    }
    if !section.has("on_vehicle") && !section.has("bottle_ratio") {
        let (line, key) = (section.line, section.key("on_vehicle"));
        reader.fault(line, key, "how strong is missing here", TARGET);
        return None;
    }
    if let (Some(wanted), Some(delivered)) = (&on_vehicle, delivered)
        && wanted.value > delivered
    {
        reader.at(
            wanted,
            format!(
                "{} is stronger than the product as delivered ({})",
                wanted.value.shown(),
                delivered.shown()
            ),
            "write the strength wanted on the vehicle, and check product_strength",
        );
    }
    on_vehicle
        .map(|found| found.map(Target::OnVehicle))
        .or_else(|| ratio.map(|found| found.map(Target::Bottle)))
}

fn band(
    reader: &mut Reader,
    section: &mut Section<'_>,
    target: Option<&Found<Target>>,
) -> Option<Band> {
    const RIGHT: &str = "write the weakest and the strongest allowed, such as [\"3 %\", \"5 %\"]";
    let ends = section.list(reader, "band", RIGHT, |value| match value.as_str() {
        Some(text) => no_comma(text)
            .map_err(|fault| fault.to_string())
            .and_then(|()| Strength::parse(text).map_err(|fault| fault.wrong)),
        None => Err("an end of the band is not a text in quotes".into()),
    })?;
    let [least, most] = &ends.value[..] else {
        let wrong = match ends.value.len() {
            1 => "the band has 1 end".to_owned(),
            n => format!("the band has {n} ends"),
        };
        reader.at(&ends, wrong, RIGHT);
        return None;
    };
    let band = Band {
        least: least.value,
        most: most.value,
    };
    let (weakest, strongest) = (band.least.shown(), band.most.shown());
    if band.least >= band.most {
        let wrong = format!("{weakest} is not weaker than {strongest}");
        reader.at(least, wrong, RIGHT);
        return None;
    }
    if let Some(Found {
        value: Target::OnVehicle(wanted),
        ..
    }) = target
        && !band.holds(*wanted)
    {
        reader.at(
            &ends,
            format!(
                "{} is wanted, which is outside of {weakest} to {strongest}",
                wanted.shown()
            ),
            "mend the band or on_vehicle",
        );
    }
    Some(band)
}

/// At least one, where no hazard statement stands for it: no product of this trade is without.
fn cautions(
    reader: &mut Reader,
    section: &mut Section<'_>,
    is_cautioned: bool,
) -> Option<Vec<String>> {
    let right = format!(
        "write what its label says, each caution in quotes (up to {LONGEST_CAUTION} characters), \
         such as [\"Gloves and eye protection\"]"
    );
    let list = section.list(reader, "cautions", &right, |value| match value.as_str() {
        Some(text) => match wrong_line(text, LONGEST_CAUTION) {
            Some(wrong) => Err(format!("a caution: {wrong}")),
            None => Ok(text.to_owned()),
        },
        None => Err("a caution is not a text in quotes".into()),
    });
    if is_cautioned && !section.has("cautions") {
        return Some(Vec::new());
    }
    let list = section.required(reader, "cautions", list, &right)?;
    if list.value.is_empty() && !is_cautioned {
        reader.at(&list, "there is no caution in it", right);
        return None;
    }
    Some(list.value.into_iter().map(|c| c.value).collect())
}
