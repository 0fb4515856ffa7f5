-- Records as version 2 wrote them. Never edit: a newer program must open exactly this.
PRAGMA journal_mode = WAL;

CREATE TABLE happenings (
    id     INTEGER PRIMARY KEY,
    kind   TEXT NOT NULL,
    at     TEXT NOT NULL,
    newest TEXT NOT NULL
) STRICT;

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

CREATE TABLE setup_changes (
    id   INTEGER PRIMARY KEY REFERENCES happenings (id),
    text TEXT NOT NULL
) STRICT;

CREATE TABLE brought_washes (
    sprayer    TEXT NOT NULL,
    chemical   TEXT NOT NULL,
    day        TEXT NOT NULL,
    washes     INTEGER NOT NULL,
    taken_back INTEGER NOT NULL,
    PRIMARY KEY (sprayer, chemical, day)
) STRICT, WITHOUT ROWID;

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

CREATE TABLE checks (
    id            INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer       TEXT NOT NULL,
    mix           TEXT,
    time_ns       INTEGER NOT NULL,
    calibrated_ns INTEGER NOT NULL,
    checked       TEXT NOT NULL
) STRICT;

CREATE TABLE corrections (
    id       INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer  TEXT NOT NULL,
    chemical TEXT NOT NULL,
    factor   REAL
) STRICT;
PRAGMA application_id = 1718185068;
PRAGMA user_version = 2;
INSERT INTO happenings VALUES (1, 'restored', '2026-03-01T18:00:00+01:00', '2026-03-01T18:00:00+01:00');
INSERT INTO brought_washes VALUES ('lance-2', 'film', '2026-03-01', 12, 0);
INSERT INTO happenings VALUES (2, 'calibration', '2026-03-02T08:15:30+01:00', '2026-03-02T08:15:30+01:00');
INSERT INTO calibrations VALUES (2, 'lance-1', '1.35 mm', 'Washer A', 820.0, 820.0, 14700.0, 104200000000, '2026-03-02T08:15:00+01:00', 7);
INSERT INTO calibration_first_runs VALUES (2, 'timed', 1.5, 4.25, NULL, NULL, NULL, NULL, NULL);
INSERT INTO calibration_further_runs VALUES (2, 0, 820.0, 14550.0, 103200000000, 'by-weight', 0.0, 4.0, 15.5, 0.62, 1.94, 1.12, 15.17);
INSERT INTO calibration_further_runs VALUES (2, 1, 820.0, 14860.0, 105300000000, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO happenings VALUES (3, 'wash', '2026-03-02T08:30:00+01:00', '2026-03-02T08:30:00+01:00');
INSERT INTO washes VALUES (3, 'lance-1', 'film', NULL);
INSERT INTO happenings VALUES (4, 'wash', '2026-03-02T08:40:00+01:00', '2026-03-02T08:40:00+01:00');
INSERT INTO washes VALUES (4, 'lance-1', 'film', NULL);
INSERT INTO happenings VALUES (5, 'wash', '2026-03-02T08:40:02+01:00', '2026-03-02T08:40:02+01:00');
INSERT INTO washes VALUES (5, 'lance-1', 'film', NULL);
INSERT INTO happenings VALUES (6, 'wash-taken-back', '2026-03-02T08:40:05+01:00', '2026-03-02T08:40:05+01:00');
UPDATE washes SET taken_back = 6 WHERE id = 5;
INSERT INTO happenings VALUES (7, 'fill', '2026-03-02T09:00:00+01:00', '2026-03-02T09:00:00+01:00');
INSERT INTO fills VALUES (7, 'lance-1', 'film', 820.0, 590.0, 230.0, 0.0401361, 'good', NULL);
INSERT INTO happenings VALUES (8, 'wash', '2026-03-02T09:10:00+01:00', '2026-03-02T09:10:00+01:00');
INSERT INTO washes VALUES (8, 'lance-2', 'film', NULL);
INSERT INTO happenings VALUES (9, 'put-off', '2026-03-02T09:11:00+01:00', '2026-03-02T09:11:00+01:00');
INSERT INTO put_offs VALUES (9, 'lance-1', 1, 45);
INSERT INTO happenings VALUES (10, 'change', '2026-03-03T07:30:00+01:00', '2026-03-03T07:30:00+01:00');
INSERT INTO changes VALUES (10, 'lance-1', 'nozzle');
INSERT INTO happenings VALUES (11, 'sprayer-chosen', '2026-03-02T07:31:00+01:00', '2026-03-03T07:30:00+01:00');
INSERT INTO choices VALUES (11, 'sprayer', 'lance-2');
INSERT INTO happenings VALUES (12, 'draft', '2026-03-02T07:32:00+01:00', '2026-03-03T07:30:00+01:00');
INSERT INTO draft VALUES (1, 'lance-2', 'catch', 1060.0, 61300000000);
INSERT INTO draft_loads VALUES (0, 1000.0);
INSERT INTO draft_loads VALUES (1, 1000.0);
INSERT INTO draft_ways VALUES (1, 'timed', 60000000000, 14.5, 0.62, NULL, NULL, NULL);
INSERT INTO draft_load_graduations VALUES (1, 10.0);
INSERT INTO draft_left_loads VALUES (1, 0, 250.0, 5.0);
INSERT INTO draft_left_loads VALUES (1, 1, 30.0, NULL);
INSERT INTO draft_earlier_runs VALUES (1, 0, 1060.0, 10300.0, 57600000000, 'timed', 2.0, 4.0, NULL, NULL, NULL, NULL, NULL);
INSERT INTO happenings VALUES (13, 'run-thrown-away', '2026-03-02T07:20:00+01:00', '2026-03-03T07:30:00+01:00');
INSERT INTO thrown_away_runs VALUES (13, 'lance-1', 'catch', 820.0, 20000000000);
INSERT INTO thrown_away_loads VALUES (13, 0, 1000.0);
INSERT INTO thrown_away_ways VALUES (13, 'timed', 60000000000, NULL, NULL, NULL, NULL, NULL);
INSERT INTO thrown_away_load_graduations VALUES (13, 0, 10.0);
INSERT INTO thrown_away_left_loads VALUES (13, 0, 250.0, 5.0);
INSERT INTO thrown_away_earlier_runs VALUES (13, 0, 820.0, 14740.0, 104500000000, 'timed', 2.0, 4.0, NULL, NULL, NULL, NULL, NULL);
INSERT INTO happenings VALUES (14, 'check', '2026-03-03T10:00:00+01:00', '2026-03-03T10:00:00+01:00');
INSERT INTO checks VALUES (14, 'lance-1', NULL, 103500000000, 104226000000, '2026-03-03T10:00:00+01:00');
INSERT INTO happenings VALUES (15, 'check', '2026-03-03T10:10:00+01:00', '2026-03-03T10:10:00+01:00');
INSERT INTO checks VALUES (15, 'lance-1', 'film', 112500000000, 104226000000, '2026-03-03T10:10:00+01:00');
INSERT INTO happenings VALUES (16, 'correction', '2026-03-03T10:11:00+01:00', '2026-03-03T10:11:00+01:00');
INSERT INTO corrections VALUES (16, 'lance-1', 'film', 1.08);
INSERT INTO happenings VALUES (17, 'correction', '2026-03-03T10:12:00+01:00', '2026-03-03T10:12:00+01:00');
INSERT INTO corrections VALUES (17, 'lance-2', 'film', 1.03);
INSERT INTO happenings VALUES (18, 'correction', '2026-03-03T10:13:00+01:00', '2026-03-03T10:13:00+01:00');
INSERT INTO corrections VALUES (18, 'lance-2', 'film', NULL);
