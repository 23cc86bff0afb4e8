-- The book: one row of `entry` a line of the book, and one row of detail by kind.
--
-- Detail is written first and its entry last, in one transaction. So the
-- trigger `entry_is_whole` sees all that an entry says before it is taken in,
-- and a detail without its entry fails when the transaction is committed.
--
-- Names of constraints are the words a refusal is told in.

CREATE TABLE entry (
    id TEXT NOT NULL PRIMARY KEY
        CONSTRAINT "its id is not a UUID of version 7"
        CHECK (id GLOB '????????-????-7???-[89ab]???-????????????' AND id NOT GLOB '*[^-0-9a-f]*'),
    -- Which kinds there are is for `entry_is_whole` to say: a trigger can be
    -- replaced by a later migration, a CHECK only with the whole table.
    kind TEXT NOT NULL,
    house TEXT REFERENCES house (id),
    -- Microseconds since 1970-01-01 UTC, and minutes east of UTC where it was told.
    happened INTEGER NOT NULL
        CONSTRAINT "when it happened is outside the years 1 to 9999"
        CHECK (happened BETWEEN -62135596800000000 AND 253402300799999999),
    happened_offset INTEGER NOT NULL CHECK (happened_offset BETWEEN -1439 AND 1439),
    written INTEGER NOT NULL
        CONSTRAINT "when it was written is outside the years 1 to 9999"
        CHECK (written BETWEEN -62135596800000000 AND 253402300799999999),
    written_offset INTEGER NOT NULL CHECK (written_offset BETWEEN -1439 AND 1439),
    by_whom TEXT NOT NULL COLLATE NOCASE
        CONSTRAINT "who says so is empty or over 400 bytes long"
        CHECK (octet_length(by_whom) BETWEEN 1 AND 400)
) STRICT, WITHOUT ROWID;

CREATE INDEX entry_in_order ON entry (happened, id);
CREATE INDEX entry_of_house ON entry (house, happened, id);
CREATE INDEX entry_of_kind ON entry (kind, happened, id);
CREATE INDEX entry_by_whom ON entry (by_whom, happened, id);

CREATE TABLE house (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    name TEXT NOT NULL
        CONSTRAINT "the name is empty or over 400 bytes long" CHECK (octet_length(name) BETWEEN 1 AND 400)
        CONSTRAINT "the name has blanks around it" CHECK (name = trim(name, ' ' || char(9, 10, 13))),
    -- The name in small letters of any script, to find it by and to keep it apart from others.
    known_as TEXT NOT NULL UNIQUE CHECK (octet_length(known_as) BETWEEN 1 AND 1200)
) STRICT, WITHOUT ROWID;

CREATE TABLE brief (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    said TEXT NOT NULL
        CONSTRAINT "the brief is over 20,000 bytes long" CHECK (octet_length(said) <= 20000)
        CONSTRAINT "the brief is not a JSON object" CHECK (json_valid(said) AND json_type(said) = 'object')
) STRICT, WITHOUT ROWID;

CREATE TABLE measure (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    name TEXT NOT NULL
        CONSTRAINT "the person's name is empty or over 400 bytes long" CHECK (octet_length(name) BETWEEN 1 AND 400),
    span_m REAL NOT NULL CONSTRAINT "the span is not within 0 to 1,000 m" CHECK (span_m BETWEEN 0 AND 1000),
    half_span_m REAL CONSTRAINT "the half span is not within 0 to 1,000 m" CHECK (half_span_m BETWEEN 0 AND 1000),
    forearm_m REAL CONSTRAINT "the forearm is not within 0 to 1,000 m" CHECK (forearm_m BETWEEN 0 AND 1000),
    hand_m REAL CONSTRAINT "the hand span is not within 0 to 1,000 m" CHECK (hand_m BETWEEN 0 AND 1000),
    breadth_m REAL CONSTRAINT "the hand breadth is not within 0 to 1,000 m" CHECK (breadth_m BETWEEN 0 AND 1000),
    finger_m REAL CONSTRAINT "the finger is not within 0 to 1,000 m" CHECK (finger_m BETWEEN 0 AND 1000)
) STRICT, WITHOUT ROWID;

CREATE TABLE reading (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    stage TEXT NOT NULL
        CONSTRAINT "the stage is empty or over 100 bytes long" CHECK (octet_length(stage) BETWEEN 1 AND 100),
    point TEXT NOT NULL
        CONSTRAINT "the point is empty or over 100 bytes long" CHECK (octet_length(point) BETWEEN 1 AND 100),
    said TEXT NOT NULL CONSTRAINT "what was said is over 400 bytes long" CHECK (octet_length(said) <= 400),
    value_kind TEXT NOT NULL CHECK (value_kind IN ('length', 'angle', 'count', 'yes-no', 'pair')),
    -- Metres, degrees, a count, 1 for yes and 0 for no, or first less second in metres.
    value REAL NOT NULL CONSTRAINT "the value is beyond a thousand million" CHECK (abs(value) <= 1e9),
    first_m REAL CONSTRAINT "the first length is beyond a thousand million" CHECK (abs(first_m) <= 1e9),
    second_m REAL CONSTRAINT "the second length is beyond a thousand million" CHECK (abs(second_m) <= 1e9),
    again INTEGER NOT NULL CHECK (again IN (0, 1)),
    with_what TEXT NOT NULL
        CONSTRAINT "with what it was read is over 400 bytes long" CHECK (octet_length(with_what) <= 400),
    brief TEXT NOT NULL REFERENCES brief (id),
    CONSTRAINT "a count is not below nothing" CHECK (value_kind <> 'count' OR value >= 0),
    CONSTRAINT "yes and no are 1 and 0" CHECK (value_kind <> 'yes-no' OR value IN (0, 1)),
    CONSTRAINT "two lengths belong to a pair, and both of them" CHECK (
        (first_m IS NULL) = (second_m IS NULL) AND (value_kind = 'pair' OR first_m IS NULL)
    )
) STRICT, WITHOUT ROWID;

CREATE TABLE moved (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    stage TEXT NOT NULL
        CONSTRAINT "the stage is empty or over 100 bytes long" CHECK (octet_length(stage) BETWEEN 1 AND 100),
    point TEXT NOT NULL
        CONSTRAINT "the peg is empty or over 100 bytes long" CHECK (octet_length(point) BETWEEN 1 AND 100)
) STRICT, WITHOUT ROWID;

CREATE TABLE tally (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    item TEXT NOT NULL CHECK (item IN (
        'peg', 'rope', 'post', 'packing-stone', 'tie-beam', 'plate', 'brace', 'king-post', 'ridge-pole',
        'upper-ridge-pole', 'lifting-pole', 'rafter', 'batten', 'cord', 'panel', 'doubled-panel', 'pin'
    )),
    -- Metres of cord, m³ of packing stone, pieces of the rest.
    count REAL NOT NULL CONSTRAINT "the count is not within 0 to a thousand million" CHECK (count BETWEEN 0 AND 1e9),
    how TEXT NOT NULL CHECK (how IN (
        'cut', 'woven', 'bought', 'promised', 'delivered', 'moved', 'used', 'spoiled', 'lost', 'found'
    )),
    to_house TEXT REFERENCES house (id),
    remark TEXT NOT NULL CONSTRAINT "the remark is over 4,000 bytes long" CHECK (octet_length(remark) <= 4000),
    CONSTRAINT "only cord and packing stone come in parts of one" CHECK (
        item IN ('cord', 'packing-stone') OR count = CAST(count AS INTEGER)
    ),
    CONSTRAINT "what is moved goes to a house, and nothing else does" CHECK ((how = 'moved') = (to_house IS NOT NULL))
) STRICT, WITHOUT ROWID;

CREATE INDEX tally_to_house ON tally (to_house) WHERE to_house IS NOT NULL;

CREATE TABLE sign (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    stage TEXT NOT NULL
        CONSTRAINT "the stage is empty or over 100 bytes long" CHECK (octet_length(stage) BETWEEN 1 AND 100),
    remark TEXT NOT NULL CONSTRAINT "the remark is over 4,000 bytes long" CHECK (octet_length(remark) <= 4000),
    brief TEXT NOT NULL REFERENCES brief (id)
) STRICT, WITHOUT ROWID;

-- The readings a sign-off rested on, in the order they were named.
CREATE TABLE sign_rested (
    sign TEXT NOT NULL REFERENCES sign (id),
    entry TEXT NOT NULL REFERENCES reading (id),
    place INTEGER NOT NULL CHECK (place >= 0),
    PRIMARY KEY (sign, entry)
) STRICT, WITHOUT ROWID;

CREATE TABLE hold (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    cause TEXT NOT NULL
        CONSTRAINT "the cause is empty or over 400 bytes long" CHECK (octet_length(cause) BETWEEN 1 AND 400),
    planned INTEGER NOT NULL CHECK (planned IN (0, 1))
) STRICT, WITHOUT ROWID;

CREATE TABLE strike (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    entry TEXT NOT NULL UNIQUE REFERENCES entry (id),
    why TEXT NOT NULL
        CONSTRAINT "why it is struck is empty or over 4,000 bytes long" CHECK (octet_length(why) BETWEEN 1 AND 4000)
) STRICT, WITHOUT ROWID;

-- Where the screen was left; not part of the book's entries.
CREATE TABLE "left" (
    key TEXT NOT NULL PRIMARY KEY CHECK (octet_length(key) BETWEEN 1 AND 100),
    value TEXT NOT NULL CONSTRAINT "what was left is over 4,000 bytes long" CHECK (octet_length(value) <= 4000)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER entry_is_whole BEFORE INSERT ON entry BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already')
    WHERE EXISTS (SELECT 1 FROM entry WHERE id = NEW.id);

    SELECT RAISE(ABORT, 'its kind is unknown, or what it says is missing')
    WHERE NOT CASE NEW.kind
        WHEN 'house' THEN EXISTS (SELECT 1 FROM house WHERE id = NEW.id)
        WHEN 'brief' THEN EXISTS (SELECT 1 FROM brief WHERE id = NEW.id)
        WHEN 'measure' THEN EXISTS (SELECT 1 FROM measure WHERE id = NEW.id)
        WHEN 'reading' THEN EXISTS (SELECT 1 FROM reading WHERE id = NEW.id)
        WHEN 'moved' THEN EXISTS (SELECT 1 FROM moved WHERE id = NEW.id)
        WHEN 'tally' THEN EXISTS (SELECT 1 FROM tally WHERE id = NEW.id)
        WHEN 'sign' THEN EXISTS (SELECT 1 FROM sign WHERE id = NEW.id)
        WHEN 'hold' THEN EXISTS (SELECT 1 FROM hold WHERE id = NEW.id)
        WHEN 'resume' THEN 1
        WHEN 'strike' THEN EXISTS (SELECT 1 FROM strike WHERE id = NEW.id)
        ELSE 0
    END;

    SELECT RAISE(ABORT, 'it names no house')
    WHERE NEW.house IS NULL AND NEW.kind NOT IN ('measure', 'hold', 'resume', 'strike');

    SELECT RAISE(ABORT, 'its house is not in the book')
    WHERE NEW.house IS NOT NULL AND NOT EXISTS (SELECT 1 FROM house WHERE id = NEW.house);

    SELECT RAISE(ABORT, 'the entry that starts a house is about that house')
    WHERE NEW.kind = 'house' AND NEW.house IS NOT NEW.id;

    SELECT RAISE(ABORT, 'a measure is a person''s and names no house')
    WHERE NEW.kind = 'measure' AND NEW.house IS NOT NULL;

    SELECT RAISE(ABORT, 'the brief it goes by is of another house')
    FROM reading JOIN entry AS told ON told.id = reading.brief
    WHERE NEW.kind = 'reading' AND reading.id = NEW.id AND told.house IS NOT NEW.house;

    SELECT RAISE(ABORT, 'the brief it goes by is of another house')
    FROM sign JOIN entry AS told ON told.id = sign.brief
    WHERE NEW.kind = 'sign' AND sign.id = NEW.id AND told.house IS NOT NEW.house;

    SELECT RAISE(ABORT, 'a reading it rests on is of another house')
    FROM sign_rested JOIN entry AS told ON told.id = sign_rested.entry
    WHERE NEW.kind = 'sign' AND sign_rested.sign = NEW.id AND told.house IS NOT NEW.house;

    SELECT RAISE(ABORT, 'it is given to the house that gives it')
    FROM tally WHERE NEW.kind = 'tally' AND tally.id = NEW.id AND tally.to_house = NEW.house;

    SELECT RAISE(ABORT, 'a strike is not struck: write the entry again')
    FROM strike JOIN entry AS struck ON struck.id = strike.entry
    WHERE NEW.kind = 'strike' AND strike.id = NEW.id AND struck.kind = 'strike';

    SELECT RAISE(ABORT, 'the entry it strikes is not of the same house')
    FROM strike JOIN entry AS struck ON struck.id = strike.entry
    WHERE NEW.kind = 'strike' AND strike.id = NEW.id AND struck.house IS NOT NEW.house;
END;

-- A second row in place of the first (INSERT OR REPLACE) would erase it
-- without a DELETE: it is refused before the row is looked at.
CREATE TRIGGER house_is_named_once BEFORE INSERT ON house
WHEN EXISTS (SELECT 1 FROM house WHERE known_as = NEW.known_as) BEGIN
    SELECT RAISE(ABORT, 'a house of this name is in the book already');
END;
CREATE TRIGGER strike_is_made_once BEFORE INSERT ON strike
WHEN EXISTS (SELECT 1 FROM strike WHERE entry = NEW.entry) BEGIN
    SELECT RAISE(ABORT, 'the entry is struck already');
END;
CREATE TRIGGER house_comes_before_its_entry BEFORE INSERT ON house
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER brief_comes_before_its_entry BEFORE INSERT ON brief
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER measure_comes_before_its_entry BEFORE INSERT ON measure
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER reading_comes_before_its_entry BEFORE INSERT ON reading
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER moved_comes_before_its_entry BEFORE INSERT ON moved
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER tally_comes_before_its_entry BEFORE INSERT ON tally
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER sign_comes_before_its_entry BEFORE INSERT ON sign
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER sign_rested_comes_before_its_entry BEFORE INSERT ON sign_rested
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.sign) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER hold_comes_before_its_entry BEFORE INSERT ON hold
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER strike_comes_before_its_entry BEFORE INSERT ON strike
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;

-- Nothing is changed and nothing is taken out.
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER entry_is_never_taken_out BEFORE DELETE ON entry BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER house_is_never_changed BEFORE UPDATE ON house BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER house_is_never_taken_out BEFORE DELETE ON house BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER brief_is_never_changed BEFORE UPDATE ON brief BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER brief_is_never_taken_out BEFORE DELETE ON brief BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER measure_is_never_changed BEFORE UPDATE ON measure BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER measure_is_never_taken_out BEFORE DELETE ON measure BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER reading_is_never_changed BEFORE UPDATE ON reading BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER reading_is_never_taken_out BEFORE DELETE ON reading BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER moved_is_never_changed BEFORE UPDATE ON moved BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER moved_is_never_taken_out BEFORE DELETE ON moved BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER tally_is_never_changed BEFORE UPDATE ON tally BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER tally_is_never_taken_out BEFORE DELETE ON tally BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER sign_is_never_changed BEFORE UPDATE ON sign BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER sign_is_never_taken_out BEFORE DELETE ON sign BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER sign_rested_is_never_changed BEFORE UPDATE ON sign_rested BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER sign_rested_is_never_taken_out BEFORE DELETE ON sign_rested BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER hold_is_never_changed BEFORE UPDATE ON hold BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER hold_is_never_taken_out BEFORE DELETE ON hold BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER strike_is_never_changed BEFORE UPDATE ON strike BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER strike_is_never_taken_out BEFORE DELETE ON strike BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
