-- Records as version 5 wrote them. Never edit: a newer program must open exactly this.
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

CREATE TABLE sound_choices (
    id     INTEGER PRIMARY KEY REFERENCES happenings (id),
    what   TEXT NOT NULL,
    chosen ANY
) STRICT;
CREATE TABLE fill_hows (
    fill       INTEGER PRIMARY KEY REFERENCES fills (id),
    how        TEXT NOT NULL,
    ml         REAL NOT NULL,
    product_ml REAL
) STRICT;

CREATE TABLE additions (
    fill    INTEGER PRIMARY KEY REFERENCES fills (id),
    adds_to INTEGER NOT NULL REFERENCES fills (id)
) STRICT;

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

CREATE TABLE setup_changes_before (
    change INTEGER PRIMARY KEY REFERENCES setup_changes (id),
    text   TEXT NOT NULL
) STRICT;

CREATE TABLE setup_change_keys (
    change  INTEGER NOT NULL REFERENCES setup_changes (id),
    place   INTEGER NOT NULL,
    section TEXT NOT NULL,
    key     TEXT NOT NULL,
    before  TEXT,
    after   TEXT,
    PRIMARY KEY (change, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE stock_moves (
    id         INTEGER PRIMARY KEY REFERENCES happenings (id),
    chemical   TEXT NOT NULL,
    what       TEXT NOT NULL,
    containers INTEGER,
    ml         REAL,
    taken_back INTEGER REFERENCES happenings (id)
) STRICT;

CREATE TABLE calibration_details (
    id          INTEGER PRIMARY KEY REFERENCES calibrations (id),
    measured_ml REAL,
    dial        TEXT,
    taken_back  INTEGER REFERENCES happenings (id)
) STRICT;

CREATE TABLE calibrations_brought_back (
    id          INTEGER PRIMARY KEY REFERENCES happenings (id),
    sprayer     TEXT NOT NULL,
    calibration INTEGER NOT NULL REFERENCES calibrations (id)
) STRICT;

CREATE TABLE run_details (
    kind          TEXT NOT NULL,
    owner         INTEGER NOT NULL,
    place         INTEGER NOT NULL,
    left_ml       REAL,
    catch_celsius REAL,
    PRIMARY KEY (kind, owner, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE sums (
    id       INTEGER PRIMARY KEY REFERENCES happenings (id),
    sum      BLOB NOT NULL,
    touches  TEXT,
    bears_on TEXT
) STRICT;

CREATE TABLE chain_ends (
    one   INTEGER PRIMARY KEY CHECK (one = 1),
    begin BLOB NOT NULL,
    last  INTEGER NOT NULL,
    sum   BLOB NOT NULL,
    draft BLOB NOT NULL
) STRICT;

CREATE TABLE takings_back (
    id     INTEGER NOT NULL REFERENCES happenings (id),
    entry  INTEGER NOT NULL REFERENCES happenings (id),
    stands INTEGER NOT NULL,
    PRIMARY KEY (id, entry)
) STRICT, WITHOUT ROWID;

CREATE TABLE clocks_put_right (
    id     INTEGER PRIMARY KEY REFERENCES happenings (id),
    newest TEXT NOT NULL
) STRICT;

CREATE TABLE choice_sprayers (
    id      INTEGER PRIMARY KEY REFERENCES choices (id),
    sprayer TEXT NOT NULL
) STRICT;

PRAGMA application_id = 1718185068;
PRAGMA user_version = 5;
INSERT INTO happenings VALUES (1, 'restored', '2026-03-01T18:00:00+01:00', '2026-03-01T18:00:00+01:00');
INSERT INTO happenings VALUES (2, 'calibration', '2026-03-02T08:15:30+01:00', '2026-03-02T08:15:30+01:00');
INSERT INTO happenings VALUES (3, 'wash', '2026-03-02T08:30:00+01:00', '2026-03-02T08:30:00+01:00');
INSERT INTO happenings VALUES (4, 'wash', '2026-03-02T08:40:00+01:00', '2026-03-02T08:40:00+01:00');
INSERT INTO happenings VALUES (5, 'wash', '2026-03-02T08:40:02+01:00', '2026-03-02T08:40:02+01:00');
INSERT INTO happenings VALUES (6, 'wash-taken-back', '2026-03-02T08:40:05+01:00', '2026-03-02T08:40:05+01:00');
INSERT INTO happenings VALUES (7, 'fill', '2026-03-02T09:00:00+01:00', '2026-03-02T09:00:00+01:00');
INSERT INTO happenings VALUES (8, 'wash', '2026-03-02T09:10:00+01:00', '2026-03-02T09:10:00+01:00');
INSERT INTO happenings VALUES (9, 'put-off', '2026-03-02T09:11:00+01:00', '2026-03-02T09:11:00+01:00');
INSERT INTO happenings VALUES (10, 'change', '2026-03-03T07:30:00+01:00', '2026-03-03T07:30:00+01:00');
INSERT INTO happenings VALUES (11, 'sprayer-chosen', '2026-03-02T07:31:00+01:00', '2026-03-03T07:30:00+01:00');
INSERT INTO happenings VALUES (12, 'draft', '2026-03-02T07:32:00+01:00', '2026-03-03T07:30:00+01:00');
INSERT INTO happenings VALUES (13, 'run-thrown-away', '2026-03-02T07:20:00+01:00', '2026-03-03T07:30:00+01:00');
INSERT INTO happenings VALUES (14, 'check', '2026-03-03T10:00:00+01:00', '2026-03-03T10:00:00+01:00');
INSERT INTO happenings VALUES (15, 'check', '2026-03-03T10:10:00+01:00', '2026-03-03T10:10:00+01:00');
INSERT INTO happenings VALUES (16, 'correction', '2026-03-03T10:11:00+01:00', '2026-03-03T10:11:00+01:00');
INSERT INTO happenings VALUES (17, 'correction', '2026-03-03T10:12:00+01:00', '2026-03-03T10:12:00+01:00');
INSERT INTO happenings VALUES (18, 'correction', '2026-03-03T10:13:00+01:00', '2026-03-03T10:13:00+01:00');
INSERT INTO happenings VALUES (19, 'volume-chosen', '2026-03-03T10:19:00+01:00', '2026-03-03T10:19:00+01:00');
INSERT INTO happenings VALUES (20, 'language-chosen', '2026-03-03T10:20:00+01:00', '2026-03-03T10:20:00+01:00');
INSERT INTO happenings VALUES (21, 'loudspeaker-chosen', '2026-03-03T10:21:00+01:00', '2026-03-03T10:21:00+01:00');
INSERT INTO happenings VALUES (22, 'volume-chosen', '2026-03-03T10:22:00+01:00', '2026-03-03T10:22:00+01:00');
INSERT INTO happenings VALUES (23, 'language-chosen', '2026-03-03T10:23:00+01:00', '2026-03-03T10:23:00+01:00');
INSERT INTO happenings VALUES (24, 'loudspeaker-chosen', '2026-03-03T10:24:00+01:00', '2026-03-03T10:24:00+01:00');
INSERT INTO happenings VALUES (25, 'fill', '2026-03-03T10:30:00+01:00', '2026-03-03T10:30:00+01:00');
INSERT INTO happenings VALUES (26, 'rinse', '2026-03-03T10:40:00+01:00', '2026-03-03T10:40:00+01:00');
INSERT INTO happenings VALUES (27, 'fill', '2026-03-03T11:05:00+01:00', '2026-03-03T11:05:00+01:00');
INSERT INTO happenings VALUES (28, 'rinse', '2026-03-03T11:06:00+01:00', '2026-03-03T11:06:00+01:00');
INSERT INTO happenings VALUES (29, 'rinse-taken-back', '2026-03-03T11:07:00+01:00', '2026-03-03T11:07:00+01:00');
INSERT INTO happenings VALUES (30, 'lead-access', '2026-03-03T11:10:00+01:00', '2026-03-03T11:10:00+01:00');
INSERT INTO happenings VALUES (31, 'lead-access', '2026-03-03T11:11:00+01:00', '2026-03-03T11:11:00+01:00');
INSERT INTO happenings VALUES (32, 'lead-access', '2026-03-03T11:12:00+01:00', '2026-03-03T11:12:00+01:00');
INSERT INTO happenings VALUES (33, 'lead-access', '2026-03-03T11:13:00+01:00', '2026-03-03T11:13:00+01:00');
INSERT INTO happenings VALUES (34, 'lead-access', '2026-03-03T11:14:00+01:00', '2026-03-03T11:14:00+01:00');
INSERT INTO happenings VALUES (35, 'day-setting', '2026-03-03T11:15:00+01:00', '2026-03-03T11:15:00+01:00');
INSERT INTO happenings VALUES (36, 'day-setting', '2026-03-03T11:16:00+01:00', '2026-03-03T11:16:00+01:00');
INSERT INTO happenings VALUES (37, 'day-setting', '2026-03-03T11:17:00+01:00', '2026-03-03T11:17:00+01:00');
INSERT INTO happenings VALUES (38, 'day-setting', '2026-03-03T11:20:00+01:00', '2026-03-03T11:20:00+01:00');
INSERT INTO happenings VALUES (39, 'set-up-edited', '2026-03-03T11:21:00+01:00', '2026-03-03T11:21:00+01:00');
INSERT INTO happenings VALUES (40, 'stock', '2026-03-03T11:30:00+01:00', '2026-03-03T11:30:00+01:00');
INSERT INTO happenings VALUES (41, 'stock', '2026-03-03T11:31:00+01:00', '2026-03-03T11:31:00+01:00');
INSERT INTO happenings VALUES (42, 'stock', '2026-03-03T11:32:00+01:00', '2026-03-03T11:32:00+01:00');
INSERT INTO happenings VALUES (43, 'stock', '2026-03-03T11:33:00+01:00', '2026-03-03T11:33:00+01:00');
INSERT INTO happenings VALUES (44, 'stock-move-taken-back', '2026-03-03T11:34:00+01:00', '2026-03-03T11:34:00+01:00');
INSERT INTO happenings VALUES (45, 'wash', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (46, 'wash-taken-back', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (47, 'fill', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (48, 'fill-taken-back', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (49, 'calibration', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (50, 'wash', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (51, 'calibration', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (52, 'calibration-brought-back', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (53, 'calibration', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (54, 'calibration-taken-back', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (55, 'run-thrown-away', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (56, 'chemical-chosen', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (57, 'fill', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (58, 'fill', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (59, 'draft', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO happenings VALUES (60, 'clock-put-right', '2026-05-04T12:00:00+00:00', '2026-05-04T12:00:00+00:00');
INSERT INTO washes VALUES (3, 'lance-1', 'film', NULL);
INSERT INTO washes VALUES (4, 'lance-1', 'film', NULL);
INSERT INTO washes VALUES (5, 'lance-1', 'film', 6);
INSERT INTO washes VALUES (8, 'lance-2', 'film', NULL);
INSERT INTO washes VALUES (45, 'lance-1', 'film', 46);
INSERT INTO washes VALUES (50, 'lance-2', 'film', NULL);
INSERT INTO fills VALUES (7, 'lance-1', 'film', 820.0, 590.0, 230.0, 0.0401361, 'good', NULL);
INSERT INTO fills VALUES (25, 'lance-1', 'film', 820.0, 480.0, 295.0, 0.0401361, 'good', NULL);
INSERT INTO fills VALUES (27, 'lance-2', 'soap', 1060.0, 720.0, 220.0, 0.0410223, 'good', NULL);
INSERT INTO fills VALUES (47, 'lance-1', 'film', 880.0, 330.0, 550.0, 0.03, 'good', 48);
INSERT INTO fills VALUES (57, 'lance-2', 'film', 880.0, 330.0, 550.0, 0.03, 'good', NULL);
INSERT INTO fills VALUES (58, 'lance-2', 'film', 880.0, 330.0, 550.0, 0.03, 'good', NULL);
INSERT INTO calibrations VALUES (2, 'lance-1', '1.35 mm', 'Washer A', 820.0, 820.0, 14700.0, 104200000000, '2026-03-02T08:15:00+01:00', 7);
INSERT INTO calibrations VALUES (49, 'lance-1', '1.35 mm', 'Washer A', 820.0, 820.0, 14790.0, 104200000000, '2026-03-02T11:59:00+00:00', 0);
INSERT INTO calibrations VALUES (51, 'lance-1', '1.1 mm', 'Washer B', 880.0, 868.0, 15100.0, 92000000000, '2026-05-04T11:00:00+00:00', 0);
INSERT INTO calibrations VALUES (53, 'lance-1', '1.1 mm', 'Washer B', 880.0, 868.0, 15100.0, 92000000000, '2026-05-04T11:00:00+00:00', 0);
INSERT INTO thrown_away_runs VALUES (13, 'lance-1', 'catch', 820.0, 20000000000);
INSERT INTO thrown_away_runs VALUES (55, 'lance-1', 'bucket-full', NULL, NULL);
INSERT INTO thrown_away_loads VALUES (13, 0, 1000.0);
INSERT INTO changes VALUES (10, 'lance-1', 'nozzle');
INSERT INTO put_offs VALUES (9, 'lance-1', 1, 45);
INSERT INTO choices VALUES (11, 'sprayer', 'lance-2');
INSERT INTO choices VALUES (56, 'chemical', 'soap');
INSERT INTO draft VALUES (1, 'lance-1', 'catch', NULL, NULL);
INSERT INTO draft_loads VALUES (0, 500.0);
INSERT INTO draft_loads VALUES (1, 700.0);
INSERT INTO setup_changes VALUES (39, 'name = "Yard"');
INSERT INTO brought_washes VALUES ('lance-2', 'film', '2026-03-01', 12, 0);
INSERT INTO calibration_first_runs VALUES (2, 'timed', 1.5, 4.25, NULL, NULL, NULL, NULL, NULL);
INSERT INTO calibration_first_runs VALUES (49, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO calibration_first_runs VALUES (51, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO calibration_first_runs VALUES (53, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO calibration_further_runs VALUES (2, 0, 820.0, 14550.0, 103200000000, 'by-weight', 0.0, 4.0, 15.5, 0.62, 1.94, 1.12, 15.17);
INSERT INTO calibration_further_runs VALUES (2, 1, 820.0, 14860.0, 105300000000, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO calibration_further_runs VALUES (49, 0, 820.0, 14570.0, 104200000000, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO calibration_further_runs VALUES (51, 0, 868.0, 15100.0, 92000000000, 'by-weight', NULL, NULL, 14.5, 0.62, 1.31, 0.43, 15.48);
INSERT INTO draft_earlier_runs VALUES (1, 0, 868.0, 15100.0, 92000000000, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO thrown_away_earlier_runs VALUES (13, 0, 820.0, 14740.0, 104500000000, 'timed', 2.0, 4.0, NULL, NULL, NULL, NULL, NULL);
INSERT INTO thrown_away_earlier_runs VALUES (55, 0, 868.0, 15100.0, 92000000000, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO thrown_away_earlier_runs VALUES (55, 1, 868.0, 15100.0, 92000000000, 'by-weight', NULL, NULL, 14.5, 0.62, 1.31, 0.43, 15.48);
INSERT INTO draft_ways VALUES (1, 'run-dry', NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO thrown_away_ways VALUES (13, 'timed', 60000000000, NULL, NULL, NULL, NULL, NULL);
INSERT INTO thrown_away_ways VALUES (55, 'by-weight', NULL, 14.5, NULL, NULL, NULL, NULL);
INSERT INTO draft_load_graduations VALUES (0, 10.0);
INSERT INTO thrown_away_load_graduations VALUES (13, 0, 10.0);
INSERT INTO draft_left_loads VALUES (1, 0, 14.0, NULL);
INSERT INTO thrown_away_left_loads VALUES (13, 0, 250.0, 5.0);
INSERT INTO checks VALUES (14, 'lance-1', NULL, 103500000000, 104226000000, '2026-03-03T10:00:00+01:00');
INSERT INTO checks VALUES (15, 'lance-1', 'film', 112500000000, 104226000000, '2026-03-03T10:10:00+01:00');
INSERT INTO corrections VALUES (16, 'lance-1', 'film', 1.08);
INSERT INTO corrections VALUES (17, 'lance-2', 'film', 1.03);
INSERT INTO corrections VALUES (18, 'lance-2', 'film', NULL);
INSERT INTO sound_choices VALUES (19, 'volume', 60);
INSERT INTO sound_choices VALUES (20, 'language', 'en');
INSERT INTO sound_choices VALUES (21, 'loudspeaker', NULL);
INSERT INTO sound_choices VALUES (22, 'volume', 90);
INSERT INTO sound_choices VALUES (23, 'language', 'es');
INSERT INTO sound_choices VALUES (24, 'loudspeaker', 'USB Audio, Front');
INSERT INTO fill_hows VALUES (25, 'topped-up', 200.0, 141.5);
INSERT INTO fill_hows VALUES (27, 'mispoured', 590.0, NULL);
INSERT INTO fill_hows VALUES (57, 'mispoured', 290.0, NULL);
INSERT INTO fill_hows VALUES (58, 'topped-up', 880.0, 330.0);
INSERT INTO additions VALUES (58, 57);
INSERT INTO day_settings VALUES (35, NULL, 'film', 0.05, 0, 'too-strong', 0, NULL);
INSERT INTO day_settings VALUES (36, 'lance-1', 'soap', NULL, 1, 'freely', 0, NULL);
INSERT INTO day_settings VALUES (37, 'lance-1', NULL, NULL, 0, 'freely', 0, NULL);
INSERT INTO day_settings VALUES (38, NULL, 'soap', 0.035, 1, 'too-weak', 1, NULL);
INSERT INTO rinses VALUES (26, 'lance-1', NULL);
INSERT INTO rinses VALUES (28, 'lance-2', 29);
INSERT INTO lead_accesses VALUES (30, 'refused');
INSERT INTO lead_accesses VALUES (31, 'let-in');
INSERT INTO lead_accesses VALUES (32, 'left');
INSERT INTO lead_accesses VALUES (33, 'refused');
INSERT INTO lead_accesses VALUES (34, 'refused');
INSERT INTO setup_changes_before VALUES (39, 'name = "Bay"');
INSERT INTO setup_change_keys VALUES (39, 0, 'reminder', 'washes', '40', '50');
INSERT INTO setup_change_keys VALUES (39, 1, 'measure jug', '', '[[measure]]', NULL);
INSERT INTO stock_moves VALUES (40, 'film', 'delivered', 3, 60000.0, NULL);
INSERT INTO stock_moves VALUES (41, 'film', 'opened', 1, NULL, NULL);
INSERT INTO stock_moves VALUES (42, 'film', 'counted', NULL, 52500.0, NULL);
INSERT INTO stock_moves VALUES (43, 'film', 'delivered', 1, 20000.0, 44);
INSERT INTO calibration_details VALUES (49, 820.0, NULL, NULL);
INSERT INTO calibration_details VALUES (51, 880.0, 'tip 4', NULL);
INSERT INTO calibration_details VALUES (53, 880.0, 'tip 4', 54);
INSERT INTO calibrations_brought_back VALUES (52, 'lance-1', 49);
INSERT INTO run_details VALUES ('calibration', 51, 0, 12.0, NULL);
INSERT INTO run_details VALUES ('calibration', 51, 1, 12.0, 46.5);
INSERT INTO run_details VALUES ('calibration', 53, 0, 12.0, NULL);
INSERT INTO run_details VALUES ('draft', 1, 1, 12.0, NULL);
INSERT INTO run_details VALUES ('thrown-away', 55, 0, NULL, 46.5);
INSERT INTO run_details VALUES ('thrown-away', 55, 1, 12.0, NULL);
INSERT INTO run_details VALUES ('thrown-away', 55, 2, 12.0, 46.5);
INSERT INTO sums VALUES (1, x'27a532c922e11a2ceeea467eae2542eb', NULL, NULL);
INSERT INTO sums VALUES (2, x'799463e934eef529c0b44b316a1cb913', 'lance-1', 'dose');
INSERT INTO sums VALUES (3, x'2775f3329606e8afcaa5bde48e664702', NULL, NULL);
INSERT INTO sums VALUES (4, x'f5fd59350e76e827cece6df03149d187', NULL, NULL);
INSERT INTO sums VALUES (5, x'bf3f192f40272a6b2322c517744d3e32', NULL, NULL);
INSERT INTO sums VALUES (6, x'3251bf03b4ccf83ec94c073fa8f0ba8f', NULL, NULL);
INSERT INTO sums VALUES (7, x'e29b1ee0af717bf23fce4919be74ce72', 'lance-1', 'mix');
INSERT INTO sums VALUES (8, x'8cf1beddab9de60fc4d08a22451781ff', NULL, NULL);
INSERT INTO sums VALUES (9, x'12f40d33f4a7c025d8c621e602a5128a', NULL, NULL);
INSERT INTO sums VALUES (10, x'e6ed669a52edd6a3701e995a71d16c16', 'lance-1', 'dose');
INSERT INTO sums VALUES (11, x'baf6559db48c953c5a78dc7c88bd1712', NULL, NULL);
INSERT INTO sums VALUES (12, x'b9a0c54b8258905b0eac39eeb877785e', NULL, NULL);
INSERT INTO sums VALUES (13, x'04c83bb4f858f979d3f0e77c903effd7', NULL, NULL);
INSERT INTO sums VALUES (14, x'02dd73ee8b1cbef6673be936e1ec4a73', NULL, NULL);
INSERT INTO sums VALUES (15, x'37b6ef2423c6f8c2ebd35b2faf601375', NULL, NULL);
INSERT INTO sums VALUES (16, x'31fa10c08c597ee51c36fc7c826c96a9', 'lance-1', 'dose');
INSERT INTO sums VALUES (17, x'69fc49619745f994786959c55fad6834', 'lance-2', 'dose');
INSERT INTO sums VALUES (18, x'660bc0fc07ddf47d8cf2d94fdd2cac2b', 'lance-2', 'dose');
INSERT INTO sums VALUES (19, x'4beb53e0477b83a829d9d6dcebf8ce3c', NULL, NULL);
INSERT INTO sums VALUES (20, x'8870d55345fd3f0e0e47abf52922b97d', NULL, NULL);
INSERT INTO sums VALUES (21, x'66f85e2e391f71c93e509bf2f37f617d', NULL, NULL);
INSERT INTO sums VALUES (22, x'7f20863cea07f621203d9388e9a37032', NULL, NULL);
INSERT INTO sums VALUES (23, x'2e401bcf7023262f3914ab1bf65c242d', NULL, NULL);
INSERT INTO sums VALUES (24, x'4af2154f60888f9e279732147cbd0a32', NULL, NULL);
INSERT INTO sums VALUES (25, x'3f7ca4f37ee3960e80cf706d6aa19c8d', 'lance-1', 'mix');
INSERT INTO sums VALUES (26, x'f1fa10d54de023e2ed9f906d1a202c5e', 'lance-1', 'mix');
INSERT INTO sums VALUES (27, x'3f4b5a2c2777ba3b0593316263524b7f', 'lance-2', 'mix');
INSERT INTO sums VALUES (28, x'8e3d3004318e3c045d3b086940685e20', 'lance-2', 'mix');
INSERT INTO sums VALUES (29, x'9e4390e38d5e0b1b25e3852e4850c517', 'lance-2', 'mix');
INSERT INTO sums VALUES (30, x'bcf9625811861641b1bb65d0ed43f0e7', NULL, NULL);
INSERT INTO sums VALUES (31, x'c33a805b2ce5cd18158c267f39e446bf', NULL, NULL);
INSERT INTO sums VALUES (32, x'e47ecdf9ee56128ef6c3f0d05cefd01f', NULL, NULL);
INSERT INTO sums VALUES (33, x'd3b88ab3901def0b3f87fb6d93f7b2a5', NULL, NULL);
INSERT INTO sums VALUES (34, x'd1adbc024dcf0fb7c3b69b2bfe4f1f2f', NULL, NULL);
INSERT INTO sums VALUES (35, x'fc7b1f0c324b2c6de56e7bcfefca5b67', '*', 'dose');
INSERT INTO sums VALUES (36, x'de26e6e640bf2a29367e906c7aa272a8', 'lance-1', 'dose');
INSERT INTO sums VALUES (37, x'dd8b0e0be6f61eba868ea9177637bc3c', 'lance-1', 'dose');
INSERT INTO sums VALUES (38, x'f0a49523bbd2e3802b79a161db0f8752', '*', 'dose');
INSERT INTO sums VALUES (39, x'51fc9f40e3d4fa8bb155173888ca941b', NULL, NULL);
INSERT INTO sums VALUES (40, x'e4dc1d48be83466a62750e19aecd307e', NULL, NULL);
INSERT INTO sums VALUES (41, x'180448145a67cb6c57f613cc679ffa55', NULL, NULL);
INSERT INTO sums VALUES (42, x'31fdf89295260648566b172a4b5cf1e5', NULL, NULL);
INSERT INTO sums VALUES (43, x'29bab73c705236801959590dea766646', NULL, NULL);
INSERT INTO sums VALUES (44, x'f5bc8f379496b378195baa4d374b123e', NULL, NULL);
INSERT INTO sums VALUES (45, x'2bec210ad8b9a60cab70d4bbf1a9be01', NULL, NULL);
INSERT INTO sums VALUES (46, x'4a253fcffc795fa3e882b6c4020a9168', NULL, NULL);
INSERT INTO sums VALUES (47, x'12b21270c64fed2c427032cced8f3c53', 'lance-1', 'mix');
INSERT INTO sums VALUES (48, x'40ee382a10a3546b6e69eb090bb4d864', 'lance-1', 'mix');
INSERT INTO sums VALUES (49, x'a66fc21997aa47f6f682c209c61b5238', 'lance-1', 'dose');
INSERT INTO sums VALUES (50, x'7e309b121369e70165acb0590486f954', NULL, NULL);
INSERT INTO sums VALUES (51, x'64984ad8986d203b9756870ad3a72488', 'lance-1', 'dose');
INSERT INTO sums VALUES (52, x'29b585308f79d6c490dc70dfee3359af', 'lance-1', 'dose');
INSERT INTO sums VALUES (53, x'ab9114cd2f790b67aab32d7a7f85225b', 'lance-1', 'dose');
INSERT INTO sums VALUES (54, x'828653eed08bc16b3663118739412d53', 'lance-1', 'dose');
INSERT INTO sums VALUES (55, x'7ca0eb17a38a08eaaee237c609d357f5', NULL, NULL);
INSERT INTO sums VALUES (56, x'6a0651039f290c1feb3911e7f7f054f2', NULL, NULL);
INSERT INTO sums VALUES (57, x'3c5e5d61e3215b24594f4930b8107e84', 'lance-2', 'mix');
INSERT INTO sums VALUES (58, x'676bf4277d3bfb2340b0fd045991823a', 'lance-2', 'mix');
INSERT INTO sums VALUES (59, x'134bda01ad3b9c662c537d39bab9c695', NULL, NULL);
INSERT INTO sums VALUES (60, x'8942bcf3da86755e48cbf4b7d13e8bb0', NULL, NULL);
INSERT INTO chain_ends VALUES (1, x'eb7fbf54b43d4448e6ba405c240d7914', 60, x'8942bcf3da86755e48cbf4b7d13e8bb0', x'd4e6285acb912266993af4a02fef5dcf');
INSERT INTO takings_back VALUES (6, 5, 0);
INSERT INTO takings_back VALUES (29, 28, 0);
INSERT INTO takings_back VALUES (44, 43, 0);
INSERT INTO takings_back VALUES (46, 45, 0);
INSERT INTO takings_back VALUES (48, 47, 0);
INSERT INTO takings_back VALUES (54, 53, 0);
INSERT INTO clocks_put_right VALUES (60, '2031-05-04T12:00:00+00:00');
INSERT INTO choice_sprayers VALUES (56, 'lance-1');
