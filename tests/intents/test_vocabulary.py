from __future__ import annotations

from catalogue.model import BodyPart, Catalogue, Equipment
from intents.phrases import Phrases
from intents.understand import Understander
from intents.vocabulary import NameReader, heard_names, vocabulary_of

CATALOGUE = Catalogue(
    name="Invented",
    equipment={
        "crash_mat": Equipment(id="crash_mat", name="crash mat", also=("Mat", "soft-landing pad")),
        "bar": Equipment(id="bar", name="hanging bar", also=("bar",)),
    },
    skills={},
    movements={},
)


def test_names_of_the_catalogue_come_first(phrases: Phrases) -> None:
    names = vocabulary_of(CATALOGUE, phrases.words).equipment
    assert names["crash mat"] == names["mat"] == names["mats"] == "crash_mat"
    assert names["soft landing pad"] == names["soft landing pads"] == "crash_mat"
    assert names["rope"] == "rope"


def test_they_are_understood(phrases: Phrases) -> None:
    understander = Understander(phrases, vocabulary_of(CATALOGUE, phrases.words))
    for text in ("I don't have a soft landing pad", "no mats", "there is no crash mat here"):
        (meaning,) = understander.understand(text).meanings
        assert (meaning.id, meaning.slots["equipment"]) == ("lack", "crash_mat"), text


def test_every_part_that_a_movement_can_load_can_be_named(phrases: Phrases) -> None:
    parts = vocabulary_of(None, phrases.words).parts
    assert set(parts.values()) == {part.value for part in BodyPart}
    for part in BodyPart:
        assert parts[part.value] == parts[f"left {part.value}"] == part.value


def test_articles_are_read_with_the_name(phrases: Phrases) -> None:
    reader = NameReader({"bar": "bar"}, phrases.words, phrases.speller)
    assert list(reader.read(("the", "bar"), 0)) == [(2, "bar")]
    assert list(reader.read(("bar",), 0)) == [(1, "bar")]
    assert list(reader.read(("the", "the", "bar"), 0)) == []
    assert reader.open(("the",), 0)


def test_recognisers_want_an_article_or_a_side(phrases: Phrases) -> None:
    heard = heard_names(vocabulary_of(CATALOGUE, phrases.words), phrases.words)
    assert "" in heard["part"][0]
    assert "" not in heard["my_part"][0]
    assert "left" in heard["my_part"][0]
    assert "" not in heard["the_equipment"][0]
    assert "mats" not in heard["equipment"][1]
    assert "rings" in heard["equipment"][1]
