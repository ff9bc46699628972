from __future__ import annotations

from intents.template import flat, parse
from intents.trie import FormReader, Kit, Trie

KIT = Kit({"n": FormReader([(("one",), 1), (("twenty",), 20), (("twenty", "one"), 21)])})


def trie(*templates: str, kit: Kit = KIT) -> Trie[str]:
    made: Trie[str] = Trie()
    for template in templates:
        for line in flat(parse(template)):
            made.add(line, template)
    return made


def ends(made: Trie[str], text: str, kit: Kit = KIT) -> list[tuple[int, str, list[int | str]]]:
    return [
        (end, leaf, [value for _, value in values])
        for end, leaves, values in made.walk(tuple(text.split()), 0, kit)
        for leaf in leaves
    ]


def test_every_phrase_that_begins_there_is_found() -> None:
    made = trie("start", "start over", "stop")
    assert ends(made, "start over now") == [(1, "start", []), (2, "start over", [])]
    assert ends(made, "go") == []


def test_all_readings_of_a_slot_are_followed() -> None:
    made = trie("log {n}", "log {n} one")
    assert ends(made, "log twenty one") == [
        (2, "log {n}", [20]),
        (3, "log {n} one", [20]),
        (3, "log {n}", [21]),
    ]


def test_pieces_are_walked_with_their_values() -> None:
    amount: Trie[None] = Trie()
    for line in flat(parse("{n} (reps|turns)")):
        amount.add(line, None)
    kit = Kit(KIT.readers, {"amount": amount})
    made = trie("log <amount> now")
    assert ends(made, "log one turns now", kit) == [(4, "log <amount> now", [1])]
    assert ends(made, "log one now", kit) == []


def test_what_lies_beyond() -> None:
    made = trie("start", "start over", "log {n} reps")

    def beyond(text: str) -> set[str]:
        return set(made.beyond(tuple(text.split()), 0, KIT))

    assert beyond("start") == {"start over"}
    assert beyond("start over") == set()
    assert beyond("log twenty") == {"log {n} reps"}
    assert beyond("log") == {"log {n} reps"}
    assert beyond("milk") == set()
    assert beyond("") == {"start", "start over", "log {n} reps"}


def test_a_form_reader_knows_what_may_go_on() -> None:
    reader = KIT.readers["n"]
    assert reader.open(("twenty",), 0)
    assert not reader.open(("one",), 0)
    assert list(reader.read(("a", "twenty", "one"), 1)) == [(2, 20), (3, 21)]
