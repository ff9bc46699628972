"""What a helpful colleague would say about a catalogue that is valid and could be better.

>>> remark = Remark("movement", "line_walk", "a cue has 14 words", "shorten it to 12 or fewer")
>>> print(remark)
movement `line_walk`: a cue has 14 words; shorten it to 12 or fewer
>>> print(remark.at("balance.toml", 7))
balance.toml:7: movement `line_walk`: a cue has 14 words; shorten it to 12 or fewer
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from catalogue.links import ROOM, without_way_down
from catalogue.model import Catalogue, Level, Movement, Phase, Range
from catalogue.spoken import spoken_texts, words_of

CUE_WORDS = 12
"""Words that fit into a breath between two movements (judgement, no published source)."""

SENTENCE_WORDS = 25
"""Words of a set-up line or a safety note that can be kept in mind (judgement)."""

# Common practice, no published source.
CONTINUOUS = (30, 45)
"""Seconds of a hold or of continuous work."""
COMBINED = (45, 60)
"""Seconds of several movements joined."""
TURNS = (5, 6)
"""Turns on each side."""
WALL_REPS = (3, 5)
"""Repetitions of walking up a wall."""

LEVELS = tuple(Level)
STEPS = (1, 2, 3)

_UNSPOKEN = re.compile(r"[^\w\s.,:;!?'’\"()-]|_")


@dataclass(frozen=True)
class Remark:
    """Something that could be better. `kind` and `id` name the entry; `id` may be empty."""

    kind: str
    id: str
    what: str
    mend: str
    file: str = ""
    line: int = 0

    def at(self, file: str, line: int) -> Remark:
        """The same, with the place of the entry that it is about."""
        return Remark(self.kind, self.id, self.what, self.mend, file, line)

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}: " if self.file else ""
        subject = f"{self.kind} `{self.id}`" if self.id else self.kind
        return f"{where}{subject}: {self.what}; {self.mend}"


def check_catalogue(catalogue: Catalogue) -> list[Remark]:
    """Every remark, in the order of the catalogue, the ones on the whole last."""
    found = [
        Remark("movement", movement.id, what, mend)
        for movement in catalogue.movements.values()
        for rule in _RULES
        for what, mend in rule(movement)
    ]
    found.extend(_neighbours(catalogue))
    found.extend(_unspoken(catalogue))
    found.extend(
        Remark(
            "movement",
            movement,
            f"nothing below it needs no equipment and at most {ROOM:g} metres of floor",
            "let its regress lead down to a movement that does",
        )
        for movement in without_way_down(catalogue)
    )
    found.extend(_grid(catalogue))
    found.extend(_unused(catalogue))
    return found


def forbidden_phrases(
    catalogue: Catalogue,
    phrases: Collection[str],
    split: Callable[[str], tuple[str, ...]] = words_of,
) -> list[Remark]:
    """Spoken texts that hold one of `phrases` as whole words: the coach would hear itself.

    `phrases` are the commands that are acted on while the coach speaks; `split` makes words of a
    text. Time is linear in the text, however many phrases there are.
    """
    by_first: dict[str, list[tuple[str, ...]]] = {}
    for phrase in phrases:
        words = split(phrase)
        if words:
            by_first.setdefault(words[0], []).append(words)
    return [
        Remark(
            kind,
            owner,
            f"`{field}` holds the command `{' '.join(phrase)}`, in: {text}",
            "say it in other words",
        )
        for kind, owner, field, text in spoken_texts(catalogue)
        for words in [split(text)]
        for place, word in enumerate(words)
        for phrase in by_first.get(word, ())
        if words[place : place + len(phrase)] == phrase
    ]


def usual_amounts(movement: Movement) -> tuple[str, tuple[int, int]] | None:
    """The unit and the range that is common practice for a movement, or None where none is."""
    kind = movement.dosage.kind
    if kind in ("hold", "work"):
        return "seconds", COMBINED if movement.combination else CONTINUOUS
    if kind == "reps_per_side":
        return "turns a side", TURNS
    if kind == "reps" and movement.support is not None and movement.support.wall:
        return "repetitions", WALL_REPS
    return None


def amounts(movement: Movement) -> Range:
    """The range of a movement's dosage, whatever its unit."""
    dosage = movement.dosage
    match dosage.kind:
        case "hold" | "work":
            return dosage.seconds
        case "reps":
            return dosage.reps
        case "reps_per_side":
            return dosage.per_side
        case "distance":
            return dosage.metres


def _dosage(movement: Movement) -> Iterator[tuple[str, str]]:
    usual = usual_amounts(movement)
    if usual is None:
        return
    unit, (low, high) = usual
    asked = amounts(movement)
    if asked.low < low or asked.high > high:
        yield (
            f"{asked.low} to {asked.high} {unit} is outside common practice",
            f"{low} to {high} is usual" + (" for a combination" if movement.combination else ""),
        )


def _cues(movement: Movement) -> Iterator[tuple[str, str]]:
    for cue in movement.cues:
        count = len(words_of(cue.text))
        if count > CUE_WORDS:
            yield f"a cue has {count} words: {cue.text}", f"shorten it to {CUE_WORDS} or fewer"
    outside = [cue.focus == "outside" for cue in movement.cues]
    if not any(outside):
        yield (
            "all cues are about the body",
            "add one about what the movement does outside it, and put it first",
        )
    elif not outside[0]:
        yield "the first cue is about the body", "put one about an effect outside it first"


def _sentences(movement: Movement) -> Iterator[tuple[str, str]]:
    for field, texts in (("set_up", movement.set_up), ("safety", movement.safety)):
        for text in texts:
            count = len(words_of(text))
            if count > SENTENCE_WORDS:
                yield f"a sentence in `{field}` has {count} words: {text}", "make two of it"


def _reasons(movement: Movement) -> Iterator[tuple[str, str]]:
    links = movement.links
    if links.regress and not links.easier_because:
        yield "it goes down without a reason", 'add easier_because = "..." to its links'
    if links.easier_because and not links.regress:
        yield "it says why, but goes down to nothing", "add a regress, or take easier_because out"


def _repeated(movement: Movement) -> Iterator[tuple[str, str]]:
    lists: dict[str, tuple[str, ...]] = {
        "equipment": movement.equipment,
        "loads": movement.loads,
        "hazards": movement.hazards,
        "alternative": movement.links.alternative,
    }
    for field, values in lists.items():
        twice = sorted({value for value in values if values.count(value) > 1})
        if twice:
            yield f"`{field}` has {', '.join(twice)} more than once", "keep one"


_RULES: tuple[Callable[[Movement], Iterator[tuple[str, str]]], ...] = (
    _dosage,
    _cues,
    _sentences,
    _reasons,
    _repeated,
)


def _rung(movement: Movement) -> tuple[int, int] | None:
    if movement.level is None or movement.step is None:
        return None
    return LEVELS.index(movement.level), movement.step


def _neighbours(catalogue: Catalogue) -> Iterator[Remark]:
    """Ways down that lead up, and links out of a part of the session."""
    for movement in catalogue.movements.values():
        links = movement.links
        below = catalogue.movements.get(links.regress or "")
        here = _rung(movement)
        there = _rung(below) if below and below.skill == movement.skill else None
        if here and there and there >= here:
            yield Remark(
                "movement",
                movement.id,
                f"its regress `{links.regress}` is no lower in the skill",
                "turn the link round, or mend level and step",
            )
        for target in (links.regress, links.progress, *links.alternative):
            if target and catalogue.movements[target].phase is not movement.phase:
                yield Remark(
                    "movement",
                    movement.id,
                    f"it links to `{target}`, which is in another part of the session",
                    f"link to a movement with phase = {movement.phase.value!r}",
                )


def _unspoken(catalogue: Catalogue) -> Iterator[Remark]:
    for kind, owner, field, text in spoken_texts(catalogue):
        signs = sorted(set(_UNSPOKEN.findall(text)))
        if signs:
            yield Remark(
                kind,
                owner,
                f"`{field}` has signs that are not spoken alike everywhere: {' '.join(signs)}",
                "write them as words",
            )


def _grid(catalogue: Catalogue) -> Iterator[Remark]:
    """Empty places among a skill's levels and steps, and missing parts of a session."""
    filled = {(m.skill, m.level, m.step) for m in catalogue.movements.values()}
    for skill in catalogue.skills:
        empty = [
            f"{level.value} {step}"
            for level in LEVELS
            for step in STEPS
            if (skill, level, step) not in filled
        ]
        if len(empty) == len(LEVELS) * len(STEPS):
            yield Remark("skill", skill, "it has no movement", "add some, or take it out")
        elif empty:
            yield Remark(
                "skill", skill, f"it has no movement at {', '.join(empty)}", "add one each"
            )
    phases = {movement.phase for movement in catalogue.movements.values()}
    for phase in Phase:
        if phase not in phases:
            yield Remark(
                "catalogue",
                "",
                f"it has no movement with phase = {phase.value!r}",
                "add one, so that sessions are whole",
            )


def _unused(catalogue: Catalogue) -> Iterator[Remark]:
    used = {item for movement in catalogue.movements.values() for item in movement.equipment}
    used |= {s.item for e in catalogue.equipment.values() for s in e.stand_ins if s.item}
    for item in catalogue.equipment:
        if item not in used:
            yield Remark("equipment", item, "no movement uses it", "use it, or take it out")
