-- Who had pain or felt unwell lately: by athlete and part, the worst first.

WITH told AS (
    SELECT athlete, day, coalesce(part, 'it') AS part, level, movement
    FROM said WHERE kind = 'PainReported'
    UNION ALL
    SELECT athlete, day, unnest(parts), pain, NULL
    FROM said WHERE kind = 'CheckedIn' AND pain > 0
    UNION ALL
    SELECT athlete, day, 'unwell', NULL, movement
    FROM said WHERE kind = 'UnwellReported'
)
SELECT t.athlete, t.part, max(t.level), CAST(count(*) AS INTEGER), max(t.day),
    list(DISTINCT coalesce(m.name, replace(t.movement, '_', ' '))
        ORDER BY coalesce(m.name, replace(t.movement, '_', ' ')))
        FILTER (WHERE t.movement IS NOT NULL)
FROM told t LEFT JOIN movement m ON m.id = t.movement
WHERE t.day >= (SELECT day FROM since)
GROUP BY t.athlete, t.part
ORDER BY t.part = 'unwell' DESC, max(t.level) DESC NULLS LAST, count(*) DESC, t.athlete, t.part;
