"""A small catalogue of our own invention, for tests that need a few movements and no more.

>>> print(catalogue(line_stand("{ kind = 'hold', seconds = [5, 9], sets = 1, rest = 5 }")))
name = "invented"
<BLANKLINE>
[[skill]]
id = "balance"
name = "balance"
<BLANKLINE>
[[movement]]
id = "line_stand"
name = "line stand"
skill = "balance"
level = "beginner"
step = 1
dosage = { kind = 'hold', seconds = [5, 9], sets = 1, rest = 5 }
set_up = ["Stand on a line."]
cues = [
    { focus = "outside", text = "Look at a far spot." },
    { focus = "outside", text = "Press the floor away." },
]
loads = ["ankle"]
"""

from __future__ import annotations


def catalogue(*entries: str) -> str:
    """A file with the skill of balance and these entries."""
    return "\n\n".join(
        ('name = "invented"', '[[skill]]\nid = "balance"\nname = "balance"', *entries)
    )


def line_stand(dosage: str, more: str = "", name: str = "line stand") -> str:
    """A movement that needs nothing: its dosage, and further lines of it."""
    return f"""\
[[movement]]
id = "line_stand"
name = "{name}"
skill = "balance"
level = "beginner"
step = 1
dosage = {dosage}
set_up = ["Stand on a line."]
cues = [
    {{ focus = "outside", text = "Look at a far spot." }},
    {{ focus = "outside", text = "Press the floor away." }},
]
loads = ["ankle"]
{more}""".rstrip()
