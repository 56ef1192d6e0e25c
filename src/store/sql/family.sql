-- The entry ?1 with all that it corrects and all that correct it, by way of each other.
WITH RECURSIVE family (record) AS (
    SELECT ?1
    UNION
    SELECT entry.amends FROM family JOIN entry ON entry.record = family.record WHERE entry.amends IS NOT NULL
    UNION
    SELECT entry.record FROM family JOIN entry ON entry.amends = family.record
)
SELECT entry.record, entry.amends, entry.origin, entry.seq, entry.pump, entry.check_id,
    EXISTS (SELECT 1 FROM withdrawal WHERE withdrawal.amends = entry.record)
FROM family CROSS JOIN entry ON entry.record = family.record
