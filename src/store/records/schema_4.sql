-- Version 4. How a fill came about, the day's chemical, rinses, the shift lead's side, what was
-- changed in the set-up, and the stock. Only tables are added, as in the versions before.

-- How a fill came about where it was not made up in an empty container: 'topped-up' with what was
-- in it and the product in that, 'mispoured' with the dose that was shown.
CREATE TABLE fill_hows (
    fill       INTEGER PRIMARY KEY REFERENCES fills (id),
    how        TEXT NOT NULL,
    ml         REAL NOT NULL,
    product_ml REAL
) STRICT;

-- What was added at once to put a mispoured fill right: taken back with that. The fill that a
-- mispoured one was logged instead of has the number of that for its taken_back.
CREATE TABLE additions (
    fill    INTEGER PRIMARY KEY REFERENCES fills (id),
    adds_to INTEGER NOT NULL REFERENCES fills (id)
) STRICT;

-- The day's chemical as the shift lead set it. Without a sprayer it is for all that have none of
-- their own; without a chemical the setting was ended; without a strength it is the set-up's.
-- allowed: 'freely', or how the strength was outside of what was allowed, which was confirmed.
-- beside_never: another sprayer had what must never meet the chemical, which was confirmed.
CREATE TABLE day_settings (
    id         INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer    TEXT,
    chemical   TEXT,
    strength   REAL,
    today_only INTEGER NOT NULL,
    allowed    TEXT NOT NULL,
    beside_never INTEGER NOT NULL,
    taken_back INTEGER REFERENCES happenings (id)
) STRICT;

CREATE TABLE rinses (
    id         INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer    TEXT NOT NULL,
    taken_back INTEGER REFERENCES happenings (id)
) STRICT;

CREATE TABLE lead_accesses (
    id   INTEGER PRIMARY KEY REFERENCES happenings (id),
    what TEXT NOT NULL
) STRICT;

-- Changes of the set-up that were made at the screen: the whole text before; the one after it stands
-- in setup_changes.
CREATE TABLE setup_changes_before (
    change INTEGER PRIMARY KEY REFERENCES setup_changes (id),
    text   TEXT NOT NULL
) STRICT;

-- The same key by key. Without a text before or after it the key was not there.
CREATE TABLE setup_change_keys (
    change  INTEGER NOT NULL REFERENCES setup_changes (id),
    place   INTEGER NOT NULL,
    section TEXT NOT NULL,
    key     TEXT NOT NULL,
    before  TEXT,
    after   TEXT,
    PRIMARY KEY (change, place)
) STRICT, WITHOUT ROWID;

-- What happened to the stock of a chemical: 'delivered' with containers and ml, 'opened' with
-- containers, 'counted' with ml.
CREATE TABLE stock_moves (
    id         INTEGER PRIMARY KEY REFERENCES happenings (id),
    chemical   TEXT NOT NULL,
    what       TEXT NOT NULL,
    containers INTEGER,
    ml         REAL,
    taken_back INTEGER REFERENCES happenings (id)
) STRICT;
