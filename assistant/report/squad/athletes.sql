-- Everyone, with how much they trained lately; who was away the longest first.

WITH off AS (
    SELECT athlete, sum(came_off) AS steps FROM done
    WHERE day >= (SELECT day FROM since) GROUP BY athlete
)
SELECT s.athlete, CAST(count(*) AS INTEGER),
    CAST(count(*) FILTER (WHERE s.day >= (SELECT day FROM since)) AS INTEGER),
    max(s.day),
    CAST(round(avg(s.effort) FILTER (WHERE s.day >= (SELECT day FROM since))) AS INTEGER),
    CAST(coalesce(any_value(off.steps), 0) AS INTEGER),
    CAST(count(*) FILTER (
        WHERE s.ended IN ('pain', 'unwell') AND s.day >= (SELECT day FROM since)) AS INTEGER)
FROM session s LEFT JOIN off USING (athlete)
GROUP BY s.athlete
ORDER BY max(s.day), s.athlete;
