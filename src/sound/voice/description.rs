//! `voice.toml`: what a voice says of itself.

use super::clip;
use crate::trade::numbers::Numbers;
use serde::Deserialize;
use std::collections::BTreeMap;

/// What stands in `voice.toml`, read and found right.
#[derive(Debug)]
pub struct Description {
    pub language: String,
    pub name: String,
    pub numbers: Numbers,
    pub phrases: BTreeMap<String, String>,
    /// The file of each word that is not called like its file.
    pub clips: BTreeMap<String, String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    language: String,
    name: String,
    numbers: String,
    #[serde(default)]
    phrases: BTreeMap<String, String>,
    #[serde(default)]
    clips: BTreeMap<String, String>,
}

impl Description {
    /// Reads the text of a `voice.toml`. Phrases and words are taken in lower case.
    ///
    /// # Errors
    /// Everything that is wrong with it, each as a sentence without its end.
    pub fn parse(text: &str) -> Result<Self, Vec<String>> {
        let written: Written = toml::from_str(text).map_err(|e| {
            let line = e.span().map_or(1, |span| {
                text[..span.start.min(text.len())].matches('\n').count() + 1
            });
            vec![format!("line {line}: {}", e.message().trim_end())]
        })?;
        let mut wrong = Vec::new();
        let language = written.language;
        if language.len() != 2 || !language.bytes().all(|b| b.is_ascii_lowercase()) {
            wrong.push(format!(
                "language = {language:?} is not two small letters, as \"en\" and \"es\" are"
            ));
        }
        if written.name.trim().is_empty() {
            wrong.push("name is empty, and the voice is chosen by it".to_owned());
        }
        let numbers = Numbers::from_name(&written.numbers);
        if numbers.is_none() {
            let known = Numbers::ALL.map(Numbers::name).join(", ");
            wrong.push(format!(
                "numbers = {:?} is not known; there are {known}",
                written.numbers
            ));
        }
        for (word, file) in &written.clips {
            if file.contains(['/', '\\']) || clip::word_of(file).is_none() {
                wrong.push(format!(
                    "the clip of {word:?}, {file:?}, is not the name of a .wav or .ogg file in this folder"
                ));
            }
        }
        match numbers {
            Some(numbers) if wrong.is_empty() => Ok(Self {
                language,
                name: written.name.trim().to_owned(),
                numbers,
                phrases: lower(written.phrases, str::to_lowercase),
                clips: lower(written.clips, str::to_owned),
            }),
            _ => Err(wrong),
        }
    }
}

fn lower(map: BTreeMap<String, String>, value: fn(&str) -> String) -> BTreeMap<String, String> {
    map.into_iter()
        .map(|(key, said)| (key.to_lowercase(), value(&said)))
        .collect()
}
