-- Two books that grew apart may each have struck an entry they share: taken
-- together, both strikes are there, and the one that was written first, which
-- is the one of the lower id, stands. The program still strikes an entry once.

-- Views name the table while it is not there.
PRAGMA legacy_alter_table = ON;
DROP VIEW day_book;

CREATE TABLE strike_again (
    id TEXT NOT NULL PRIMARY KEY REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
    entry TEXT NOT NULL REFERENCES entry (id),
    why TEXT NOT NULL
        CONSTRAINT "why it is struck is empty or over 4,000 bytes long" CHECK (octet_length(why) BETWEEN 1 AND 4000)
) STRICT, WITHOUT ROWID;

INSERT INTO strike_again SELECT id, entry, why FROM strike;
DROP TABLE strike;
ALTER TABLE strike_again RENAME TO strike;
PRAGMA legacy_alter_table = OFF;

CREATE INDEX strike_of_entry ON strike (entry, id);

CREATE TRIGGER strike_comes_before_its_entry BEFORE INSERT ON strike
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'an entry of this id is in the book already');
END;
CREATE TRIGGER strike_is_never_changed BEFORE UPDATE ON strike BEGIN
    SELECT RAISE(ABORT, 'nothing in the book is changed: strike the entry and write it again');
END;
CREATE TRIGGER strike_is_never_taken_out BEFORE DELETE ON strike BEGIN
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
LEFT JOIN strike ON strike.id = (SELECT min(id) FROM strike AS it WHERE it.entry = entry.id)
ORDER BY entry.happened DESC, entry.id DESC;
