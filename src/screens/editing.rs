//! Changing the set-up at the screen, and the first set-up.

use super::generated::{EditChange, EditShape, EditTile, EditingView};
use super::hazard::of_pictograms;
use super::models::update;
use super::tongue::{shown, tr};
use super::wall::Hands;
use super::words::date;
use crate::bay::action::{Action, Page};
use crate::bay::at_work::Bay;
use crate::bay::editing::{CHANGES_A_PAGE, Changed, EditAction, SaveWord, Shape, Tile};

fn tile(tile: &Tile) -> EditTile {
    let sign = tile.hazard.and_then(|hazard| hazard.pictogram());
    let sign: Vec<_> = sign.into_iter().collect();
    EditTile {
        id: tile.id.as_str().into(),
        name: shown(&tile.name).into(),
        value: shown(&tile.value).into(),
        chosen: tile.chosen,
        adds: tile.adds,
        hold: tile.hold,
        hazard: tile
            .hazard
            .map_or(String::new(), |hazard| shown(&hazard.statement()))
            .into(),
        symbols: of_pictograms(&sign),
    }
}

fn pages(page: usize, pages: usize) -> String {
    match pages {
        0 | 1 => String::new(),
        _ => tr!("{} of {}", page + 1, pages),
    }
}

fn change(changed: &Changed, bay: &Bay) -> EditChange {
    let what: Vec<String> = changed.shown(bay.setup()).iter().map(shown).collect();
    EditChange {
        entry: changed.entry.to_string().into(),
        at: format!(
            "{}, {}",
            date(changed.at.date_naive()),
            changed.at.format("%H:%M")
        )
        .into(),
        what: what.join("\n").into(),
    }
}

fn show_changes(bay: &Bay, view: &EditingView) {
    let all = bay.setup_changes();
    let of = all.len().div_ceil(CHANGES_A_PAGE);
    let page = bay.changes_page();
    let rows = all.iter().skip(page * CHANGES_A_PAGE).take(CHANGES_A_PAGE);
    if let Some(new) = update(
        view.get_changes(),
        rows.map(|row| change(row, bay)).collect(),
    ) {
        view.set_changes(new);
    }
    view.set_changes_pages(pages(page, of).into());
}

/// Shows the bay on these screens.
pub fn show(bay: &Bay, view: &EditingView) {
    if bay.page() == Page::Changes {
        return show_changes(bay, view);
    }
    let scene = bay.edit_scene();
    view.set_shape(match scene.shape {
        Shape::Tiles => EditShape::Tiles,
        Shape::WideTiles => EditShape::WideTiles,
        Shape::Letters => EditShape::Letters,
        Shape::Number => EditShape::Number,
        Shape::Words => EditShape::Words,
    });
    view.set_title(shown(&scene.title).into());
    view.set_words(shown(&scene.words).into());
    if let Some(new) = update(view.get_tiles(), scene.tiles.iter().map(tile).collect()) {
        view.set_tiles(new);
    }
    view.set_pages(pages(scene.page, scene.pages).into());
    view.set_typed(scene.typed.into());
    view.set_unit(shown(&scene.unit).into());
    view.set_other_unit(
        scene
            .other_unit
            .as_ref()
            .map_or(String::new(), shown)
            .into(),
    );
    view.set_may_leave_out(scene.may_leave_out);
    view.set_may_save(scene.may_save);
    view.set_waits(shown(&scene.waits).into());
    view.set_step(shown(&scene.step).into());
    view.set_save(
        match scene.save {
            None => String::new(),
            Some(SaveWord::Save) => tr!("Save"),
            Some(SaveWord::Next) => tr!("Next"),
            Some(SaveWord::Done) => tr!("Done"),
            Some(SaveWord::Begin) => tr!("Begin"),
            Some(SaveWord::None) => tr!("None"),
        }
        .into(),
    );
}

/// What is pressed on these screens.
pub fn connect(view: &EditingView, hands: &Hands) {
    view.on_pick(hands.on_text(|id| Action::Edit(EditAction::Pick(id))));
    view.on_more(hands.on(|| Action::Edit(EditAction::More)));
    view.on_save_it(hands.on(|| Action::Edit(EditAction::Save)));
    view.on_switch_unit(hands.on(|| Action::Edit(EditAction::SwitchUnit)));
    view.on_leave_out(hands.on(|| Action::Edit(EditAction::LeaveOut)));
    // A number that is none names no change.
    view.on_take_back(
        hands.on_text(|entry| Action::Edit(EditAction::TakeBack(entry.parse().unwrap_or(-1)))),
    );
}
