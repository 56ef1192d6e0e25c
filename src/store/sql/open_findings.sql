-- Findings that are still so, from what each check comes to now. {which} says whose; ?1 is its argument.
SELECT
    (SELECT record FROM effective_entry AS e
     WHERE e.finding = l.finding AND e.pump = l.pump AND e.check_id = l.check_id
     ORDER BY seen_ms, seq, origin LIMIT 1),
    l.record,
    (SELECT count(*) FROM effective_entry AS e
     WHERE e.finding = l.finding AND e.pump = l.pump AND e.check_id = l.check_id),
    (SELECT max(verdict) FROM effective_entry AS e
     WHERE e.finding = l.finding AND e.pump = l.pump AND e.check_id = l.check_id),
    l.verdict, TRUE
FROM (SELECT * FROM latest WHERE finding IS NOT NULL AND verdict >= 2 AND {which}) AS l
JOIN entry AS last ON last.record = l.record
ORDER BY last.seen_ms DESC, last.seq DESC, last.origin DESC
