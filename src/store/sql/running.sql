-- What the pump of a visit was last seen doing; ?1 is the visit. Of each device the last by its sequence, and of these
-- the one seen last.
WITH RECURSIVE device (origin) AS (
    SELECT min(origin) FROM running_seen WHERE visit = ?1
    UNION ALL
    SELECT (SELECT min(origin) FROM running_seen WHERE visit = ?1 AND origin > device.origin)
    FROM device WHERE device.origin IS NOT NULL
)
UPDATE visit SET (running_seen, last_running) = (
    SELECT seen.record, seen.running
    FROM device CROSS JOIN running_seen AS seen ON seen.record = (
        SELECT record FROM running_seen WHERE visit = ?1 AND origin = device.origin ORDER BY seq DESC LIMIT 1)
    ORDER BY seen.utc_ms DESC, seen.origin DESC LIMIT 1)
WHERE visit = ?1
