"""The fixture `room`: a virtual room for one test, skipped where there can be none."""

from collections.abc import Iterator

import pytest

from tests.room.virtual_room import VirtualRoom, missing


@pytest.fixture
def room() -> Iterator[VirtualRoom]:
    lacking = missing()
    if lacking:
        pytest.skip(lacking)
    with VirtualRoom() as made:
        yield made
