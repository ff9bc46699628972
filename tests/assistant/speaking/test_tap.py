import numpy as np
import pytest

from assistant.speaking.tap import RATE, Tap


@pytest.mark.parametrize("rate", [16_000, 44_100, 48_000])
def test_what_was_played_comes_at_16_khz_with_its_time(rate: int) -> None:
    got: list[tuple[np.ndarray, float]] = []
    tap = Tap(lambda samples, at: got.append((samples, at)))
    tap.restart(rate)
    block = rate // 100
    played = np.zeros(2 * rate, np.float32)
    # One sharp onset at 1.2345 s, the clock being at 100 then.
    onset = round(1.2345 * rate)
    played[onset : onset + rate // 10] = 0.5
    for begin in range(0, len(played), block):
        tap.put(played[begin : begin + block], 100.0 + begin / rate)
    tap.close()
    times = np.concatenate([at + np.arange(len(samples)) / RATE for samples, at in got])
    samples = np.concatenate([samples for samples, _ in got])
    assert samples.dtype == np.int16
    assert np.all(np.diff(times) > 0)
    first = times[np.argmax(np.abs(samples) > 0.25 * 32767)]
    assert first == pytest.approx(101.2345, abs=0.001)
    assert np.abs(samples).max() == pytest.approx(0.5 * 32767, rel=0.2)


def test_after_a_change_of_device_times_start_anew() -> None:
    got: list[tuple[int, float]] = []
    tap = Tap(lambda samples, at: got.append((len(samples), at)))
    for rate, at in ((48_000, 1.0), (44_100, 9.0)):
        tap.restart(rate)
        for number in range(100):
            tap.put(np.ones(rate // 100, np.float32), at + number / 100)
    tap.close()
    assert [at for _, at in got if 3.0 < at < 8.9] == []
    assert min(at for _, at in got if at > 5) == pytest.approx(9.0, abs=0.001)
