"""An account of a walk, kept beside the session: what was really done, and so may be logged.

It knows the nodes that the walk came through and the times between them, and never looks at the
session's own clock: what the session logs is compared with it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.record.history import sets
from assistant.session.amounts import sets_of
from assistant.session.decide import Decision
from assistant.session.effects import Record
from assistant.session.events import Event, Heard
from assistant.session.facts import (
    CheckedIn,
    CorrectionUndone,
    Fact,
    SessionEnded,
    SetCorrected,
    SetLogged,
    SetUndone,
    Swapped,
)
from assistant.session.nodes import AT_A_BLOCK, Node
from assistant.session.state import State, place_of

ROUNDING = 0.051
"""Amounts are logged to a tenth of a second."""


def facts_of(decision: Decision) -> list[Fact]:
    return [e.fact for e in decision.effects if isinstance(e, Record)]


@dataclass
class Account:
    """`watch` is the time at work in the present side of the present set."""

    watch: float = 0.0
    begun: bool = False
    worked: float = 0.0
    facts: list[Fact] = field(default_factory=list)
    logged: set[int] = field(default_factory=set)

    def take(self, before: State, event: Event, decision: Decision) -> None:
        """Every fact of a step has its cause, and its amount is what was done or said."""
        after = decision.state
        if before.node is Node.WORK:
            self.watch += after.at - before.at
            self.worked += after.at - before.at
            self.begun = True
        said = _meanings(before, event)
        # Of several meanings, the first may lead to another movement than the next is about.
        alone = not isinstance(event, Heard) or len((*event.meanings, *before.asked)) == 1
        for fact in facts_of(decision):
            self.facts.append(fact)
            if isinstance(fact, SetLogged):
                self._logged(before, event, said, alone, fact)
            elif isinstance(fact, SetCorrected):
                assert "log" in said, "a correction that nobody said"
                assert fact.set_id in self.logged
                assert _amount(fact) in said["log"]
            elif isinstance(fact, Swapped) and fact.cause == "skip" and alone:
                assert fact.before == _may_be_skipped(before), "what was done is called skipped"
            elif isinstance(fact, SetUndone | CorrectionUndone):
                assert "undo" in said, "taken back, and nobody said so"
                assert fact.set_id in self.logged
        if after.node in AT_A_BLOCK:
            assert any(isinstance(f, CheckedIn) for f in self.facts), "work before the check-in"
        if _side(before) != _side(after) or after.node is Node.READY:
            self.watch, self.begun = 0.0, False
        if after.node is Node.READY:
            assert after.clock.seconds(after.at) == 0, "a set that is not begun has time on it"
        else:
            running = after.clock.seconds(after.at)
            assert running <= self.watch + 1e-6, "the clock shows time that nobody worked"

    def _logged(
        self,
        before: State,
        event: Event,
        said: dict[str, set[float]],
        alone: bool,
        fact: SetLogged,
    ) -> None:
        assert fact.set_id == len(self.logged) + 1
        self.logged.add(fact.set_id)
        if alone:
            assert fact.movement == before.current.movement
            assert fact.number == before.number
        amount = _amount(fact)
        if fact.source == "timer":
            assert fact.seconds is not None
            assert self.begun
            assert 1 - ROUNDING <= amount <= fact.target
            done = min(self.watch, fact.target)
            assert abs(amount - done) <= ROUNDING, f"{amount} of {done} seconds"
            if fact.whole:
                assert self.watch >= fact.target - 1e-6
        elif fact.source == "said":
            assert "log" in said, "an amount that nobody said"
            assert amount in said["log"]
        else:
            assert isinstance(event, Heard), "done, and nobody said so"
            assert fact.seconds is None
            # "Start" and "done" may come in one breath.
            begun = self.begun or said.keys() & {"start", "yes", "resume"}
            assert begun, "a set that was never begun is logged as done"
            assert amount == fact.target
        self.watch, self.begun = 0.0, False

    def end(self, state: State) -> None:
        """The record, read as the program reads it, is what the session knows; times add up."""
        rows = {row.set_id: row for row in sets(self.facts)}
        counted = {s.set_id: s for s in state.sets if not s.undone}
        assert rows.keys() == counted.keys()
        for set_id, row in rows.items():
            assert row.amount == counted[set_id].amount
        by_clock = sum(
            f.seconds or 0 for f in self.facts if isinstance(f, SetLogged) and f.source == "timer"
        )
        assert by_clock <= self.worked + ROUNDING * len(self.logged), "more logged than worked"
        assert state.work_seconds >= 0
        ends = [f for f in self.facts if isinstance(f, SessionEnded)]
        if state.node in (Node.CLOSING, Node.ENDED):
            assert len(ends) == 1
            assert ends[0].how == state.ending
        else:
            assert not ends


def _meanings(before: State, event: Event) -> dict[str, set[float]]:
    """The meanings that an event may stand for, each with the numbers said in it."""
    if not isinstance(event, Heard):
        return {}
    found: dict[str, set[float]] = {}
    for meaning in (*event.meanings, *before.asked):
        numbers = {float(v) for v in meaning.slots.values() if isinstance(v, int)}
        found.setdefault(meaning.id, set()).update(numbers)
    return found


def _amount(fact: SetLogged | SetCorrected) -> float:
    amounts = [a for a in (fact.seconds, fact.reps, fact.metres) if a is not None]
    assert len(amounts) == 1
    return float(amounts[0])


def _may_be_skipped(state: State) -> str | None:
    """The movement that "skip" is about: one whose sets are all done can not be left out."""
    if state.node is Node.STAND_IN:
        return state.blocks[state.fitting].movement
    over = place_of(state) in (Node.REST, Node.EFFORT) and state.number >= sets_of(state.current)
    left = state.blocks[state.block + over :]
    return left[0].movement if left else None


def _side(state: State) -> tuple[object, ...]:
    return (state.block, state.number, state.side, state.current.movement)
