//! Every text of the sources that can be shown in another language, and every one that cannot.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use syn::parse::Parser;
use syn::punctuated::Punctuated;
use syn::visit::{self, Visit};
use syn::{Attribute, Expr, LitStr, Token};

/// Where texts for people are composed.
const FOLDERS: [&str; 5] = [
    "src/screens",
    "src/bay",
    "src/trade",
    "src/training",
    "src/doctor",
];

/// What takes a pattern, and at which place among its arguments, besides the macros `tr!` and `text!`
/// and the findings of the doctor.
const TAKES_A_PATTERN: [(&str, usize); 5] = [
    ("notify", 0),
    ("refuse", 0),
    ("not_kept", 0),
    ("not_kept_yet", 1),
    ("not_settled", 1),
];

/// Macros whose arguments are no expressions, and that make no texts.
const MAKES_NO_TEXT: [&str; 3] = ["matches", "thread_local", "from_numbers"];

/// A text that is not the pattern of anything.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Loose {
    /// Its file, from the folder of the package.
    pub file: String,
    /// The type whose `Display` it stands in; empty elsewhere.
    pub display_of: String,
    /// The text.
    pub text: String,
}

/// What is in the sources.
#[derive(Debug, Default)]
pub struct Texts {
    /// Every pattern, also those without a word.
    pub patterns: BTreeSet<String>,
    /// Every other string.
    pub loose: BTreeSet<Loose>,
}

/// The pattern of every text with a word in it, from the screens, the bay, the trade and the
/// training: what a list of translations must have besides the texts in `ui/`.
pub fn patterns() -> BTreeSet<String> {
    let mut patterns = texts().patterns;
    patterns.retain(|pattern| has_word(pattern));
    patterns
}

/// Everything in the sources.
pub fn texts() -> Texts {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = Texts::default();
    for folder in FOLDERS {
        for file in sources(&root.join(folder)) {
            let name = file.strip_prefix(root).expect("inside of the package");
            let source = std::fs::read_to_string(&file).expect("a source can be read");
            read(&name.display().to_string(), &source, &mut texts);
        }
    }
    texts
}

/// Reads one source file.
pub fn read(file: &str, source: &str, texts: &mut Texts) {
    let source = syn::parse_file(source).unwrap_or_else(|e| panic!("{file}: {e}"));
    let mut finder = Finder {
        file,
        display_of: String::new(),
        texts,
    };
    finder.visit_file(&source);
}

/// The places of a pattern, in order of what they name: `{}` takes the next, `{1}` the second.
pub fn places(pattern: &str) -> Vec<usize> {
    let mut places = Vec::new();
    let mut next = 0;
    for piece in pattern.split('{').skip(1) {
        let Some((name, _)) = piece.split_once('}') else {
            continue;
        };
        if name.is_empty() {
            places.push(next);
            next += 1;
        } else if let Ok(place) = name.parse() {
            places.push(place);
        }
    }
    places.sort_unstable();
    places
}

/// Two letters in a row, what stands in braces left out.
pub fn has_word(text: &str) -> bool {
    let letters: Vec<char> = without_places(text).chars().collect();
    letters
        .windows(2)
        .any(|w| w.iter().all(|c| c.is_alphabetic()))
}

/// Two words: a letter, a space and a letter, what stands in braces left out.
pub fn has_words(text: &str) -> bool {
    let letters: Vec<char> = without_places(text).chars().collect();
    letters
        .windows(3)
        .any(|w| w[0].is_alphabetic() && w[1] == ' ' && w[2].is_alphabetic())
}

/// The text with every place as a letter-like nothing: it parts no words and makes none.
fn without_places(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        out.push('\u{fffc}');
        rest = after.split_once('}').map_or("", |(_, after)| after);
    }
    out + rest
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).expect("a folder of sources");
    let files = entries.map(|entry| entry.expect("a source").path());
    let mut files: Vec<_> = files
        .filter(|file| file.extension().is_some_and(|e| e == "rs"))
        .collect();
    files.sort();
    assert!(files.len() > 2, "{}: {files:?}", folder.display());
    files
}

struct Finder<'a> {
    file: &'a str,
    display_of: String,
    texts: &'a mut Texts,
}

impl Finder<'_> {
    /// Takes what an expression comes to as patterns, where that stands there in full; looks at the
    /// rest as anywhere.
    fn take(&mut self, expression: &Expr) {
        match expression {
            Expr::Lit(literal) => {
                if let syn::Lit::Str(text) = &literal.lit {
                    self.pattern(text);
                }
            }
            Expr::Match(choice) => {
                self.visit_expr(&choice.expr);
                for arm in &choice.arms {
                    self.take(&arm.body);
                }
            }
            Expr::If(choice) => {
                self.visit_expr(&choice.cond);
                self.take_last(&choice.then_branch);
                if let Some((_, other)) = &choice.else_branch {
                    self.take(other);
                }
            }
            Expr::Block(block) => self.take_last(&block.block),
            other => self.visit_expr(other),
        }
    }

    fn take_last(&mut self, block: &syn::Block) {
        let Some((last, before)) = block.stmts.split_last() else {
            return;
        };
        for statement in before {
            self.visit_stmt(statement);
        }
        match last {
            syn::Stmt::Expr(expression, None) => self.take(expression),
            other => self.visit_stmt(other),
        }
    }

    fn pattern(&mut self, pattern: &LitStr) {
        self.texts.patterns.insert(pattern.value());
    }

    /// Takes the pattern at that place, and looks into the other arguments.
    fn take_at(&mut self, place: usize, arguments: &Punctuated<Expr, Token![,]>) {
        for (at, argument) in arguments.iter().enumerate() {
            match at == place {
                true => self.take(argument),
                false => self.visit_expr(argument),
            }
        }
    }
}

impl<'ast> Visit<'ast> for Finder<'_> {
    // Comments of the documentation are attributes.
    fn visit_attribute(&mut self, _: &'ast Attribute) {}

    fn visit_item_mod(&mut self, module: &'ast syn::ItemMod) {
        if !is_test(&module.attrs) {
            visit::visit_item_mod(self, module);
        }
    }

    fn visit_item_fn(&mut self, function: &'ast syn::ItemFn) {
        if !is_test(&function.attrs) {
            visit::visit_item_fn(self, function);
        }
    }

    fn visit_item_impl(&mut self, of: &'ast syn::ItemImpl) {
        if is_test(&of.attrs) {
            return;
        }
        let is_display = of.trait_.as_ref().is_some_and(|(_, path, _)| {
            path.segments
                .last()
                .is_some_and(|last| last.ident == "Display")
        });
        if let (true, syn::Type::Path(path)) = (is_display, &*of.self_ty) {
            let last = path.path.segments.last().expect("a type has a name");
            self.display_of = last.ident.to_string();
        }
        visit::visit_item_impl(self, of);
        self.display_of.clear();
    }

    fn visit_item_macro(&mut self, item: &'ast syn::ItemMacro) {
        // What a macro of our own does with texts is seen where it is used.
        if item.ident.is_none() {
            visit::visit_item_macro(self, item);
        }
    }

    fn visit_macro(&mut self, used: &'ast syn::Macro) {
        let name = used.path.segments.last().expect("a macro has a name");
        let name = name.ident.to_string();
        if MAKES_NO_TEXT.contains(&name.as_str()) {
            return;
        }
        let list = Punctuated::<Expr, Token![,]>::parse_terminated;
        let repeated = |input: syn::parse::ParseStream<'_>| {
            let what: Expr = input.parse()?;
            input.parse::<Token![;]>()?;
            let count: Expr = input.parse()?;
            Ok(Punctuated::from_iter([what, count]))
        };
        let tokens = || used.tokens.clone();
        let arguments = list
            .parse2(tokens())
            .or_else(|_| repeated.parse2(tokens()))
            .or_else(|_| named.parse2(tokens()))
            .unwrap_or_else(|e| panic!("{}: what is in {name}!: {e}", self.file));
        match name.as_str() {
            "tr" | "text" => self.take_at(0, &arguments),
            _ => arguments.iter().for_each(|a| self.visit_expr(a)),
        }
    }

    fn visit_expr_call(&mut self, call: &'ast syn::ExprCall) {
        let of_text = match &*call.func {
            Expr::Path(function) => {
                let names = function.path.segments.iter().map(|s| s.ident.to_string());
                let names: Vec<_> = names.collect();
                names.ends_with(&["Text".into(), "from".into()])
                    || names.ends_with(&["Text".into(), "new".into()])
            }
            _ => false,
        };
        let of_finding = match &*call.func {
            Expr::Path(function) => {
                let mut names = function.path.segments.iter();
                names.next().is_some_and(|s| s.ident == "Finding") && names.len() == 1
            }
            _ => false,
        };
        match (of_text, of_finding) {
            (true, _) => self.take_at(0, &call.args),
            // What was found and what to do, behind what was looked at.
            (_, true) => call.args.iter().skip(1).for_each(|a| self.take(a)),
            _ => visit::visit_expr_call(self, call),
        }
    }

    fn visit_expr_method_call(&mut self, call: &'ast syn::ExprMethodCall) {
        let takes = TAKES_A_PATTERN.iter().find(|(name, _)| call.method == name);
        if let Some((_, place)) = takes {
            self.visit_expr(&call.receiver);
            self.take_at(*place, &call.args);
        } else {
            visit::visit_expr_method_call(self, call);
        }
    }

    fn visit_lit_str(&mut self, text: &'ast LitStr) {
        self.texts.loose.insert(Loose {
            file: self.file.into(),
            display_of: self.display_of.clone(),
            text: text.value(),
        });
    }
}

/// The phrases of announcements stand in a table of names and words.
fn named(input: syn::parse::ParseStream<'_>) -> syn::Result<Punctuated<Expr, Token![,]>> {
    let mut words = Punctuated::new();
    while !input.is_empty() {
        input.parse::<syn::Ident>()?;
        words.push(input.parse()?);
        input.parse::<Token![,]>()?;
    }
    Ok(words)
}

fn is_test(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        attribute.path().is_ident("cfg")
            && attribute
                .parse_args::<syn::Path>()
                .is_ok_and(|what| what.is_ident("test"))
    })
}
