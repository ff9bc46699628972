from __future__ import annotations

from collections import Counter

from catalogue.around import covering, loads_of, raises, rehearsal, within_reach
from catalogue.conditions import Conditions
from catalogue.model import BodyPart, Phase
from catalogue.substituter import Substituter

ROOM = Conditions(space=9.0)


def _warm(make, id_, loads, kind="hold", **more):
    return make.movement(id_, None, phase=Phase.WARM_UP, kind=kind, loads=loads, **more)


def test_continuous_work_of_hips_and_knees_raises_the_pulse(make):
    assert raises(_warm(make, "march", ("hip", "knee"), "work"))
    assert not raises(_warm(make, "windmill", ("shoulder",), "work"))
    assert not raises(_warm(make, "squat_hold", ("hip", "knee"), "hold"))


def test_what_covers_most_of_the_load_comes_first(make):
    loads = loads_of([make.movement("a", loads=("wrist", "shoulder")), make.movement("b")])
    assert loads == Counter({BodyPart.WRIST: 2, BodyPart.SHOULDER: 1})
    candidates = [
        _warm(make, "shoulders", ("shoulder",)),
        _warm(make, "wrists", ("wrist",)),
        _warm(make, "arms", ("wrist", "shoulder")),
        _warm(make, "ankles", ("ankle",)),
    ]
    order = [movement.id for movement in covering(candidates, loads)]
    assert order[0] == "arms"
    assert sorted(order) == ["arms", "shoulders", "wrists"]


def test_days_begin_with_another_warm_up(make):
    catalogue = make.catalogue(
        *(_warm(make, id_, ("hip",)) for id_ in "abc"), _warm(make, "d", ("hip",), space=20)
    )
    orders = [
        "".join(m.id for m in within_reach(catalogue, Phase.WARM_UP, ROOM, day)) for day in range(4)
    ]
    assert orders == ["abc", "bca", "cab", "abc"]


def test_a_rehearsal_is_down_the_links_and_without_hazards(make):
    catalogue = make.catalogue(
        make.movement("floor", 0, up="hang"),
        make.movement("hang", 1, down="floor", hazards=("hanging",)),
        make.movement("swing", 2, down="hang", hazards=("hanging",)),
    )
    index = Substituter(catalogue)
    found = rehearsal(index, catalogue.movements["swing"], ROOM)
    assert found is not None
    assert found.id == "floor"
    assert rehearsal(index, catalogue.movements["floor"], ROOM) is None
