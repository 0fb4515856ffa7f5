-- Version 5. Only tables are added, as in the versions before.

-- What else is known of a calibration. measured_ml: what the container was measured to hold, for this
-- calibration or an earlier one; without it the set-up's volume counts. dial: what the set-up said of
-- it then. taken_back: by what it was. A calibration of an older version has no row: its container was
-- measured to hold holds_ml, but by weight, where holds_ml is only what was drawn.
CREATE TABLE calibration_details (
    id          INTEGER PRIMARY KEY REFERENCES calibrations (id),
    measured_ml REAL,
    dial        TEXT,
    taken_back  INTEGER REFERENCES happenings (id)
) STRICT;

-- An earlier calibration was brought back: it counts from then on.
CREATE TABLE calibrations_brought_back (
    id          INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer     TEXT NOT NULL,
    calibration INTEGER NOT NULL REFERENCES calibrations (id)
) STRICT;

-- What else is known of a run: what was left in the container, and the temperature of the catch where
-- it was weighed. owner: the number of a calibration ('calibration') or of what was thrown away
-- ('thrown-away'), or 1 for the draft ('draft'); place: 0 for the first run or the one in hand, then
-- the others in order.
CREATE TABLE run_details (
    kind          TEXT NOT NULL,
    owner         INTEGER NOT NULL,
    place         INTEGER NOT NULL,
    left_ml       REAL,
    catch_celsius REAL,
    PRIMARY KEY (kind, owner, place)
) STRICT, WITHOUT ROWID;

-- The check sum of each happening: over its rows in all tables and the sum of the one before it.
-- touches: the sprayer on which it bears, '*' for all of them, nothing where it bears on none.
-- bears_on: 'dose', or 'mix' for what is in a sprayer.
CREATE TABLE sums (
    id       INTEGER PRIMARY KEY REFERENCES happenings (id),
    sum      BLOB NOT NULL,
    touches  TEXT,
    bears_on TEXT
) STRICT;

-- Where the chain of sums begins and ends, and the sum of the unfinished calibration.
CREATE TABLE chain_ends (
    one   INTEGER PRIMARY KEY CHECK (one = 1),
    begin BLOB NOT NULL,
    last  INTEGER NOT NULL,
    sum   BLOB NOT NULL,
    draft BLOB NOT NULL
) STRICT;

-- What a happening took back, or let stand again: the column taken_back of other tables follows it.
CREATE TABLE takings_back (
    id     INTEGER NOT NULL REFERENCES happenings (id),
    entry  INTEGER NOT NULL REFERENCES happenings (id),
    stands INTEGER NOT NULL,
    PRIMARY KEY (id, entry)
) STRICT, WITHOUT ROWID;

-- The clock was put right: newest is the date that it stood against, and was wrong.
CREATE TABLE clocks_put_right (
    id     INTEGER PRIMARY KEY REFERENCES happenings (id),
    newest TEXT NOT NULL
) STRICT;

-- The sprayer that an operator chose a chemical for. A choice without one is of an earlier version: it
-- was for the whole bay, and is read as that.
CREATE TABLE choice_sprayers (
    id      INTEGER PRIMARY KEY REFERENCES choices (id),
    sprayer TEXT NOT NULL
) STRICT;
