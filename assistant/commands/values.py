"""Numbers on the command line: read, or refused in a sentence that tells what is allowed."""

from __future__ import annotations

import math
from collections.abc import Callable

from assistant.errors import InputError


def whole(option: str, low: int | None = None, high: int | None = None) -> Callable[[str], int]:
    """A reader of whole numbers, from `low` to `high` where these are given."""

    def read(text: str) -> int:
        try:
            number = int(text)
        except ValueError:
            number = None
        if number is None or not _within(number, low, high):
            raise InputError(f"{option} takes a whole number{_range(low, high)}, not {text!r}.")
        return number

    return read


def number(option: str, low: float, high: float) -> Callable[[str], float]:
    """A reader of numbers from `low` to `high`, with or without a fraction."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not _within(value, low, high):
            raise InputError(f"{option} takes a number{_range(low, high)}, not {text!r}.")
        return value

    return read


def _within(value: float, low: float | None, high: float | None) -> bool:
    return (low is None or value >= low) and (high is None or value <= high)


def _range(low: float | None, high: float | None) -> str:
    if high is None:
        return "" if low is None else f" from {low:g} on"
    return f" from {low:g} to {high:g}"
