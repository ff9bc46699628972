"""Every language holds what English holds: keys, slots, meanings; what is heard is read."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

import pytest

from assistant.language import language_text, languages, phrases
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from intents.grammar import make_grammar
from intents.lines import Line, Lines
from intents.sample import sample
from intents.scope import EVERYTHING
from intents.template import Word, flat
from intents.understand import Understander
from intents.vocabulary import vocabulary_of

FILES = ("lines", "reasons", "begin")
OTHERS = [code for code in languages() if code != "en"]


def lines_of(code: str) -> Lines:
    return Lines.load(*(language_text(code, name) for name in FILES))


def tables(code: str, name: str) -> dict[str, dict[str, object]]:
    return {
        key: value
        for key, value in tomllib.loads(language_text(code, name)).items()
        if isinstance(value, dict)
    }


@cache
def understander(code: str) -> Understander:
    spoken = phrases(code)
    return Understander(spoken, vocabulary_of(None, spoken.words))


@pytest.mark.parametrize("code", OTHERS)
def test_it_has_the_files_of_english(code: str) -> None:
    folder = files("intents") / "data"
    names = {one.name for one in (folder / "en").iterdir()}
    assert {one.name for one in (folder / code).iterdir()} == names


@pytest.mark.parametrize("code", OTHERS)
def test_it_has_the_lines_and_words_of_english(code: str) -> None:
    english, other = lines_of("en"), lines_of(code)
    assert set(other.lines) == set(english.lines)
    assert set(other.words) == set(english.words)
    assert set(english.nouns) <= set(other.nouns)
    athletes = tables("en", "athletes")["lines"]
    assert set(tables(code, "athletes")["lines"]) == set(athletes)
    for key in english.lines:
        assert other.slots(key) <= english.slots(key), key


@pytest.mark.parametrize("code", OTHERS)
def test_it_has_the_intents_and_questions_of_english(code: str) -> None:
    english, other = phrases("en"), phrases(code)
    assert {i: d.cost for i, d in other.intents.items()} == {
        i: d.cost for i, d in english.intents.items()
    }
    assert {i: d.near for i, d in other.intents.items()} == {
        i: d.near for i, d in english.intents.items()
    }
    assert {t.bare for t in other.templates} == {t.bare for t in english.templates}
    assert other.pairs == english.pairs
    assert set(other.words.parts) == set(english.words.parts)
    assert set(english.words.equipment) <= set(other.words.equipment)
    for intent in other.intents:
        assert any(t.heard and t.intent == intent for t in other.templates), intent


@pytest.mark.parametrize("code", languages())
def test_every_line_can_be_rendered(code: str) -> None:
    lines = lines_of(code)
    numbers = {"amount", "sets", "seconds", "minutes", "metres", "n", "of", "spare", "steps"}
    for key, variants in lines.lines.items():
        for turn in range(len(variants)):
            for number in (1, 2, 30):
                values = {
                    slot: number if slot in numbers | _counted(lines, key) else "left"
                    for slot in lines.slots(key)
                }
                text = lines.render(Line(key, values, turn))
                assert text.strip()
                assert not set(text) & set("{}|")


def _counted(lines: Lines, key: str) -> set[str]:
    """The slots that a line counts or tells as a time."""
    found = set()
    for text in lines.lines[key]:
        for part in text.split("{")[1:]:
            slot, _, way = part.split("}")[0].partition("|")
            if way.startswith(("count", "duration")):
                found.add(slot)
    return found


@pytest.mark.parametrize("code", languages())
def test_every_phrase_without_values_means_its_intent(code: str) -> None:
    """Each way through each template, said where it counts, is understood as its own intent, or as
    one of the intents that share its words."""
    reader = understander(code)
    spoken = reader.phrases
    shared: dict[tuple[str, ...], set[str]] = {}
    for template in spoken.templates:
        if template.bare is None:
            for line in spoken.folded_lines(template.node):
                if all(isinstance(item, Word) for item in line):
                    shared.setdefault(tuple(map(str, line)), set()).add(template.intent)
    seen = 0
    for template in spoken.templates:
        if template.bare is not None or not template.heard:
            continue
        for line in flat(template.node, spoken.pieces):
            if not all(isinstance(item, Word) for item in line):
                continue
            seen += 1
            text = " ".join(map(str, line))
            found = {meaning.id for meaning in reader.understand(text, EVERYTHING).meanings}
            folded = reader.tokens(text)
            assert found & shared.get(folded, {template.intent}), (text, found)
    assert seen > 100


@pytest.mark.parametrize("code", OTHERS)
def test_spaces_carry_no_meaning_where_the_language_says_so(code: str) -> None:
    reader = understander(code)
    if reader.phrases.words.spaced:
        pytest.skip("its spaces carry meaning")
    for template in reader.phrases.templates:
        if template.heard and template.bare is None and not template.readers:
            for line in flat(template.node, reader.phrases.pieces):
                apart = " ".join(map(str, line))
                assert (
                    reader.understand(apart).meanings
                    == reader.understand(apart.replace(" ", "")).meanings
                ), apart


@pytest.mark.parametrize("code", OTHERS)
def test_scopes_have_grammars(code: str) -> None:
    spoken = phrases(code)
    names = vocabulary_of(None, spoken.words)
    for node in (Node.PAIN, Node.EQUIPMENT, Node.READY, Node.REST, Node.SESSION_EFFORT):
        grammar = make_grammar(spoken, names, scope_at(node))
        assert grammar.phrases
        assert "<>" not in grammar.jsgf


@pytest.mark.parametrize("code", OTHERS)
def test_what_the_coach_offers_to_say_is_understood(code: str) -> None:
    """The help's words and the words that questions name mean what they stand for."""
    reader, lines = understander(code), lines_of(code)
    for intent in reader.phrases.intents:
        if intent in lines.words and intent not in reader.phrases.words.parts:
            found = {m.id for m in reader.understand(lines.words[intent]).meanings}
            assert intent in found, (intent, lines.words[intent], found)


@pytest.mark.parametrize("code", languages())
def test_sentences_at_random_mean_what_they_were_made_from(code: str) -> None:
    reader = understander(code)
    spoken = reader.phrases
    for node in Node:
        scope = scope_at(node)
        for one in sample(spoken, reader.vocabulary, scope, seed=7, n=30):
            texts = [one.text] if spoken.words.spaced else [one.text, one.text.replace(" ", "")]
            for text in texts:
                found = {meaning.id for meaning in reader.understand(text, scope).meanings}
                assert one.intent in found, (node, text, found)
