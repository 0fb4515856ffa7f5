-- Records as version 4 wrote them. Never edit: a newer program must open exactly this.
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

PRAGMA application_id = 1718185068;
PRAGMA user_version = 4;
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
INSERT INTO happenings VALUES (19, 'volume-chosen', '2026-03-03T10:19:00+01:00', '2026-03-03T10:19:00+01:00');
INSERT INTO sound_choices VALUES (19, 'volume', 60);
INSERT INTO happenings VALUES (20, 'language-chosen', '2026-03-03T10:20:00+01:00', '2026-03-03T10:20:00+01:00');
INSERT INTO sound_choices VALUES (20, 'language', 'en');
INSERT INTO happenings VALUES (21, 'loudspeaker-chosen', '2026-03-03T10:21:00+01:00', '2026-03-03T10:21:00+01:00');
INSERT INTO sound_choices VALUES (21, 'loudspeaker', NULL);
INSERT INTO happenings VALUES (22, 'volume-chosen', '2026-03-03T10:22:00+01:00', '2026-03-03T10:22:00+01:00');
INSERT INTO sound_choices VALUES (22, 'volume', 90);
INSERT INTO happenings VALUES (23, 'language-chosen', '2026-03-03T10:23:00+01:00', '2026-03-03T10:23:00+01:00');
INSERT INTO sound_choices VALUES (23, 'language', 'es');
INSERT INTO happenings VALUES (24, 'loudspeaker-chosen', '2026-03-03T10:24:00+01:00', '2026-03-03T10:24:00+01:00');
INSERT INTO sound_choices VALUES (24, 'loudspeaker', 'USB Audio, Front');
INSERT INTO happenings VALUES (25, 'fill', '2026-03-03T10:30:00+01:00', '2026-03-03T10:30:00+01:00');
INSERT INTO fills VALUES (25, 'lance-1', 'film', 820.0, 480.0, 295.0, 0.0401361, 'good', NULL);
INSERT INTO fill_hows VALUES (25, 'topped-up', 200.0, 141.5);
INSERT INTO happenings VALUES (26, 'rinse', '2026-03-03T10:40:00+01:00', '2026-03-03T10:40:00+01:00');
INSERT INTO rinses VALUES (26, 'lance-1', NULL);
INSERT INTO happenings VALUES (27, 'fill', '2026-03-03T11:05:00+01:00', '2026-03-03T11:05:00+01:00');
INSERT INTO fills VALUES (27, 'lance-2', 'soap', 1060.0, 720.0, 220.0, 0.0410223, 'good', NULL);
INSERT INTO fill_hows VALUES (27, 'mispoured', 590.0, NULL);
INSERT INTO happenings VALUES (28, 'rinse', '2026-03-03T11:06:00+01:00', '2026-03-03T11:06:00+01:00');
INSERT INTO rinses VALUES (28, 'lance-2', NULL);
INSERT INTO happenings VALUES (29, 'rinse-taken-back', '2026-03-03T11:07:00+01:00', '2026-03-03T11:07:00+01:00');
UPDATE rinses SET taken_back = 29 WHERE id = 28;
INSERT INTO happenings VALUES (30, 'lead-access', '2026-03-03T11:10:00+01:00', '2026-03-03T11:10:00+01:00');
INSERT INTO lead_accesses VALUES (30, 'refused');
INSERT INTO happenings VALUES (31, 'lead-access', '2026-03-03T11:11:00+01:00', '2026-03-03T11:11:00+01:00');
INSERT INTO lead_accesses VALUES (31, 'let-in');
INSERT INTO happenings VALUES (32, 'lead-access', '2026-03-03T11:12:00+01:00', '2026-03-03T11:12:00+01:00');
INSERT INTO lead_accesses VALUES (32, 'left');
INSERT INTO happenings VALUES (33, 'lead-access', '2026-03-03T11:13:00+01:00', '2026-03-03T11:13:00+01:00');
INSERT INTO lead_accesses VALUES (33, 'refused');
INSERT INTO happenings VALUES (34, 'lead-access', '2026-03-03T11:14:00+01:00', '2026-03-03T11:14:00+01:00');
INSERT INTO lead_accesses VALUES (34, 'refused');
INSERT INTO happenings VALUES (35, 'day-setting', '2026-03-03T11:15:00+01:00', '2026-03-03T11:15:00+01:00');
INSERT INTO day_settings VALUES (35, NULL, 'film', 0.05, 0, 'too-strong', 0, NULL);
INSERT INTO happenings VALUES (36, 'day-setting', '2026-03-03T11:16:00+01:00', '2026-03-03T11:16:00+01:00');
INSERT INTO day_settings VALUES (36, 'lance-1', 'soap', NULL, 1, 'freely', 0, NULL);
INSERT INTO happenings VALUES (37, 'day-setting', '2026-03-03T11:17:00+01:00', '2026-03-03T11:17:00+01:00');
INSERT INTO day_settings VALUES (37, 'lance-1', NULL, NULL, 0, 'freely', 0, NULL);
INSERT INTO happenings VALUES (38, 'day-setting', '2026-03-03T11:20:00+01:00', '2026-03-03T11:20:00+01:00');
INSERT INTO day_settings VALUES (38, NULL, 'soap', 0.035, 1, 'too-weak', 1, NULL);
INSERT INTO happenings VALUES (39, 'set-up-edited', '2026-03-03T11:21:00+01:00', '2026-03-03T11:21:00+01:00');
INSERT INTO setup_changes VALUES (39, 'name = "Yard"');
INSERT INTO setup_changes_before VALUES (39, 'name = "Bay"');
INSERT INTO setup_change_keys VALUES (39, 0, 'reminder', 'washes', '40', '50');
INSERT INTO setup_change_keys VALUES (39, 1, 'measure jug', '', '[[measure]]', NULL);
INSERT INTO happenings VALUES (40, 'stock', '2026-03-03T11:30:00+01:00', '2026-03-03T11:30:00+01:00');
INSERT INTO stock_moves VALUES (40, 'film', 'delivered', 3, 60000.0, NULL);
INSERT INTO happenings VALUES (41, 'stock', '2026-03-03T11:31:00+01:00', '2026-03-03T11:31:00+01:00');
INSERT INTO stock_moves VALUES (41, 'film', 'opened', 1, NULL, NULL);
INSERT INTO happenings VALUES (42, 'stock', '2026-03-03T11:32:00+01:00', '2026-03-03T11:32:00+01:00');
INSERT INTO stock_moves VALUES (42, 'film', 'counted', NULL, 52500.0, NULL);
INSERT INTO happenings VALUES (43, 'stock', '2026-03-03T11:33:00+01:00', '2026-03-03T11:33:00+01:00');
INSERT INTO stock_moves VALUES (43, 'film', 'delivered', 1, 20000.0, NULL);
INSERT INTO happenings VALUES (44, 'stock-move-taken-back', '2026-03-03T11:34:00+01:00', '2026-03-03T11:34:00+01:00');
UPDATE stock_moves SET taken_back = 44 WHERE id = 43;
