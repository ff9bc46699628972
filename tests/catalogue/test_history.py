from __future__ import annotations

from catalogue.history import History, SessionDone, SetDone, by_session


def test_sets_and_sessions_are_put_in_order_of_time():
    late, early = SetDone(5, 3, "b"), SetDone(5, 2, "a")
    history = History((late, early), (SessionDone(3, 5, 20), SessionDone(2, 5, 10)))
    assert history.sets == (early, late)
    assert [done.session for done in history.sessions] == [2, 3]


def test_the_order_within_a_session_is_kept():
    sets = tuple(SetDone(1, 1, "m", amount=amount) for amount in (3.0, 1.0, 2.0))
    assert [done.amount for done in History(sets).sets] == [3.0, 1.0, 2.0]


def test_sets_are_grouped_by_session():
    a, b, c = SetDone(1, 1, "m"), SetDone(1, 1, "m"), SetDone(1, 2, "m")
    assert by_session([a, c, b]) == [(a, b), (c,)]
