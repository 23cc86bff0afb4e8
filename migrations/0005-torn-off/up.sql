-- What a storm takes off a house was used before it was lost: it is no longer
-- built in, and what lies in the heap is left alone.
ALTER TABLE tally ADD COLUMN built_in INTEGER NOT NULL DEFAULT 0
    CONSTRAINT "only what is lost was built in" CHECK (built_in IN (0, 1) AND (built_in = 0 OR how = 'lost'));

DROP VIEW heap;

-- How many of each item each house has now, by the entries that are not struck.
CREATE VIEW heap AS
WITH movement (house, item, how, count) AS (
    SELECT entry.house, tally.item, iif(tally.built_in, 'torn-off', tally.how), tally.count
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
    sum(CASE movement.how
        WHEN 'used' THEN movement.count
        WHEN 'torn-off' THEN -movement.count
        ELSE 0.0
    END) AS used,
    sum(iif(movement.how = 'spoiled', movement.count, 0.0)) AS spoiled,
    sum(iif(movement.how IN ('lost', 'torn-off'), movement.count, 0.0)) AS lost
FROM movement JOIN house ON house.id = movement.house
GROUP BY house.id, movement.item
ORDER BY house.known_as, movement.item;
