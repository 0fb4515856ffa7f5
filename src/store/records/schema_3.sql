-- Version 3. How the wall is heard, as somebody chose it there. Only a table is added, as in
-- version 2. What a choice is about stands in `what` (volume, language or loudspeaker), the choice in
-- `chosen`: a percentage as a whole number, the code of a language, a loudspeaker by its name, or
-- nothing for the loudspeaker that the system prefers, which is a choice as well.
CREATE TABLE sound_choices (
    id     INTEGER PRIMARY KEY REFERENCES happenings (id),
    what   TEXT NOT NULL,
    chosen ANY
) STRICT;
