"""Easier, harder, swap, skip, missing equipment and stand-ins."""

from __future__ import annotations

from typing import Any

from assistant.session.facts import Swapped
from assistant.session.nodes import Node


def swaps(play: Any) -> list[Swapped]:
    return [f for f in play.facts() if isinstance(f, Swapped)]


def test_easier_and_harder_walk_the_links_and_say_so_at_the_ends(play: Any) -> None:
    play.open()
    play.say("harder")
    assert play.state.current.movement == "pipe_walk"
    play.say("harder")
    assert play.state.current.movement == "pipe_walk"
    assert any(line.startswith("reason.") for line in play.lines())
    play.say("easier")
    play.say("easier")
    assert play.state.current.movement == "line_stand"
    play.say("easier")
    assert play.state.current.movement == "line_stand"
    assert any(line.startswith("reason.") for line in play.lines())


def test_missing_equipment_offers_a_stand_in_with_its_condition(play: Any) -> None:
    play.open()
    play.say("lack", equipment="pipe")
    assert play.node is Node.STAND_IN
    texts = [e.line.values.get("text") for e in play.last if hasattr(e, "line")]
    assert "Only if it does not slip." in texts
    play.say("yes")
    assert play.state.current.movement == "pipe_stand"
    assert play.state.current.stand_in == "a rolled rug"
    assert play.node is Node.READY


def test_without_a_stand_in_the_nearest_movement_comes_with_its_reason(play: Any) -> None:
    play.open()
    play.say("lack", equipment="pipe")
    play.say("no")
    assert play.state.current.movement == "line_stand"
    assert any(line.startswith("reason.") for line in play.lines())
    assert swaps(play)[-1].cause == "lack"
    play.say("have", equipment="pipe")
    assert play.state.current.movement == "pipe_stand"


def test_what_is_missing_but_not_needed_is_noted(play: Any) -> None:
    play.open()
    play.say("lack", equipment="bar")
    assert play.lines() == ["lack.noted"]
    assert play.node is Node.READY


def test_skip_leaves_the_movement_out_and_says_which(play: Any) -> None:
    play.open()
    play.say("skip")
    assert swaps(play)[-1] == Swapped("pipe_stand", None, "skip", "")
    assert play.state.current.movement == "knee_turns"


def test_back_goes_to_the_one_before(play: Any) -> None:
    play.open()
    play.say("next")
    assert play.state.block == 1
    play.say("back")
    assert play.state.block == 0
    play.say("back")
    assert "change.first" in play.lines()


def test_explain_tells_the_load_on_the_hands_of_a_support() -> None:
    """A straight support with hands and feet level carries about two thirds on the hands: .67 and
    .65 of body weight (Mier et al. 2014, Int J Exerc Sci 7(2):161-168, abstract)."""
    from assistant.coach import Coach
    from assistant.files import builtin_catalogue
    from assistant.session.wording import because
    from catalogue.hand_load import explain_share, hand_share
    from catalogue.model import Support

    coach = Coach.of(builtin_catalogue(), "en")
    said = coach.render(because(explain_share(hand_share(Support()), "level bridge")))
    assert "two thirds" in said
