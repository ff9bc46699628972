"""`cuewalk understand`: what lines of text mean, one JSON line for each."""

from __future__ import annotations

import json
import sys
from typing import Annotated, Any

import typer

from assistant.commands.options import CatalogueOption, LanguageOption, material
from assistant.errors import InputError
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.meaning import Understanding
from intents.scope import EVERYTHING, Scope


def understand(
    scope: Annotated[
        str | None, typer.Option("--scope", help="A node of the session; else all is in scope.")
    ] = None,
    catalogue: CatalogueOption = None,
    language: LanguageOption = None,
) -> None:
    """Tell what each line of standard input means.

    Example: echo "log thirty-eight seconds, effort seven" | cuewalk understand
    """
    where = scope_named(scope)
    coach = material(catalogue, None, language).coach
    for line in sys.stdin:
        text = line.rstrip("\r\n")
        meant = {"text": text, **as_json(coach.understand(text, where))}
        print(json.dumps(meant, ensure_ascii=False), flush=True)


def scope_named(name: str | None) -> Scope:
    """The scope of a node, or everything. Raises InputError for a node that is not there."""
    if name is None:
        return EVERYTHING
    try:
        return scope_at(Node(name))
    except ValueError:
        nodes = ", ".join(node.value for node in Node)
        raise InputError(f"There is no node {name!r}; choose one of: {nodes}.") from None


def as_json(understanding: Understanding) -> dict[str, Any]:
    """Meanings, confidence and decision as they are shown to other programs."""
    confidence = round(understanding.confidence, 3)
    meanings = [
        {"id": m.id, "slots": dict(m.slots), "confidence": confidence}
        for m in understanding.meanings
    ]
    if not meanings:
        meanings = [{"id": "none", "slots": {}, "confidence": confidence}]
    return {"intents": meanings, "decision": understanding.decision}
