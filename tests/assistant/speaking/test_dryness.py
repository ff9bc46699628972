from assistant.speaking.dryness import Dryness, Verdict


def judged(*told: tuple[float, int]) -> list[Verdict]:
    judge = Dryness()
    judge.opened(0.0)
    return [judge.verdict(now, total) for now, total in told]


def test_the_start_of_a_stream_may_run_dry() -> None:
    assert set(judged((0.1, 5), (0.9, 40), (1.1, 40), (2.0, 40))) == {Verdict.FINE}


def test_now_and_then_is_fine() -> None:
    assert set(judged(*((float(s), s // 6) for s in range(1, 120)))) == {Verdict.FINE}


def test_three_times_in_ten_seconds_is_often() -> None:
    assert judged((2.0, 0), (5.0, 1), (8.0, 2), (11.0, 3))[-1] is Verdict.OFTEN


def test_a_storm_is_seen_within_a_second() -> None:
    told = judged(*((2.0 + n / 10, n) for n in range(10)))
    assert told[-1] is Verdict.ALWAYS
    assert Verdict.ALWAYS not in told[:8]


def test_what_was_before_a_new_stream_does_not_count() -> None:
    judge = Dryness()
    judge.opened(0.0)
    for n in range(20):
        judge.verdict(2.0 + n / 10, n)
    judge.opened(4.0)
    assert judge.verdict(5.1, 0) is Verdict.FINE
