//! What happened, looked at and taken away.

mod common;

use common::walk::{self, Seen};
use common::walk_reports;
use fillcall::bay::setup::Profile;
use std::path::Path;

#[test]
fn pictures() {
    let Some(folder) = std::env::var_os("PICTURES") else { return };
    for profile in Profile::ALL {
        let mut n = 0;
        walk_reports::reports(profile, &mut |seen: Seen<'_>| {
            n += 1;
            for language in walk::LANGUAGES {
                let file = Path::new(&folder).join(profile.name()).join(format!("{n:02}-{}-{}.png", seen.name, language.code()));
                seen.in_language(language, || seen.window.picture(&file));
            }
        });
    }
}
