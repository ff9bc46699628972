-- Files that are JSON but no export of a version that is known here, with what is wrong.

SELECT file, CASE
    WHEN format IS DISTINCT FROM 'cuewalk-export' THEN 'not an export of cuewalk; take it out'
    WHEN version IS DISTINCT FROM 1
        THEN 'written by a later cuewalk (version ' || coalesce(version, 0) ||
            '); bring cuewalk up to date'
    ELSE 'a session in it has no number, athlete or start; export anew'
END
FROM export
WHERE format IS DISTINCT FROM 'cuewalk-export' OR version IS DISTINCT FROM 1
    OR sessions IS NULL
    OR len(list_filter(sessions, lambda s:
        s.session IS NULL OR s.athlete IS NULL OR s.started IS NULL)) > 0;
