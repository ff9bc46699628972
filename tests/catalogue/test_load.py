"""Every mistake in a coach's files is named, with file, line and mend, all at once."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.files import builtin_sources
from catalogue.entries import ENTRIES
from catalogue.load import FILES, load_catalogue
from catalogue.model import Hold, Range
from catalogue.parse import BYTES, WIDTH
from catalogue.problems import CatalogueProblems, Problem

MINI = """\
name = "mini"

[[skill]]
id = "balance"
name = "balance"

[[equipment]]
id = "pipe"
name = "pipe"
never = ["ball"]
never_because = "It shoots away."
stand_ins = [{ name = "post", condition = "Only if it is straight." }]

[[movement]]
id = "low"
name = "low walk"
skill = "balance"
level = "beginner"
step = 1
dosage = { kind = "hold", seconds = [30, 45] }
set_up = ["Stand on the line."]
cues = [
    { focus = "outside", text = "Look ahead." },
    { focus = "body", text = "Stay soft." },
]
links = { progress = "high" }

[[movement]]
id = "high"
name = "high walk"
skill = "balance"
level = "beginner"
step = 2
equipment = ["pipe"]
dosage = { kind = "work", seconds = [30, 45] }
set_up = ["Stand on the pipe."]
hazards = ["raised"]
safety = ["Test the pipe first."]
cues = [{ focus = "outside", text = "Look ahead." }, { focus = "body", text = "Stay tall." }]

[movement.links]
regress = "low"
easier_because = "There is less height."
"""


def line_of(text: str, marker: str) -> int:
    """The only line that holds `marker`."""
    found = [n for n, row in enumerate(text.split("\n"), 1) if marker in row]
    assert len(found) == 1, (marker, found)
    return found[0]


def mistakes(sources: dict[str, str]) -> list[str]:
    with pytest.raises(CatalogueProblems) as caught:
        load_catalogue(sources)
    return [str(problem) for problem in caught.value.problems]


def test_a_right_file_is_read_whole() -> None:
    catalogue = load_catalogue({"mini.toml": MINI})
    assert catalogue.name == "mini"
    assert list(catalogue.movements) == ["low", "high"]
    assert catalogue.movements["low"].dosage == Hold(kind="hold", seconds=Range(low=30, high=45))
    assert catalogue.movements["high"].links.regress == "low"
    assert catalogue.equipment["pipe"].stand_ins[0].name == "post"


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm() -> None:
    windows = "\ufeff" + MINI.replace("\n", "\r\n")
    assert load_catalogue({"m.toml": windows}) == load_catalogue({"m.toml": MINI})


# What is replaced by what, a text on the line that is to be named, and the sentence.
ONE_MISTAKE = {
    "unknown key": (
        "step = 1",
        "step = 1\ncolour = 3",
        "colour",
        "movement `low`: there is no key `colour`; take it out, or use one of: id, name, also, "
        "phase, skill, level, step, dosage, combination, sides, equipment, space, set_up, cues, "
        "safety, hazards, loads, support, links",
    ),
    "misspelt key": (
        'set_up = ["Stand on the line."]',
        'setup = ["Stand on the line."]',
        "setup",
        "movement `low`: there is no key `setup`; did you mean `set_up`?",
    ),
    "misspelt key in a dosage": (
        '{ kind = "hold", seconds = [30, 45] }',
        '{ kind = "hold", second = [30, 45] }',
        "second =",
        "movement `low`: there is no key `second` in `dosage`; did you mean `seconds`?",
    ),
    "misspelt key in a cue": (
        'text = "Stay soft."',
        'txt = "Stay soft."',
        "Stay soft",
        "movement `low`: there is no key `txt` in entry 2 of `cues`; did you mean `text`?",
    ),
    "misspelt header": (
        "[[skill]]",
        '[[skills]]\nid = "b"\n[[skill]]',
        "[[skills]]",
        "there is no key `skills` in a catalogue; did you mean `skill`?",
    ),
    "text for a number": (
        "step = 1",
        'step = "1"',
        'step = "1"',
        "movement `low`: `step` is `1`, but must be a whole number; write it without quotes",
    ),
    "true for a number": (
        "step = 1",
        "step = true",
        "step = true",
        "movement `low`: `step` is `true`, but must be a whole number; write it without quotes",
    ),
    "fraction for a whole number": (
        "step = 1",
        "step = 1.5",
        "step = 1.5",
        "movement `low`: `step` is `1.5`, but must be a whole number; write it without quotes",
    ),
    "number for a text": (
        'name = "low walk"',
        "name = 7",
        "name = 7",
        "movement `low`: `name` is `7`, but must be text; put it in quotes",
    ),
    "text for a list": (
        'set_up = ["Stand on the line."]',
        'set_up = "Stand on the line."',
        "on the line",
        "movement `low`: `set_up` is `Stand on the line.`, but must be a list; "
        "put it in square brackets",
    ),
    "text for a table": (
        'links = { progress = "high" }',
        'links = "high"',
        'links = "high"',
        "movement `low`: `links` is `high`, but must be a table; "
        "write it in braces, as { key = value }",
    ),
    "number for true or false": (
        "step = 1",
        "step = 1\ncombination = 1",
        "combination",
        "movement `low`: `combination` is `1`, but must be true or false; write it without quotes",
    ),
    "a date": (
        "step = 1",
        "step = 2026-01-01",
        "2026",
        'movement `low`: `step` is `{"date": "2026-01-01"}`, but must be a whole number; '
        "write it without quotes",
    ),
    "number out of range": (
        "step = 1",
        "step = 4",
        "step = 4",
        "movement `low`: `step` is `4`, but must be at most 3; write a smaller number",
    ),
    "number below range": (
        "step = 1",
        "step = 1\nspace = 0",
        "space = 0",
        "movement `low`: `space` is `0`, but must be at least 0.5; write a larger number",
    ),
    "not a finite number": (
        "step = 1",
        "step = 1\nspace = inf",
        "space = inf",
        "movement `low`: `space` is `Infinity`, but must be at most 30.0; write a smaller number",
    ),
    "dosage upside down": (
        '{ kind = "hold", seconds = [30, 45] }',
        '{ kind = "hold", seconds = [45, 30] }',
        "[45, 30]",
        "movement `low`: `seconds` of `dosage`: low 45 is above high 30; swap them",
    ),
    "dosage far too long": (
        '{ kind = "hold", seconds = [30, 45] }',
        '{ kind = "hold", seconds = [30, 4500] }',
        "4500",
        "movement `low`: the second number of `seconds` of `dosage` is `4500`, "
        "but must be at most 600; write a smaller number",
    ),
    "dosage of one number": (
        '{ kind = "hold", seconds = [30, 45] }',
        '{ kind = "hold", seconds = 30 }',
        "seconds = 30 ",
        "movement `low`: `seconds` of `dosage` is `30`, but must be two numbers; "
        "add for example seconds = [30, 45]",
    ),
    "dosage of another kind": (
        'kind = "hold"',
        'kind = "holds"',
        "holds",
        "movement `low`: `kind` of `dosage` is `holds`, which is none of: hold, work, reps, "
        "reps_per_side, distance; did you mean `hold`?",
    ),
    "dosage without a kind": (
        'kind = "hold", ',
        "",
        "{ seconds",
        'movement `low`: `dosage` does not say its kind; add for example kind = "hold"',
    ),
    "turns per side without sides": (
        '{ kind = "hold", seconds = [30, 45] }',
        '{ kind = "reps_per_side", per_side = [5, 6] }',
        'id = "low"',
        'movement `low`: a dosage per side needs sides on their own; write sides = "each"',
    ),
    "unknown word in a choice": (
        'level = "beginner"\nstep = 1',
        'level = "beginer"\nstep = 1',
        "beginer",
        "movement `low`: `level` is `beginer`, which is none of: beginner, intermediate, "
        "advanced; did you mean `beginner`?",
    ),
    "missing field": (
        'set_up = ["Stand on the line."]\n',
        "",
        'id = "low"',
        'movement `low`: `set_up` is missing; add one to four sentences, as set_up = ["..."]',
    ),
    "missing level": (
        'level = "beginner"\nstep = 1',
        "step = 1",
        'id = "low"',
        "movement `low`: a main movement needs `level`, and it is missing; add `level`",
    ),
    "level on a warm-up": (
        'id = "low"',
        'id = "low"\nphase = "warm_up"',
        None,
        None,
    ),
    "hazard without a safety note": (
        'safety = ["Test the pipe first."]\n',
        "",
        'id = "high"',
        "movement `high`: a movement with hazards needs a safety note, and it has none; "
        'add one, as safety = ["..."]',
    ),
    "one cue only": (
        '    { focus = "body", text = "Stay soft." },\n',
        "",
        "cues = [",
        None,
    ),
    "empty text": (
        'text = "Stay soft."',
        'text = ""',
        'text = ""',
        "movement `low`: `text` of entry 2 of `cues` has 0 characters, but needs at least 3; "
        "write more",
    ),
    "id of the wrong form": (
        'id = "pipe"',
        'id = "Pipe 2"',
        None,
        None,
    ),
    "unknown skill": (
        'skill = "balance"\nlevel = "beginner"\nstep = 1',
        'skill = "balence"\nlevel = "beginner"\nstep = 1',
        "balence",
        "movement `low`: there is no skill `balence`; did you mean `balance`?",
    ),
    "unknown equipment": (
        'equipment = ["pipe"]',
        'equipment = [\n    "pipe",\n    "pype",\n]',
        "pype",
        "movement `high`: there is no equipment `pype`; did you mean `pipe`?",
    ),
    "unknown equipment, nothing near": (
        'equipment = ["pipe"]',
        'equipment = ["trampoline"]',
        "trampoline",
        "movement `high`: there is no equipment `trampoline`; "
        "take it out, or add it under [[equipment]]",
    ),
    "stand-in of unknown equipment": (
        '{ name = "post", ',
        '{ name = "post", item = "pole", ',
        '"pole"',
        "equipment `pipe`: there is no equipment `pole`; "
        "take it out, or add it under [[equipment]]",
    ),
    "unknown link": (
        'easier_because = "There is less height."',
        'alternative = ["lou"]',
        "lou",
        "movement `high`: there is no movement `lou`; did you mean `low`?",
    ),
    "link to itself": (
        'easier_because = "There is less height."',
        'alternative = ["high"]',
        "alternative",
        "movement `high`: `alternative` leads to the movement itself; take it out",
    ),
    "one-sided way down": (
        'links = { progress = "high" }\n',
        "",
        'regress = "low"',
        "movement `high`: `low` has no way up to `high`, which goes down to it; "
        'write progress = "high" in `low`',
    ),
    "one-sided way up": (
        'regress = "low"\n',
        "",
        'progress = "high"',
        "movement `low`: `high` has no way down to `low`, which goes up to it; "
        'write regress = "low" in `high`',
    ),
    "spoken names that collide": (
        'name = "high walk"',
        'name = "Low-Walk"',
        "Low-Walk",
        "movement `high`: the spoken name `Low-Walk` is taken already, at mini.toml:16; "
        "choose another name",
    ),
    "a movement called like equipment": (
        'name = "high walk"',
        'name = "high walk"\nalso = ["the top", "pipe"]',
        "the top",
        "movement `high`: the spoken name `pipe` is taken already, at mini.toml:9; "
        "choose another name",
    ),
    "a name without a word": (
        'name = "high walk"',
        'name = "--"',
        '"--"',
        "movement `high`: the name `--` has no word in it; write how it is spoken",
    ),
    "both a stand-in and never one": (
        'never = ["ball"]',
        'never = ["ball", "Post"]',
        "Post",
        "equipment `pipe`: `Post` is both a stand-in and never one; keep one of the two",
    ),
    "never without its reason": (
        'never_because = "It shoots away."\n',
        "",
        "never = ",
        'equipment `pipe`: `never` stands without its reason; add never_because = "..."',
    ),
    "control character": (
        "Stay soft.",
        "Stay\\u0007 soft.",
        "u0007",
        "the text holds the control character U+0007; write it on one line, in words",
    ),
    "line break in a sentence": (
        "Stay soft.",
        "Stay\\nsoft.",
        "nsoft",
        "the text holds a line break; write it on one line, in words",
    ),
    "raw control character": (
        "Stay soft.",
        "Stay\x07 soft.",
        "\x07",
        None,
    ),
    "no name of the catalogue": (
        'name = "mini"\n',
        "",
        None,
        None,
    ),
    "entries as a plain table": (
        "[[skill]]",
        "[skill]",
        "[skill]",
        None,
    ),
    "a profile among the files": (
        'name = "mini"',
        'name = "mini"\nathlete = "Robin"',
        "athlete",
        None,
    ),
}


@pytest.mark.parametrize("case", [c for c in ONE_MISTAKE if ONE_MISTAKE[c][3]])
def test_one_mistake_is_one_sentence_with_its_line(case: str) -> None:
    before, after, marker, sentence = ONE_MISTAKE[case]
    assert MINI.count(before) == 1, before
    text = MINI.replace(before, after)
    line = line_of(text, marker or "")
    if marker and marker.startswith('id = "'):
        line -= 1  # the block's own header
    assert mistakes({"mini.toml": text}) == [f"mini.toml:{line}: {sentence}"]


def changed(case: str) -> list[str]:
    before, after, _, _ = ONE_MISTAKE[case]
    assert MINI.count(before) == 1
    return mistakes({"mini.toml": MINI.replace(before, after)})


def test_level_on_a_warm_up_names_each_field() -> None:
    assert [m.split("; ")[0] for m in changed("level on a warm-up")] == [
        "mini.toml:18: movement `low`: a warm_up movement has no `skill`",
        "mini.toml:19: movement `low`: a warm_up movement has no `level`",
        "mini.toml:20: movement `low`: a warm_up movement has no `step`",
    ]


def test_too_few_cues() -> None:
    assert changed("one cue only") == [
        "mini.toml:22: movement `low`: `cues` has 1 entry, but needs at least 2; "
        "add what is missing"
    ]


def test_an_id_of_the_wrong_form_is_named_where_it_stands_and_where_it_is_missed() -> None:
    assert changed("id of the wrong form") == [
        "mini.toml:8: equipment `Pipe 2`: `id` is `Pipe 2`, but has only small letters, digits "
        "and _ after a letter; write for example pipe_2",
        "mini.toml:34: movement `high`: there is no equipment `pipe`; did you mean `Pipe 2`?",
    ]


def test_raw_control_characters_stop_the_reading_of_that_file() -> None:
    assert changed("raw control character") == [
        "mini.toml:24: the line holds the control character U+0007; take it out",
    ]


def test_a_catalogue_without_a_name() -> None:
    assert changed("no name of the catalogue") == [
        "mini.toml: the catalogue has no name; "
        'write name = "..." before the first [[...]] of one file'
    ]


def test_a_table_where_a_list_is_due() -> None:
    assert changed("entries as a plain table")[0] == (
        "mini.toml:3: `skill` is not written as a list of entries; begin each with [[skill]]"
    )


def test_a_profile_in_the_catalogues_folder() -> None:
    assert changed("a profile among the files")[-1] == (
        "mini.toml:2: this is an athlete's profile, and no part of a catalogue; "
        "move it out of the catalogue's folder"
    )


def test_a_circle_of_regressions_is_told_whole() -> None:
    third = MINI[MINI.index('[[movement]]\nid = "high"') :]
    third = third.replace('"high"', '"top"').replace("high walk", "top walk")
    third = third.replace('regress = "low"', 'regress = "high"\nprogress = "low"')
    text = MINI.replace('{ progress = "high" }', '{ progress = "high", regress = "top" }')
    text = text.replace('regress = "low"', 'regress = "low"\nprogress = "top"') + third
    found = mistakes({"mini.toml": text})
    assert found == [
        "mini.toml:26: movement `low`: the way down goes in a circle, from `low` to `top` to "
        "`high` to `low`; take out one `regress` of these",
        "mini.toml:26: movement `low`: the way up goes in a circle, from `low` to `high` to "
        "`top` to `low`; take out one `progress` of these",
    ]


def test_all_mistakes_of_all_files_come_at_once_and_in_order() -> None:
    first = MINI.replace("step = 1", "step = 9").replace('name = "pipe"', "name = 3")
    second = '[[skill]]\nid = "jumps"\nname = \n[[skill]]\nid = "hangs"\n'
    found = mistakes({"b.toml": first, "a.toml": second})
    assert [one.split(": ")[0] for one in found] == [
        "a.toml:3",
        "a.toml:4",
        "b.toml:9",
        "b.toml:19",
    ]


def test_ids_taken_in_two_files_name_both_places() -> None:
    again = '[[skill]]\nname = "poise"\nid = "balance"\n'
    assert mistakes({"a.toml": MINI, "b.toml": again}) == [
        "b.toml:3: skill `balance`: the id is taken already, at a.toml:4; give this one another id"
    ]


def test_two_names_of_the_catalogue() -> None:
    assert mistakes({"a.toml": MINI, "b.toml": 'name = "other"'}) == [
        "b.toml:1: the catalogue has a name already, in a.toml; keep one of the two"
    ]


def test_broken_toml_hides_neither_other_mistakes_nor_makes_new_ones() -> None:
    """The block with the slip is set aside; links to it do not count as unknown."""
    text = MINI.replace("step = 2", "step = ").replace("step = 1", "step = 7")
    assert mistakes({"mini.toml": text}) == [
        "mini.toml:19: movement `low`: `step` is `7`, but must be at most 3; "
        "write a smaller number",
        "mini.toml:33: there is no value, or one that TOML does not know; "
        "put text in quotes and lists in [ ]",
    ]


def test_no_files_and_empty_files() -> None:
    assert mistakes({}) == ["catalogue: there are no files; add one, beginning with [[movement]]"]
    assert mistakes({"a.toml": "\n# nothing\n"}) == [
        'a.toml: the catalogue has no name; write name = "..." before the first [[...]] '
        "of one file",
        "a.toml: there is no movement in the files; add one, beginning with [[movement]]",
    ]


def test_sizes_are_bounded() -> None:
    big = MINI + "#" * 70 + ("\n" + "#" * 70) * (BYTES // 71)
    assert "split it" in mistakes({"a.toml": MINI, "b.toml": big})[0]
    wide = MINI + "# " + "x" * WIDTH
    line = MINI.count("\n") + 1
    assert mistakes({"a.toml": MINI, "b.toml": wide}) == [
        f"b.toml:{line}: the line has more than 4,000 characters; break it up"
    ]
    many = {f"{number}.toml": "" for number in range(FILES + 1)}
    assert "catalogue: there are over 200 files; join some" in mistakes(many)
    crowd = "".join(f'[[skill]]\nid = "s{n}"\nname = "s {n}"\n' for n in range(ENTRIES))
    assert mistakes({"a.toml": MINI, "b.toml": crowd}) == [
        "b.toml:14998: this is entry 5,001 under [[skill]], but at most 5,000 fit; "
        "make two catalogues of it"
    ]


def test_nesting_is_bounded() -> None:
    deep = MINI + "x = " + "[" * 50 + "]" * 50
    assert any("nested too deeply" in one for one in mistakes({"a.toml": deep}))
    deeper = MINI + "x = " + "[" * 1900 + "]" * 1900
    assert any("nested too deeply" in one for one in mistakes({"a.toml": deeper}))
    dotted = MINI + "a." * 1900 + "a = 1"
    assert any("too many dots" in one for one in mistakes({"a.toml": dotted}))


def ladder(count: int) -> str:
    """A valid catalogue of `count` movements on one ladder."""
    rows = ['name = "ladder"', "[[skill]]", 'id = "balance"', 'name = "balance"']
    for n in range(count):
        rows += [
            "[[movement]]",
            f'id = "m{n}"',
            f'name = "rung {n}"',
            'skill = "balance"',
            'level = "beginner"',
            "step = 1",
            'dosage = { kind = "hold", seconds = [30, 45] }',
            'set_up = ["Stand still."]',
            'cues = [{ focus = "outside", text = "One." }, { focus = "body", text = "Two." }]',
            "[movement.links]",
        ]
        rows += [f'regress = "m{n - 1}"'] if n else []
        rows += [f'progress = "m{n + 1}"'] if n + 1 < count else []
    return "\n".join(rows)


def test_a_thousand_movements_load() -> None:
    catalogue = load_catalogue({"ladder.toml": ladder(1000)})
    assert len(catalogue.movements) == 1000


def test_a_thousand_mistakes_are_all_told() -> None:
    text = ladder(1000).replace('"beginner"', '"expert"')
    found = mistakes({"ladder.toml": text})
    assert len(found) == 1000
    assert all("`level` is `expert`" in one for one in found)


SHORT = st.text(max_size=300)
TOKENS = [
    "[[movement]]", "[movement.links]", "[[skill]]", "[[equipment]]", "[movement]", "name", "id",
    "=", '"a"', "'b'", '"""', "\n", "[", "]", "{", "}", ",", "3", "true", "-1", "nan", "dosage",
    "kind", "cues", "links", "regress", ".", "#", "2026-01-01", "step", "\\", "a",
]  # fmt: skip
TOML_LIKE = st.lists(st.sampled_from(TOKENS), max_size=40).map(" ".join)


def problems_in(sources: dict[str, str]) -> tuple[Problem, ...]:
    """Empty where the files are right. Any other exception goes through and fails the test."""
    try:
        load_catalogue(sources)
    except CatalogueProblems as problems:
        return problems.problems
    return ()


@settings(max_examples=300, deadline=None)
@given(st.dictionaries(SHORT, SHORT | TOML_LIKE, max_size=3))
def test_no_text_raises_anything_else(sources: dict[str, str]) -> None:
    with pytest.raises(CatalogueProblems) as caught:
        load_catalogue(sources)
    assert str(caught.value)


VALUES = [
    "", "3", '"x"', "[]", "{}", "true", "[[1, 2]]", '[{ name = "x" }]', "1979-05-27", "nan",
    '{ kind = "reps", reps = [1, 2] }', '["pipe", 3]', "9" * 60, "'''", '"low"', "[30, 45, 60]",
]  # fmt: skip


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.tuples(st.integers(0, MINI.count("\n")), st.sampled_from(VALUES)),
        min_size=1,
        max_size=4,
    )
)
def test_any_value_in_any_place_is_told_in_plain_words(changes: list[tuple[int, str]]) -> None:
    rows = MINI.split("\n")
    for row, value in changes:
        rows[row] = f"{rows[row].split('=')[0]}= {value}" if "=" in rows[row] else value
    for problem in problems_in({"mini.toml": "\n".join(rows)}):
        text = str(problem)
        assert "which does not fit here" not in text, text  # a sentence is missing for it
        assert "this is not valid TOML" not in text, text
        assert "pydantic" not in text
        assert 0 <= problem.line <= len(rows)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(builtin_sources())), st.data())
def test_damage_to_a_real_file_never_raises_anything_else(name: str, data: st.DataObject) -> None:
    sources = builtin_sources()
    text = sources[name]
    begin = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(begin, min(len(text), begin + 200)))
    put = data.draw(st.sampled_from(["", '"', "[", "]]", "}", "\n", "= 3", "'''", '"""', "[[x]]"]))
    sources[name] = text[:begin] + put + text[end:]
    for problem in problems_in(sources):
        assert problem.what
        assert problem.mend
        assert problem.line <= sources[problem.file].count("\n") + 1
