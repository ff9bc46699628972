"""Sessions planned from made-up catalogues. Shares of time, order and rotation are judgement or
common practice, no published source; raise, mobilise, rehearse follows the usual order of a
warm-up (Jeffreys 2007, read in secondary sources)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.files import builtin_catalogue
from catalogue.around import raises
from catalogue.conditions import Conditions, feasible
from catalogue.dosing import amount_of, range_of
from catalogue.model import BodyPart, Level, Phase, StandIn
from catalogue.pace import Talk, estimate_seconds
from catalogue.planning import NothingToTrainError, plan_session
from catalogue.readiness import Readiness
from catalogue.reason_slots import SLOTS
from catalogue.today import tires_arms, wants_fresh

ROOM = Conditions(space=9.0)


def _warm(make, id_, phase=Phase.WARM_UP, loads=("hip", "knee"), kind="work"):
    return make.movement(id_, None, phase=phase, kind=kind, loads=loads, sets=1, rest=10)


@pytest.fixture
def world(make):
    """Three skills of nine, six warm-ups and four cool-downs."""
    skills = {
        "pipe": {"loads": ("ankle", "knee"), "hazards": ("rolling",)},
        "crawl": {"loads": ("wrist", "shoulder"), "kind": "work"},
        "hang": {"loads": ("hand", "shoulder"), "equipment": ("bar",)},
    }
    main = [
        make.movement(
            f"{skill}_{n}",
            n,
            skill=skill,
            down=f"{skill}_{n - 1}" if n else None,
            up=f"{skill}_{n + 1}" if n < 8 else None,
            **({**details, "hazards": ("hanging",)} if skill == "hang" and n > 2 else details),
        )
        for skill, details in skills.items()
        for n in range(9)
    ]
    warm = [_warm(make, f"raise_{n}") for n in range(2)]
    warm += [
        _warm(make, f"move_{part}", loads=(part,), kind="hold")
        for part in ("ankle", "wrist", "shoulder", "hand")
    ]
    cool = [
        _warm(make, f"calm_{part}", Phase.COOL_DOWN, (part,), "hold")
        for part in ("ankle", "wrist", "shoulder", "hand")
    ]
    return make.catalogue(*main, *warm, *cool)


def _plan(world, make, minutes=30, equipment=("bar",), history=None, day=0, **more):
    profile = make.profile(equipment=equipment, space=9.0, **more)
    conditions = Conditions.of(profile)
    return plan_session(
        world, profile, conditions, history or make.history(), day=day, minutes=minutes
    )


def _of(world, plan, phase=Phase.MAIN):
    return [world.movements[block.movement] for block in plan.blocks if block.phase is phase]


def test_the_shape_of_a_session(world, make):
    plan = _plan(world, make)
    phases = [block.phase for block in plan.blocks]
    order = [Phase.WARM_UP, Phase.MAIN, Phase.COOL_DOWN]
    assert phases == sorted(phases, key=order.index)
    assert raises(_of(world, plan, Phase.WARM_UP)[0])
    assert len({movement.skill for movement in _of(world, plan)}) >= 2
    assert plan.left_out == ()


def test_the_warm_up_moves_what_the_main_part_loads(world, make):
    plan = _plan(world, make)
    moved = {part for m in _of(world, plan, Phase.WARM_UP) for part in m.loads}
    loaded = {part for m in _of(world, plan) for part in m.loads}
    assert loaded <= moved


def test_the_days_skills_are_rehearsed_at_the_end_of_the_warm_up(world, make):
    levels = dict.fromkeys(world.skills, "intermediate")
    plan = _plan(world, make, minutes=45, levels=levels)
    warm = [block for block in plan.blocks if block.phase is Phase.WARM_UP]
    rehearsed = [block for block in warm if world.movements[block.movement].skill]
    assert rehearsed
    assert warm[-len(rehearsed) :] == rehearsed
    for block in rehearsed:
        assert block.target.sets == 1
        assert block.reason is not None
        assert not world.movements[block.movement].hazards


@pytest.mark.parametrize(
    ("minutes", "level"),
    [(8, "beginner"), (15, "beginner"), (30, "beginner"), (30, "advanced"), (45, "advanced")],
)
def test_the_minutes_are_filled_to_within_one(world, make, minutes, level):
    plan = _plan(world, make, minutes, levels=dict.fromkeys(world.skills, level))
    assert 0 <= minutes * 60 - plan.seconds <= 60


def test_what_does_not_fit_is_told(world, make):
    plan = _plan(world, make, 5)
    assert plan.seconds <= 300
    assert {reason.id for reason in plan.left_out} & {"left_out_no_time", "left_out_sets"}


def test_time_that_nothing_can_fill_is_told(make):
    catalogue = make.catalogue(make.movement("hold", 0))
    plan = plan_session(catalogue, make.profile(), ROOM, minutes=60)
    assert plan.seconds < 3600 - 60
    assert plan.left_out[0].id == "left_out_minutes"
    assert plan.left_out[0].values["spare"] == round((3600 - plan.seconds) / 60)


def test_skills_trained_last_come_last(world, make):
    history = make.history(
        make.session("pipe_0", 1, 30, day=100), make.session("crawl_0", 2, 30, day=101)
    )
    plan = _plan(world, make, 12, history=history, day=102)
    assert {m.skill for m in _of(world, plan)} == {"hang", "pipe"}


def test_the_log_decides_movement_and_target(world, make):
    history = make.history(
        *(make.session("pipe_0", n, 45, 45, target=45) for n in (1, 2)),
        make.session("crawl_0", 3, 30, 30),
    )
    plan = _plan(world, make, 45, history=history, day=4)
    targets = {block.movement: amount_of(block.target) for block in plan.blocks}
    assert targets["pipe_1"] == 30
    assert targets["crawl_0"] == 35


def test_missing_equipment_trains_something_near_and_tells_the_stand_in(make):
    catalogue = make.catalogue(
        make.movement("hang", 0, equipment=("bar",)),
        make.movement("squeeze", 0),
        stand_ins={"bar": [StandIn(name="branch", condition="Only if it is thick.")]},
    )
    plan = plan_session(catalogue, make.profile(), ROOM, minutes=10)
    assert plan.blocks[0].movement == "squeeze"
    assert plan.blocks[0].reason is not None
    assert plan.blocks[0].reason.id == "instead_without"
    assert plan.left_out[-1].id == "left_out_stand_in"


def test_an_accepted_stand_in_is_named_in_the_block(make):
    catalogue = make.catalogue(
        make.movement("hang", 0, equipment=("bar",)),
        stand_ins={"bar": [StandIn(name="branch", condition="Only if it is thick.")]},
    )
    day = Conditions(space=9.0, stand_ins=frozenset({"bar"}))
    plan = plan_session(catalogue, make.profile(), day, minutes=10)
    assert plan.blocks[0].stand_in == "branch"


def test_a_skill_that_can_not_be_trained_is_told(world, make):
    plan = _plan(world, make, equipment=())
    assert "hang" not in {m.skill for m in _of(world, plan)}
    told = [reason for reason in plan.left_out if reason.id == "left_out_not_without"]
    assert [reason.values["skill"] for reason in told] == ["hang"]


class TestFreshArms:
    def test_hanging_comes_before_what_tires_the_arms(self, world, make):
        plan = _plan(world, make, 60, levels={"hang": "advanced"})
        main = _of(world, plan)
        at = next(n for n, movement in enumerate(main) if wants_fresh(movement))
        assert at > 0
        assert not any(tires_arms(movement) for movement in main[:at])
        assert any(tires_arms(movement) for movement in main[at + 1 :])

    def test_one_such_movement_a_session(self, make):
        catalogue = make.catalogue(
            make.movement("hang", 0, skill="hang", hazards=("hanging",)),
            make.movement("flip", 0, skill="flip", hazards=("inverted",)),
        )
        plan = plan_session(catalogue, make.profile(), ROOM, minutes=30)
        assert [block.movement for block in plan.blocks] == ["hang"]
        assert "left_out_fresh" in {reason.id for reason in plan.left_out}

    def test_the_day_after_it_comes_last(self, make):
        catalogue = make.catalogue(
            make.movement("hang", 0, skill="hang", hazards=("hanging",)),
            make.movement("walk", 0, skill="walk"),
            make.movement("hop", 0, skill="hop"),
        )
        history = make.history(
            make.session("walk", 2, 30, day=99),
            make.session("hop", 3, 30, day=99),
            make.session("hang", 4, 30, day=99),
        )
        first = []
        for day in (100, 101):
            plan = plan_session(catalogue, make.profile(), ROOM, history, day=day, minutes=8)
            first.append({block.movement for block in plan.blocks})
        assert first == [{"walk", "hop"}, {"walk", "hang"}]


class TestCheckIn:
    def _both(self, world, make, readiness, minutes=30):
        profile = make.profile(equipment=("bar",), space=9.0)
        day = Conditions.of(profile)
        return [
            plan_session(world, profile, day, minutes=minutes, readiness=each)
            for each in (Readiness(), readiness)
        ]

    def test_a_sore_part_is_left_alone_everywhere(self, world, make):
        _, sore = self._both(world, make, Readiness(pain={BodyPart.SHOULDER: 4}))
        assert all(BodyPart.SHOULDER not in world.movements[b.movement].loads for b in sore.blocks)
        assert sore.left_out[0].id == "day_pain_spared"

    def test_a_low_day_is_three_quarters_with_fewer_sets(self, world, make):
        full, low = self._both(world, make, Readiness(energy="low"))
        assert low.seconds <= full.seconds * 0.75 + 60
        assert max(b.target.sets for b in low.blocks) < max(b.target.sets for b in full.blocks)

    def test_a_low_day_asks_for_the_bottom_of_the_range(self, world, make):
        history = make.history(make.session("pipe_0", 1, 40, 40, target=40))
        profile = make.profile(space=9.0)
        plan = plan_session(
            world, profile, Conditions.of(profile), history, 2, 30, Readiness(sleep=4.0)
        )
        amounts = {b.movement: amount_of(b.target) for b in plan.blocks}
        assert amounts["pipe_0"] == 30

    def test_much_pain_is_a_day_of_rest(self, world, make):
        with pytest.raises(NothingToTrainError) as raised:
            self._both(world, make, Readiness(pain={BodyPart.KNEE: 7}))
        assert raised.value.reasons[0].id == "day_pain_rest"

    def test_everything_sore_leaves_nothing(self, world, make):
        pain = dict.fromkeys(BodyPart, 4)
        with pytest.raises(NothingToTrainError) as raised:
            self._both(world, make, Readiness(pain=pain))
        assert any(reason.id.startswith("left_out_not") for reason in raised.value.reasons)


class TestWeakerSide:
    def test_it_gets_one_more_set_and_the_other_keeps_all(self, make):
        catalogue = make.catalogue(make.movement("swing", 0, sides="each", sets=2))
        history = make.history(
            *(
                make.session("swing", n, amount, sides=(side,))
                for n in (1, 2)
                for side, amount in (("left", 30), ("right", 20))
            )
        )
        plain, more = (
            plan_session(catalogue, make.profile(), ROOM, log, day=3, minutes=15)
            for log in (make.history(), history)
        )
        assert plain.blocks[0].extra_side is None
        assert more.blocks[0].extra_side == "right"
        assert more.blocks[0].extra_because is not None
        assert more.blocks[0].target.sets == plain.blocks[0].target.sets


def test_the_catalogue_that_comes_along_fills_half_an_hour_at_every_level(make):
    catalogue = builtin_catalogue()
    for level in Level:
        levels = dict.fromkeys(catalogue.skills, level)
        profile = make.profile(levels=levels, equipment=tuple(catalogue.equipment), space=8.0)
        plan = plan_session(catalogue, profile, Conditions.of(profile), minutes=30)
        assert 0 <= 1800 - plan.seconds <= 60
        assert len({m.skill for m in _of(catalogue, plan)}) >= 2


PARTS = ["wrist", "shoulder", "knee", "hip", "ankle"]


def _random_world(make, draw):
    movements = []
    for skill in ("pipe", "crawl", "hang")[: draw(st.integers(1, 3))]:
        rungs = sorted(draw(st.sets(st.integers(0, 8), min_size=1, max_size=4)))
        ids = [f"{skill}_{n}" for n in rungs]
        for place, n in enumerate(rungs):
            kind = draw(st.sampled_from(["hold", "work", "reps", "reps_per_side", "distance"]))
            sides = draw(st.sampled_from(["none", "each", "shared"]))
            movements.append(
                make.movement(
                    ids[place],
                    n,
                    skill=skill,
                    kind=kind,
                    span=(30, 45) if kind in ("hold", "work") else (4, 6),
                    sets=draw(st.integers(1, 4)),
                    rest=draw(st.integers(0, 90)),
                    sides="each" if kind == "reps_per_side" else sides,
                    loads=sorted(draw(st.sets(st.sampled_from(PARTS)))),
                    hazards=sorted(draw(st.sets(st.sampled_from(["hanging", "rolling"])))),
                    equipment=("bar",) if draw(st.booleans()) else (),
                    down=ids[place - 1] if place else None,
                    up=ids[place + 1] if place + 1 < len(ids) else None,
                )
            )
    for phase, name in ((Phase.WARM_UP, "warm"), (Phase.COOL_DOWN, "cool")):
        for n in range(draw(st.integers(0, 3))):
            loads = tuple(sorted(draw(st.sets(st.sampled_from(PARTS)))))
            movements.append(_warm(make, f"{name}_{n}", phase, loads))
    return make.catalogue(*movements)


def _random_log(make, draw, catalogue):
    sessions = []
    for number in range(draw(st.integers(0, 5))):
        movement = catalogue.movements[draw(st.sampled_from(sorted(catalogue.movements)))]
        target = range_of(movement.dosage).low
        amounts = draw(st.lists(st.integers(0, 50), min_size=1, max_size=3))
        sides = ("none",) if movement.sides == "none" else ("left", "right")
        sessions.append(make.session(movement.id, number + 1, *amounts, target=target, sides=sides))
    return make.history(*sessions)


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_whatever_the_day_the_plan_is_sound(make, data):
    draw = data.draw
    catalogue = _random_world(make, draw)
    history = _random_log(make, draw, catalogue)
    minutes = draw(st.integers(5, 90))
    profile = make.profile(
        levels={"pipe": draw(st.sampled_from(Level))},
        equipment=("bar",) if draw(st.booleans()) else (),
    )
    conditions = Conditions.of(profile)
    readiness = Readiness(
        {BodyPart.WRIST: draw(st.integers(0, 5))}, draw(st.sampled_from(["low", "normal"]))
    )
    arguments = (catalogue, profile, conditions, history, 7, minutes, readiness)
    try:
        plan = plan_session(*arguments)
    except NothingToTrainError:
        return
    assert plan == plan_session(*arguments)
    budget = round(minutes * 60 * (0.75 if readiness.energy == "low" else 1))
    assert plan.seconds <= budget
    assert budget - plan.seconds <= 60 or plan.left_out
    talk = Talk.to(profile, history, 7)
    estimates = [estimate_seconds(b, catalogue.movements[b.movement], talk) for b in plan.blocks]
    assert plan.seconds == sum(estimates) + talk.opening() + talk.closing()
    hurting = {BodyPart.WRIST} if readiness.pain[BodyPart.WRIST] >= 3 else set()
    for block in plan.blocks:
        movement = catalogue.movements[block.movement]
        assert feasible(catalogue, movement, conditions) is None
        assert hurting.isdisjoint(movement.loads)
        span = range_of(movement.dosage)
        assert span.low <= amount_of(block.target) <= span.high
    main = [catalogue.movements[b.movement] for b in plan.blocks if b.phase is Phase.MAIN]
    assert main
    fresh = [n for n, movement in enumerate(main) if wants_fresh(movement)]
    assert len(fresh) <= 1
    assert not fresh or not any(tires_arms(movement) for movement in main[: fresh[0]])
    reasons = [*plan.left_out, *(block.reason for block in plan.blocks if block.reason)]
    for reason in reasons:
        assert set(reason.values) == set(SLOTS[reason.id]), reason.id
