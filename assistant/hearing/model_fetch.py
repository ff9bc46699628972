"""Fetch a Vosk model once, at set-up: resumed where it broke off, checked, then put in place.

Nothing is unpacked before the whole archive has the pinned size and SHA-256 digest, and the folder
appears under its name only when it is complete. What was loaded before a broken connection stays
in a `.part` file, and the next try asks the server for the rest (HTTP `Range`, RFC 9110).
"""

from __future__ import annotations

import errno
import hashlib
import http.client
import lzma
import os
import shutil
import struct
import tempfile
import tomllib
import urllib.error
import urllib.request
import zipfile
import zlib
from collections.abc import Callable
from importlib import resources
from pathlib import Path, PurePosixPath
from typing import Final

from assistant.errors import HearingError
from assistant.hearing.vosk_model import is_model

Progress = Callable[[int, int], None]
"""Called with the bytes that are here and those of the whole."""

PIECE: Final = 1 << 16
TIMEOUT: Final = 30.0
UNPACKED_MOST: Final = 20
"""An archive may unpack to this many times its size at most."""
FILES_MOST: Final = 1_000

_DAMAGED: Final = (
    zipfile.BadZipFile, EOFError, RuntimeError, ValueError, LookupError, struct.error,
    zlib.error, lzma.LZMAError,
)  # fmt: skip
_OF_THE_ARCHIVE: Final = (
    None, errno.EISDIR, errno.ENOTDIR, errno.EEXIST, errno.ENOENT, errno.ENAMETOOLONG, errno.EINVAL,
)  # fmt: skip
"""Errors of the system that names in an archive bring about (None: a bad bzip2 stream)."""


def fetch_small_english(folder: Path, progress: Progress = lambda done, whole: None) -> Path:
    """The small English model in `folder`; fetched where it is not there yet."""
    entry = known_models()["en"]
    return fetch_model(
        "en", folder, str(entry["url"]), str(entry["sha256"]), int(entry["size"]), progress
    )


def known_models() -> dict[str, dict[str, str | int]]:
    """The pinned archives by language: name, url, size, sha256."""
    text = resources.files("assistant.hearing").joinpath("models.toml").read_text("utf-8")
    return tomllib.loads(text)


def fetch_model(
    language: str,
    folder: Path,
    url: str,
    sha256: str,
    size: int,
    progress: Progress = lambda done, whole: None,
) -> Path:
    """Load the archive at `url` into `folder`, check it, unpack it; gives the model's folder.

    Raises HearingError with the way to mend it: no network, a wrong digest, a damaged archive, a
    full disk. A second call after a broken connection goes on where the first one stopped.
    """
    name = PurePosixPath(url).name
    model = folder / name.removesuffix(".zip")
    if is_model(model):
        return model
    try:
        folder.mkdir(parents=True, exist_ok=True)
        part = folder / f"{name}.part"
        _load(url, part, size, progress)
        _check(part, sha256, size)
        _unpack(part, model, size)
        part.unlink()
    except OSError as error:
        raise HearingError(
            f"The {language} model can not be written to {folder}: {error.strerror or error}; "
            "make room there or name another folder with --to."
        ) from error
    return model


def _load(url: str, part: Path, size: int, progress: Progress) -> None:
    """Bring `part` to `size` bytes, from what is there already."""
    have = part.stat().st_size if part.exists() else 0
    if have > size:
        part.unlink()
        have = 0
    progress(have, size)
    if have == size:
        return
    request = urllib.request.Request(url)
    if have:
        request.add_header("Range", f"bytes={have}-")
    try:
        with urllib.request.urlopen(request, timeout=TIMEOUT) as answer:
            if have and answer.status != 206:
                # This server can not resume: begin again.
                have = 0
            with part.open("ab" if have else "wb") as file:
                while have < size:
                    data = answer.read(min(PIECE, size - have))
                    if not data:
                        break
                    file.write(data)
                    have += len(data)
                    progress(have, size)
    except urllib.error.HTTPError as error:
        raise HearingError(
            f"The server of {url} answers {error.code} {error.reason}; try again later, or unpack "
            "the model yourself and name it with --model."
        ) from error
    except (urllib.error.URLError, http.client.HTTPException, TimeoutError) as error:
        raise HearingError(_broken_off(url, have, size, getattr(error, "reason", error))) from error
    except ConnectionError as error:
        raise HearingError(_broken_off(url, have, size, error)) from error
    if have < size:
        raise HearingError(_broken_off(url, have, size, "the connection ended early"))


def _broken_off(url: str, have: int, size: int, why: object) -> str:
    return (
        f"{url} could not be fetched ({why}); {have} of {size} bytes are here. "
        "Check the network and give the command again: it goes on from there."
    )


def _check(part: Path, sha256: str, size: int) -> None:
    digest = hashlib.sha256()
    with part.open("rb") as file:
        while piece := file.read(PIECE):
            digest.update(piece)
    if digest.hexdigest() != sha256.lower():
        part.unlink()
        raise HearingError(
            f"{part.name.removesuffix('.part')} is not the archive that was expected (its SHA-256 "
            f"begins {digest.hexdigest()[:12]}, not {sha256[:12].lower()}); it was deleted. "
            "Give the command again."
        )


def _unpack(archive: Path, model: Path, size: int) -> None:
    """Unpack beside the place, look whether it is a model, then move it there in one step."""
    with tempfile.TemporaryDirectory(prefix=".unpacking-", dir=model.parent) as place:
        try:
            with zipfile.ZipFile(archive) as zipped:
                _extract(zipped, Path(place), size)
        except HearingError:
            archive.unlink()
            raise
        except (*_DAMAGED, OSError) as error:
            if isinstance(error, OSError) and error.errno not in _OF_THE_ARCHIVE:
                raise
            archive.unlink()
            raise HearingError(
                f"{archive.name} is a damaged archive; it was deleted. Give the command again."
            ) from error
        found = [p for p in (Path(place), *Path(place).iterdir()) if p.is_dir() and is_model(p)]
        if not found:
            archive.unlink()
            raise HearingError(f"{archive.name} holds no Vosk model; it was deleted.")
        if model.exists():
            shutil.rmtree(model)
        if found[0] == Path(place):
            shutil.copytree(found[0], model)
        else:
            os.replace(found[0], model)


def _extract(zipped: zipfile.ZipFile, place: Path, size: int) -> None:
    entries = zipped.infolist()
    if len(entries) > FILES_MOST or sum(e.file_size for e in entries) > size * UNPACKED_MOST:
        raise HearingError("The archive unpacks to far more than a model is; it was not unpacked.")
    for entry in entries:
        path = PurePosixPath(entry.filename)
        is_link = (entry.external_attr >> 16) & 0o170000 == 0o120000
        if path.is_absolute() or ".." in path.parts or "\\" in entry.filename or is_link:
            raise HearingError(
                f"The archive wants to write to {entry.filename!r}, outside its folder; "
                "it was not unpacked."
            )
        target = place.joinpath(*path.parts)
        if entry.is_dir():
            target.mkdir(parents=True, exist_ok=True)
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        with zipped.open(entry) as source, target.open("wb") as file:
            left = entry.file_size
            while left > 0 and (piece := source.read(min(PIECE, left))):
                file.write(piece)
                left -= len(piece)
