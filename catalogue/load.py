"""From the text of a coach's files to a checked catalogue."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from catalogue.model import Catalogue


def load_catalogue(sources: Mapping[str, str]) -> Catalogue:
    """The catalogue in `sources`: the name of each file with its TOML text."""
    whole: dict[str, Any] = {"equipment": {}, "skills": {}, "movements": {}}
    tables = {"equipment": "equipment", "skill": "skills", "movement": "movements"}
    for text in sources.values():
        read = tomllib.loads(text)
        whole["name"] = read.get("name", whole.get("name"))
        for key, into in tables.items():
            whole[into].update({item["id"]: item for item in read.get(key, ())})
    return Catalogue.model_validate(whole)
