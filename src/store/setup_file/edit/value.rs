//! Values as the set-up file writes them, and as a change that is kept shows them.

use super::layout::{Kind, Node, text_of_scalar};
use crate::bay::setup_change::Value;
use crate::store::toml_text::write;

/// How a value is written.
pub(super) fn written(value: &Value) -> String {
    match value {
        Value::Text(text) => write::text(text),
        Value::Whole(number) => number.to_string(),
        Value::Number(number) if number.is_nan() => "nan".into(),
        Value::Number(number) => write::number(*number),
        Value::Flag(flag) => flag.to_string(),
        Value::List(list) => {
            let list: Vec<String> = list.iter().map(|text| write::text(text)).collect();
            format!("[{}]", list.join(", "))
        }
    }
}

/// True where what is written is that value, however it is written.
pub(super) fn is(text: &str, node: &Node, value: &Value) -> bool {
    let raw = &text[node.span.clone()];
    let Ok(found) = raw.parse::<toml_edit::Value>() else {
        return false;
    };
    let number = || {
        found
            .as_float()
            .or_else(|| found.as_integer().map(|n| n as f64))
    };
    match value {
        Value::Text(text) => found.as_str() == Some(text),
        Value::Whole(whole) => found.as_integer() == Some(*whole),
        Value::Number(wanted) => number() == Some(*wanted),
        Value::Flag(flag) => found.as_bool() == Some(*flag),
        Value::List(list) => texts(text, node).as_ref() == Some(list),
    }
}

/// The texts of a list; `None` where it is something else.
pub(super) fn texts(text: &str, node: &Node) -> Option<Vec<String>> {
    match &node.kind {
        Kind::List { entries, .. } => entries.iter().map(|e| text_of_scalar(text, e)).collect(),
        _ => None,
    }
}

/// A value in one line, without comments: the same for two that mean the same.
pub(super) fn shown(text: &str, node: &Node) -> String {
    match &node.kind {
        Kind::Scalar => match text_of_scalar(text, node) {
            Some(found) => write::text(&found),
            None => text[node.span.clone()].into(),
        },
        Kind::List { entries, .. } => {
            let entries: Vec<String> = entries.iter().map(|e| shown(text, e)).collect();
            format!("[{}]", entries.join(", "))
        }
        Kind::Table { pairs, .. } => {
            let pairs: Vec<String> = pairs
                .iter()
                .map(|p| format!("{} = {}", p.path.join("."), shown(text, &p.value)))
                .collect();
            format!("{{ {} }}", pairs.join(", "))
        }
    }
}
