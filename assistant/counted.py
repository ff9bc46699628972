"""A number with its noun, in the English of the commands."""

from __future__ import annotations


def counted(number: int, noun: str) -> str:
    """
    >>> counted(1, "session"), counted(0, "session"), counted(7, "session")
    ('1 session', '0 sessions', '7 sessions')
    """
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
