-- What the book says now, for a person with an SQLite shell. The program
-- itself goes by the entries.

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

CREATE VIEW houses_now AS
SELECT
    house.name AS house,
    strftime('%Y-%m-%d', started.happened / 1000000 + started.happened_offset * 60, 'unixepoch') AS started,
    (
        SELECT brief.said FROM entry JOIN brief USING (id)
        WHERE entry.house = house.id AND entry.kind = 'brief'
            AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = entry.id)
        ORDER BY entry.happened DESC, entry.id DESC LIMIT 1
    ) AS brief,
    (
        SELECT group_concat(DISTINCT sign.stage) FROM entry JOIN sign USING (id)
        WHERE entry.house = house.id AND entry.kind = 'sign'
            AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = entry.id)
    ) AS signed,
    (
        SELECT strftime('%Y-%m-%d', entry.happened / 1000000 + entry.happened_offset * 60, 'unixepoch')
        FROM entry WHERE entry.house = house.id
        ORDER BY entry.happened DESC, entry.id DESC LIMIT 1
    ) AS last_entry,
    house.id AS id
FROM house
JOIN entry AS started ON started.id = house.id
WHERE NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = house.id)
ORDER BY started.happened, house.id;
