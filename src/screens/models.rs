//! Lists for the screens that change only where their rows change: a tile that is being pressed
//! must not be built anew under the finger. And the row that several of them are made of.

use super::generated::Fact;
use slint::{Model, ModelRc, VecModel};

/// A name and what it comes to.
pub fn fact(name: &str, value: impl Into<slint::SharedString>) -> Fact {
    Fact {
        name: name.into(),
        value: value.into(),
    }
}

/// Brings the list behind `current` to `rows`; gives a new list where there was none yet.
pub fn update<T: Clone + PartialEq + 'static>(
    current: ModelRc<T>,
    rows: Vec<T>,
) -> Option<ModelRc<T>> {
    let Some(model) = current.as_any().downcast_ref::<VecModel<T>>() else {
        return Some(ModelRc::new(VecModel::from(rows)));
    };
    if model.row_count() != rows.len() {
        model.set_vec(rows);
        return None;
    }
    for (i, row) in rows.into_iter().enumerate() {
        if model.row_data(i).as_ref() != Some(&row) {
            model.set_row_data(i, row);
        }
    }
    None
}
