//! Every screen at every profile, rendered by the wall's own renderer into `target/pictures`.

mod common;

use common::walk::{self, Seen};
use fillcall::bay::setup::Profile;
use std::path::PathBuf;

/// Pictures to look at; what can be checked of them by machine is in `measures.rs`.
#[test]
fn every_screen_at_every_size() {
    for profile in Profile::ALL {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
            .join("../pictures")
            .join(profile.name());
        let mut names = Vec::new();
        walk::every_screen(profile, &mut |seen: Seen<'_>| {
            let file = folder.join(format!("{:02}-{}.png", names.len() + 1, seen.name));
            seen.window.picture(&file);
            let (width, height) = profile.pixels();
            let decoder = png::Decoder::new(std::io::BufReader::new(
                std::fs::File::open(&file).expect("the picture is there"),
            ));
            let reader = decoder.read_info().expect("a PNG");
            assert_eq!((reader.info().width, reader.info().height), (width, height));
            names.push(seen.name.to_owned());
        });
        assert!(names.len() >= 20, "{names:?}");
    }
}
