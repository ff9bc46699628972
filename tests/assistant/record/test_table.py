"""A session as a table."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.record.columns import width
from assistant.record.header import SessionHeader
from assistant.record.history import SetRow
from assistant.record.store import SessionInfo
from assistant.record.table import WIDTH, log_table, session_text
from assistant.session.facts import (
    CheckedIn,
    EffortLogged,
    Fact,
    PainReported,
    SessionEnded,
    SetCorrected,
    SetLogged,
    Swapped,
    UnwellReported,
)

FACTS: list[Fact] = [
    CheckedIn(2, ("wrist",), False, ("pull_up_bar", "band")),
    Swapped("dead_hang", "towel_hang", "lack", "There is no bar today."),
    SetLogged(1, "towel_hang", 1, "none", 30, "timer", seconds=22.4, came_off=2, whole=False),
    SetCorrected(1, seconds=25),
    EffortLogged("towel_hang", 8),
    SetLogged(2, "roller_turn_with_eyes_closed", 1, "left", 6, "target", reps=6),
    SetLogged(3, "roller_turn_with_eyes_closed", 1, "right", 6, "said", reps=5),
    PainReported("wrist", 4, "roller_turn_with_eyes_closed"),
    Swapped("wall_walk", None, "pain", "It loads the wrist."),
    SetLogged(4, "bear_crawl", 2, "none", 10, "target", metres=10),
    UnwellReported(None),
    EffortLogged(None, 6),
]

TEXT = """\
Session 3: Ada, 2025-01-06 18:30, 31 min, all done

Movement                  Side   Set    Done  Target  Off  Effort  Note
------------------------  -----  ---  ------  ------  ---  ------  -------------
towel hang                         1    25 s    30 s    2       8  logged 22 s,
                                                                   broken off
roller turn with eyes     left     1     6 x     6 x               pain
closed
roller turn with eyes     right    1     5 x     6 x               pain
closed
crawl like a bear                  2    10 m    10 m

Before: pain 2 of 10 (wrist), less energy than usual, without pull up bar, band
Instead of dead hang: towel hang. There is no bar today.
Pain 4 of 10, wrist in roller turn with eyes closed
Left out: wall walk. It loads the wrist.
Unwell
Effort of the session: 6 of 10
Next time: Hang a little longer on the towel, and take the roller turns slower
than today."""


@pytest.mark.parametrize(
    ("before", "after", "why", "line"),
    [
        ("pipe_stand", "line_walk", "", "Instead of pipe stand: line walk"),
        ("pipe_stand", "line_walk", "No pipe.", "Instead of pipe stand: line walk. No pipe."),
        (
            "pipe_stand",
            "line_walk",
            "Line walk instead of pipe stand: it needs no pipe.",
            "Line walk instead of pipe stand: it needs no pipe.",
        ),
        (
            "pipe_stand",
            "line_walk",
            "Easier: line walk. It does not roll.",
            "Instead of pipe stand: Easier: line walk. It does not roll.",
        ),
        ("pipe_stand", "pipe_stand", "a rolled rug", "pipe stand, with a rolled rug"),
    ],
)
def test_what_took_whose_place_is_told_once(
    header: Callable[..., SessionHeader], before: str, after: str, why: str, line: str
) -> None:
    info = SessionInfo(1, header(), None)
    text = session_text(info, [Swapped(before, after, "lack", why)], 60.0)
    assert text.splitlines()[-1] == line


def test_a_session_to_read(header: Callable[..., SessionHeader]) -> None:
    longer = "Hang a little longer on the towel, and take the roller turns slower than today."
    info = SessionInfo(3, header(utc_offset=60), SessionEnded("done", (longer,)))
    text = session_text(info, FACTS, 1860.0, {"bear_crawl": "crawl like a bear"})
    assert (
        text.splitlines() == TEXT.replace("slower than\ntoday", "slower\nthan today").splitlines()
    )


@pytest.mark.parametrize(
    ("ended", "says"),
    [
        (None, "not ended"),
        (SessionEnded("finished"), "finished early"),
        (SessionEnded("unwell"), "ended unwell"),
        (SessionEnded("pain"), "ended with pain"),
        (SessionEnded("left"), "ended without an answer"),
    ],
)
def test_how_it_ended(
    header: Callable[..., SessionHeader], ended: SessionEnded | None, says: str
) -> None:
    text = session_text(SessionInfo(1, header(), ended), [], 0.0)
    assert text.splitlines()[0].endswith(f"0 min, {says}")
    assert text.endswith("No sets were logged.")


ROWS = st.lists(
    st.builds(
        SetRow, set_id=st.integers(1, 99), movement=st.text(max_size=70),
        number=st.integers(1, 10), side=st.sampled_from(["none", "left", "right"]),
        amount=st.floats(0, 999), target=st.integers(1, 600),
        unit=st.sampled_from(["seconds", "reps", "metres"]),
        source=st.sampled_from(["timer", "said", "target"]), came_off=st.integers(0, 99),
        whole=st.booleans(), effort=st.none() | st.integers(0, 10), pain=st.booleans(),
        logged=st.floats(0, 999),
    ),
    min_size=1,
)  # fmt: skip


@given(ROWS)
def test_it_fits_and_every_number_is_in_it(rows: list[SetRow]) -> None:
    lines = log_table(rows).splitlines()
    assert all(width(line) <= WIDTH for line in lines)
    assert all(line.isprintable() for line in lines)
    assert lines[0].split() == [
        "Movement", "Side", "Set", "Done", "Target", "Off", "Effort", "Note",
    ]  # fmt: skip
    # Between two columns there is nothing in any line. (Wide characters take one place in a text.)
    gaps = [place for place, char in enumerate(lines[1]) if char == " "]
    assert all(
        line[gap : gap + 1] in ("", " ") for line in lines if width(line) == len(line)
        for gap in gaps
    )  # fmt: skip
    for row in rows:
        assert f"{row.amount:.0f} " in "\n".join(lines)


def test_nothing_logged() -> None:
    assert log_table([]) == "No sets were logged."
