"""The log for finding out what went wrong: written only where it is asked for, on this machine.

It holds what was heard and decided, so it holds what was said. It is kept small and never sent.
"""

from __future__ import annotations

import logging
import os
import platform
import sys
import threading
from collections.abc import Mapping
from logging.handlers import RotatingFileHandler
from pathlib import Path

import platformdirs

from assistant.errors import InputError

FILE_NAME = "cuewalk.log"
BYTES, KEPT = 1_000_000, 3

journal = logging.getLogger("cuewalk")
"""Everything that is logged goes through this, or through a logger below it."""


def log_folder(environ: Mapping[str, str] = os.environ) -> Path:
    """In the folder CUEWALK_HOME where that is set, else the platform's folder for logs."""
    home = environ.get("CUEWALK_HOME")
    if home:
        return Path(home).expanduser() / "logs"
    return platformdirs.user_log_path("cuewalk", False)


def start_log(version: str, environ: Mapping[str, str] = os.environ) -> Path:
    """Begin to log; returns the file. Raises InputError where it can not be written."""
    file = log_folder(environ) / FILE_NAME
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handler = RotatingFileHandler(file, maxBytes=BYTES, backupCount=KEPT, encoding="utf-8")
    except OSError as error:
        raise InputError(
            f"The log {file} can not be written ({error.strerror or error}); leave --verbose out, "
            "or name another folder in CUEWALK_HOME."
        ) from None
    handler.setFormatter(
        logging.Formatter("%(asctime)s.%(msecs)03d %(name)s: %(message)s", "%Y-%m-%d %H:%M:%S")
    )
    journal.addHandler(handler)
    journal.setLevel(logging.DEBUG)
    journal.propagate = False
    threading.excepthook = _thread_failed
    journal.debug("cuewalk %s, Python %s, %s", version, sys.version.split()[0], platform.platform())
    journal.debug("arguments: %s", sys.argv[1:])
    return file


def _thread_failed(failed: threading.ExceptHookArgs) -> None:
    name = failed.thread.name if failed.thread is not None else "a thread"
    journal.error("%s failed", name, exc_info=failed.exc_value or True)
    threading.__excepthook__(failed)
