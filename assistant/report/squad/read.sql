-- Sessions, sets and what was said beside them, from exports read into `export` (file, one).

CREATE TABLE whole AS
SELECT parse_filename(file, true) AS file, unnest(sessions) AS s FROM export;

-- The same name in several files is one athlete, exported more than once, unless a session of
-- the same number began at another time: then the files are those of different people.
CREATE TABLE shared AS
SELECT DISTINCT s.athlete AS athlete FROM whole
GROUP BY s.athlete, s.session HAVING count(DISTINCT s.started) > 1;

CREATE TABLE session AS
SELECT
    CASE WHEN s.athlete IN (SELECT athlete FROM shared)
        THEN s.athlete || ' (' || file || ')' ELSE s.athlete END AS athlete,
    s.session AS number,
    s.started AS started,
    CAST(s.started AS DATE) AS day,
    s.ended AS ended,
    s.effort AS effort,
    s.sets AS sets,
    s.facts AS facts
FROM whole
-- Of a session that stands in several exports the one that goes on longest is the newest.
QUALIFY row_number() OVER (PARTITION BY athlete, number ORDER BY s.seconds DESC, file) = 1;

CREATE TABLE done AS
SELECT athlete, number, day, one.movement, one.side, one.amount, one.target, one.came_off,
    one.whole, one.effort, one.pain
FROM (SELECT athlete, number, day, unnest(sets) AS one FROM session);

CREATE TABLE said AS
SELECT athlete, number, day, one.kind, one.part, one.level, one.movement, one.pain, one.parts
FROM (SELECT athlete, number, day, unnest(facts) AS one FROM session)
WHERE one.kind IN ('PainReported', 'UnwellReported', 'CheckedIn');

-- Days from here on count as present.
CREATE TABLE since AS
SELECT least(max(day), $today) - CAST($lately AS INTEGER) AS day FROM session;
