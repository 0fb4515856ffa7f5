//! Whether a package was signed by whoever publishes this program, with minisign.
//!
//! The signature carries a comment that is signed with it, `fillcall VERSION ARCH`: a package cannot be
//! passed off as a newer one by another name of its file.

use minisign_verify::{Error, PublicKey, Signature};
use std::fmt;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// What the comment begins with.
const NAME: &str = "fillcall";
/// So much is read at once, in bytes.
const PIECE: usize = 64 * 1024;
/// No signature or key is longer, in bytes.
const LONGEST: u64 = 4096;

/// Why a package is not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unsigned {
    /// There is no key to hold it against, or it is none.
    NoKey(PathBuf),
    /// No signature lies beside it, or what lies there is none.
    NoSignature(PathBuf),
    /// Another key signed it.
    OtherKey,
    /// It is not what was signed.
    Broken,
    /// It was signed, and not as a package of this program.
    NoPackage(String),
    /// It cannot be read.
    Unreadable(String),
}

impl Unsigned {
    /// One word for it, for other programs.
    pub fn word(&self) -> &'static str {
        match self {
            Self::NoKey(_) => "no-key",
            Self::NoSignature(_) => "no-signature",
            Self::OtherKey => "other-key",
            Self::Broken | Self::NoPackage(_) => "signature",
            Self::Unreadable(_) => "unreadable",
        }
    }
}

impl fmt::Display for Unsigned {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoKey(path) => write!(f, "{} is no public key for updates", path.display()),
            Self::NoSignature(path) => write!(f, "{} is no signature", path.display()),
            Self::OtherKey => write!(
                f,
                "another key signed the package than the one of this panel"
            ),
            Self::Broken => write!(
                f,
                "the package is not what was signed: it is damaged or was changed"
            ),
            Self::NoPackage(said) => {
                write!(
                    f,
                    "what was signed is no package of {NAME}: its comment says \"{said}\""
                )
            }
            Self::Unreadable(said) => write!(f, "the package cannot be read: {said}"),
        }
    }
}

/// What whoever publishes says of a package.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signed {
    /// Of the program, such as `0.2.0`.
    pub version: String,
    /// For which machines, as Debian calls them: `amd64`.
    pub arch: String,
}

/// A public key.
#[derive(Debug, Clone)]
pub struct Key {
    key: PublicKey,
    id: String,
}

impl Key {
    /// Reads a key's file as `minisign -G` writes it.
    ///
    /// # Errors
    /// [`Unsigned::NoKey`].
    pub fn read(path: &Path) -> Result<Self, Unsigned> {
        let none = || Unsigned::NoKey(path.to_owned());
        Self::of(&short_text(path).ok_or_else(none)?).ok_or_else(none)
    }

    fn of(text: &str) -> Option<Self> {
        let line = text.lines().map(str::trim).rfind(|line| !line.is_empty())?;
        let key = PublicKey::from_base64(line).ok()?;
        // Two letters for the kind, then the number, its lowest byte first.
        let bytes = base64_beginning(line, 10)?;
        let id = bytes[2..]
            .iter()
            .rev()
            .map(|byte| format!("{byte:02X}"))
            .collect();
        Some(Self { key, id })
    }

    /// The number by which people tell keys apart: 16 digits, as minisign writes it beside a key.
    pub fn id(&self) -> &str {
        &self.id
    }
}

/// The first bytes that a text in base64 stands for.
fn base64_beginning(text: &str, bytes: usize) -> Option<Vec<u8>> {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut all = Vec::with_capacity(bytes + 2);
    for four in text.as_bytes().chunks(4) {
        let mut value = 0_u32;
        for letter in four {
            let place = LETTERS.iter().position(|l| l == letter)?;
            value = value << 6 | u32::try_from(place).ok()?;
        }
        all.extend_from_slice(&value.to_be_bytes()[1..]);
        if all.len() >= bytes {
            all.truncate(bytes);
            return Some(all);
        }
    }
    None
}

/// True for a file itself: what a link leads to is not looked at, and a pipe is never opened.
fn is_file(path: &Path) -> bool {
    std::fs::symlink_metadata(path).is_ok_and(|meta| meta.is_file())
}

/// The text of a small file; `None` where it is none.
fn short_text(path: &Path) -> Option<String> {
    is_file(path).then_some(())?;
    let mut text = String::new();
    let mut file = File::open(path).ok()?.take(LONGEST);
    file.read_to_string(&mut text).ok()?;
    Some(text)
}

/// Holds a package against its signature.
///
/// # Errors
/// [`Unsigned`].
pub fn verify(package: &Path, signature: &Path, key: &Key) -> Result<Signed, Unsigned> {
    let none = || Unsigned::NoSignature(signature.to_owned());
    let text = short_text(signature).ok_or_else(none)?;
    let signature = Signature::decode(&text).map_err(|_| none())?;
    let mut verifier = key
        .key
        .verify_stream(&signature)
        .map_err(|error| match error {
            Error::UnexpectedKeyId => Unsigned::OtherKey,
            // Of a kind that signs the whole file at once, which no version of `package --sign` makes.
            _ => none(),
        })?;
    if !is_file(package) {
        return Err(Unsigned::Unreadable("it is no file".into()));
    }
    let unreadable = |error: io::Error| Unsigned::Unreadable(error.to_string());
    let mut file = File::open(package).map_err(unreadable)?;
    let mut piece = vec![0; PIECE];
    loop {
        let read = file.read(&mut piece).map_err(unreadable)?;
        if read == 0 {
            break;
        }
        verifier.update(&piece[..read]);
    }
    verifier.finalize().map_err(|_| Unsigned::Broken)?;
    signed(signature.trusted_comment())
}

fn signed(comment: &str) -> Result<Signed, Unsigned> {
    let words: Vec<&str> = comment.split(' ').collect();
    match words[..] {
        [NAME, version, arch] if !version.is_empty() && !arch.is_empty() => Ok(Signed {
            version: version.to_owned(),
            arch: arch.to_owned(),
        }),
        _ => Err(Unsigned::NoPackage(comment.to_owned())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    // Made once with `minisign -G -W` and `minisign -S -t`; the secret keys were thrown away.
    const KEY: &str = include_str!("tests/key.pub");
    const OTHER: &str = include_str!("tests/other.pub");
    const PACKAGE: &[u8] = include_bytes!("tests/package");
    const SIGNATURE: &str = include_str!("tests/package.minisig");
    const OTHERS_WORDS: &str = include_str!("tests/something.minisig");

    struct Files {
        dir: tempfile::TempDir,
    }

    impl Files {
        fn new() -> Self {
            let dir = tempfile::tempdir().expect("folder");
            let files = Self { dir };
            files.write("key.pub", KEY.as_bytes());
            files.write("package", PACKAGE);
            files.write("package.minisig", SIGNATURE.as_bytes());
            files
        }
        fn at(&self, name: &str) -> PathBuf {
            self.dir.path().join(name)
        }
        fn write(&self, name: &str, bytes: &[u8]) {
            fs::write(self.at(name), bytes).expect("file");
        }
        fn verify(&self) -> Result<Signed, Unsigned> {
            let key = Key::read(&self.at("key.pub"))?;
            verify(&self.at("package"), &self.at("package.minisig"), &key)
        }
    }

    #[test]
    fn what_was_signed_is_taken_with_what_was_said_of_it() {
        let signed = Files::new().verify().expect("signed");
        assert_eq!(
            (signed.version.as_str(), signed.arch.as_str()),
            ("0.2.0", "amd64")
        );
        let key = Key::of(KEY).expect("a key");
        assert!(
            KEY.contains(key.id()),
            "minisign says the same of it: {}",
            key.id()
        );
    }

    #[test]
    fn one_bit_is_enough_anywhere() {
        let files = Files::new();
        for at in 0..PACKAGE.len() {
            let mut bytes = PACKAGE.to_vec();
            bytes[at] ^= 1;
            files.write("package", &bytes);
            assert_eq!(files.verify(), Err(Unsigned::Broken), "byte {at}");
        }
        files.write("package", &PACKAGE[..PACKAGE.len() - 1]);
        assert_eq!(files.verify(), Err(Unsigned::Broken), "cut off");
        files.write("package", PACKAGE);
        let text = SIGNATURE.replace("0.2.0", "0.9.0");
        files.write("package.minisig", text.as_bytes());
        assert_eq!(
            files.verify(),
            Err(Unsigned::Broken),
            "another version is said"
        );
        for (line, text) in SIGNATURE
            .lines()
            .enumerate()
            .filter(|(line, _)| line % 2 == 1)
        {
            for at in 0..text.len() {
                let mut lines: Vec<String> = SIGNATURE.lines().map(str::to_owned).collect();
                let other = if &text[at..=at] == "A" { "B" } else { "A" };
                lines[line].replace_range(at..=at, other);
                files.write("package.minisig", lines.join("\n").as_bytes());
                files.verify().expect_err("changed");
            }
        }
    }

    #[test]
    fn another_key_another_file_and_none_are_told_apart() {
        let files = Files::new();
        files.write("key.pub", OTHER.as_bytes());
        assert_eq!(files.verify(), Err(Unsigned::OtherKey));
        files.write("key.pub", b"no key");
        assert_eq!(files.verify(), Err(Unsigned::NoKey(files.at("key.pub"))));
        files.write("key.pub", KEY.as_bytes());
        files.write("package.minisig", b"no signature");
        let none = Unsigned::NoSignature(files.at("package.minisig"));
        assert_eq!(files.verify(), Err(none.clone()));
        fs::remove_file(files.at("package.minisig")).expect("there");
        assert_eq!(files.verify(), Err(none));
        // Signed by the right key, and not as a package.
        files.write("package.minisig", OTHERS_WORDS.as_bytes());
        let fault = files.verify().expect_err("no package");
        assert_eq!(fault, Unsigned::NoPackage("timetable of the depot".into()));
        files.write("package.minisig", SIGNATURE.as_bytes());
        fs::remove_file(files.at("package")).expect("there");
        assert_eq!(files.verify().expect_err("gone").word(), "unreadable");
    }

    #[test]
    fn a_comment_says_what_it_must_and_nothing_else() {
        for wrong in [
            "",
            "fillcall",
            "fillcall 1",
            "fillcall 1 amd64 x",
            "fillcall  amd64",
            "other 1 amd64",
        ] {
            signed(wrong).expect_err(wrong);
        }
    }
}
