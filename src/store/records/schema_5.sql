-- Version 5. Only tables are added, as in the versions before.

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
