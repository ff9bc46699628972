from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.files import builtin_catalogue
from catalogue.conditions import LEVELS, Conditions, feasible, offerable, rung
from catalogue.likeness import COSTS, Numbering, Traits, filter_of
from catalogue.model import BodyPart, Level, Phase, StandIn
from catalogue.reason import Reason
from catalogue.substitute import Substituter, Substitution, easier, harder, nearest, stand_ins_for

BARE = Conditions(space=9.0)


def _ladder(make, **of):
    """easy - middle - hard of one skill, linked; `of` gives details by id."""
    return make.catalogue(
        make.movement("easy", 0, up="middle", **of.get("easy", {})),
        make.movement("middle", 1, down="easy", up="hard", **of.get("middle", {})),
        make.movement("hard", 2, down="middle", **of.get("hard", {})),
    )


class TestNearest:
    def test_a_movement_that_can_be_done_is_its_own_answer(self, make):
        found = nearest(_ladder(make), "hard", BARE)
        assert found is not None
        assert (found.movement, found.reason.id, found.stand_in) == ("hard", "as_planned", None)

    def test_only_equipment_lacking_offers_the_same_movement_with_a_stand_in(self, make):
        beam = StandIn(name="low wall", condition="Only if it does not move.")
        catalogue = make.catalogue(
            make.movement("hang", 1, equipment=("bar",), down="knees"),
            make.movement("knees", 0),
            stand_ins={"bar": [beam]},
        )
        found = nearest(catalogue, "hang", BARE)
        assert found is not None
        assert (found.movement, found.stand_in, found.replaces) == ("hang", beam, "bar")
        assert found.reason.values["condition"] == "Only if it does not move."

    def test_a_stand_in_that_was_refused_leads_to_another_movement(self, make):
        catalogue = make.catalogue(
            make.movement("hang", 1, equipment=("bar",), down="knees"),
            make.movement("knees", 0),
            stand_ins={"bar": [StandIn(name="low wall", condition="Only if it is firm.")]},
        )
        found = nearest(catalogue, "hang", BARE, exclude=frozenset({"hang"}))
        assert found is not None
        assert found.movement == "knees"
        assert found.reason.id == "instead_without"

    def test_a_stand_in_that_is_equipment_is_offered_only_where_it_is_there(self, make):
        mat = StandIn(name="mat", item="mat", condition="Only if it lies flat.")
        catalogue = make.catalogue(
            make.movement("roll", 1, equipment=("pad",)),
            make.movement("rock", 0, equipment=("mat",)),
            make.movement("sit", 0),
            stand_ins={"pad": [mat]},
        )
        without, with_mat = (
            nearest(catalogue, "roll", replace(BARE, equipment=frozenset(items)))
            for items in ((), ("mat",))
        )
        assert without is not None
        assert with_mat is not None
        assert without.movement == "sit"
        assert (with_mat.movement, with_mat.stand_in) == ("roll", mat)

    def test_no_stand_in_is_offered_where_something_hurts_too(self, make):
        catalogue = make.catalogue(
            make.movement("hang", 1, equipment=("bar",), loads=("shoulder",)),
            make.movement("step", 0, loads=("ankle",)),
            stand_ins={"bar": [StandIn(name="low wall", condition="Only if it is firm.")]},
        )
        found = nearest(catalogue, "hang", replace(BARE, hurting=frozenset({BodyPart.SHOULDER})))
        assert found is not None
        assert (found.movement, found.reason.id) == ("step", "instead_hurting")

    def test_two_missing_pieces_are_offered_one_at_a_time(self, make):
        thing = {
            item: [StandIn(name=f"other {item}", condition="Only if it holds.")]
            for item in ("bar", "box")
        }
        catalogue = make.catalogue(
            make.movement("rig", 1, equipment=("bar", "box")), stand_ins=thing
        )
        first = nearest(catalogue, "rig", BARE)
        assert first is not None
        assert first.replaces == "bar"
        second = nearest(catalogue, "rig", replace(BARE, stand_ins=frozenset({"bar"})))
        assert second is not None
        assert second.replaces == "box"
        both = replace(BARE, stand_ins=frozenset({"bar", "box"}))
        third = nearest(catalogue, "rig", both)
        assert third is not None
        assert third.stand_in is None

    def test_the_same_skill_comes_before_a_closer_likeness_in_another(self, make):
        catalogue = make.catalogue(
            make.movement("hang", 4, equipment=("bar",), loads=("hand", "shoulder")),
            make.movement("twin", 4, skill="climb", loads=("hand", "shoulder")),
            make.movement("squeeze", 0, kind="work", loads=("elbow",)),
        )
        found = nearest(catalogue, "hang", BARE)
        assert found is not None
        assert found.movement == "squeeze"

    def test_quality_comes_before_the_step(self, make):
        catalogue = make.catalogue(
            make.movement("hang", 5, equipment=("bar",), loads=("hand",)),
            make.movement("near_but_reps", 4, kind="reps", loads=("hand",)),
            make.movement("far_but_hold", 0, loads=("hand",)),
        )
        found = nearest(catalogue, "hang", BARE)
        assert found is not None
        assert found.movement == "far_but_hold"

    def test_easier_comes_long_before_harder(self, make):
        catalogue = make.catalogue(
            make.movement("three_down", 1),
            make.movement("hang", 4, equipment=("bar",)),
            make.movement("one_up", 5),
        )
        found = nearest(catalogue, "hang", BARE)
        assert found is not None
        assert found.movement == "three_down"

    def test_keeping_the_equipment_breaks_a_tie_of_steps(self, make):
        catalogue = make.catalogue(
            make.movement("rig", 2, equipment=("bar", "rope")),
            make.movement("a_floor", 1),
            make.movement("b_bar", 1, equipment=("bar",)),
        )
        found = nearest(catalogue, "rig", replace(BARE, equipment=frozenset({"bar"})))
        assert found is not None
        assert found.movement == "b_bar"

    def test_the_coachs_alternative_wins_over_likeness(self, make):
        catalogue = make.catalogue(
            make.movement("hang", 3, equipment=("bar",), beside=("carry",)),
            make.movement("alike", 1),
            make.movement("carry", 3, skill="climb", kind="distance", span=(5, 9)),
        )
        found = nearest(catalogue, "hang", BARE)
        assert found is not None
        assert (found.movement, found.cost) == ("carry", COSTS.alternative)

    def test_never_above_the_athletes_own_level(self, make):
        catalogue = make.catalogue(
            make.movement("hang", 2, equipment=("bar",), up="next"), make.movement("next", 3)
        )
        beginner = replace(BARE, ceiling=Level.BEGINNER)
        assert nearest(catalogue, "hang", beginner) is None
        assert nearest(catalogue, "hang", replace(BARE, ceiling=Level.INTERMEDIATE)) is not None

    def test_a_warm_up_is_replaced_by_a_warm_up(self, make):
        catalogue = make.catalogue(
            make.movement("skip", None, phase=Phase.WARM_UP, equipment=("rope",)),
            make.movement("march", None, phase=Phase.WARM_UP),
            make.movement("main", 0),
        )
        found = nearest(catalogue, "skip", BARE)
        assert found is not None
        assert found.movement == "march"

    def test_nothing_feasible_gives_nothing(self, make):
        catalogue = make.catalogue(make.movement("hang", equipment=("bar",)))
        assert nearest(catalogue, "hang", BARE) is None

    def test_the_coachs_word_on_the_regression_is_passed_on(self, make):
        catalogue = _ladder(
            make, hard={"equipment": ("bar",), "because": "Both feet stay on the floor."}
        )
        found = nearest(catalogue, "hard", BARE)
        assert found is not None
        assert found.reason.id == "instead_without_easier"
        assert found.reason.values["easier_because"] == "Both feet stay on the floor."


class TestLinks:
    def test_easier_is_one_link_down(self, make):
        found = easier(_ladder(make), "hard", BARE)
        assert isinstance(found, Substitution)
        assert found.movement == "middle"

    def test_easier_passes_over_what_can_not_be_done(self, make):
        found = easier(_ladder(make, middle={"equipment": ("bar",)}), "hard", BARE)
        assert isinstance(found, Substitution)
        assert found.movement == "easy"

    def test_a_word_about_one_link_is_not_said_of_two(self, make):
        catalogue = _ladder(
            make,
            middle={"equipment": ("bar",), "because": "It is lower."},
            hard={"because": "It is slower."},
        )
        found = easier(catalogue, "hard", BARE)
        assert isinstance(found, Substitution)
        assert found.reason.id == "easier"

    def test_the_end_of_the_links_says_so(self, make):
        assert easier(_ladder(make), "easy", BARE) == Reason(
            id="nothing_easier", values={"movement": "easy"}
        )
        assert harder(_ladder(make), "hard", BARE) == Reason(
            id="nothing_harder", values={"movement": "hard"}
        )

    def test_what_bars_the_rest_of_the_links_is_told(self, make):
        catalogue = _ladder(make, middle={"equipment": ("bar",)}, easy={"equipment": ("rope",)})
        found = easier(catalogue, "hard", BARE)
        assert found == Reason(
            id="nothing_easier_not_without", values={"movement": "easy", "equipment": "rope"}
        )

    def test_harder_follows_a_regression_that_points_here(self, make):
        catalogue = make.catalogue(make.movement("low", 0), make.movement("high", 1, down="low"))
        found = harder(catalogue, "low", BARE)
        assert isinstance(found, Substitution)
        assert found.movement == "high"

    def test_harder_leads_one_level_above_the_athletes_own_and_no_further(self, make):
        catalogue = make.catalogue(
            make.movement("beginner", 2, up="intermediate"),
            make.movement("intermediate", 3, up="advanced"),
            make.movement("advanced", 6),
        )
        day = replace(BARE, ceiling=Level.BEGINNER)
        found = harder(catalogue, "beginner", day)
        assert isinstance(found, Substitution)
        assert harder(catalogue, "intermediate", day) == Reason(
            id="nothing_harder_at_level", values={"movement": "intermediate"}
        )

    def test_links_in_a_ring_end(self, make):
        catalogue = make.catalogue(
            make.movement("a", 0, down="b", equipment=("bar",)),
            make.movement("b", 0, down="a", equipment=("bar",)),
        )
        assert isinstance(easier(catalogue, "a", BARE), Reason)


def test_stand_ins_of_unknown_equipment_are_none(make):
    assert stand_ins_for(make.catalogue(make.movement("m")), "nothing") == ()


IDS = [f"m{n}" for n in range(9)]
PARTS = ["wrist", "knee", "ankle"]


def _world(make, draw):
    """A small random catalogue with conditions; links may form rings, on purpose."""
    count = draw(st.integers(2, len(IDS)))
    ids = IDS[:count]
    link = st.none() | st.sampled_from(ids)
    movements = [
        make.movement(
            id_,
            draw(st.integers(0, 8)),
            skill=draw(st.sampled_from(["grip", "climb"])),
            kind=draw(st.sampled_from(["hold", "work"])),
            loads=sorted(draw(st.sets(st.sampled_from(PARTS)))),
            hazards=sorted(draw(st.sets(st.sampled_from(["hanging", "raised"])))),
            equipment=tuple(sorted(draw(st.sets(st.sampled_from(["bar", "box"]))))),
            space=draw(st.sampled_from([1.0, 4.0])),
            down=draw(link),
            up=draw(link),
            beside=draw(st.lists(st.sampled_from(ids), max_size=2)),
        )
        for id_ in ids
    ]
    conditions = Conditions(
        equipment=frozenset(draw(st.sets(st.sampled_from(["bar", "box"])))),
        hurting=frozenset(map(BodyPart, draw(st.sets(st.sampled_from(PARTS), max_size=1)))),
        space=draw(st.sampled_from([2.0, 5.0])),
        ceiling=draw(st.none() | st.sampled_from(LEVELS)),
    )
    return make.catalogue(*movements), draw(st.sampled_from(ids)), conditions


def _likeness(wanted, other):
    """The stated price of likeness, in plain sets."""
    steps = rung(other) - rung(wanted)
    mine, theirs = set(wanted.loads), set(other.loads)
    return (
        1000 * (wanted.skill != other.skill)
        + 8 * (wanted.dosage.kind != other.dosage.kind)
        + 10 * len(set(other.hazards) - set(wanted.hazards))
        + (10 * (1 - len(mine & theirs) / len(mine | theirs)) if mine | theirs else 0)
        + (20 * steps if steps > 0 else -steps)
        + 0.25 * len(set(wanted.equipment) - set(other.equipment))
    )


def _link_costs(catalogue, start):
    """Shortest paths over the links by networkx, an independent library."""
    graph = nx.DiGraph()
    graph.add_nodes_from(catalogue.movements)
    for movement in catalogue.movements.values():
        links = movement.links
        edges = [(links.regress, 1.5, 20), (links.progress, 20, 1.5)]
        for other, there, back in [*edges, *((other, 1, 1) for other in links.alternative)]:
            if other is None:
                continue
            for a, b, cost in ((movement.id, other, there), (other, movement.id, back)):
                known = graph.get_edge_data(a, b, {"weight": cost})
                graph.add_edge(a, b, weight=min(cost, known["weight"]))
    return nx.single_source_dijkstra_path_length(graph, start)


@settings(max_examples=100, deadline=None)
@given(data=st.data())
def test_the_nearest_is_feasible_and_no_candidate_is_cheaper(make, data):
    catalogue, wanted_id, conditions = _world(make, data.draw)
    wanted = catalogue.movements[wanted_id]
    found = Substituter(catalogue).nearest(wanted_id, conditions, frozenset({wanted_id}))
    paths = _link_costs(catalogue, wanted_id)
    candidates = [
        (
            min(_likeness(wanted, m), paths.get(m.id, float("inf"))),
            _likeness(wanted, m),
            rung(m),
            m.id,
        )
        for m in catalogue.movements.values()
        if m.id != wanted_id and offerable(m, conditions)
    ]
    if found is None:
        assert not candidates
        return
    chosen = catalogue.movements[found.movement]
    assert feasible(catalogue, chosen, conditions) is None
    cost, _, _, movement_id = min(candidates)
    assert found.movement == movement_id
    assert found.cost == pytest.approx(cost)


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_the_filter_for_many_agrees_with_the_one_for_one(make, data):
    catalogue, _, conditions = _world(make, data.draw)
    items = Numbering()
    offers = filter_of(conditions, items)
    for movement in catalogue.movements.values():
        assert offers(Traits.of(movement, items)) is offerable(movement, conditions)


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_easier_and_harder_are_feasible_or_say_why(make, data):
    catalogue, start, conditions = _world(make, data.draw)
    for walk in (easier, harder):
        found = walk(catalogue, start, conditions)
        if isinstance(found, Substitution):
            assert feasible(catalogue, catalogue.movements[found.movement], conditions) is None
            assert found.movement != start
        else:
            assert found.id.startswith("nothing_")


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_the_order_of_the_catalogue_does_not_matter(make, data):
    catalogue, wanted, conditions = _world(make, data.draw)
    turned = catalogue.model_copy(update={"movements": dict(reversed(catalogue.movements.items()))})
    found = [
        Substituter(each).nearest(wanted, conditions, frozenset({wanted}))
        for each in (catalogue, turned)
    ]
    assert found[0] == found[1]


def test_every_main_movement_of_the_catalogue_has_a_way_without_equipment_in_two_metres():
    catalogue = builtin_catalogue()
    index, empty_room = Substituter(catalogue), Conditions(space=2.0)
    for movement in catalogue.movements.values():
        same_skill = movement.skill is not None
        found = index.nearest(movement.id, empty_room, offer=False, same_skill=same_skill)
        assert found is not None, movement.id
        assert not catalogue.movements[found.movement].equipment


def test_an_alternative_that_is_more_alike_wins_a_tie(make):
    catalogue = make.catalogue(
        make.movement("walk", 8, equipment=("wall",), beside=("low", "high")),
        make.movement("low", 3),
        make.movement("high", 6),
    )
    found = nearest(catalogue, "walk", BARE)
    assert found is not None
    assert found.movement == "high"


def test_same_skill_keeps_to_it_where_a_coach_would_leave(make):
    catalogue = make.catalogue(
        make.movement("walk", 8, equipment=("wall",), beside=("land",)),
        make.movement("low", 0),
        make.movement("land", 8, skill="climb"),
    )
    index = Substituter(catalogue)
    free, kept = (index.nearest("walk", BARE, same_skill=same) for same in (False, True))
    assert free is not None
    assert kept is not None
    assert (free.movement, kept.movement) == ("land", "low")
