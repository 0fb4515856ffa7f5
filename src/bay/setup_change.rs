//! Changes of the set-up, as they are asked for at the screen and kept in the records.

/// A part of the set-up.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The top of the file: the bay itself.
    Bay,
    /// A section of which there is one, by its name in the file: `screen`, `sound`, `reminder`,
    /// `check`, `balance`, `stock`, `lead`.
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
    /// The section in words of the file: `sprayer lance-1`, `reminder`, `bay`.
    pub place: String,
    /// The key; empty where the whole section came or went.
    pub key: String,
    /// Before; `None` where it was not there.
    pub before: Option<String>,
    /// After; `None` where it is not there.
    pub after: Option<String>,
}

/// A change of the set-up as it is kept: what can be seen of it, and what takes it back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetupChange {
    /// What was changed, key by key.
    pub keys: Vec<ChangedKey>,
    /// The whole text of the set-up file after it.
    pub text: String,
}
