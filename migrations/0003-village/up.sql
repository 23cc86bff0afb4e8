-- What the houses have together: permits, crews and their days, closed days,
-- the weather, kinds of wood, cords pulled until they broke; what poles a
-- tally was of; what was made fast before a storm.

-- A CHECK is only changed with its whole table. Whatever names the table is
-- put aside first; nothing else refers to its rows.
DROP VIEW day_book;
DROP VIEW heap;
DROP TRIGGER entry_is_whole;
DROP TRIGGER tally_comes_before_its_entry;
DROP TRIGGER tally_is_never_changed;
DROP TRIGGER tally_is_never_taken_out;
DROP INDEX tally_to_house;
ALTER TABLE tally RENAME TO tally_before;

CREATE TABLE tally (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    item TEXT NOT NULL CHECK (item IN (
        'peg', 'rope', 'pole', 'post', 'packing-stone', 'tie-beam', 'plate', 'brace', 'king-post', 'ridge-pole',
        'upper-ridge-pole', 'lifting-pole', 'rafter', 'batten', 'cord', 'panel', 'doubled-panel', 'pin'
    )),
    -- Metres of cord, m³ of packing stone, pieces of the rest.
    count REAL NOT NULL CONSTRAINT "the count is not within 0 to a thousand million" CHECK (count BETWEEN 0 AND 1e9),
    how TEXT NOT NULL CHECK (how IN (
        'cut', 'woven', 'bought', 'promised', 'delivered', 'moved', 'used', 'spoiled', 'lost', 'found'
    )),
    to_house TEXT REFERENCES house (id),
    remark TEXT NOT NULL CONSTRAINT "the remark is over 4,000 bytes long" CHECK (octet_length(remark) <= 4000),
    -- Of what poles: the kind of tree in small letters, how long each is and how thick at its thin end.
    tree TEXT CONSTRAINT "the tree is empty or over 400 bytes long" CHECK (octet_length(tree) BETWEEN 1 AND 400),
    length_m REAL CONSTRAINT "the length is not within 0 to 1,000 m" CHECK (length_m BETWEEN 0 AND 1000),
    top_d_m REAL CONSTRAINT "the thickness is not within 0 to 1,000 m" CHECK (top_d_m BETWEEN 0 AND 1000),
    -- Why they were cut past what permits allow; none where they were not.
    past_permit TEXT
        CONSTRAINT "why it is past the permit is empty or over 4,000 bytes long"
        CHECK (octet_length(past_permit) BETWEEN 1 AND 4000),
    CONSTRAINT "only what is cut is past a permit, and its tree is named" CHECK (
        past_permit IS NULL OR how = 'cut' AND tree IS NOT NULL
    ),
    CONSTRAINT "only cord and packing stone come in parts of one" CHECK (
        item IN ('cord', 'packing-stone') OR count = CAST(count AS INTEGER)
    ),
    CONSTRAINT "what is moved goes to a house, and nothing else does" CHECK ((how = 'moved') = (to_house IS NOT NULL))
) STRICT, WITHOUT ROWID;

INSERT INTO tally (id, item, count, how, to_house, remark)
SELECT id, item, count, how, to_house, remark FROM tally_before;
DROP TABLE tally_before;

CREATE INDEX tally_to_house ON tally (to_house) WHERE to_house IS NOT NULL;
CREATE INDEX tally_of_tree ON tally (tree) WHERE tree IS NOT NULL;

CREATE TABLE permit (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    tree TEXT NOT NULL
        CONSTRAINT "the tree is empty or over 400 bytes long" CHECK (octet_length(tree) BETWEEN 1 AND 400),
    count INTEGER NOT NULL CONSTRAINT "the count is not within 0 to a million" CHECK (count BETWEEN 0 AND 1000000),
    place TEXT NOT NULL CONSTRAINT "the place is over 400 bytes long" CHECK (octet_length(place) <= 400),
    -- The last day of it, as 2031-06-30.
    until TEXT NOT NULL CONSTRAINT "the last day is no day" CHECK (until IS date(until))
) STRICT, WITHOUT ROWID;

CREATE TABLE answer (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    entry TEXT NOT NULL REFERENCES entry (id),
    said TEXT NOT NULL
        CONSTRAINT "the answer is empty or over 4,000 bytes long" CHECK (octet_length(said) BETWEEN 1 AND 4000)
) STRICT, WITHOUT ROWID;

CREATE INDEX answer_to ON answer (entry);

-- Whether each was made fast; nothing where it was not answered.
CREATE TABLE tie_down (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    panels INTEGER CHECK (panels IN (0, 1)),
    lifting_poles INTEGER CHECK (lifting_poles IN (0, 1)),
    ridge INTEGER CHECK (ridge IN (0, 1)),
    openings INTEGER CHECK (openings IN (0, 1)),
    tools INTEGER CHECK (tools IN (0, 1)),
    people INTEGER CHECK (people IN (0, 1))
) STRICT, WITHOUT ROWID;

CREATE TABLE crew (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    name TEXT NOT NULL
        CONSTRAINT "the crew's name is empty or over 400 bytes long" CHECK (octet_length(name) BETWEEN 1 AND 400),
    size INTEGER NOT NULL CONSTRAINT "the size is not within 0 to a million" CHECK (size BETWEEN 0 AND 1000000),
    -- What it does, as a list of words; any work but weaving where the list is empty.
    works TEXT NOT NULL CHECK (json_valid(works) AND json_type(works) = 'array' AND octet_length(works) <= 1000)
) STRICT, WITHOUT ROWID;

CREATE TABLE crew_day (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    crew TEXT NOT NULL
        CONSTRAINT "the crew's name is empty or over 400 bytes long" CHECK (octet_length(crew) BETWEEN 1 AND 400),
    work TEXT NOT NULL CHECK (work IN (
        'set-out', 'digging', 'posts', 'beams', 'frame', 'raising', 'weaving', 'thatching', 'capping', 'cutting', 'other'
    )),
    people INTEGER NOT NULL
        CONSTRAINT "the people are not within 1 to a million" CHECK (people BETWEEN 1 AND 1000000),
    share REAL NOT NULL CONSTRAINT "the share of the day is not over 0 and up to 1" CHECK (share > 0 AND share <= 1),
    done REAL CONSTRAINT "what was done is not within 0 to a thousand million" CHECK (done BETWEEN 0 AND 1e9),
    remark TEXT NOT NULL CONSTRAINT "the remark is over 4,000 bytes long" CHECK (octet_length(remark) <= 4000)
) STRICT, WITHOUT ROWID;

CREATE TABLE closed (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    -- 1 for Monday to 7 for Sunday; or from a day to a day.
    weekday INTEGER CHECK (weekday BETWEEN 1 AND 7),
    from_day TEXT CONSTRAINT "the first day is no day" CHECK (from_day IS date(from_day)),
    to_day TEXT CONSTRAINT "the last day is no day" CHECK (to_day IS date(to_day)),
    cause TEXT NOT NULL CONSTRAINT "the cause is over 400 bytes long" CHECK (octet_length(cause) <= 400),
    CONSTRAINT "a day of the week is closed, or a first to a last day" CHECK (
        (weekday IS NULL) = (from_day IS NOT NULL) AND (from_day IS NULL) = (to_day IS NULL)
        AND (from_day IS NULL OR from_day <= to_day)
    )
) STRICT, WITHOUT ROWID;

CREATE TABLE weather (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    month INTEGER NOT NULL CHECK (month BETWEEN 1 AND 12),
    chance REAL NOT NULL CONSTRAINT "the chance is not within 0 to 0.95" CHECK (chance BETWEEN 0 AND 0.95)
) STRICT, WITHOUT ROWID;

CREATE TABLE wood (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    name TEXT NOT NULL
        CONSTRAINT "the wood's name is empty or over 400 bytes long" CHECK (octet_length(name) BETWEEN 1 AND 400),
    density_kg_m3 REAL NOT NULL
        CONSTRAINT "the density is not within 50 to 1,500 kg/m³" CHECK (density_kg_m3 BETWEEN 50 AND 1500),
    class TEXT NOT NULL CONSTRAINT "the class is over 100 bytes long" CHECK (octet_length(class) BETWEEN 1 AND 100),
    durability INTEGER NOT NULL CONSTRAINT "the durability is not 1 to 5" CHECK (durability BETWEEN 1 AND 5)
) STRICT, WITHOUT ROWID;

CREATE TABLE pull (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    joint TEXT NOT NULL CHECK (joint IN ('panel-tie', 'batten', 'rafter', 'plate', 'cord')),
    cord TEXT NOT NULL
        CONSTRAINT "the cord's name is empty or over 400 bytes long" CHECK (octet_length(cord) BETWEEN 1 AND 400),
    newtons REAL NOT NULL
        CONSTRAINT "the force is not over 0 and up to a million N" CHECK (newtons > 0 AND newtons <= 1e6),
    said TEXT NOT NULL CONSTRAINT "what was said is over 400 bytes long" CHECK (octet_length(said) <= 400),
    remark TEXT NOT NULL CONSTRAINT "the remark is over 4,000 bytes long" CHECK (octet_length(remark) <= 4000)
) STRICT, WITHOUT ROWID;

-- Each house as it was last told whole, so that a page of many houses folds
-- none of them anew. What is written of a house takes its summary away.
CREATE TABLE summary (
    house TEXT NOT NULL PRIMARY KEY REFERENCES house (id),
    told TEXT NOT NULL CHECK (json_valid(told))
) STRICT, WITHOUT ROWID;

CREATE TRIGGER summary_is_of_the_last_entry AFTER INSERT ON entry BEGIN
    DELETE FROM summary WHERE house = NEW.house;
    DELETE FROM summary WHERE NEW.house IS NULL AND NEW.kind IN ('hold', 'resume', 'strike', 'tie-down');
    DELETE FROM summary WHERE NEW.kind = 'tally'
        AND house = (SELECT to_house FROM tally WHERE id = NEW.id);
    DELETE FROM summary WHERE NEW.kind = 'strike' AND house = (
        SELECT tally.to_house FROM strike JOIN tally ON tally.id = strike.entry WHERE strike.id = NEW.id
    );
END;

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
        WHEN 'permit' THEN EXISTS (SELECT 1 FROM permit WHERE id = NEW.id)
        WHEN 'answer' THEN EXISTS (SELECT 1 FROM answer WHERE id = NEW.id)
        WHEN 'tie-down' THEN EXISTS (SELECT 1 FROM tie_down WHERE id = NEW.id)
        WHEN 'crew' THEN EXISTS (SELECT 1 FROM crew WHERE id = NEW.id)
        WHEN 'crew-day' THEN EXISTS (SELECT 1 FROM crew_day WHERE id = NEW.id)
        WHEN 'closed' THEN EXISTS (SELECT 1 FROM closed WHERE id = NEW.id)
        WHEN 'weather' THEN EXISTS (SELECT 1 FROM weather WHERE id = NEW.id)
        WHEN 'wood' THEN EXISTS (SELECT 1 FROM wood WHERE id = NEW.id)
        WHEN 'pull' THEN EXISTS (SELECT 1 FROM pull WHERE id = NEW.id)
        ELSE 0
    END;

    SELECT RAISE(ABORT, 'it names no house')
    WHERE NEW.house IS NULL AND NEW.kind NOT IN (
        'measure', 'hold', 'resume', 'strike', 'permit', 'answer', 'tie-down', 'crew', 'closed', 'weather', 'wood', 'pull'
    );

    SELECT RAISE(ABORT, 'its house is not in the book')
    WHERE NEW.house IS NOT NULL AND NOT EXISTS (SELECT 1 FROM house WHERE id = NEW.house);

    SELECT RAISE(ABORT, 'the entry that starts a house is about that house')
    WHERE NEW.kind = 'house' AND NEW.house IS NOT NEW.id;

    SELECT RAISE(ABORT, 'a measure is a person''s and names no house')
    WHERE NEW.kind = 'measure' AND NEW.house IS NOT NULL;

    SELECT RAISE(ABORT, 'it is for all houses and names none')
    WHERE NEW.house IS NOT NULL AND NEW.kind IN ('permit', 'crew', 'closed', 'weather', 'wood');

    SELECT RAISE(ABORT, 'the entry it answers is not of the same house')
    FROM answer JOIN entry AS told ON told.id = answer.entry
    WHERE NEW.kind = 'answer' AND answer.id = NEW.id AND told.house IS NOT NEW.house;

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

-- Nothing comes after its entry, is changed or is taken out.
CREATE TRIGGER tally_comes_before_its_entry BEFORE INSERT ON tally
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER tally_is_never_changed BEFORE UPDATE ON tally BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER tally_is_never_taken_out BEFORE DELETE ON tally BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER permit_comes_before_its_entry BEFORE INSERT ON permit
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER permit_is_never_changed BEFORE UPDATE ON permit BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER permit_is_never_taken_out BEFORE DELETE ON permit BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER answer_comes_before_its_entry BEFORE INSERT ON answer
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER answer_is_never_changed BEFORE UPDATE ON answer BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER answer_is_never_taken_out BEFORE DELETE ON answer BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER tie_down_comes_before_its_entry BEFORE INSERT ON tie_down
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER tie_down_is_never_changed BEFORE UPDATE ON tie_down BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER tie_down_is_never_taken_out BEFORE DELETE ON tie_down BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER crew_comes_before_its_entry BEFORE INSERT ON crew
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER crew_is_never_changed BEFORE UPDATE ON crew BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER crew_is_never_taken_out BEFORE DELETE ON crew BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER crew_day_comes_before_its_entry BEFORE INSERT ON crew_day
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER crew_day_is_never_changed BEFORE UPDATE ON crew_day BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER crew_day_is_never_taken_out BEFORE DELETE ON crew_day BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER closed_comes_before_its_entry BEFORE INSERT ON closed
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER closed_is_never_changed BEFORE UPDATE ON closed BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER closed_is_never_taken_out BEFORE DELETE ON closed BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER weather_comes_before_its_entry BEFORE INSERT ON weather
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER weather_is_never_changed BEFORE UPDATE ON weather BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER weather_is_never_taken_out BEFORE DELETE ON weather BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER wood_comes_before_its_entry BEFORE INSERT ON wood
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER wood_is_never_changed BEFORE UPDATE ON wood BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER wood_is_never_taken_out BEFORE DELETE ON wood BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;
CREATE TRIGGER pull_comes_before_its_entry BEFORE INSERT ON pull
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER pull_is_never_changed BEFORE UPDATE ON pull BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER pull_is_never_taken_out BEFORE DELETE ON pull BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is taken out: strike the entry and write it again');
END;

CREATE VIEW day_book AS
SELECT
    strftime('%Y-%m-%dT%H:%M:%S', entry.happened / 1000000 + entry.happened_offset * 60, 'unixepoch')
        || iif(entry.happened_offset < 0, '-', '+')
        || printf('%02d:%02d', abs(entry.happened_offset) / 60, abs(entry.happened_offset) % 60) AS happened,
    entry.by_whom AS by_whom,
    house.name AS house,
    entry.kind AS kind,
    CASE entry.kind
        WHEN 'house' THEN (SELECT name FROM house AS it WHERE it.id = entry.id)
        WHEN 'brief' THEN (SELECT said FROM brief AS it WHERE it.id = entry.id)
        WHEN 'measure' THEN (SELECT name || ': span ' || span_m || ' m' FROM measure AS it WHERE it.id = entry.id)
        WHEN 'reading' THEN (
            SELECT stage || '/' || point || ': ' || said || iif(again, ' (again)', '')
            FROM reading AS it WHERE it.id = entry.id
        )
        WHEN 'moved' THEN (SELECT stage || '/' || point FROM moved AS it WHERE it.id = entry.id)
        WHEN 'tally' THEN (
            SELECT printf('%g %s %s', it.count, it.item, it.how)
                || coalesce(' to ' || (SELECT name FROM house AS other WHERE other.id = it.to_house), '')
                || iif(it.remark = '', '', ': ' || it.remark)
            FROM tally AS it WHERE it.id = entry.id
        )
        WHEN 'sign' THEN (
            SELECT stage || iif(remark = '', '', ': ' || remark) FROM sign AS it WHERE it.id = entry.id
        )
        WHEN 'hold' THEN (
            SELECT cause || iif(planned, ' (planned)', '') FROM hold AS it WHERE it.id = entry.id
        )
        WHEN 'permit' THEN (
            SELECT count || ' ' || tree || ' until ' || until || iif(place = '', '', ', ' || place)
            FROM permit AS it WHERE it.id = entry.id
        )
        WHEN 'answer' THEN (SELECT entry || ': ' || said FROM answer AS it WHERE it.id = entry.id)
        WHEN 'tie-down' THEN (
            SELECT concat_ws(', ',
                'panels ' || CASE panels WHEN 1 THEN 'yes' WHEN 0 THEN 'no' END, 'lifting poles ' || CASE lifting_poles WHEN 1 THEN 'yes' WHEN 0 THEN 'no' END,
                'ridge ' || CASE ridge WHEN 1 THEN 'yes' WHEN 0 THEN 'no' END, 'openings ' || CASE openings WHEN 1 THEN 'yes' WHEN 0 THEN 'no' END,
                'tools ' || CASE tools WHEN 1 THEN 'yes' WHEN 0 THEN 'no' END, 'people ' || CASE people WHEN 1 THEN 'yes' WHEN 0 THEN 'no' END)
            FROM tie_down AS it WHERE it.id = entry.id
        )
        WHEN 'crew' THEN (SELECT name || ': ' || size || ' people' FROM crew AS it WHERE it.id = entry.id)
        WHEN 'crew-day' THEN (
            SELECT printf('%s, %d people, %s', crew, people, work) || coalesce(printf(': %g', done), '')
            FROM crew_day AS it WHERE it.id = entry.id
        )
        WHEN 'closed' THEN (
            SELECT coalesce('day ' || weekday || ' of the week', from_day || ' to ' || to_day)
                || iif(cause = '', '', ': ' || cause)
            FROM closed AS it WHERE it.id = entry.id
        )
        WHEN 'weather' THEN (
            SELECT printf('month %d: %g of its days lost', month, chance) FROM weather AS it WHERE it.id = entry.id
        )
        WHEN 'wood' THEN (
            SELECT printf('%s: %g kg/m³, %s', name, density_kg_m3, class) FROM wood AS it WHERE it.id = entry.id
        )
        WHEN 'pull' THEN (
            SELECT printf('%s, %s: %g N', joint, cord, newtons) FROM pull AS it WHERE it.id = entry.id
        )
        WHEN 'strike' THEN (SELECT entry || ': ' || why FROM strike AS it WHERE it.id = entry.id)
        ELSE ''
    END AS says,
    strike.why AS struck,
    entry.id AS id
FROM entry
LEFT JOIN house ON house.id = entry.house
LEFT JOIN strike ON strike.entry = entry.id
ORDER BY entry.happened DESC, entry.id DESC;

-- How many of each item each house has now, by the entries that are not struck.
CREATE VIEW heap AS
WITH movement (house, item, how, count) AS (
    SELECT entry.house, tally.item, tally.how, tally.count
    FROM tally JOIN entry USING (id)
    WHERE NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = tally.id)
    UNION ALL
    SELECT tally.to_house, tally.item, 'given', tally.count
    FROM tally
    WHERE tally.to_house IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = tally.id)
)
SELECT
    house.name AS house,
    movement.item AS item,
    sum(CASE
        WHEN movement.how IN ('cut', 'woven', 'bought', 'delivered', 'found', 'given') THEN movement.count
        WHEN movement.how IN ('moved', 'used', 'spoiled', 'lost') THEN -movement.count
        ELSE 0.0
    END) AS on_hand,
    max(0.0, sum(CASE movement.how
        WHEN 'promised' THEN movement.count
        WHEN 'delivered' THEN -movement.count
        ELSE 0.0
    END)) AS promised,
    sum(iif(movement.how = 'used', movement.count, 0.0)) AS used,
    sum(iif(movement.how = 'spoiled', movement.count, 0.0)) AS spoiled,
    sum(iif(movement.how = 'lost', movement.count, 0.0)) AS lost
FROM movement JOIN house ON house.id = movement.house
GROUP BY house.id, movement.item
ORDER BY house.known_as, movement.item;
