"""What an answer typed at the first run means. Whatever can not be read says how it should be.

Yes, no and aches are understood as in a session; things and levels go by the names of the catalogue
and the words of the language.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from assistant.coach import Coach
from assistant.first_run.screening import INTENSITIES, Intensity
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from catalogue.model import BodyPart, Catalogue, Level
from catalogue.names import plain_name
from catalogue.plain import nearest
from catalogue.readiness import SPARE_FROM
from intents.lines import Line, Lines

FOOT = 0.3048
"""Metres in a foot (exact by the international agreement of 1959)."""

LONGEST_NAME = 60


class UnclearError(Exception):
    """An answer that can not be read; `line` says how it should be."""

    def __init__(self, line: Line) -> None:
        super().__init__(line.id)
        self.line = line


@dataclass(frozen=True)
class Answers:
    """Reads the answers to each question. Every method raises UnclearError."""

    catalogue: Catalogue
    coach: Coach
    lines: Lines

    def yes_no(self, text: str) -> bool:
        word = text.strip().casefold()
        for key, answer in (("letter_yes", True), ("letter_no", False)):
            if word == self.lines.word(key):
                return answer
        found = self.coach.understand(text, scope_at(Node.AREA))
        ids = {meaning.id for meaning in found.meanings}
        if found.decision == "pass" or len(ids & {"yes", "no"}) != 1:
            raise UnclearError(Line("unclear.yes_no"))
        return "yes" in ids

    def name(self, text: str) -> str:
        name = " ".join(text.split())
        if not name or len(name) > LONGEST_NAME or not name.isprintable():
            raise UnclearError(Line("unclear.name"))
        return name

    def levels(self, text: str) -> dict[str, Level]:
        """One level for all skills, or skills with theirs; a skill not named is a beginner's."""
        words = {self.lines.word(level.value).casefold(): level for level in Level}
        skills = {
            plain_name(name): skill.id
            for skill in self.catalogue.skills.values()
            for name in (skill.id, skill.name, *skill.also)
        }
        found: dict[str, Level] = {}
        rest = Level.BEGINNER
        for part in self._parts(text):
            tokens = plain_name(part).split()
            level = next((words[token] for token in tokens if token in words), None)
            skill = " ".join(token for token in tokens if token not in words)
            if level is None or (skill and skill not in skills):
                raise UnclearError(self._no_level(part))
            if skill:
                found[skills[skill]] = level
            else:
                rest = level
        return {skill: found.get(skill, rest) for skill in self.catalogue.skills}

    def equipment(self, text: str) -> tuple[str, ...]:
        """Things by any of their names, in the catalogue's order; none for "none"."""
        if self._is_no(text):
            return ()
        names = self.coach.understander.vocabulary.equipment
        known = {plain_name(name): thing for name, thing in names.items()}
        known |= {plain_name(thing): thing for thing in self.catalogue.equipment}
        known = {name: thing for name, thing in known.items() if thing in self.catalogue.equipment}
        found: set[str] = set()
        for part in self._parts(text):
            thing = known.get(self._bare(part))
            things = {thing} if thing is not None else self._named(part)
            if not things or not things <= set(self.catalogue.equipment):
                raise UnclearError(self._no_thing(part, known))
            found |= things
        return tuple(thing for thing in self.catalogue.equipment if thing in found)

    def space(self, text: str) -> float:
        """Metres; feet where the answer says so."""
        match = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*([^\d\s]*)", text.strip().casefold())
        if match:
            metres = float(match[1].replace(",", "."))
            unit = match[2].rstrip(".")
            if unit in self.lines.word("feet").split():
                metres = round(metres * FOOT, 1)
            elif unit and unit not in self.lines.word("metres").split():
                raise UnclearError(Line("unclear.space"))
            if 0.5 <= metres <= 100:
                return metres
        raise UnclearError(Line("unclear.space"))

    def minutes(self, text: str) -> int:
        match = re.fullmatch(r"(\d{1,3})\s*[^\d\s]*", text.strip())
        if match and 5 <= int(match[1]) <= 120:
            return int(match[1])
        raise UnclearError(Line("unclear.minutes"))

    def aches(self, text: str) -> Mapping[BodyPart, int]:
        """Parts with 0 to 10. One without a number counts as one to spare, as in a session."""
        if self._is_no(text):
            return {}
        found = self.coach.understand(text, scope_at(Node.PAIN))
        aches: dict[BodyPart, int] = {}
        last: BodyPart | None = None
        for meaning in found.meanings:
            part, level = meaning.slots.get("part"), meaning.slots.get("level")
            if meaning.id != "pain" or (part is None and last is None):
                raise UnclearError(Line("unclear.aches"))
            if part is not None:
                last = BodyPart(str(part))
                aches[last] = SPARE_FROM
            if level is not None and last is not None:
                aches[last] = int(level)
        if found.decision == "pass" or not aches:
            raise UnclearError(Line("unclear.aches"))
        return aches

    def intensity(self, text: str) -> Intensity:
        for choice in INTENSITIES:
            if plain_name(text) in (choice, self.lines.word(choice).casefold()):
                return choice
        raise UnclearError(Line("unclear.intensity", {"choices": INTENSITIES}))

    def _is_no(self, text: str) -> bool:
        try:
            return not self.yes_no(text)
        except UnclearError:
            return False

    def _parts(self, text: str) -> list[str]:
        """A list as people write one: commas, or the language's word for "and"."""
        join = self.lines.joins["all"]
        word = re.escape(join) if "{" not in join else r"(?!)"
        parts = re.split(rf"[,;/\n]|\s{word}\s|^\s*{word}\s", text)
        found = [part.strip() for part in parts if part.strip()]
        return found or [text]

    def _named(self, part: str) -> set[str]:
        """The things in a text that holds nothing but names of things, as they are spoken."""
        tokens = self.coach.understander.tokens(part)
        reader = self.coach.understander.reader("equipment")
        found, at = set(), 0
        while at < len(tokens):
            end, thing = max(reader.read(tokens, at), default=(at, ""))
            if end == at or thing in found:
                return set()
            found.add(str(thing))
            at = end
        return found

    def _bare(self, part: str) -> str:
        """A name without what may stand before it ("a", "my")."""
        words = plain_name(part).split()
        while words and words[0] in self.coach.understander.phrases.words.determiners:
            words = words[1:]
        return " ".join(words)

    def _no_level(self, part: str) -> Line:
        skills = tuple(skill.name for skill in self.catalogue.skills.values())
        levels = tuple(level.value for level in Level)
        return Line("unclear.level", {"text": part, "levels": levels, "skills": skills})

    def _no_thing(self, part: str, known: Mapping[str, str]) -> Line:
        items = tuple(thing.name for thing in self.catalogue.equipment.values())
        near = nearest(self._bare(part), known)
        if near is None:
            return Line("unclear.equipment", {"text": part, "items": items})
        meant = self.catalogue.equipment[known[near]].name
        return Line("unclear.equipment_near", {"text": part, "items": items, "meant": meant})
