-- Findings: the effective entries that carry one. {which} says whose; ?1 is its argument, ?2 the least verdict now, ?3 how many.
WITH carried AS (
    SELECT finding, count(*) AS entries, max(verdict) AS worst
    FROM effective_entry
    WHERE finding IS NOT NULL AND {which}
    GROUP BY finding
), found AS (
    SELECT carried.*,
        (SELECT record FROM effective_entry AS e WHERE e.finding = carried.finding
         ORDER BY seen_ms, seq, origin LIMIT 1) AS first,
        (SELECT record FROM effective_entry AS e WHERE e.finding = carried.finding
         ORDER BY seen_ms DESC, seq DESC, origin DESC LIMIT 1) AS last
    FROM carried
)
SELECT found.first, found.last, found.entries, found.worst, latest.verdict, latest.record IS found.last
FROM found
JOIN entry AS first ON first.record = found.first
JOIN entry AS last ON last.record = found.last
LEFT JOIN latest ON latest.pump = first.pump AND latest.check_id = first.check_id
WHERE last.verdict >= ?2
ORDER BY last.seen_ms DESC, last.seq DESC, last.origin DESC
LIMIT ?3
