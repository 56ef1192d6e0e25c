-- One row for each pump that was ever visited or has an entry, found by stepping along the indexes.
WITH RECURSIVE visited (pump) AS (
    SELECT min(pump) FROM visit
    UNION ALL
    SELECT (SELECT min(pump) FROM visit WHERE pump > visited.pump) FROM visited WHERE visited.pump IS NOT NULL
), marked AS (
    SELECT pump, max(verdict) AS worst FROM latest GROUP BY pump
), known AS (
    SELECT pump FROM visited WHERE pump IS NOT NULL
    UNION
    SELECT pump FROM marked
)
SELECT known.pump, marked.worst, j.utc_ms, j.offset_min
FROM known
LEFT JOIN marked ON marked.pump = known.pump
LEFT JOIN journal AS j ON j.id = (
    SELECT record FROM visit WHERE visit.pump = known.pump ORDER BY opened_ms DESC, seq DESC, origin DESC LIMIT 1)
ORDER BY known.pump
