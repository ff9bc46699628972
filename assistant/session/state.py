"""What a session knows: one frozen value, rebuilt from the events on record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from assistant.session.amounts import Unit
from assistant.session.facts import How, Side
from assistant.session.nodes import Node
from catalogue.conditions import Conditions
from catalogue.history import History
from catalogue.model import BodyPart, Catalogue, Detail, Profile
from catalogue.plan import Block, Plan
from catalogue.reason import Reason
from catalogue.standing import conditions_for
from intents.lines import Line
from intents.meaning import Meaning

STANDARD = "standard"
"""The voice where no other is asked for."""


def _id(reason: Reason) -> str:
    return reason.id


@dataclass(frozen=True)
class Setting:
    """What does not change in a session and is stored with it.

    `cautions_heard` names the movements whose cautions the athlete has heard in full before;
    `first_time` is True where the session's own cautions have not been heard yet; `accepted` where
    the athlete has taken on those whose wording's digest is `cautions`: without that no session
    gets to the work. `returning` is True where they were unwell earlier today and chose to train
    all the same. `day` is the date's ordinal. `sentence` words a reason for the record (a pure
    function of it). `detail`, `voice`, `volume` and `rate` are what the athlete last asked for by
    voice, in place of the profile's; `voices` are those there are. `seed` picks among the
    ways to say a line.
    """

    catalogue: Catalogue
    profile: Profile
    plan: Plan
    history: History = field(default_factory=History)
    cautions_heard: frozenset[str] = frozenset()
    first_time: bool = True
    day: int = 0
    sentence: Callable[[Reason], str] = field(default=_id, compare=False)
    accepted: bool = False
    cautions: str = ""
    returning: bool = False
    detail: Detail | None = None
    voice: str | None = None
    volume: float | None = None
    rate: int | None = None
    voices: tuple[str, ...] = (STANDARD,)
    seed: int = 0


@dataclass(frozen=True)
class LoggedSet:
    """A set of one side as it now counts. Its unit stays when its block is replaced."""

    set_id: int
    block: int
    movement: str
    number: int
    side: Side
    target: int
    unit: Unit
    amounts: tuple[float, ...]
    came_off: int = 0
    undone: bool = False

    @property
    def amount(self) -> float:
        """The last correction, or what was logged first."""
        return self.amounts[-1]


@dataclass(frozen=True)
class Clock:
    """The clock of a hold or of continuous work: seconds kept, and since when it runs."""

    kept: float = 0.0
    since: float | None = None

    def seconds(self, at: float) -> float:
        return self.kept + (max(0.0, at - self.since) if self.since is not None else 0.0)

    def stopped(self, at: float) -> Clock:
        return Clock(self.seconds(at), None)

    def started(self, at: float) -> Clock:
        return Clock(self.kept, at)


@dataclass(frozen=True)
class State:
    """Where a session is.

    `origin` holds the movement that the plan asked for at each block, `blocks` what is done now.
    `timers` maps a purpose to the id that counts for it; every other id is stale. `speaking` holds
    the tags of speech that has not ended; `opening_tag` and `caution_tag` are those of cautions
    that have not been heard in full. `safeguards` holds the work whose safeguard is there, by its
    hazard and what it is done on; `lost` the devices that are gone. `back` is the node to return
    to after a pause, `asked_from` the node to return to after a question. `lacking` is the
    equipment whose stand-in number `offer` is being offered for the block `fitting`; `refused` is
    equipment without a stand-in today.
    """

    blocks: tuple[Block, ...]
    origin: tuple[Block, ...]
    conditions: Conditions
    node: Node = Node.PAIN
    at: float = 0.0
    block: int = 0
    number: int = 1
    side: Side = "none"
    clock: Clock = Clock()
    came_off: int = 0
    came_off_in_block: int = 0
    rest_until: float | None = None
    rest_left: float | None = None
    back: Node | None = None
    asked_from: Node | None = None
    asked: tuple[Meaning, ...] = ()
    lacking: str | None = None
    offer: int = 0
    fitting: int = 0
    refused: frozenset[str] = frozenset()
    pain: Mapping[BodyPart, int] = field(default_factory=dict)
    part: BodyPart | None = None
    energy_normal: bool = True
    accepted: bool = False
    opening_tag: str | None = None
    safeguards: frozenset[tuple[str, ...]] = frozenset()
    lost: frozenset[str] = frozenset()
    caution_tag: str | None = None
    start_after_caution: bool = False
    cautions: frozenset[str] = frozenset()
    cue: int = 0
    effort_of: int | None = None
    efforts: tuple[tuple[str, int], ...] = ()
    hurt_in: frozenset[str] = frozenset()
    sets: tuple[LoggedSet, ...] = ()
    undoable: tuple[tuple[str, int], ...] = ()
    timers: Mapping[str, str] = field(default_factory=dict)
    speaking: tuple[str, ...] = ()
    last_said: tuple[Line, ...] = ()
    silences: int = 0
    misses: int = 0
    counter: int = 0
    volume: float = 0.9
    rate: int = 165
    detail: Detail = "usual"
    voice: str = STANDARD
    said: Mapping[str, int] = field(default_factory=dict)
    alone: bool = False
    ending: How | None = None
    work_seconds: float = 0.0

    @property
    def current(self) -> Block:
        return self.blocks[min(self.block, len(self.blocks) - 1)]

    def changed(self, **changes: Any) -> State:
        """The same state with some fields changed: `dataclasses.replace`, ten times as fast."""
        if not changes.keys() <= _FIELDS:
            raise TypeError(f"a state has no {', '.join(sorted(changes.keys() - _FIELDS))}")
        new = object.__new__(State)
        new.__dict__.update(self.__dict__, **changes)
        return new


_FIELDS = State.__dataclass_fields__.keys()


def opening(setting: Setting) -> State:
    """The state before the first event."""
    profile = setting.profile
    return State(
        blocks=setting.plan.blocks,
        origin=setting.plan.blocks,
        conditions=conditions_for(setting.catalogue, profile, setting.history),
        volume=profile.volume if setting.volume is None else setting.volume,
        rate=profile.rate if setting.rate is None else setting.rate,
        detail=setting.detail or profile.detail,
        voice=setting.voice or profile.voice or STANDARD,
        cautions=setting.cautions_heard,
        accepted=setting.accepted,
    )


def place_of(state: State) -> Node:
    """The node in the session's way, seen through questions and pauses."""
    if state.node is Node.PAUSED:
        return state.back or Node.READY
    if state.node in (Node.CONFIRM, Node.CONFIRM_FINISH, Node.STAND_IN):
        from_node = state.asked_from or Node.READY
        return (state.back or Node.READY) if from_node is Node.PAUSED else from_node
    return state.node


def in_a_set(state: State) -> bool:
    """Whether a set is under way: its clock runs, or waits for the athlete."""
    return place_of(state) in (Node.WORK, Node.OFF, Node.COUNTDOWN, Node.SWITCH)
