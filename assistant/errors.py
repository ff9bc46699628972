"""Errors that a user can mend: one clear sentence, no traceback, exit code 2."""

from __future__ import annotations


class CuewalkError(Exception):
    """Base of every error shown to a user; its text is one sentence with the way to mend it."""


class HearingError(CuewalkError):
    """A recogniser, a model, a microphone or a recording can not be used."""


class SpeakingError(CuewalkError):
    """A voice or a loudspeaker can not be used."""


class RecordError(CuewalkError):
    """The record can not be opened, read or written."""


class InputError(CuewalkError):
    """A catalogue, a profile or an argument is wrong."""
