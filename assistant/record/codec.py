"""Events and facts as JSON: one object each, tagged with its kind and the kind's version.

>>> from assistant.session.facts import SetUndone
>>> encode(SetUndone(set_id=3))
'{"kind":"SetUndone","v":1,"set_id":3}'
>>> decode_fact('{"kind":"SetUndone","v":1,"set_id":3}')
SetUndone(set_id=3)
>>> decode_fact('{"kind":"Weighed","v":1,"kilograms":71}').kind
'Weighed'
>>> decode_fact('{"kind":"SetUndone","v":1,"set_id":"3"}')
Traceback (most recent call last):
    ...
assistant.record.codec.CodecError: SetUndone: set_id: Input should be a valid integer

Reading is strict: it raises `CodecError` where a field is missing, of the wrong type, or not
known. A field that has a default may be missing, so that a kind can grow. Whoever changes what a
kind means, or takes a field away, raises its number in `VERSIONS`. What a later cuewalk wrote (a
kind or a version not known here) comes back as `Unknown`, raw.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Generic, TypeVar, cast, get_args

from pydantic import TypeAdapter, ValidationError

from assistant.session.events import Event
from assistant.session.facts import Fact

EVENT_KINDS: Mapping[str, type] = {kind.__name__: kind for kind in get_args(Event)}
FACT_KINDS: Mapping[str, type] = {kind.__name__: kind for kind in get_args(Fact)}
VERSIONS: Mapping[str, int] = dict.fromkeys((*EVENT_KINDS, *FACT_KINDS), 1)
"""The version each kind is written in."""


class CodecError(ValueError):
    """A text is not an event or a fact; the message names the kind and the field."""


@dataclass(frozen=True)
class Unknown:
    """What a later cuewalk wrote: its kind, its version, and its text as it stands."""

    kind: str
    version: int
    raw: str


def encode(item: Event | Fact) -> str:
    """One line of ASCII JSON. Half a surrogate pair, which no text may hold, becomes U+FFFD.

    Raises CodecError where a number is not finite.
    """
    name = type(item).__name__
    tagged = {"kind": name, "v": VERSIONS[name], **_plain(item)}
    try:
        return json.dumps(tagged, separators=(",", ":"), allow_nan=False)
    except ValueError as error:
        raise CodecError(f"{name}: a number is not finite") from error


def decode_event(text: str) -> Event | Unknown:
    """The event in the text. Raises CodecError where it is none."""
    return _EVENTS.decode(text)


def decode_fact(text: str) -> Fact | Unknown:
    """The fact in the text. Raises CodecError where it is none."""
    return _FACTS.decode(text)


T = TypeVar("T")


class _Reader(Generic[T]):
    def __init__(self, kinds: Mapping[str, type]) -> None:
        self._adapters = {name: TypeAdapter[Any](kind) for name, kind in kinds.items()}

    def decode(self, text: str) -> T | Unknown:
        tagged = _object(text)
        kind, version = tagged.pop("kind", None), tagged.pop("v", None)
        if not isinstance(kind, str) or type(version) is not int or version < 1:
            raise CodecError("an entry needs a `kind` and a version `v`")
        if kind not in self._adapters or version > VERSIONS[kind]:
            return Unknown(kind, version, text)
        try:
            item = self._adapters[kind].validate_json(text, strict=True)
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            where = ".".join(str(part) for part in first["loc"]) or "entry"
            raise CodecError(f"{kind}: {where}: {first['msg']}") from error
        if extra := _unread(tagged, item):
            raise CodecError(f"{kind}: {extra}: not a field of this kind")
        return cast(T, item)


_EVENTS: _Reader[Event] = _Reader(EVENT_KINDS)
_FACTS: _Reader[Fact] = _Reader(FACT_KINDS)


def _refuse(constant: str) -> None:
    raise CodecError(f"{constant} is not a number that JSON knows")


_JSON = json.JSONDecoder(parse_constant=_refuse)


def _object(text: str) -> dict[str, Any]:
    try:
        data = _JSON.decode(text)
    except json.JSONDecodeError as error:
        raise CodecError(f"not JSON: {error}") from error
    if not isinstance(data, dict):
        raise CodecError("not a JSON object")
    return data


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {_plain(key): _plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, str):
        return value.encode("utf-8", "surrogatepass").decode("utf-8", "replace")
    return value


def _unread(data: Any, item: Any) -> str | None:
    """Path of the first key in the data that is no field of what was read from it."""
    if isinstance(data, dict) and is_dataclass(item):
        for key, value in data.items():
            if key not in item.__dataclass_fields__:
                return str(key)
            if isinstance(value, dict | list) and (found := _unread(value, getattr(item, key))):
                return f"{key}.{found}"
    elif isinstance(data, list):
        for number, pair in enumerate(zip(data, item, strict=True)):
            if found := _unread(*pair):
                return f"{number}.{found}"
    return None
