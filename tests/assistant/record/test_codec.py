"""Events and facts as JSON and back."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.record.codec import (
    EVENT_KINDS,
    FACT_KINDS,
    CodecError,
    Unknown,
    decode_event,
    decode_fact,
    encode,
)
from assistant.session.events import Heard, Started
from assistant.session.facts import EffortLogged, SetLogged, SetUndone
from intents.meaning import INTENT_IDS, Meaning

SAMPLES = Path(__file__).with_name("samples_v1.jsonl").read_text("utf-8").splitlines()
"""One line of each kind as version 1 wrote it. A later cuewalk must go on reading them."""


def of(kind: Any) -> st.SearchStrategy[Any]:
    """Any value of a type, but for numbers that are not finite."""
    if kind is float:
        return st.floats(allow_nan=False, allow_infinity=False)
    if kind is int:
        return st.integers(-(2**40), 2**40)
    if kind is str:
        return st.text()
    if kind is bool:
        return st.booleans()
    if kind is type(None):
        return st.none()
    if kind is Meaning:
        slots = st.dictionaries(st.text(), st.text() | st.integers(0, 999))
        return st.builds(Meaning, st.sampled_from(INTENT_IDS), slots)
    if get_origin(kind) is Literal:
        return st.sampled_from(get_args(kind))
    if get_origin(kind) is tuple:
        return st.lists(of(get_args(kind)[0]), max_size=4).map(tuple)
    if isinstance(kind, type):
        return st.builds(kind, **{name: of(hint) for name, hint in get_type_hints(kind).items()})
    return st.one_of([of(part) for part in get_args(kind)])


@pytest.mark.parametrize("kind", EVENT_KINDS.values(), ids=EVENT_KINDS)
@given(data=st.data())
def test_every_event_comes_back(kind: type, data: st.DataObject) -> None:
    event = data.draw(of(kind))
    assert decode_event(encode(event)) == event


@pytest.mark.parametrize("kind", FACT_KINDS.values(), ids=FACT_KINDS)
@given(data=st.data())
def test_every_fact_comes_back(kind: type, data: st.DataObject) -> None:
    fact = data.draw(of(kind))
    text = encode(fact)
    assert decode_fact(text) == fact
    assert text.isascii()
    assert "\n" not in text
    assert json.loads(text)["kind"] == kind.__name__


def test_kinds_are_told_apart_by_name() -> None:
    assert not EVENT_KINDS.keys() & FACT_KINDS.keys()


@pytest.mark.parametrize("line", SAMPLES)
def test_what_version_1_wrote_is_still_read(line: str) -> None:
    kind = json.loads(line)["kind"]
    decode = decode_event if kind in EVENT_KINDS else decode_fact
    item = decode(line)
    assert type(item).__name__ == kind
    written: Mapping[str, object] = json.loads(line)
    again = json.loads(encode(item))  # type: ignore[arg-type]
    assert {key: again[key] for key in written if key != "v"} == {
        key: value for key, value in written.items() if key != "v"
    }


def test_the_samples_cover_every_kind() -> None:
    assert {json.loads(line)["kind"] for line in SAMPLES} >= EVENT_KINDS.keys() | FACT_KINDS.keys()


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("", "not JSON"),
        ("[]", "not a JSON object"),
        ("{}", "needs a `kind`"),
        ('{"kind":"SetUndone","set_id":1}', "version"),
        ('{"kind":"SetUndone","v":true,"set_id":1}', "version"),
        ('{"kind":"SetUndone","v":0,"set_id":1}', "version"),
        ('{"kind":"SetUndone","v":1}', "SetUndone: set_id"),
        ('{"kind":"SetUndone","v":1,"set_id":"1"}', "SetUndone: set_id"),
        ('{"kind":"SetUndone","v":1,"set_id":1.5}', "SetUndone: set_id"),
        ('{"kind":"SetUndone","v":1,"set_id":true}', "SetUndone: set_id"),
        ('{"kind":"SetUndone","v":1,"set_id":1,"why":""}', "why: not a field"),
        ('{"kind":"SetCorrected","v":1,"set_id":1,"seconds":NaN}', "NaN"),
        ('{"kind":"SetCorrected","v":1,"set_id":1,"seconds":Infinity}', "Infinity"),
        ('{"kind":"SessionEnded","v":1,"how":"bored","next_time":[]}', "SessionEnded: how"),
        ('{"kind":"CheckedIn","v":1,"pain":0,"parts":"hip","energy_normal":true,"lacking":[]}',
         "CheckedIn: parts"),
    ],
)  # fmt: skip
def test_what_is_no_fact_is_refused(text: str, wrong: str) -> None:
    with pytest.raises(CodecError, match=wrong):
        decode_fact(text)


@pytest.mark.parametrize(
    ("meaning", "wrong"),
    [
        ({"id": "dance", "slots": {}}, "meanings"),
        ({"id": "log", "slots": {"seconds": 1.5}}, "meanings"),
        ({"id": "log", "slots": {}, "mood": "good"}, "meanings.0.mood: not a field"),
        ({"slots": {}}, "meanings"),
    ],
)
def test_what_is_no_meaning_is_refused(meaning: dict[str, object], wrong: str) -> None:
    entry = {"at": 1.0, "text": "x", "confidence": 1.0, "decision": "act", "began": 0.5}
    text = json.dumps({"kind": "Heard", "v": 1, **entry, "meanings": [meaning]})
    with pytest.raises(CodecError, match=wrong):
        decode_event(text)


@given(st.text().filter(lambda kind: kind not in FACT_KINDS), st.integers(1), st.text())
def test_a_kind_that_comes_later_is_kept_raw(kind: str, version: int, more: str) -> None:
    text = json.dumps({"kind": kind, "v": version, "more": more})
    assert decode_fact(text) == Unknown(kind, version, text)


def test_a_version_that_comes_later_is_kept_raw() -> None:
    text = '{"kind":"SetUndone","v":2,"which":"all"}'
    assert decode_fact(text) == Unknown("SetUndone", 2, text)


def test_a_field_with_a_default_may_be_missing() -> None:
    text = (
        '{"kind":"SetLogged","v":1,"set_id":1,"movement":"m","number":1,"side":"none",'
        '"target":5,"source":"target","reps":5}'
    )
    assert decode_fact(text) == SetLogged(1, "m", 1, "none", 5, "target", reps=5)


def test_a_whole_number_does_for_a_time() -> None:
    assert decode_event('{"kind":"Started","v":1,"at":3}') == Started(3.0)


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_a_number_without_end_is_not_written(number: float) -> None:
    with pytest.raises(CodecError, match="Started: a number is not finite"):
        encode(Started(number))


def test_half_a_character_does_not_stop_the_record() -> None:
    heard = Heard(1.0, "log \udcff", (), 0.5, "pass", 0.5)
    back = decode_event(encode(heard))
    assert isinstance(back, Heard)
    assert back.text.startswith("log \N{REPLACEMENT CHARACTER}")


def test_an_event_is_no_fact() -> None:
    assert isinstance(decode_fact(encode(Started(0.0))), Unknown)
    assert isinstance(decode_event(encode(SetUndone(1))), Unknown)
    assert decode_fact(encode(EffortLogged(None, 7))) == EffortLogged(None, 7)
