-- Version 1. Volumes in ml, strengths as fractions 0..1, times in nanoseconds, dates RFC 3339.

-- Everything that happened, in order. Its number decides what came first, never its date.
CREATE TABLE happenings (
    id     INTEGER PRIMARY KEY,
    kind   TEXT NOT NULL,
    at     TEXT NOT NULL,
    -- The newest date in the records up to here: a clock that shows less is wrong.
    newest TEXT NOT NULL
) STRICT;

-- Taken back: the number of the happening that did so. Nothing is ever deleted.
CREATE TABLE washes (
    id         INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer    TEXT NOT NULL,
    chemical   TEXT NOT NULL,
    taken_back INTEGER REFERENCES happenings (id)
) STRICT;

CREATE TABLE fills (
    id         INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer    TEXT NOT NULL,
    chemical   TEXT NOT NULL,
    fill_ml    REAL NOT NULL,
    poured_ml  REAL NOT NULL,
    water_ml   REAL NOT NULL,
    strength   REAL NOT NULL,
    standing   TEXT NOT NULL,
    taken_back INTEGER REFERENCES happenings (id)
) STRICT;

CREATE TABLE calibrations (
    id             INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer        TEXT NOT NULL,
    nozzle         TEXT NOT NULL,
    washer         TEXT NOT NULL,
    holds_ml       REAL NOT NULL,
    drawn_ml       REAL NOT NULL,
    catch_ml       REAL NOT NULL,
    time_ns        INTEGER NOT NULL,
    taken          TEXT NOT NULL,
    -- Washes since it that a backup brought along as a count.
    washes_brought INTEGER NOT NULL
) STRICT;

CREATE TABLE thrown_away_runs (
    id       INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer  TEXT NOT NULL,
    step     TEXT NOT NULL,
    holds_ml REAL,
    time_ns  INTEGER
) STRICT;

CREATE TABLE thrown_away_loads (
    run   INTEGER NOT NULL REFERENCES thrown_away_runs (id),
    place INTEGER NOT NULL,
    ml    REAL NOT NULL,
    PRIMARY KEY (run, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE changes (
    id      INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer TEXT NOT NULL,
    what    TEXT NOT NULL
) STRICT;

CREATE TABLE put_offs (
    id           INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer      TEXT NOT NULL,
    times        INTEGER NOT NULL,
    until_washes INTEGER NOT NULL
) STRICT;

CREATE TABLE choices (
    id     INTEGER PRIMARY KEY REFERENCES happenings (id),
    what   TEXT NOT NULL CHECK (what IN ('sprayer', 'chemical')),
    chosen TEXT NOT NULL
) STRICT;

-- The unfinished calibration: one at most.
CREATE TABLE draft (
    one      INTEGER PRIMARY KEY CHECK (one = 1),
    sprayer  TEXT NOT NULL,
    step     TEXT NOT NULL,
    holds_ml REAL,
    time_ns  INTEGER
) STRICT;

CREATE TABLE draft_loads (
    place INTEGER PRIMARY KEY,
    ml    REAL NOT NULL
) STRICT;

-- The text of the set-up file, whenever it was found to be another.
CREATE TABLE setup_changes (
    id   INTEGER PRIMARY KEY REFERENCES happenings (id),
    text TEXT NOT NULL
) STRICT;

-- Washes that a backup brought along as counts by day.
CREATE TABLE brought_washes (
    sprayer    TEXT NOT NULL,
    chemical   TEXT NOT NULL,
    day        TEXT NOT NULL,
    washes     INTEGER NOT NULL,
    taken_back INTEGER NOT NULL,
    PRIMARY KEY (sprayer, chemical, day)
) STRICT, WITHOUT ROWID;
