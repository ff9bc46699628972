"""Links: circles checked against an independent graph library, and the way down."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.files import builtin_catalogue
from catalogue.links import Node, circles, link_faults, way_down, without_way_down
from catalogue.model import Catalogue, Links


@given(
    st.dictionaries(
        st.integers(0, 12).map(str), st.none() | st.integers(0, 14).map(str), max_size=13
    )
)
def test_circles_are_those_that_a_graph_library_finds(steps: dict[str, str | None]) -> None:
    """Against networkx.simple_cycles; a link to oneself is told elsewhere."""
    graph = nx.DiGraph((a, b) for a, b in steps.items() if b is not None)
    expected = {frozenset(cycle) for cycle in nx.simple_cycles(graph) if len(cycle) > 1}
    found = list(circles(steps))
    assert {frozenset(circle) for circle in found} == expected
    assert len(found) == len(expected)
    for circle in found:
        for here, after in zip(circle, (*circle[1:], circle[0]), strict=True):
            assert steps[here] == after


def faults(*nodes: Node, known: set[str] | None = None) -> list[str]:
    by_id = {node.id: node for node in nodes}
    return [f"{owner} {fault}" for owner, fault in link_faults(by_id, known or set(by_id))]


def test_two_movements_may_share_a_way_down() -> None:
    assert faults(
        Node("floor", progress="pipe"),
        Node("pipe", regress="floor"),
        Node("beam", regress="floor"),
    ) == []  # fmt: skip


def test_a_way_down_that_is_answered_by_nobody() -> None:
    found = faults(
        Node("floor", progress="pipe"),
        Node("pipe"),
        Node("beam", regress="floor"),
    )
    assert [one.split(":")[0] for one in found] == [
        "floor `pipe` has no way down to `floor`, which goes up to it",
        "beam `floor` has no way up to `beam`, which goes down to it",
    ]


def test_the_same_way_down_and_up() -> None:
    found = faults(Node("a", regress="b", progress="b"), Node("b", regress="a", progress="a"))
    assert sum("both the way down and the way up" in one for one in found) == 2


def test_nothing_is_asked_of_a_movement_that_could_not_be_read() -> None:
    assert faults(Node("a", regress="b", progress="c"), known={"a", "b", "c"}) == []


def linked(catalogue: Catalogue, movement: str, **links: str | None) -> Catalogue:
    """The catalogue with one movement's links replaced."""
    old = catalogue.movements[movement]
    new = old.model_copy(update={"links": Links.model_validate(links)})
    return catalogue.model_copy(update={"movements": {**catalogue.movements, movement: new}})


def test_the_way_down_runs_to_the_floor() -> None:
    names = [m.id for m in way_down(builtin_catalogue(), "pipe_stand")]
    assert names == ["pipe_stand", "fingertip_pipe", "parked_pipe", "stork_stand", "line_walk"]


def test_a_circle_does_not_hold_up_the_way_down() -> None:
    circle = linked(builtin_catalogue(), "line_walk", regress="parked_pipe")
    assert [m.id for m in way_down(circle, "parked_pipe")] == [
        "parked_pipe",
        "stork_stand",
        "line_walk",
    ]


@pytest.mark.parametrize("regress", [None, "parked_pipe"])
def test_movements_without_a_way_down_are_listed(regress: str | None) -> None:
    """All that stands above a gap on a pipe, whether it leads nowhere or in a circle."""
    cut = linked(builtin_catalogue(), "fingertip_pipe", regress=regress)
    if regress:
        cut = linked(cut, "parked_pipe", regress="fingertip_pipe")
    above = ["pipe_stand", "pipe_rock", "pipe_walk", "pipe_pivot", "pipe_parade"]
    below = ["parked_pipe"] if regress else []
    assert sorted(without_way_down(cut)) == sorted([*below, "fingertip_pipe", *above])


def test_the_built_in_catalogue_has_no_such_movement() -> None:
    assert without_way_down(builtin_catalogue()) == ()
