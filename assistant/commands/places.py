"""The places of a session by name, as the commands that try out words take them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

import typer

from assistant.errors import InputError
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.scope import EVERYTHING, Scope

PLACES: Mapping[Node, str] = {
    Node.CAUTIONS: "will you keep to the cautions?",
    Node.PAIN: "does anything hurt today?",
    Node.PAIN_PART: "where does it hurt?",
    Node.PAIN_LEVEL: "how bad is it?",
    Node.PAIN_MORE: "any other pain?",
    Node.ENERGY: "is your energy as usual?",
    Node.EQUIPMENT: "is your equipment all there?",
    Node.MISSING: "what is missing?",
    Node.AREA: "is the floor clear?",
    Node.SAFEGUARD: "is there a spotter, or a tested bar?",
    Node.READY: "a movement was told; say start",
    Node.COUNTDOWN: "three, two, one",
    Node.WORK: "in a set",
    Node.OFF: "off the pipe, the wall or the bar in a hold",
    Node.SWITCH: "between the sides",
    Node.REST: "between sets",
    Node.EFFORT: "how hard was the movement?",
    Node.STAND_IN: "is there something that may take its place?",
    Node.PAUSED: "the session waits",
    Node.CONFIRM: "did you say that?",
    Node.CONFIRM_FINISH: "finish now?",
    Node.HURT_PART: "after pain in a set: where?",
    Node.HURT_LEVEL: "after pain in a set: how bad?",
    Node.HURT_CHOICE: "after pain in a set: go on without it?",
    Node.SESSION_EFFORT: "how hard was the session?",
    Node.CLOSING: "the last words of a session",
}
"""What has just been asked or told at each place where words can be heard."""

EPILOG = "\b\nPLACE is one of:\n" + "\n".join(
    f"  {node.value:<15}  {asked}" for node, asked in PLACES.items()
)
"""The places for the end of a command's help; \\b keeps its lines as they are."""

PlaceOption = Annotated[
    str | None,
    typer.Option("--place", metavar="PLACE", help="Where in a session; else anywhere. See below."),
]


def scope_of_place(name: str | None) -> Scope:
    """What can be said at a place, or anywhere. Raises InputError for a place that is not there."""
    if name is None:
        return EVERYTHING
    if name not in set(PLACES):
        raise InputError(
            f"There is no place {name!r} in a session; choose one of: {', '.join(PLACES)}."
        )
    return scope_at(Node(name))
