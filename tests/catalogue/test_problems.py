"""How mistakes are ordered and shown."""

from __future__ import annotations

from catalogue.problems import SHOWN, CatalogueProblems, Problem


def test_one_mistake_is_one_line() -> None:
    assert str(CatalogueProblems([Problem("a.toml", 3, "x", "y")])) == "a.toml:3: x; y"
    assert str(Problem("a.toml", 0, "x", "y")) == "a.toml: x; y"


def test_mistakes_are_sorted_by_file_and_line_and_told_once() -> None:
    given = [Problem("b", 1, "x", "y"), Problem("a", 10, "x", "y"), Problem("a", 9, "x", "y")]
    found = CatalogueProblems([*given, *given])
    assert [(p.file, p.line) for p in found.problems] == [("a", 9), ("a", 10), ("b", 1)]
    assert str(found).split("\n")[0] == "3 mistakes in the files:"


def test_a_flood_of_mistakes_is_cut_in_text_but_not_in_data() -> None:
    found = CatalogueProblems(Problem("a", n, "x", "y") for n in range(SHOWN + 7))
    assert len(found.problems) == SHOWN + 7
    assert str(found).endswith("and 7 more")
    assert len(str(found).split("\n")) == SHOWN + 2
