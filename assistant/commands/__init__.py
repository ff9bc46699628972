"""The commands of `cuewalk`, one file each; `main` is the program's entry."""

from __future__ import annotations

from assistant.commands.app import main

__all__ = ["main"]
