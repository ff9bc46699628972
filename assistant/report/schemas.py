"""JSON Schemas of the files that a coach writes, so that an editor completes and checks them.

They are made from the models, in the draft that editors of TOML know (draft 7), with what the
models say in code added: a range as a pair of numbers, and what the parts of a movement ask of
each other. An editor checks one file at a time; `cuewalk check` checks the links between files.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from pydantic import BaseModel

from assistant.record import export
from catalogue.entries import KINDS, Head
from catalogue.model import Catalogue, Level, Profile

DRAFT = "http://json-schema.org/draft-07/schema#"

Schema = dict[str, Any]


def catalogue_schema() -> Schema:
    """One file of a catalogue: a name, and entries of equipment, skills and movements."""
    definitions: Schema = {}
    entries: Schema = {}
    for kind, model in KINDS.items():
        made = _made(model)
        definitions |= made.pop("$defs", {})
        definitions[model.__name__] = made
        entries[kind] = {"type": "array", "items": {"$ref": f"#/definitions/{model.__name__}"}}
    head = _made(Head)["properties"]
    definitions["Range"] = _range(definitions["Range"])
    definitions["Movement"]["allOf"] = _between_fields()
    return _finished(
        {
            "$schema": DRAFT,
            "title": "A file of a cuewalk catalogue",
            "description": "Check the whole folder with: cuewalk check --catalogue FOLDER",
            "type": "object",
            "properties": {**head, **entries},
            "additionalProperties": False,
            "definitions": definitions,
        }
    )


def profile_schema(catalogue: Catalogue) -> Schema:
    """An athlete's profile, with the skills and the equipment of one catalogue to choose from."""
    made = _made(Profile)
    definitions = made.pop("$defs", {})
    level = {"enum": [level.value for level in Level]}
    made["properties"]["levels"] = {
        "type": "object",
        "description": "the level of each skill",
        "properties": {
            skill.id: {**level, "description": skill.name} for skill in catalogue.skills.values()
        },
        "additionalProperties": False,
    }
    made["properties"]["equipment"] = {
        "type": "array",
        "description": "what there is at home",
        "items": {"enum": list(catalogue.equipment)},
    }
    definitions.pop("Level", None)
    whole = {"$schema": DRAFT, **made, "title": "A cuewalk profile"}
    return _finished(whole | ({"definitions": definitions} if definitions else {}))


def export_schema() -> Schema:
    """What `cuewalk export --format json` writes."""
    return export.schema()


SCHEMAS: Mapping[str, Callable[[Catalogue], Schema]] = {
    "catalogue": lambda _: catalogue_schema(),
    "profile": profile_schema,
    "export": lambda _: export_schema(),
}
"""Every kind of file that has a schema."""


def as_text(schema: Schema) -> str:
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def _made(model: type[BaseModel]) -> Schema:
    return model.model_json_schema(mode="validation", ref_template="#/definitions/{model}")


def _range(as_table: Schema) -> Schema:
    """A range as a coach writes it, `[30, 45]`, or as a table."""
    number = {key: as_table["properties"]["low"][key] for key in ("type", "minimum", "maximum")}
    pair = {"type": "array", "items": number, "minItems": 2, "maxItems": 2}
    description = "from the lowest to the highest, as [30, 45]"
    return {"description": description, "anyOf": [pair, as_table]}


def _between_fields() -> list[Schema]:
    """The rules of `catalogue.rules` as a schema says them."""
    placed = ["skill", "level", "step"]
    main = {"properties": {"phase": {"const": "main"}}}  # where the phase is left out it is main
    hazardous = {"properties": {"hazards": {"minItems": 1}}, "required": ["hazards"]}
    per_side = {
        "properties": {"dosage": {"properties": {"kind": {"const": "reps_per_side"}}}},
        "required": ["dosage"],
    }
    return [
        {
            "if": main,
            "then": {"required": placed},
            "else": {"not": {"anyOf": [{"required": [key]} for key in placed]}},
        },
        {
            "if": hazardous,
            "then": {"required": ["safety"], "properties": {"safety": {"minItems": 1}}},
        },
        {
            "if": per_side,
            "then": {"required": ["sides"], "properties": {"sides": {"const": "each"}}},
        },
    ]


def _finished(schema: Schema) -> Schema:
    finished: Schema = _plain(schema)
    return finished


def _plain(schema: Any) -> Any:
    """Without what TOML has no word for (null), and without notes meant for other programs.

    A value that may be left out is left out in TOML; nothing stands for it.
    """
    if isinstance(schema, list):
        return [_plain(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    kept = {
        key: _plain(value)
        for key, value in schema.items()
        if key != "discriminator" and not (key == "default" and value is None)
    }
    choices = kept.get("anyOf")
    if isinstance(choices, list) and {"type": "null"} in choices:
        known = [choice for choice in choices if choice != {"type": "null"}]
        del kept["anyOf"]
        if len(known) > 1:
            return {**kept, "anyOf": known}
        # In this draft nothing beside a reference counts, so the two are joined another way.
        return {**kept, "allOf": known} if "$ref" in known[0] else {**known[0], **kept}
    return kept
