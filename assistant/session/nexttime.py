"""What comes next time, decided from the history and today's sets."""

from __future__ import annotations

from assistant.session.state import LoggedSet, Setting, State
from catalogue.history import History, SetDone
from catalogue.model import Phase
from catalogue.progression import decide_next
from catalogue.reason import Reason


def today(setting: Setting, state: State) -> tuple[SetDone, ...]:
    """Today's sets as history; the session's number is one above all earlier ones."""
    session = max((s.session for s in setting.history.sets), default=0) + 1
    return tuple(
        SetDone(
            day=setting.day,
            session=session,
            movement=s.movement,
            side=s.side,
            target=s.target,
            amount=s.amount,
            unit=s.unit,
            came_off=s.came_off,
            rpe=dict(state.efforts).get(s.movement),
            pain=s.movement in state.hurt_in,
            whole=s.amount >= s.target,
        )
        for s in state.sets
        if not s.undone
    )


def next_time(setting: Setting, state: State) -> tuple[Reason, ...]:
    """One decision for each main movement trained today, in the order trained."""
    sets = today(setting, state)
    history = History(setting.history.sets + sets, setting.history.sessions)
    trained: dict[str, LoggedSet] = {}
    for logged in state.sets:
        if not logged.undone and state.blocks[logged.block].phase is Phase.MAIN:
            trained.setdefault(logged.movement, logged)
    return tuple(
        decide_next(
            setting.catalogue, movement, state.blocks[logged.block].target, history, setting.day
        ).reason
        for movement, logged in trained.items()
        if state.blocks[logged.block].movement == movement
    )
