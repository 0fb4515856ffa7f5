-- Records as version 1 wrote them. Never edit: a newer program must open exactly this.
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
PRAGMA application_id = 1718185068;
PRAGMA user_version = 1;
INSERT INTO happenings VALUES (1, 'restored', '2026-03-01T18:00:00+01:00', '2026-03-01T18:00:00+01:00');
INSERT INTO brought_washes VALUES ('lance-2', 'film', '2026-03-01', 12, 0);
INSERT INTO happenings VALUES (2, 'calibration', '2026-03-02T08:15:30+01:00', '2026-03-02T08:15:30+01:00');
INSERT INTO calibrations VALUES (2, 'lance-1', '1.35 mm', 'Washer A', 820.0, 820.0, 14700.0, 104200000000, '2026-03-02T08:15:00+01:00', 7);
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
