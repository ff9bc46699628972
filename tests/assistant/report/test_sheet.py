"""The sheet as a document; that it prints on one page is tested in `test_browser.py`."""

from __future__ import annotations

import re

import html5lib
import pytest

from assistant.files import builtin_catalogue
from assistant.report.sheet import DENSITIES, density, row_of, sheet_page
from catalogue.conditions import Conditions
from catalogue.model import Phase
from catalogue.plan import Block, Plan, Target
from catalogue.planning import plan_session
from catalogue.reason import Reason
from tests.assistant.report.season import profile
from tests.assistant.report.test_report import Seen

CATALOGUE = builtin_catalogue()


def text_of(plan: Plan) -> str:
    page = sheet_page(CATALOGUE, profile(), plan, 739_000, "0.1.0")
    assert html5lib_errors(page) == []
    return " ".join(Seen(page).text.split())


def html5lib_errors(page: str) -> list[object]:
    parser = html5lib.HTMLParser()
    parser.parse(page)
    return list(parser.errors)


def block(movement: str, extra: str | None = None) -> Block:
    given = {"extra_side": extra, "extra_because": Reason(id="week_rest")} if extra else {}
    target = Target(seconds=30, sets=2, rest=30)
    return Block.model_validate(
        {"movement": movement, "phase": Phase.MAIN, "target": target, **given}
    )


def test_everything_of_the_plan_is_on_it() -> None:
    who = profile(minutes=15)
    plan = plan_session(CATALOGUE, who, Conditions.of(who), day=739_000)
    text = text_of(plan)
    for one in plan.blocks:
        movement = CATALOGUE.movements[one.movement]
        assert movement.name in text
        if movement.hazards:
            assert all(sentence in text for sentence in movement.safety)
    for item in {i for b in plan.blocks for i in CATALOGUE.movements[b.movement].equipment}:
        assert CATALOGUE.equipment[item].name in text
    assert "Pain, dizziness, chest pain or unusual breathlessness: stop" in text
    assert "Have a spotter when you are upside down" in text


def test_there_is_a_box_for_every_set_and_side() -> None:
    def boxes(one: Block) -> list[str]:
        page = sheet_page(CATALOGUE, profile(), Plan(blocks=(one,), seconds=300), 739_000, "0")
        return re.findall(r'<span class="set">(\w+)</span>', page)

    assert boxes(block("line_walk")) == ["1", "2"]
    assert boxes(block("stork_stand")) == ["1L", "1R", "2L", "2R"]
    assert boxes(block("stork_stand", "right")) == ["1L", "1R", "2L", "2R", "3R"]


def test_no_equipment_is_said() -> None:
    assert "No equipment is needed." in text_of(Plan(blocks=(block("line_walk"),), seconds=300))


def test_more_to_print_is_printed_denser() -> None:
    row = row_of(CATALOGUE, profile(), block("parked_pipe"))
    chosen = [DENSITIES.index(density([row] * count, 0)) for count in (1, 6, 12, 24, 40)]
    assert chosen == sorted(chosen)
    assert chosen[0] == 0
    assert chosen[-1] > chosen[0]


@pytest.mark.parametrize("seconds", [60, 3600])
def test_the_minutes_are_told(seconds: int) -> None:
    text = text_of(Plan(blocks=(block("line_walk"),), seconds=seconds))
    assert f"About {seconds // 60} minutes." in text
