"""The athlete's own profile: where it lies, and how it is written."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path

import platformdirs
import tomlkit

from assistant.errors import InputError
from catalogue.detail import LEVELS
from catalogue.model import Catalogue, Level, Profile

FILE_NAME = "profile.toml"


def default_profile_path(environ: Mapping[str, str] = os.environ) -> Path:
    """The profile that counts where none is named: in the folder CUEWALK_HOME where that is set,
    else in the platform's folder for a user's settings."""
    home = environ.get("CUEWALK_HOME")
    folder = Path(home).expanduser() if home else platformdirs.user_config_path("cuewalk", False)
    return folder / FILE_NAME


def profile_text(profile: Profile, catalogue: Catalogue) -> str:
    """A profile as a TOML text with comments on every choice; it loads as the same profile."""
    return "\n".join(_lines(profile, catalogue)) + "\n"


def with_bend(text: str, bend: float) -> str:
    """A profile's text with what a reading told of the athlete's voice, all else as it was."""
    document = tomlkit.parse(text)
    document["bend"] = tomlkit.item(bend).comment("made by: cuewalk reading")
    return tomlkit.dumps(document)


def write_new(path: Path, text: str, *, replace: bool = False) -> None:
    """Write a file that is not there yet, whole or not at all.

    Raises InputError where it is there (unless it is to be replaced) or can not be written.
    """
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        if path.is_dir():
            raise InputError(f"{path} is a folder; name a file")
        path.parent.mkdir(parents=True, exist_ok=True)
        part.write_text(text, encoding="utf-8")
        if replace:
            part.replace(path)
        else:
            # A link is made only where nothing has the name, so no other file is ever lost.
            _put(part, path)
    except FileExistsError:
        raise InputError(f"{path} is there already; name another file") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise InputError(f"{path} can not be written ({why}); name another file") from None
    finally:
        with suppress(OSError, ValueError):
            part.unlink(missing_ok=True)


def _put(part: Path, path: Path) -> None:
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:
        # Some file systems have no links; there the name is taken first.
        with path.open("x", encoding="utf-8") as file:
            file.write(part.read_text(encoding="utf-8"))


def _lines(profile: Profile, catalogue: Catalogue) -> Iterator[str]:
    yield "# Who trains with cuewalk. Change what you like; `cuewalk check` tells what it does not"
    yield "# understand, with the line and the mend."
    yield ""
    yield "# Who trains, as said, shown and kept on record: the same name always."
    yield f"athlete = {_quoted(profile.athlete)}"
    yield ""
    yield "# What there is at home. The catalogue knows:"
    yield from _wrapped(catalogue.equipment)
    yield f"equipment = [{', '.join(map(_quoted, profile.equipment))}]"
    yield ""
    yield "# Clear floor in metres, and the minutes of a session (5 to 120)."
    yield f"space = {profile.space:g}" if profile.space % 1 else f"space = {profile.space:.1f}"
    yield f"minutes = {profile.minutes}"
    yield ""
    yield "# The voice: words a minute (80 to 300), loudness (0 to 1), which one: natural (where"
    yield "# that extra is installed), or one that `cuewalk devices` lists."
    yield f"rate = {profile.rate}"
    yield f"volume = {profile.volume}"
    yield f"voice = {_quoted(profile.voice)}" if profile.voice else '# voice = "..."'
    yield ""
    yield f"# How much the coach says: {', '.join(LEVELS)}. By voice: say less, say more."
    yield f"detail = {_quoted(profile.detail)}"
    yield ""
    yield f"language = {_quoted(profile.language)}"
    yield f"units = {_quoted(profile.units)}"
    yield ""
    yield f"# How far the athlete is in each skill: {', '.join(level.value for level in Level)}."
    yield "# The log takes it on from there. A skill that is not named is trained as a beginner."
    yield "[levels]"
    for skill in catalogue.skills:
        level = profile.levels.get(skill)
        yield f'{skill} = "{level.value}"' if level else f'# {skill} = "{Level.BEGINNER.value}"'


def _wrapped(words: Mapping[str, object], width: int = 90) -> Iterator[str]:
    line = "#"
    for number, word in enumerate(words, start=1):
        part = f" {_quoted(word)}" + ("," if number < len(words) else "")
        if len(line) + len(part) > width:
            yield line
            line = "#"
        line += part
    if line != "#":
        yield line


def _quoted(text: str) -> str:
    """A TOML string: JSON's escapes are all TOML's."""
    return json.dumps(text, ensure_ascii=False)
