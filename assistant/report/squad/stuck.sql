-- Who is stuck on what: no new height in a skill for so many sessions of it.
--
-- The height of a session is the hardest movement of the skill trained in it, and its target: a
-- movement that only warms up for a harder one does not count. The movement that someone is stuck
-- on is the one of their greatest height.

WITH trained AS (
    SELECT d.athlete, d.number, d.day, m.skill, m.id, m.rung,
        max(d.target) AS target,
        bool_or(d.pain) AS pain,
        sum(d.came_off) AS came_off,
        bool_or(d.amount < d.target OR NOT d.whole) AS short,
        coalesce(bool_or(d.effort > $hard), false) AS hard
    FROM done d JOIN movement m ON m.id = d.movement
    WHERE m.skill IS NOT NULL
    GROUP BY ALL
), hardest AS (
    SELECT * FROM trained
    QUALIFY row_number() OVER (PARTITION BY athlete, skill, number ORDER BY rung DESC, id) = 1
), height AS (
    SELECT *, rung * 1000 + target AS height,
        row_number() OVER (PARTITION BY athlete, skill ORDER BY number) AS turn
    FROM hardest
), risen AS (
    SELECT athlete, skill,
        max(height) AS greatest,
        arg_max(id, height) AS movement,
        arg_max(target, height) AS target,
        -- The first turn at the greatest height: from there on nothing was gained.
        max(turn) - arg_min(turn, (-height, turn)) AS turns,
        arg_min(turn, (-height, turn)) AS from_turn,
        arg_min(day, (-height, turn)) AS from_day,
        max(day) AS last_day
    FROM height GROUP BY athlete, skill
), since_then AS (
    SELECT r.athlete, r.skill,
        CASE
            WHEN h.pain THEN 'pain'
            WHEN h.id <> r.movement THEN 'easier'
            WHEN h.came_off > 0 THEN 'off'
            WHEN h.short THEN 'short'
            WHEN h.hard THEN 'hard'
            ELSE 'reached'
        END AS went,
        count(*) AS times
    FROM risen r JOIN height h USING (athlete, skill)
    WHERE h.turn > r.from_turn
    GROUP BY ALL
), gone AS (
    SELECT athlete, skill,
        list(went ORDER BY times DESC, went) AS went,
        list(times ORDER BY times DESC, went) AS times
    FROM since_then GROUP BY athlete, skill
)
SELECT r.athlete, m.skill_name, m.name, r.target, CAST(r.turns AS INTEGER), r.from_day, r.last_day,
    g.went, g.times
FROM risen r
JOIN movement m ON m.id = r.movement
JOIN gone g ON g.athlete = r.athlete AND g.skill = r.skill
WHERE r.turns >= $turns
    AND r.last_day >= (SELECT day FROM since)
    -- At the top of the skill there is nowhere to go.
    AND NOT (m.is_last AND r.target >= m.top)
ORDER BY r.turns DESC, r.athlete, m.skill_name;
