"""Every text of a catalogue that the coach may say, and the words in it.

>>> words_of("Don't rush: 5 steps, half-way.")
("don't", 'rush', '5', 'steps', 'half', 'way')
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from catalogue.model import Catalogue

_WORD = re.compile(r"[^\W_]+(?:'[^\W_]+)*")


def words_of(text: str) -> tuple[str, ...]:
    """The words as they are heard: small letters, no signs; apostrophes stay inside words."""
    return tuple(_WORD.findall(text.casefold().replace("’", "'")))


def spoken_texts(catalogue: Catalogue) -> Iterator[tuple[str, str, str, str]]:
    """Kind (movement, equipment, skill), id, field and text of everything that is said."""
    for skill in catalogue.skills.values():
        yield "skill", skill.id, "name", skill.name
    for item in catalogue.equipment.values():
        yield "equipment", item.id, "name", item.name
        for stand_in in item.stand_ins:
            yield "equipment", item.id, "stand_ins", stand_in.name
            yield "equipment", item.id, "stand_ins", stand_in.condition
        for never in item.never:
            yield "equipment", item.id, "never", never
        if item.never_because:
            yield "equipment", item.id, "never_because", item.never_because
    for movement in catalogue.movements.values():
        yield "movement", movement.id, "name", movement.name
        for text in movement.set_up:
            yield "movement", movement.id, "set_up", text
        for cue in movement.cues:
            yield "movement", movement.id, "cues", cue.text
        for text in movement.safety:
            yield "movement", movement.id, "safety", text
        if movement.links.easier_because:
            yield "movement", movement.id, "easier_because", movement.links.easier_because
