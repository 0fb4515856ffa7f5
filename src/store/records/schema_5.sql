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
