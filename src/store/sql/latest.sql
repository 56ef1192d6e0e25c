-- The entry that a pump's check comes to now, as the table `latest` says; ?1 is the pump, ?2 the check.
WITH RECURSIVE device (origin) AS (
    SELECT min(root_origin) FROM entry WHERE pump = ?1 AND check_id = ?2 AND effective = 1 AND judged = 1
    UNION ALL
    SELECT (SELECT min(root_origin) FROM entry
            WHERE pump = ?1 AND check_id = ?2 AND effective = 1 AND judged = 1 AND root_origin > device.origin)
    FROM device WHERE device.origin IS NOT NULL
)
INSERT INTO latest (pump, check_id, record, verdict, finding)
SELECT pump, check_id, record, verdict, finding
FROM device CROSS JOIN entry ON entry.record = (
    SELECT record FROM entry
    WHERE pump = ?1 AND check_id = ?2 AND effective = 1 AND judged = 1 AND root_origin = device.origin
    ORDER BY root_seq DESC, seq DESC, origin DESC LIMIT 1)
ORDER BY seen_ms DESC, root_origin DESC LIMIT 1
