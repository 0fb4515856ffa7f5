//! Changes of the set-up, as they are asked for at the screen and kept in the records.

/// A part of the set-up.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The top of the file: the bay itself.
    Bay,
    /// A section of which there is one, by its name in the file: `screen`, `sound`, `reminder`,
    /// `check`, `balance`, `stock`, `lead`, `glass`, `emergency`.
    Section(&'static str),
    /// A sprayer, by id.
    Sprayer(String),
    /// A chemical, by id.
    Chemical(String),
    /// A measure, by id.
    Measure(String),
    /// A class of vehicle, by id.
    Vehicle(String),
}

impl Place {
    /// The sections of which there is one, by their names in the file.
    pub const SECTIONS: [&'static str; 9] = [
        "screen",
        "sound",
        "reminder",
        "check",
        "balance",
        "stock",
        "lead",
        "glass",
        "emergency",
    ];

    /// The words that stand for it in a change that is kept: `bay`, `reminder`, `sprayer lance-1`.
    pub fn words(&self) -> String {
        match (self.kind(), self.id()) {
            (Some(kind), Some(id)) => format!("{kind} {id}"),
            (Some(name), None) => name.into(),
            (None, _) => "bay".into(),
        }
    }

    /// The place for these words.
    pub fn from_words(words: &str) -> Option<Self> {
        match words.split_once(' ') {
            Some(("sprayer", id)) => Some(Self::Sprayer(id.into())),
            Some(("chemical", id)) => Some(Self::Chemical(id.into())),
            Some(("measure", id)) => Some(Self::Measure(id.into())),
            Some(("vehicle", id)) => Some(Self::Vehicle(id.into())),
            Some(_) => None,
            None if words == "bay" => Some(Self::Bay),
            None => {
                let known = Self::SECTIONS.into_iter().find(|name| *name == words);
                known.map(Self::Section)
            }
        }
    }

    /// The name of its section in the file; none at the top.
    pub fn kind(&self) -> Option<&'static str> {
        match self {
            Self::Bay => None,
            Self::Section(name) => Some(name),
            Self::Sprayer(_) => Some("sprayer"),
            Self::Chemical(_) => Some("chemical"),
            Self::Measure(_) => Some("measure"),
            Self::Vehicle(_) => Some("vehicle"),
        }
    }

    /// Its id, where there may be several of its kind.
    pub fn id(&self) -> Option<&str> {
        match self {
            Self::Bay | Self::Section(_) => None,
            Self::Sprayer(id) | Self::Chemical(id) | Self::Measure(id) | Self::Vehicle(id) => {
                Some(id)
            }
        }
    }
}

/// A value as the set-up file has it.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Text in quotes, such as a name, a volume with its unit, a strength in percent.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// A number.
    Number(f64),
    /// Yes or no.
    Flag(bool),
    /// Texts.
    List(Vec<String>),
}

/// One change that is asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// A key gets this value; `None` takes the key away.
    Set {
        /// Where.
        place: Place,
        /// Which key.
        key: &'static str,
        /// To what.
        value: Option<Value>,
    },
    /// A new sprayer, chemical, measure or class of vehicle, behind the others of its kind. Its id is
    /// that of the place, and no other has it.
    Add {
        /// What, with its id.
        place: Place,
        /// Its keys beside the id.
        keys: Vec<(&'static str, Value)>,
    },
    /// It is taken out, comments of its own included.
    Remove {
        /// What.
        place: Place,
    },
}

/// What one key was before and is after, as the set-up file writes them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangedKey {
    /// The section in words of the file, as [`Place::words`] has them: `sprayer lance-1`, `reminder`,
    /// `bay`.
    pub place: String,
    /// The key; empty where the whole section came or went.
    pub key: String,
    /// Before, in one line and without comments, as `"4 %"` or `["H314"]`; of a section its keys, a
    /// line each. `None` where it was not there.
    pub before: Option<String>,
    /// After, likewise; `None` where it is not there.
    pub after: Option<String>,
}

/// A change of the set-up as it is kept: what can be seen of it, and what takes it back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetupChange {
    /// What was changed, key by key; what follows from it (a chemical that went is taken out of the
    /// lists of others) included. Empty where everything was so already.
    pub keys: Vec<ChangedKey>,
    /// The whole text of the set-up file before it: also what was changed by hand since it was read
    /// last.
    pub text_before: String,
    /// The whole text of the set-up file after it.
    pub text: String,
}

/// The key of the bay that says which question of the first set-up is asked next.
pub const SETTING_UP: &str = "setting_up";

impl ChangedKey {
    /// True for the mark of how far the first set-up has come, which is nobody's answer.
    pub fn is_of_first_run(&self) -> bool {
        self.place == Place::Bay.words() && self.key == SETTING_UP
    }
}

impl SetupChange {
    /// True for an answer of the first set-up: what stood there before it was nobody's.
    pub fn is_of_first_run(&self) -> bool {
        self.keys.iter().any(ChangedKey::is_of_first_run)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_known_by_their_words() {
        let mut places = vec![
            Place::Bay,
            Place::Sprayer("lance-1".into()),
            Place::Chemical("film".into()),
            Place::Measure("jug".into()),
            Place::Vehicle("van".into()),
        ];
        places.extend(Place::SECTIONS.map(Place::Section));
        for place in places {
            assert_eq!(Place::from_words(&place.words()), Some(place));
        }
        for words in ["", "house", "washer a", "sprayers lance-1"] {
            assert_eq!(Place::from_words(words), None, "{words}");
        }
    }
}
