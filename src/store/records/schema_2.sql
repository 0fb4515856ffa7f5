-- Version 2. Several runs make a calibration. Only tables are added: what reads an older file
-- without writing (`to_read` in schema.rs) relies on that.

-- The runs of a calibration after its first, which stands in the calibration's own row.
CREATE TABLE calibration_further_runs (
    calibration INTEGER NOT NULL REFERENCES calibrations (id),
    place       INTEGER NOT NULL,
    drawn_ml    REAL NOT NULL,
    catch_ml    REAL NOT NULL,
    time_ns     INTEGER NOT NULL,
    PRIMARY KEY (calibration, place)
) STRICT, WITHOUT ROWID;

-- The runs of the unfinished calibration that were done before the one in hand.
CREATE TABLE draft_earlier_runs (
    draft    INTEGER NOT NULL REFERENCES draft (one),
    place    INTEGER NOT NULL,
    drawn_ml REAL NOT NULL,
    catch_ml REAL NOT NULL,
    time_ns  INTEGER NOT NULL,
    PRIMARY KEY (draft, place)
) STRICT, WITHOUT ROWID;

-- The runs that were done before the one in hand when both were thrown away.
CREATE TABLE thrown_away_earlier_runs (
    run      INTEGER NOT NULL REFERENCES thrown_away_runs (id),
    place    INTEGER NOT NULL,
    drawn_ml REAL NOT NULL,
    catch_ml REAL NOT NULL,
    time_ns  INTEGER NOT NULL,
    PRIMARY KEY (run, place)
) STRICT, WITHOUT ROWID;
