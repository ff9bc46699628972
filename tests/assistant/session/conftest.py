"""A small catalogue of invented movements, and a player that walks a session through events."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import pytest

from assistant.session.decide import decide, replay
from assistant.session.effects import Beep, Effect, End, Record, Say, StartTimer
from assistant.session.events import Event, Heard, SpeechFinished, Started, TimerDue
from assistant.session.facts import Fact
from assistant.session.nodes import Node
from assistant.session.state import Setting, State, opening
from catalogue.model import Catalogue, Equipment, Movement, Profile
from catalogue.plan import Block, Plan, Target
from intents.meaning import Decision, Meaning

CUES = [
    {"text": "Look at a far spot.", "focus": "outside"},
    {"text": "Press the floor away.", "focus": "outside"},
    {"text": "Long neck.", "focus": "body"},
]


def movement(id: str, name: str, step: int, **more: object) -> Movement:
    data: dict[str, object] = {
        "id": id,
        "name": name,
        "skill": "balance",
        "level": "beginner",
        "step": step,
        "dosage": {"kind": "hold", "seconds": {"low": 30, "high": 45}, "sets": 2, "rest": 30},
        "set_up": ["Stand on it with both feet."],
        "cues": CUES,
        "loads": ["ankle"],
    }
    return Movement.model_validate(data | more)


def small_catalogue() -> Catalogue:
    movements = [
        movement(
            "line_stand", "line stand", 1,
            links={"progress": "pipe_stand"},
        ),
        movement(
            "pipe_stand", "pipe stand", 2,
            equipment=["pipe"], hazards=["rolling"], safety=["Only on a rigid pipe."],
            links={"regress": "line_stand", "progress": "pipe_walk",
                   "easier_because": "The floor does not roll."},
        ),
        movement(
            "pipe_walk", "pipe walk", 3,
            equipment=["pipe"], hazards=["rolling"], safety=["Only on a rigid pipe."],
            links={"regress": "pipe_stand", "easier_because": "Standing needs no steps."},
        ),
        movement(
            "knee_turns", "knee turns", 1, skill="supports", loads=["wrist"], sides="each",
            dosage={"kind": "reps_per_side", "per_side": {"low": 5, "high": 6}, "sets": 2,
                    "rest": 30},
        ),
        movement(
            "side_walk", "side walk", 2, skill="supports", loads=["wrist"], sides="shared",
            dosage={"kind": "work", "seconds": {"low": 40, "high": 45}, "sets": 1, "rest": 20},
        ),
        movement(
            "feet_up", "feet up the wall", 3, skill="supports", loads=["shoulder"],
            hazards=["raised", "inverted"], safety=["Step down foot by foot.", "Have a spotter."],
            links={"regress": "side_walk", "easier_because": "The feet stay low."},
        ),
        movement(
            "bar_hang", "plain hang", 1, skill="hangs", loads=["hand"], sides="each",
            equipment=["bar"], hazards=["hanging"], safety=["Test the bar."],
        ),
    ]  # fmt: skip
    return Catalogue.model_validate(
        {
            "name": "a small invented catalogue",
            "equipment": {
                "pipe": Equipment.model_validate(
                    {
                        "id": "pipe",
                        "name": "pipe",
                        "stand_ins": [
                            {"name": "a rolled rug", "condition": "Only if it does not slip."}
                        ],
                        "never": ["a bottle"],
                        "never_because": "It breaks.",
                    }
                ),
                "bar": Equipment.model_validate({"id": "bar", "name": "bar"}),
            },
            "skills": {
                "balance": {"id": "balance", "name": "balance"},
                "supports": {"id": "supports", "name": "supports"},
                "hangs": {"id": "hangs", "name": "hangs"},
            },
            "movements": {m.id: m for m in movements},
        }
    )


def block(id: str, **target: int) -> Block:
    return Block(movement=id, phase="main", target=Target(**{"sets": 2, "rest": 30} | target))


def small_setting(*blocks: Block, **more: object) -> Setting:
    catalogue = small_catalogue()
    profile = Profile(
        athlete="Robin",
        levels={"balance": "advanced", "supports": "advanced"},
        equipment=("pipe",),
    )
    chosen = blocks or (block("pipe_stand", seconds=30), block("knee_turns", per_side=5))
    plan = Plan(blocks=chosen, seconds=900)
    return Setting(catalogue, profile, plan, **{"accepted": True} | more)  # type: ignore[arg-type]


@dataclass
class Play:
    """Walks a session: `say` is the athlete, `spoken` lets the coach finish, `wait` passes time."""

    setting: Setting
    state: State = field(init=False)
    events: list[Event] = field(default_factory=list)
    effects: list[Effect] = field(default_factory=list)
    last: tuple[Effect, ...] = ()
    due: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.state = opening(self.setting)

    def take(self, event: Event) -> tuple[Effect, ...]:
        decision = decide(self.setting, self.state, event)
        self.events.append(event)
        self.state = decision.state
        self.last = decision.effects
        self.effects += decision.effects
        for effect in decision.effects:
            if isinstance(effect, StartTimer):
                self.due[effect.timer] = effect.due
        return decision.effects

    def open(self) -> Play:
        """Begin, and answer the check-in: no pain, usual energy, all there, clear floor."""
        self.take(Started(0.0))
        self.spoken()
        for word in ("no", "yes", "yes", "yes"):
            if self.state.node in (Node.PAIN, Node.ENERGY, Node.EQUIPMENT, Node.AREA):
                self.say(word)
                self.spoken()
        assert self.state.node is Node.READY
        return self

    def say(self, *ids: str, decision: Decision = "act", **slots: str | int) -> tuple[Effect, ...]:
        """The athlete's words; slots go to the last meaning."""
        meanings = [Meaning(i) for i in ids[:-1]] + [Meaning(ids[-1], slots)]
        return self.hear(meanings, decision)

    def hear(self, meanings: Sequence[Meaning], decision: Decision = "act") -> tuple[Effect, ...]:
        at = self.state.at
        return self.take(Heard(at, "words", tuple(meanings), 1.0, decision, at))

    def spoken(self) -> None:
        """The coach finishes everything that is queued."""
        while self.state.speaking:
            self.take(SpeechFinished(self.state.at, self.state.speaking[0], True))

    def wait(self, seconds: float, *, speak: bool = True) -> None:
        """Time passes: every timer that counts runs out at its moment."""
        until = self.state.at + seconds
        while True:
            current = [(self.due[t], t) for t in self.state.timers.values()]
            if not current or min(current)[0] > until:
                break
            moment, timer = min(current)
            self.take(TimerDue(moment, timer))
            if speak:
                self.spoken()
        # A stale timer moves the time and nothing else.
        self.take(TimerDue(until, "none#0"))

    @property
    def node(self) -> Node:
        return self.state.node

    def lines(self) -> list[str]:
        """Ids of the lines of the last step."""
        return [e.line.id for e in self.last if isinstance(e, Say)]

    def facts(self) -> list[Fact]:
        return [e.fact for e in self.effects if isinstance(e, Record)]

    def new_facts(self) -> list[Fact]:
        return [e.fact for e in self.last if isinstance(e, Record)]

    def beeps(self) -> list[tuple[str, float]]:
        return [(e.mark, e.due) for e in self.effects if isinstance(e, Beep)]

    def ended(self) -> str | None:
        return next((e.how for e in self.effects if isinstance(e, End)), None)

    def replayed(self) -> State:
        return replay(self.setting, self.events)


@pytest.fixture
def play() -> Play:
    return Play(small_setting())


@pytest.fixture
def play_with():  # type: ignore[no-untyped-def]
    """Makes a Play from blocks given as (movement id, target)."""

    def make(*blocks: tuple[str, dict[str, int]], **more: object) -> Play:
        return Play(small_setting(*(block(id, **target) for id, target in blocks), **more))

    return make
