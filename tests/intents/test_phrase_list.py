"""The list of phrases: the file is the data's, and what it promises is understood."""

from __future__ import annotations

import doctest
from importlib.resources import files
from pathlib import Path

import pytest

from assistant.coach import Coach
from assistant.files import builtin_catalogue, read_translated
from assistant.language import language_text, languages, phrase_list, phrases
from assistant.session.nodes import Node
from assistant.session.scopes import BARE, scope_at
from intents import phrase_list as module
from intents.meaning import INTENT_IDS, SAFETY_IDS
from intents.phrase_list import LEAST, MOST, Group, PhraseListData, answers, said

ROOT = Path(__file__).parents[2]
GROUPS = Group.read_all((files("intents") / "data" / "phrase_groups.toml").read_text("utf-8"))


def data_of(code: str) -> PhraseListData:
    return PhraseListData.read(language_text(code, "phrase_list"))


@pytest.mark.parametrize("code", languages())
def test_the_file_is_what_the_command_writes(code: str) -> None:
    name = "PHRASES.md" if code == "en" else f"PHRASES.{code}.md"
    catalogue = read_translated(None, builtin_catalogue(), code).catalogue
    made = phrase_list(catalogue, code)
    stale = f"make it anew: cuewalk phrases --language {code} --to intents/{name}"
    assert (ROOT / "intents" / name).read_text(encoding="utf-8") == made, stale


def test_every_intent_stands_in_one_group_whose_places_hear_it() -> None:
    listed = [intent for group in GROUPS.values() for intent in group.intents]
    assert sorted(listed) == sorted(INTENT_IDS)
    for name, group in GROUPS.items():
        for place in group.at:
            assert set(group.intents) <= scope_at(Node(place)).meanings, (name, place)
    assert set(GROUPS["stop"].intents) == SAFETY_IDS
    everywhere = {node.value for node in Node if node is not Node.ENDED}
    assert set(GROUPS["stop"].at) == everywhere
    assert set(GROUPS["always"].at) == everywhere - {"closing"}
    assert set(GROUPS["asked"].bare) == frozenset().union(*BARE.values())


@pytest.mark.parametrize("code", languages())
def test_every_language_names_every_group_and_intent(code: str) -> None:
    data = data_of(code)
    assert set(data.groups) == set(GROUPS)
    assert set(data.does) == set(INTENT_IDS)
    assert set(data.answers) == set(GROUPS["asked"].bare)


@pytest.mark.parametrize("code", languages())
def test_what_is_listed_is_understood_at_its_places(code: str) -> None:
    catalogue = read_translated(None, builtin_catalogue(), code).catalogue
    coach, data, spoken = Coach.of(catalogue, code), data_of(code), phrases(code)
    seen: dict[str, int] = {}
    for group in GROUPS.values():
        for intent in group.intents:
            for text in said(data, spoken, intent):
                seen[intent] = seen.get(intent, 0) + 1
                for place in group.at:
                    found = coach.understand(text, scope_at(Node(place)))
                    meant = {meaning.id for meaning in found.meanings}
                    assert intent in meant, (text, place, found)
    assert all(LEAST - 1 <= seen[intent] <= MOST for intent in INTENT_IDS), seen


@pytest.mark.parametrize("code", languages())
def test_bare_answers_are_understood_where_they_are_asked_for(code: str) -> None:
    catalogue = read_translated(None, builtin_catalogue(), code).catalogue
    coach, data, spoken = Coach.of(catalogue, code), data_of(code), phrases(code)
    meant = {"rpe": "effort", "level": "pain", "part": "pain", "equipment": "lack"}
    for bare in GROUPS["asked"].bare:
        for node in (node for node, asked in BARE.items() if bare in asked):
            for text in answers(data, spoken, bare):
                found = coach.understand(text, scope_at(node))
                assert found.meanings, (text, node)
                # A part alone is an answer where the part is asked for, not where the level is.
                if node not in (Node.PAIN_LEVEL, Node.HURT_LEVEL):
                    assert found.meanings[0].id == meant[bare], (text, node, found)


def test_words_that_are_written_otherwise_occur() -> None:
    """Nothing in `written` is left over from phrases that are gone."""
    for code in languages():
        data = data_of(code)
        text = phrase_list(read_translated(None, builtin_catalogue(), code).catalogue, code)
        for shown in data.written.values():
            assert shown in text, (code, shown)


def test_the_examples_in_the_module() -> None:
    assert doctest.testmod(module).failed == 0
