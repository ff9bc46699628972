"""What comes next and why, in sentences, with the rule, its source, and the sets behind it."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.report.ladder import Ladder
from catalogue.hand_load import explain_share, hand_share
from catalogue.history import History, SetDone
from catalogue.model import Catalogue, Movement, Skill
from catalogue.plan import Target
from catalogue.progression import Step, why
from catalogue.reason import Reason
from catalogue.step_rules import RULES
from intents.lines import Line, Lines


@dataclass(frozen=True)
class Decided:
    """One decision as it is shown.

    `says` and `source` are the rule's own words; `note` tells of a jump in the load on the hands,
    `hands` of the load itself, where either is known.
    """

    movement: Movement
    kind: str
    sentence: str
    says: str
    source: str
    sets: tuple[SetDone, ...]
    note: str | None = None
    hands: str | None = None


@dataclass(frozen=True)
class Next:
    """What comes next in a skill, and the decision that led there where the log has one.

    `sentence` is None before the first session, and where the log leads higher than the coach's
    level lets it.
    """

    skill: Skill
    movement: Movement
    target: Target
    sentence: str | None
    behind: Decided | None


def sentence(lines: Lines, reason: Reason) -> str:
    """A reason in the language's words."""
    return lines.render(Line(f"reason.{reason.id}", dict(reason.values)))


def decided(
    catalogue: Catalogue, lines: Lines, movement: Movement, history: History, today: int
) -> Decided:
    """The present decision on a movement."""
    step: Step = why(catalogue, movement.id, history, today)
    rule = RULES[step.rule]
    hands = None
    if movement.support is not None:
        hands = sentence(lines, explain_share(hand_share(movement.support), movement.name))
    return Decided(
        movement,
        step.kind,
        sentence(lines, step.reason),
        rule.says,
        rule.source,
        step.sets,
        None if step.note is None else sentence(lines, step.note),
        hands,
    )


def next_in(
    catalogue: Catalogue, lines: Lines, ladder: Ladder, history: History, today: int
) -> Next:
    """What comes next in the skill of a ladder.

    The decision may rest on another movement than the one it leads to: the one its reason names.
    """
    stand = ladder.standing
    movement = catalogue.movements[stand.movement_id]
    if stand.reason is None:
        return Next(ladder.skill, movement, stand.target, None, None)
    said = sentence(lines, stand.reason)
    rungs = [step for cell in ladder.cells for step, _, _ in cell.movements]
    named = [step for step in rungs if step.name == stand.reason.values.get("movement")]
    found = [decided(catalogue, lines, step, history, today) for step in named]
    behind = next((one for one in found if one.sentence == said), None)
    return Next(ladder.skill, movement, stand.target, said, behind)
