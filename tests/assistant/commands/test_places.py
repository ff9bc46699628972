"""Where words are tried out: every place at which a session hears any."""

from __future__ import annotations

import pytest

from assistant.commands.places import EPILOG, PLACES, scope_of_place
from assistant.errors import InputError
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.scope import EVERYTHING


def test_every_place_at_which_words_are_heard_is_there_and_is_told() -> None:
    assert set(PLACES) == set(Node) - {Node.ENDED}
    for node, asked in PLACES.items():
        assert f"  {node.value} " in EPILOG
        assert asked in EPILOG
        assert scope_of_place(node.value) == scope_at(node)


def test_anywhere_is_everywhere_and_elsewhere_is_refused() -> None:
    assert scope_of_place(None) is EVERYTHING
    with pytest.raises(InputError, match="choose one of: cautions, pain"):
        scope_of_place("ended")
