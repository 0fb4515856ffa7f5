-- Version 2. Several runs make a calibration, each done and read in its way; timed checks and
-- corrections of a dose. Only tables are added: what reads an older file without writing (`to_read`
-- in schema.rs) relies on that. What a table of version 1 has no columns for stands beside its row
-- in a table of the same key; rows of version 1 have nothing there.
--
-- Each run has the same columns: how it was done, the standard uncertainties of its two volumes
-- (both or neither), and what thermometer and balance showed (all five or none).

-- What else is known of the first run of a calibration, which stands in the calibration's own row.
CREATE TABLE calibration_first_runs (
    calibration        INTEGER PRIMARY KEY REFERENCES calibrations (id),
    way                TEXT NOT NULL,
    drawn_u_ml         REAL,
    catch_u_ml         REAL,
    water_celsius      REAL,
    bucket_empty_kg    REAL,
    container_full_kg  REAL,
    container_after_kg REAL,
    bucket_full_kg     REAL
) STRICT;

-- The runs of a calibration after its first.
CREATE TABLE calibration_further_runs (
    calibration        INTEGER NOT NULL REFERENCES calibrations (id),
    place              INTEGER NOT NULL,
    drawn_ml           REAL NOT NULL,
    catch_ml           REAL NOT NULL,
    time_ns            INTEGER NOT NULL,
    way                TEXT NOT NULL,
    drawn_u_ml         REAL,
    catch_u_ml         REAL,
    water_celsius      REAL,
    bucket_empty_kg    REAL,
    container_full_kg  REAL,
    container_after_kg REAL,
    bucket_full_kg     REAL,
    PRIMARY KEY (calibration, place)
) STRICT, WITHOUT ROWID;

-- The runs of the unfinished calibration that were done before the one in hand.
CREATE TABLE draft_earlier_runs (
    draft              INTEGER NOT NULL REFERENCES draft (one),
    place              INTEGER NOT NULL,
    drawn_ml           REAL NOT NULL,
    catch_ml           REAL NOT NULL,
    time_ns            INTEGER NOT NULL,
    way                TEXT NOT NULL,
    drawn_u_ml         REAL,
    catch_u_ml         REAL,
    water_celsius      REAL,
    bucket_empty_kg    REAL,
    container_full_kg  REAL,
    container_after_kg REAL,
    bucket_full_kg     REAL,
    PRIMARY KEY (draft, place)
) STRICT, WITHOUT ROWID;

-- The runs that were done before the one in hand when both were thrown away.
CREATE TABLE thrown_away_earlier_runs (
    run                INTEGER NOT NULL REFERENCES thrown_away_runs (id),
    place              INTEGER NOT NULL,
    drawn_ml           REAL NOT NULL,
    catch_ml           REAL NOT NULL,
    time_ns            INTEGER NOT NULL,
    way                TEXT NOT NULL,
    drawn_u_ml         REAL,
    catch_u_ml         REAL,
    water_celsius      REAL,
    bucket_empty_kg    REAL,
    container_full_kg  REAL,
    container_after_kg REAL,
    bucket_full_kg     REAL,
    PRIMARY KEY (run, place)
) STRICT, WITHOUT ROWID;

-- What else is known of the run in hand: how it is done, how long it is to last, and what was
-- weighed so far.
CREATE TABLE draft_ways (
    draft              INTEGER PRIMARY KEY REFERENCES draft (one),
    way                TEXT NOT NULL,
    set_time_ns        INTEGER,
    water_celsius      REAL,
    bucket_empty_kg    REAL,
    container_full_kg  REAL,
    container_after_kg REAL,
    bucket_full_kg     REAL
) STRICT;

CREATE TABLE thrown_away_ways (
    run                INTEGER PRIMARY KEY REFERENCES thrown_away_runs (id),
    way                TEXT NOT NULL,
    set_time_ns        INTEGER,
    water_celsius      REAL,
    bucket_empty_kg    REAL,
    container_full_kg  REAL,
    container_after_kg REAL,
    bucket_full_kg     REAL
) STRICT;

-- The graduation of the measure that a load of the catch was read on, where it is known.
CREATE TABLE draft_load_graduations (
    place         INTEGER PRIMARY KEY REFERENCES draft_loads (place),
    graduation_ml REAL NOT NULL
) STRICT;

CREATE TABLE thrown_away_load_graduations (
    run           INTEGER NOT NULL,
    place         INTEGER NOT NULL,
    graduation_ml REAL NOT NULL,
    PRIMARY KEY (run, place),
    FOREIGN KEY (run, place) REFERENCES thrown_away_loads (run, place)
) STRICT, WITHOUT ROWID;

-- What was left in the container after a timed run, load by load.
CREATE TABLE draft_left_loads (
    draft         INTEGER NOT NULL REFERENCES draft (one),
    place         INTEGER NOT NULL,
    ml            REAL NOT NULL,
    graduation_ml REAL,
    PRIMARY KEY (draft, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE thrown_away_left_loads (
    run           INTEGER NOT NULL REFERENCES thrown_away_runs (id),
    place         INTEGER NOT NULL,
    ml            REAL NOT NULL,
    graduation_ml REAL,
    PRIMARY KEY (run, place)
) STRICT, WITHOUT ROWID;

-- Full containers run against the stopwatch alone. The mix is the chemical whose mix was in it;
-- without one it was clean water.
CREATE TABLE checks (
    id            INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer       TEXT NOT NULL,
    mix           TEXT,
    time_ns       INTEGER NOT NULL,
    calibrated_ns INTEGER NOT NULL,
    checked       TEXT NOT NULL
) STRICT;

-- What the dose of a chemical is multiplied with from then on; without a factor it is not any more.
CREATE TABLE corrections (
    id       INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer  TEXT NOT NULL,
    chemical TEXT NOT NULL,
    factor   REAL
) STRICT;
