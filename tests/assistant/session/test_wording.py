"""Every line that the session can say exists, and is given what it needs."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest

import assistant.session as session_package
from assistant.coach import lines_of
from assistant.language import language_text, languages, phrases
from assistant.session.nodes import QUESTIONS, Node
from assistant.session.table import MEANINGS
from assistant.session.talk import CHOICES
from catalogue.model import Dosage, Sides
from intents.lines import Lines
from intents.meaning import INTENT_IDS

FOLDER = Path(str(session_package.__file__)).parent
PARTS = {
    "unit": ("seconds", "reps", "metres"),
    "set_unit": ("seconds", "reps", "metres"),
    "counted": ("seconds", "reps", "metres"),
    "untimed": ("reps", "metres"),
    "sided": ("", "_side"),
    "how": ("done", "finished", "unwell", "pain", "left"),
    "device": ("microphone", "loudspeaker"),
}


def calls() -> Iterator[tuple[str, int, ast.expr, set[str]]]:
    """Every `step.say(...)` and `Line(...)`: file, line, the id's expression, the values' names."""
    for path in sorted(FOLDER.glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not node.args:
                continue
            name = ast.unparse(node.func)
            if name == "step.say":
                given = {k.arg for k in node.keywords if k.arg}
                yield path.name, node.lineno, node.args[0], given
            elif name == "Line" and len(node.args) == 2 and isinstance(node.args[1], ast.Dict):
                given = {ast.literal_eval(k) for k in node.args[1].keys if k is not None}
                yield path.name, node.lineno, node.args[0], given


def ids(expression: ast.expr) -> list[str]:
    """The ids that an expression can stand for; none where it is built from elsewhere."""
    if isinstance(expression, ast.Constant):
        return [str(expression.value)]
    if isinstance(expression, ast.IfExp):
        return [*ids(expression.body), *ids(expression.orelse)]
    if isinstance(expression, ast.JoinedStr):
        parts: list[tuple[str, ...]] = []
        for part in expression.values:
            if isinstance(part, ast.Constant):
                parts.append((str(part.value),))
            else:
                name = ast.unparse(part.value) if isinstance(part, ast.FormattedValue) else ""
                if name == "side":
                    name = "sided"
                if name not in PARTS:
                    return []
                parts.append(PARTS[name])
        return ["".join(combination) for combination in product(*parts)]
    return []


@pytest.fixture(scope="module", params=languages())
def lines(request: pytest.FixtureRequest) -> Lines:
    code = str(request.param)
    return Lines.load(language_text(code, "lines"), language_text(code, "reasons"))


def test_every_line_exists_and_gets_its_values(lines: Lines) -> None:
    seen = 0
    for file, number, expression, given in calls():
        for line_id in ids(expression):
            seen += 1
            where = f"{file}:{number} says {line_id!r}"
            assert line_id in lines.lines, where
            assert lines.slots(line_id) <= given, where
    assert seen > 100


def test_every_dosage_has_its_lines(lines: Lines) -> None:
    kinds = [d.model_fields["kind"].annotation.__args__[0] for d in Dosage.__args__[0].__args__]  # type: ignore[union-attr]
    for kind, sides in product(kinds, Sides):
        if kind == "reps_per_side" and sides is not Sides.EACH:
            continue
        suffix = "" if sides is Sides.NONE else "_each"
        assert f"dose.{kind}{suffix}" in lines.lines


def test_every_question_can_be_asked_again(lines: Lines) -> None:
    special = {Node.PAIN_LEVEL, Node.HURT_LEVEL, Node.STAND_IN, Node.READY}
    for node in QUESTIONS - special | {Node.OFF}:
        assert f"{node.value}.again" in lines.lines


def test_every_meaning_can_be_asked_about(lines: Lines) -> None:
    for intent in INTENT_IDS:
        assert f"did_you_say_{intent}" in lines.words


SAFETY = ("open.caution", "cautions.", "safeguard.", "unwell.", "hurt.", "returning.")


@pytest.mark.parametrize("line", lines_of("en").lines)
def test_what_is_said_is_said_in_short_sentences(line: str) -> None:
    """One idea a sentence: twelve words, and more only where safety wants it (judgement)."""
    if line.startswith("note."):
        pytest.skip("shown, and never said")
    longest = 22 if line.startswith(SAFETY) else 12
    for text in lines_of("en").lines[line]:
        for sentence in re.split(r"(?<=[.?!:]) ", text):
            assert len(sentence.split()) <= longest, sentence


NUMBERS_FIRST = (
    "dose.", "logged.", "work.reps", "work.metres", "rest.begin", "rest.more", "time.left",
    "time.rest", "off.at", "close.sets", "close.came_off", "reason.praise",
)  # fmt: skip


@pytest.mark.parametrize("line", lines_of("en").lines)
def test_amounts_come_first(line: str) -> None:
    """What has to be kept in mind stands where it is heard best; a side may stand before it."""
    if line.startswith(NUMBERS_FIRST):
        for text in lines_of("en").lines[line]:
            first = text.removeprefix("{side|word} side, ").removeprefix("Steadier: ")
            assert first.startswith("{"), text


@pytest.mark.parametrize("code", languages())
def test_what_the_help_names_is_listened_for(code: str) -> None:
    lines, spoken = lines_of(code), phrases(code)
    for choices in CHOICES.values():
        for choice in (c for c in choices if not c.endswith("_example")):
            said = lines.word(choice)
            folded = spoken.speller.fold(spoken.speller.tokens(said))
            heard = {
                tuple(str(word) for word in line)
                for template in spoken.templates
                if template.heard and template.intent == choice
                for line in spoken.folded_lines(template.node)
            }
            assert folded in heard, said


def test_help_names_only_what_the_node_takes() -> None:
    examples = {
        "pain_example": "pain",
        "part_example": "pain",
        "log_example": "log",
        "number_example": ("effort", "pain"),
    }
    for node, choices in CHOICES.items():
        for choice in choices:
            wanted = examples.get(choice, choice)
            known = {*MEANINGS[node], *({"yes"} if node is Node.CONFIRM else ())}
            assert known & ({wanted} if isinstance(wanted, str) else set(wanted)), (node, choice)
