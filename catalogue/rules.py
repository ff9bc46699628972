"""What the parts of one movement ask of each other, beyond what each field asks of itself.

Kept apart from the model so that the loader can apply them to a movement whose fields are not
all in order yet, and name every mistake at once.

>>> [fault.path[-1] for fault in movement_faults(
...     phase="main", skill="balance", level=None, step=None, hazards=True, safety=False,
...     dosage="reps_per_side", sides="none")]
['level', 'step', 'safety', 'sides']
"""

from __future__ import annotations

from catalogue.problems import Fault


def movement_faults(
    *,
    phase: str,
    skill: object,
    level: object,
    step: object,
    hazards: bool,
    safety: bool,
    dosage: str | None,
    sides: str,
) -> list[Fault]:
    """Every rule that is broken; `hazards` and `safety` say whether there are any."""
    faults: list[Fault] = []
    placed = {"skill": skill, "level": level, "step": step}
    for key, value in placed.items():
        if phase == "main" and value is None:
            faults.append(
                Fault((key,), f"a main movement needs `{key}`, and it is missing", f"add `{key}`")
            )
        if phase in ("warm_up", "cool_down") and value is not None:
            faults.append(
                Fault(
                    (key,),
                    f"a {phase} movement has no `{key}`",
                    'take it out, or write phase = "main"',
                )
            )
    if hazards and not safety:
        faults.append(
            Fault(
                ("safety",),
                "a movement with hazards needs a safety note, and it has none",
                'add one, as safety = ["..."]',
            )
        )
    if dosage == "reps_per_side" and sides != "each":
        faults.append(
            Fault(("sides",), "a dosage per side needs sides on their own", 'write sides = "each"')
        )
    return faults
