//! What was changed is told in the words of the screens.

use super::common::keeper::Desk;
use super::{DEMO, Enter, PANEL, back_to_the_kinds, close, enter, go};
use Enter::{LeaveOut, Number, Tile, Tiles};
use fillcall::bay::action::{Action, Page};
use fillcall::screens::generated::EditingView;
use fillcall::trade::language::Language;
use slint::{ComponentHandle, Model};

/// The newest change as it stands on its page, in a language.
fn newest(desk: &Desk, language: Language) -> String {
    let screen = desk.window.off.screen();
    screen.show_in(language);
    let changes = screen.wall().global::<EditingView>().get_changes();
    changes.row_data(0).expect("a change").what.into()
}

#[test]
fn changes_are_told_in_the_words_of_the_screens() {
    let desk = Desk::of(DEMO, PANEL);
    let w = &desk.window;
    desk.lead(Page::Edit);
    let lance = &["Sprayers", "Lance 1"][..];
    let film = &["Chemicals", "Film remover"][..];
    let bay = &["Bay"][..];
    // Where, what, how, and what is told of it in English and in Spanish.
    let cases: [(&[&str], &str, Enter, &str, &str); 10] = [
        (
            lance,
            "Kind",
            Tile("Drum injector"),
            "Lance 1, Kind: Foam lance → Drum injector",
            "Lance 1, ",
        ),
        (
            lance,
            "Nozzle",
            Tile("2.2 mm"),
            "Lance 1, Nozzle: 1.35 mm → 2.2 mm",
            "Lance 1, Boquilla: 1.35 mm → 2.2 mm",
        ),
        (
            film,
            "What it is",
            Tile("Acid"),
            "Film remover, What it is: Alkali → Acid",
            "Ácido",
        ),
        (
            film,
            "Weakest allowed",
            Number("2"),
            "Film remover, Allowed: 3 %, 5 % → 2 %, 5 %",
            "Film remover, Permitido: 3 %, 5 % → 2 %, 5 %",
        ),
        (
            film,
            "Never with",
            Tiles(&["Roof cleaner", "Bus shampoo"]),
            "Film remover, Never with: none → Roof cleaner, Bus shampoo",
            "→ Roof cleaner, Bus shampoo",
        ),
        (
            film,
            "Cost a litre",
            LeaveOut,
            "Film remover, Cost a litre: 3.20 → none",
            "Film remover, ",
        ),
        (
            bay,
            "The day's chemical",
            Tile("Heavy film"),
            "Bay, The day's chemical: Film remover → Heavy film",
            ": Film remover → Heavy film",
        ),
        (
            bay,
            "Operators may change it",
            Tile("No"),
            "Bay, Operators may change it: Yes → No",
            ": Sí → No",
        ),
        (
            bay,
            "Balance, its step",
            LeaveOut,
            "Balance is removed",
            "quitado",
        ),
        (
            &["Limits"],
            "Due after",
            Number("45"),
            "Limits, Due after: 40 → 45",
            ": 40 → 45",
        ),
    ];
    for (path, field, how, english, spanish) in &cases {
        go(&desk, path);
        go(&desk, &[field]);
        enter(&desk, how);
        close(&desk);
        back_to_the_kinds(&desk);
        w.act([Action::Show(Page::Changes)]);
        assert_eq!(newest(&desk, Language::English), *english);
        let told = newest(&desk, Language::Spanish);
        assert!(told.contains(spanish) && told != *english, "{told}");
        w.act([Action::Show(Page::Edit)]);
    }
    // What is gone has the name that it had.
    go(&desk, &["Vehicles", "Minibus"]);
    w.hold("Remove");
    w.act([Action::Show(Page::Changes)]);
    assert_eq!(newest(&desk, Language::English), "Minibus is removed");
}
