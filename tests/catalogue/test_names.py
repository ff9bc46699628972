"""Which spoken names count as the same."""

from __future__ import annotations

from catalogue.names import Name, clashes, plain_name


def test_signs_and_capitals_are_not_heard() -> None:
    assert plain_name("Wall-Walk!") == plain_name("wall  walk") == "wall walk"
    assert plain_name("wallwalk") != plain_name("wall walk")
    assert plain_name(" _-! ") == ""


def test_two_things_may_not_share_a_name_but_may_share_a_stand_in() -> None:
    names = [
        Name(0, ("name",), "bar"),
        Name(0, ("stand_ins", 0, "name"), "tree", stand_in=True),
        Name(1, ("stand_ins", 0, "name"), "Tree", stand_in=True),
        Name(1, ("stand_ins", 1, "name"), "tree", stand_in=True),
        Name(1, ("also", 0), "Bar"),
        Name(1, ("also", 1), "bar"),
    ]
    assert [(later.path, earlier.path) for later, earlier in clashes(names)] == [
        (("stand_ins", 1, "name"), ("stand_ins", 0, "name")),
        (("also", 0), ("name",)),
        (("also", 1), ("name",)),
    ]
