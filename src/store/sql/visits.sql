SELECT j.origin, j.seq, j.bytes, j.hash, v.closed_ms, v.closed_offset_min,
    (SELECT count(*) FROM effective_entry AS e WHERE e.visit = v.visit),
    (SELECT max(verdict) FROM effective_entry AS e WHERE e.visit = v.visit),
    coalesce(v.last_running, v.running)
FROM visit AS v
JOIN journal AS j ON j.id = v.record
WHERE {which}
ORDER BY v.opened_ms DESC, v.seq DESC, v.origin DESC
