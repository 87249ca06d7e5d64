"""Every number shown can be asked why."""

import math
from typing import Any

import pytest

from turnwright.demand.account import MOST_LISTED
from turnwright.working import CLOSED, Ledger, Step, step_of


def mixed(build: Any) -> list[Any]:
    return [
        build.load("208 3ph", "hp", 15.0, quantity=2, nameplate_v=208.0),
        build.load(
            "120 1ph", "current", 16.0, 1, quantity=7, power_factor=0.9, harmonics=((3, 40.0), (5, 20.0))
        ),
        build.load("208 1ph", "kw", 7.0, 2, quantity=4, kind="charger"),
        build.load(
            "208Y/120",
            "kva",
            12.0,
            3,
            demand_factor=0.8,
            harmonics=((3, 30.0), (7, 10.0)),
            largest_motor_hp=3.0,
        ),
        build.load("208 1ph", "current", 60.0, 4, kind="welder", duty_on_pct=20.0, never_with="load 5"),
        build.load("208 3ph", "kva", 9.0, 5, measured_demand=True, power_factor=0.8),
    ]


def named(value: object) -> Step:
    """Return the step behind a value, which must have one."""
    step = step_of(value)
    assert step is not None
    return step


NUMBERS = {
    "kva": "demand.kva",
    "kva_with_growth": "demand.kva_with_growth",
    "motor_allowance_kva": "demand.motor_allowance_kva",
    "kva_heat": "demand.kva_heat",
    "worst_phase_kva": "demand.worst_phase_kva",
    "k_factor": "demand.k_factor",
    "neutral_a": "demand.neutral_a",
    "code_kva": "demand.code_kva",
}


@pytest.mark.parametrize("chosen", [slice(None), slice(0, 4), slice(0, 1), slice(1, 3)])
def test_every_input_of_every_step_has_a_step_of_its_own(build: Any, chosen: slice) -> None:
    ledger = Ledger()
    build.picture(
        mixed(build)[chosen] if chosen != slice(None) else mixed(build), growth_pct=10.0, work=ledger
    )
    for step in ledger.steps.values():
        for name, value in step.inputs.items():
            origin = step_of(value)
            assert origin is not None, f"{step.name}: {name} = {value}"
            assert origin.name in ledger.steps
            assert ledger.steps[origin.name].value == pytest.approx(float(value), rel=1e-12)


def test_steps_are_computed_again_from_their_inputs(build: Any) -> None:
    """A formula and the numbers beside it give the value beside it."""
    import turnwright.demand.harmonic_formulas as harmonics
    import turnwright.demand.load_formulas as loads
    import turnwright.demand.phasor_formulas as phasors
    import turnwright.demand.sum_formulas as sums
    from turnwright.working import formula_of

    functions: dict[str, list[Any]] = {}
    for module in (loads, sums, phasors, harmonics):
        for function in vars(module).values():
            if callable(function) and hasattr(function, "formula") and function.__module__ == module.__name__:
                functions.setdefault(formula_of(function).equation, []).append(function)
    ledger = Ledger()
    build.picture(mixed(build), growth_pct=10.0, work=ledger)
    computed = [step for step in ledger.steps.values() if step.formula]
    assert len(computed) > 60
    for step in computed:
        values = []
        for function in functions[step.formula]:
            try:
                values.append(function(**step.inputs))
            except TypeError:
                continue
        assert any(math.isclose(value, step.value, rel_tol=1e-12, abs_tol=1e-12) for value in values), (
            step.name
        )


def test_a_closed_ledger_gives_the_same_numbers(build: Any) -> None:
    closed = build.picture(mixed(build), growth_pct=10.0, work=CLOSED)
    opened = build.picture(mixed(build), growth_pct=10.0, work=Ledger())
    assert closed == opened


def test_results_carry_their_steps(build: Any) -> None:
    picture = build.picture(mixed(build), growth_pct=10.0, work=Ledger())
    for field, name in NUMBERS.items():
        assert named(getattr(picture, field)).name == name
    assert named(picture.loads[0].kva).name == "load[0].kva"


def test_a_motor_current_names_its_table(build: Any) -> None:
    ledger = Ledger()
    build.picture([build.load("240 3ph", "hp", 15.0, nameplate_v=230.0)], "240 delta", work=ledger)
    assert "430.250" in named(ledger.steps["load[0].kva"].inputs["current_a"]).source


def test_the_allowance_for_the_largest_motor_is_a_step_of_its_own(build: Any) -> None:
    ledger = Ledger()
    build.picture(
        [build.load("240 3ph", "hp", 15.0, nameplate_v=230.0, quantity=2)], "240 delta", work=ledger
    )
    step = ledger.steps["demand.motor_allowance_kva"]
    assert set(step.inputs) == {"largest_motor_kva", "fraction"}
    assert named(step.inputs["fraction"]).known == "common practice"
    assert ledger.steps["demand.kva_heat"].inputs["motor_allowance_kva"] == step.value


def test_names_follow_the_index_of_the_job_not_the_place_in_the_case(build: Any) -> None:
    ledger = Ledger()
    picture = build.picture([build.load("208 3ph", "current", 10.0, 4)], work=ledger)
    assert "load[4].kva" in ledger.steps
    assert (picture.loads[0].index, picture.counted) == (4, (0,))


@pytest.mark.parametrize("count", [MOST_LISTED, MOST_LISTED + 1])
def test_a_long_list_is_recorded_by_its_totals(build: Any, count: int) -> None:
    facts: dict[str, Any] = {"power_factor": 0.9, "harmonics": ((3, 20.0),)}
    loads = [
        build.load("120 1ph", "current", 1.0 + i % 7, i, **(facts if i % 2 else {})) for i in range(count)
    ]
    ledger = Ledger()
    picture = build.picture(loads, work=ledger)
    assert ("load[0].kva" in ledger.steps) == (count <= MOST_LISTED)
    assert named(picture.kva).name == "demand.kva"
    if count > MOST_LISTED:
        assert len(ledger.steps) < 120
    for step in ledger.steps.values():
        assert all(step_of(value) is not None for value in step.inputs.values())
    assert 3 * picture.worst_phase_kva == pytest.approx(picture.kva, rel=0.02)


def test_a_long_list_gives_the_same_numbers_closed(build: Any) -> None:
    loads = [
        build.load("120 1ph", "current", 1.0 + i % 7, i, power_factor=0.9) for i in range(MOST_LISTED + 50)
    ]
    assert build.picture(loads, work=Ledger()) == build.picture(loads, work=CLOSED)


def test_a_long_list_asks_what_its_loads_ask_as_a_short_one(build: Any) -> None:
    """Of known and of unknown angle, on a line each: 150 of one piece are one of 150 pieces."""
    kinds: tuple[dict[str, Any], ...] = ({"power_factor": 0.8}, {})
    long = [
        build.load("120 1ph", "current", 2.0, i, lines="ABC"[i % 3], **kinds[i // 3 % 2])
        for i in range(MOST_LISTED // 6 * 6 + 60)
    ]
    short = [
        build.load("120 1ph", "current", 2.0, i, lines=line, quantity=len(long) / 6, **facts)
        for i, (line, facts) in enumerate((line, facts) for line in "ABC" for facts in kinds)
    ]
    ledger = Ledger()
    asked, listed = build.picture(short), build.picture(long, work=ledger)
    assert len(short) <= MOST_LISTED < len(long)
    for name in ("kva", "worst_phase_kva", "neutral_a"):
        assert getattr(listed, name) == pytest.approx(getattr(asked, name), rel=1e-9, abs=1e-9), name
    assert listed.line_a == pytest.approx(asked.line_a, rel=1e-9)
    in_line = [step.value for name, step in ledger.steps.items() if "in line]" in name]
    of_a_line = 0.24 * len(long) / 6
    assert {round(value, 6) for value in in_line} == {
        round(of_a_line, 6),  # of unknown angle
        round(1.25 * of_a_line, 6),  # the same for conductors, 125 % by 215.3
        round(2 * 1.25 * of_a_line, 6),  # all of them, where no angle is taken as known
    }


def test_ten_thousand_loads(build: Any) -> None:
    loads = [build.load("120 1ph", "current", 1.0 + i % 97 / 10, i, quantity=2) for i in range(10_000)]
    picture = build.picture(loads)
    assert sum(one.pieces for one in picture.placements) == 20_000
    assert max(picture.line_a) / min(picture.line_a) < 1.001
    assert picture.kva == pytest.approx(math.fsum(0.12 * (1.0 + i % 97 / 10) * 2 for i in range(10_000)))
