SELECT j.origin, j.seq, j.bytes, j.hash, v.closed_ms, v.closed_offset_min,
    (SELECT count(*) FROM effective_entry AS e WHERE e.visit = v.visit),
    (SELECT max(verdict) FROM effective_entry AS e WHERE e.visit = v.visit),
    r.origin, r.seq, r.bytes, r.hash
FROM visit AS v
JOIN journal AS j ON j.id = v.record
LEFT JOIN journal AS r ON r.id = (
    SELECT record FROM running_seen WHERE visit = v.visit ORDER BY utc_ms DESC, seq DESC, origin DESC LIMIT 1)
WHERE {which}
ORDER BY v.opened_ms DESC, v.seq DESC, v.origin DESC
