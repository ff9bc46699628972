"""Where the record lies."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import platformdirs

FILE_NAME = "record.db"


def default_path(environ: Mapping[str, str] = os.environ) -> Path:
    """The record's file: in the folder CUEWALK_HOME where that is set, else in the platform's
    folder for a user's data."""
    home = environ.get("CUEWALK_HOME")
    folder = Path(home).expanduser() if home else platformdirs.user_data_path("cuewalk", False)
    return folder / FILE_NAME


def make_folder(folder: Path) -> None:
    """Make the folder, closed to other users. One that is there stays as it is. Raises OSError."""
    if not folder.is_dir():
        folder.parent.mkdir(parents=True, exist_ok=True)
        folder.mkdir(mode=0o700, exist_ok=True)
