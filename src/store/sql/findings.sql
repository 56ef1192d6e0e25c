-- Findings: the effective entries of one check of one pump that carry one. {which} says whose; ?1 is its argument, ?2 the
-- least verdict now, ?3 how many.
WITH carried AS (
    SELECT finding, pump, check_id, count(*) AS entries, max(verdict) AS worst
    FROM effective_entry
    WHERE finding IS NOT NULL AND {which}
    GROUP BY finding, pump, check_id
), found AS (
    SELECT carried.entries, carried.worst, latest.verdict AS check_now,
        latest.finding IS carried.finding AS holds_latest,
        (SELECT record FROM effective_entry AS e
         WHERE e.finding = carried.finding AND e.pump = carried.pump AND e.check_id = carried.check_id
         ORDER BY seen_ms, seq, origin LIMIT 1) AS first,
        iif(latest.finding IS carried.finding, latest.record,
            (SELECT record FROM effective_entry AS e
             WHERE e.finding = carried.finding AND e.pump = carried.pump AND e.check_id = carried.check_id
             ORDER BY seen_ms DESC, seq DESC, origin DESC LIMIT 1)) AS last
    FROM carried
    LEFT JOIN latest ON latest.pump = carried.pump AND latest.check_id = carried.check_id
)
SELECT found.first, found.last, found.entries, found.worst, found.check_now, found.holds_latest
FROM found JOIN entry AS last ON last.record = found.last
WHERE last.verdict >= ?2
ORDER BY last.seen_ms DESC, last.seq DESC, last.origin DESC
LIMIT ?3
