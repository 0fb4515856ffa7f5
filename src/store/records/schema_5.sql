-- Version 5. Only tables are added, as in the versions before.

-- The sprayer that an operator chose a chemical for. A choice without one is of an earlier version: it
-- was for the whole bay, and is read as that.
CREATE TABLE choice_sprayers (
    id      INTEGER PRIMARY KEY REFERENCES choices (id),
    sprayer TEXT NOT NULL
) STRICT;
