"""A catalogue in another language: whole, checked by line, and complete for the shipped one."""

from __future__ import annotations

import pytest

from assistant.files import builtin_catalogue, builtin_sources, read_translated
from assistant.language import languages
from catalogue.check import SENTENCE_WORDS
from catalogue.load import load_catalogue
from catalogue.problems import CatalogueProblems
from catalogue.spoken import spoken_texts, words_of
from catalogue.translation import Translated, Untranslated, translated

OTHERS = [code for code in languages() if code != "en"]
HEAD = 'language = "ko"\n'


def told(text: str) -> str:
    """What is said of a wrong translation of the shipped catalogue."""
    with pytest.raises(CatalogueProblems) as found:
        translated(builtin_catalogue(), {"ko.toml": HEAD + text}, "ko")
    return str(found.value)


def test_texts_change_and_nothing_else() -> None:
    original = builtin_catalogue()
    text = HEAD + (
        "[movement.line_walk]\n"
        'name = "선 걷기"\n'
        'cues = ["하나를 봐요.", "둘을 봐요.", "셋을 봐요."]\n'
        "[equipment.towel]\n"
        'stand_ins = [{ name = "시트", condition = "성할 때만요." },'
        ' { name = "셔츠", condition = "두꺼울 때만요." }]\n'
    )
    done = translated(original, {"ko.toml": text}, "ko").catalogue
    walk, old = done.movements["line_walk"], original.movements["line_walk"]
    assert walk.name == "선 걷기"
    assert [cue.text for cue in walk.cues] == ["하나를 봐요.", "둘을 봐요.", "셋을 봐요."]
    assert [cue.focus for cue in walk.cues] == [cue.focus for cue in old.cues]
    assert walk.set_up == old.set_up
    assert (walk.links, walk.dosage, walk.loads) == (old.links, old.dosage, old.loads)
    assert done.equipment["towel"].stand_ins[1].name == "셔츠"
    assert done.movements["stork_stand"] == original.movements["stork_stand"]


def test_what_is_left_out_is_named() -> None:
    text = HEAD + '[movement.line_walk]\nname = "선 걷기"\n'
    done = translated(builtin_catalogue(), {"ko.toml": text}, "ko")
    left = {one.id: one for one in done.untranslated if one.kind == "movement"}
    assert left["line_walk"] == Untranslated("movement", "line_walk", ("set_up", "cues", "safety"))
    assert "name" in left["stork_stand"].fields


def test_without_a_file_of_the_language_it_stays_as_it_is() -> None:
    original = builtin_catalogue()
    text = 'language = "de"\n[movement.line_walk]\nname = "Linie gehen"\n'
    done = translated(original, {"de.toml": text}, "ko")
    assert done == Translated(original, found=False)


def test_a_translation_in_a_catalogues_folder_is_no_part_of_it() -> None:
    sources = builtin_sources()
    text = HEAD + '[movement.line_walk]\nname = "선 걷기"\n'
    assert load_catalogue({**sources, "ko/balance.toml": text}) == builtin_catalogue()


@pytest.mark.parametrize(
    ("text", "line", "what"),
    [
        ('[movement.line_wolk]\nname = "선"\n', 2, "did you mean `line_walk`?"),
        ('[movement.line_walk]\nnome = "선"\n', 3, "there is no key `nome`"),
        (
            '[movement.line_walk]\ncues = ["하나."]\n',
            3,
            "`cues` has 1 texts, and the original has 3",
        ),
        ("[movement.line_walk]\nname = 4\n", 3, "`name`"),
        ('[moves.line_walk]\nname = "선"\n', 2, "`moves` can not be translated"),
        ('[skill.balance]\nname = "오르기"\n[skill.hangs]\nname = "오르기"\n', 0, "is called"),
        ("[skill.balance]\nname = \n", 3, "there is no value"),
    ],
)
def test_mistakes_are_told_with_their_line_and_the_mend(text: str, line: int, what: str) -> None:
    found = told(text)
    assert found.startswith(f"ko.toml:{line}: " if line else "ko.toml: "), found
    assert what in found


def test_an_entry_translated_twice_is_told() -> None:
    text = HEAD + '[skill.balance]\nname = "균형"\n'
    with pytest.raises(CatalogueProblems, match="skill `balance` is translated twice"):
        translated(builtin_catalogue(), {"a.toml": text, "b.toml": text}, "ko")


@pytest.mark.parametrize("code", OTHERS)
def test_the_shipped_catalogue_is_translated_whole(code: str) -> None:
    done = read_translated(None, builtin_catalogue(), code)
    assert done.found
    assert done.untranslated == ()
    originals = {text for *_, text in spoken_texts(builtin_catalogue())}
    for kind, owner, field, text in spoken_texts(done.catalogue):
        assert text not in originals, (kind, owner, field, text)
        assert len(words_of(text)) <= SENTENCE_WORDS, (owner, field, text)
