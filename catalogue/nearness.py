"""The search for the nearest movement: likeness within a skill, and the coach's links as a graph.

A candidate costs the cheaper of its likeness (`catalogue.likeness` has the prices: same skill and
quality first, then level and step, then lost equipment) and the shortest path over the links, which
count both ways. Candidates are movements of the same phase that can be done, at or under the
athlete's own level. Ties go to the more alike, then to the easier, then to the id.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from heapq import heappop, heappush
from math import inf
from typing import NamedTuple

from catalogue.conditions import Conditions
from catalogue.likeness import COSTS, Numbering, Traits, filter_of, likeness_cost, step_cost
from catalogue.model import Catalogue, Movement, Phase


class Candidate(NamedTuple):
    """Compared in this order."""

    cost: float
    likeness: float
    rung: int
    movement_id: str


Offers = Callable[[Traits], bool]
Rungs = dict[int, list[Traits]]


class Nearness:
    """The likenesses and the links of one catalogue, indexed once."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._items = Numbering()
        self._traits = {
            id_: Traits.of(each, self._items) for id_, each in catalogue.movements.items()
        }
        self._phase = {id_: each.phase for id_, each in catalogue.movements.items()}
        self._by_skill: dict[tuple[Phase, str | None], Rungs] = {}
        self._links: dict[str, dict[str, float]] = {id_: {} for id_ in self._traits}
        for id_, movement in catalogue.movements.items():
            traits = self._traits[id_]
            rungs = self._by_skill.setdefault((movement.phase, movement.skill), {})
            rungs.setdefault(traits.rung, []).append(traits)
            self._link(movement)

    def _link(self, movement: Movement) -> None:
        """Links count both ways; of two between the same movements the cheaper counts."""
        links = movement.links
        for other in links.alternative:
            self._edge(movement.id, other, COSTS.alternative, COSTS.alternative)
        if links.regress is not None:
            self._edge(movement.id, links.regress, COSTS.regress, COSTS.progress)
        if links.progress is not None:
            self._edge(movement.id, links.progress, COSTS.progress, COSTS.regress)

    def _edge(self, start: str, end: str, there: float, back: float) -> None:
        ahead, behind = self._links[start], self._links[end]
        if there < ahead.get(end, inf):
            ahead[end] = there
        if back < behind.get(start, inf):
            behind[start] = back

    def paths(self, start: str) -> Iterator[tuple[float, str]]:
        """Movements over the links with the price of the shortest path, nearest first."""
        heap = [(0.0, start)]
        settled: set[str] = set()
        while heap:
            cost, at = heappop(heap)
            if at in settled:
                continue
            settled.add(at)
            yield cost, at
            for other, price in self._links[at].items():
                if other not in settled:
                    heappush(heap, (cost + price, other))

    def best(
        self,
        wanted_id: str,
        conditions: Conditions,
        exclude: frozenset[str] = frozenset(),
        *,
        same_skill: bool = False,
    ) -> Candidate | None:
        """The nearest movement other than `wanted_id` itself and those in `exclude`."""
        wanted, phase = self._traits[wanted_id], self._phase[wanted_id]
        offers = filter_of(conditions, self._items)
        gone = exclude | {wanted_id}
        best = self._alike(wanted, phase, wanted.skill, offers, gone, None)
        best = self._linked(wanted, phase, offers, gone, best, same_skill=same_skill)
        if best is None and not same_skill:
            for other_phase, skill in self._by_skill:
                if other_phase is phase and skill != wanted.skill:
                    best = self._alike(wanted, phase, skill, offers, gone, best)
        return best

    def _alike(
        self,
        wanted: Traits,
        phase: Phase,
        skill: str | None,
        offers: Offers,
        gone: frozenset[str],
        best: Candidate | None,
    ) -> Candidate | None:
        """The best of `best` and the movements of a skill, by likeness alone.

        Rungs are looked at in order of their price, until that alone is dearer than the best.
        """
        rungs = self._by_skill[phase, skill]
        base = 0.0 if skill == wanted.skill else COSTS.other_skill
        for rung in sorted(rungs, key=lambda rung: step_cost(wanted.rung, rung)):
            if best is not None and base + step_cost(wanted.rung, rung) > best.cost:
                break
            for traits in rungs[rung]:
                if traits.id not in gone and offers(traits):
                    cost = likeness_cost(wanted, traits)
                    found = Candidate(cost, cost, traits.rung, traits.id)
                    best = found if best is None or found < best else best
        return best

    def _linked(
        self,
        wanted: Traits,
        phase: Phase,
        offers: Offers,
        gone: frozenset[str],
        best: Candidate | None,
        *,
        same_skill: bool,
    ) -> Candidate | None:
        """The best of `best` and what the links lead to."""
        for cost, id_ in self.paths(wanted.id):
            if best is not None and cost > best.cost:
                break
            traits = self._traits[id_]
            if id_ in gone or self._phase[id_] is not phase or not offers(traits):
                continue
            if same_skill and traits.skill != wanted.skill:
                continue
            found = Candidate(cost, likeness_cost(wanted, traits), traits.rung, id_)
            best = found if best is None or found < best else best
        return best
