"""The links between movements: where they lead nowhere, do not agree, or go in a circle.

>>> nodes = {
...     "a": Node("a", regress="b", progress="c"),
...     "b": Node("b", regress="c", progress="a"),
...     "c": Node("c", regress="a"),
... }
>>> for movement, fault in link_faults(nodes, set(nodes)):
...     print(movement, "|", fault)
b | `c` has no way up to `b`, which goes down to it: write progress = "b" in `c`
a | the way down goes in a circle, from `a` to `b` to `c` to `a`: take out one `regress` of these
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from catalogue.model import Catalogue, Id, Movement, Phase
from catalogue.plain import suggest
from catalogue.problems import Fault

SUGGESTED = 300
"""Unknown ids for which a near one is looked for; past this, something larger is wrong."""

ROOM = 2.0
"""Metres of floor that every home is taken to have."""


@dataclass(frozen=True)
class Node:
    """One movement's links, as far as they could be read."""

    id: str
    regress: str | None = None
    progress: str | None = None
    alternative: tuple[str, ...] = ()


def link_faults(nodes: Mapping[str, Node], known: Collection[str]) -> Iterator[tuple[str, Fault]]:
    """Every mistake in the links, with the id of the movement that it stands in.

    `known` are all ids that exist; of those without a node (not readable) nothing more is asked.
    """
    unknown = 0
    for node in nodes.values():
        for path, target in _targets(node):
            if target == node.id:
                yield (
                    node.id,
                    Fault(path, f"`{path[1]}` leads to the movement itself", "take it out"),
                )
            elif target not in known:
                unknown += 1
                mend = "take it out, or add that movement"
                if unknown <= SUGGESTED:
                    mend = suggest(target, known, mend)
                yield node.id, Fault(path, f"there is no movement `{target}`", mend)
        if node.regress and node.regress == node.progress:
            yield (
                node.id,
                Fault(
                    ("links", "progress"),
                    f"`{node.regress}` is both the way down and the way up",
                    "keep one of the two",
                ),
            )
    yield from _one_sided(nodes)
    for down, key in ((True, "regress"), (False, "progress")):
        steps = {n.id: n.regress if down else n.progress for n in nodes.values()}
        for circle in circles(steps):
            words = " to ".join(f"`{movement}`" for movement in (*circle, circle[0]))
            way = "down" if down else "up"
            yield (
                circle[0],
                Fault(
                    ("links", key),
                    f"the way {way} goes in a circle, from {words}",
                    f"take out one `{key}` of these",
                ),
            )


def circles(steps: Mapping[str, str | None]) -> Iterator[tuple[str, ...]]:
    """Every circle of two or more in a map of each place to the one after it; linear."""
    walked: dict[str, int] = {}
    for number, begin in enumerate(steps):
        here: str | None = begin
        while here is not None and here in steps and here not in walked:
            walked[here] = number
            here = steps[here]
        if here is not None and walked.get(here) == number and steps[here] != here:
            circle = [here]
            after = steps[here]
            while after is not None and after != here:
                circle.append(after)
                after = steps[after]
            yield tuple(circle)


def way_down(catalogue: Catalogue, movement: Id) -> tuple[Movement, ...]:
    """The movement and its regressions, one below the other, to the last."""
    chain: dict[str, Movement] = {}
    here: str | None = movement
    while here is not None and here not in chain:
        chain[here] = catalogue.movements[here]
        here = chain[here].links.regress
    return tuple(chain.values())


def without_way_down(catalogue: Catalogue) -> tuple[Id, ...]:
    """Main movements that nothing below needs no equipment and at most `ROOM` of floor."""
    grounded: dict[str, bool] = {}
    lacking: list[Id] = []
    for movement in catalogue.movements.values():
        if movement.phase is not Phase.MAIN:
            continue
        path: list[str] = []
        here: Movement | None = movement
        while here is not None and here.id not in grounded:
            free = not here.equipment and here.space <= ROOM
            grounded[here.id] = free
            path.append(here.id)
            if free:
                break
            below = here.links.regress
            here = catalogue.movements.get(below) if below else None
        if here is not None and grounded[here.id]:
            grounded.update(dict.fromkeys(path, True))
        if not grounded[movement.id]:
            lacking.append(movement.id)
    return tuple(lacking)


def _targets(node: Node) -> Iterator[tuple[tuple[str | int, ...], str]]:
    if node.regress:
        yield ("links", "regress"), node.regress
    if node.progress:
        yield ("links", "progress"), node.progress
    for place, target in enumerate(node.alternative):
        yield ("links", "alternative", place), target


def _one_sided(nodes: Mapping[str, Node]) -> Iterator[tuple[str, Fault]]:
    """A way down that nothing leads back up from, and the other way round.

    Two movements may share a way down (and only one of them be its way up): a link is one-sided
    only where the other movement's link is missing, or is not answered either.
    """
    for node in nodes.values():
        below = nodes.get(node.regress or "")
        if below and below is not node and not _answered(nodes, node.id, below, "progress"):
            yield (
                node.id,
                Fault(
                    ("links", "regress"),
                    f"`{below.id}` has no way up to `{node.id}`, which goes down to it",
                    f'write progress = "{node.id}" in `{below.id}`',
                ),
            )
        above = nodes.get(node.progress or "")
        if above and above is not node and not _answered(nodes, node.id, above, "regress"):
            yield (
                node.id,
                Fault(
                    ("links", "progress"),
                    f"`{above.id}` has no way down to `{node.id}`, which goes up to it",
                    f'write regress = "{node.id}" in `{above.id}`',
                ),
            )


def _answered(nodes: Mapping[str, Node], one: str, other: Node, key: str) -> bool:
    """Whether `other` links back by `key`, or to a third movement that links to it."""
    answer = other.progress if key == "progress" else other.regress
    if answer is None or answer == one:
        return answer == one
    third = nodes.get(answer)
    if third is None:
        return True  # unknown or not readable: named elsewhere
    return (third.regress if key == "progress" else third.progress) == other.id
