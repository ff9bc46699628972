"""Keeps what libraries of C print on standard error out of the athlete's captions.

PortAudio, for one, prints several lines at every device that vanishes, and at every try to open
it again. There is no switch for it.
"""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator


@contextlib.contextmanager
def native_messages_hidden() -> Iterator[None]:
    """While the block runs, only Python itself writes to standard error.

    Meant for the whole of a live session, from the main thread. Child processes that inherit
    standard error are as quiet as the libraries.
    """
    try:
        sys.stderr.flush()
        kept = os.dup(2)
    except (OSError, AttributeError, ValueError):
        # There is no standard error, as in a program without a console: nothing to hide.
        yield
        return
    before = sys.stderr
    own = os.fdopen(os.dup(kept), "w", buffering=1, encoding=before.encoding, errors="replace")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 2)
        # A replaced standard error (a test's, say) does not write to descriptor 2: it stays.
        if before is sys.__stderr__:
            sys.stderr = own
        yield
    finally:
        sys.stderr = before
        os.dup2(kept, 2)
        own.close()
        os.close(nowhere)
        os.close(kept)
