"""Laws that hold whatever the loads are."""

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

WYE_SYSTEMS = ["208 3ph", "208Y/120", "120 1ph", "208 1ph"]
SECONDARIES = {
    "208Y/120": WYE_SYSTEMS,
    "240 delta": ["240 3ph", "240 1ph"],
    "240/120 delta": ["240 3ph", "240 1ph", "120 1ph", "120/240 1ph"],
    "120/240 1ph": ["120 1ph", "240 1ph", "120/240 1ph"],
    "480 1ph": ["480 1ph"],
}
FACTORS = [None, None, 1.0, 0.9, 0.8]
GROWING = ("kva", "kva_with_growth", "kva_heat", "on_kva", "worst_phase_kva", "code_kva")


@st.composite
def jobs(draw: st.DrawFn, most: int = 4) -> tuple[str, list[tuple[str, float, dict[str, Any]]]]:
    secondary = draw(st.sampled_from(sorted(SECONDARIES)))
    row = st.tuples(
        st.sampled_from(SECONDARIES[secondary]),
        st.floats(0.5, 50.0),
        st.fixed_dictionaries(
            {
                "power_factor": st.sampled_from(FACTORS),
                "quantity": st.integers(1, 3).map(float),
                "continuous": st.booleans(),
                "kind": st.sampled_from(["general", "motor"]),
            }
        ),
    )
    rows = draw(st.lists(row, min_size=1, max_size=most))
    while len(rows) > 1 and sum(float(facts["quantity"] or 0) for _, _, facts in rows) > 8:
        rows.pop()
    return secondary, rows


def picture_of(build: Any, job: tuple[str, list[tuple[str, float, dict[str, Any]]]], **facts: Any) -> Any:
    secondary, rows = job
    loads = [build.load(text, "kva", kva, index, **own) for index, (text, kva, own) in enumerate(rows)]
    return build.picture(loads, secondary, **facts)


@settings(max_examples=60)
@given(jobs(), st.floats(0.1, 40.0), st.sampled_from(FACTORS))
def test_one_more_load_never_lowers_the_sums(build: Any, job: Any, kva: float, factor: float | None) -> None:
    secondary, rows = job
    before = picture_of(build, job)
    after = picture_of(build, (secondary, [*rows, (rows[0][0], kva, {"power_factor": factor})]))
    for name in ("kva", "kva_with_growth", "kva_heat", "on_kva", "code_kva"):
        assert getattr(after, name) >= getattr(before, name) * (1 - 1e-12)


@settings(max_examples=60)
@given(jobs(), st.floats(0.1, 40.0))
def test_one_more_load_of_the_same_angle_never_lowers_anything(build: Any, job: Any, kva: float) -> None:
    """But for the halves of a high-leg side: a load on the other half takes over part of the return current."""
    secondary, rows = job
    rows = [(text, size, {**facts, "power_factor": None}) for text, size, facts in rows]
    before = picture_of(build, (secondary, rows))
    after = picture_of(build, (secondary, [*rows, (rows[0][0], kva, {})]))
    for name in GROWING:
        if name != "worst_phase_kva" or secondary != "240/120 delta":
            assert getattr(after, name) >= getattr(before, name) * (1 - 1e-9)


@settings(max_examples=60)
@given(jobs(), st.floats(0.01, 100.0))
def test_scaling(build: Any, job: Any, times: float) -> None:
    secondary, rows = job
    before = picture_of(build, job)
    after = picture_of(build, (secondary, [(text, kva * times, facts) for text, kva, facts in rows]))
    for name in (*GROWING, "neutral_a"):
        value = getattr(before, name)
        if value is not None:
            assert getattr(after, name) == pytest.approx(times * value, rel=1e-6, abs=1e-6 * times)
    assert after.k_factor == before.k_factor


@settings(max_examples=60)
@given(jobs())
def test_the_worst_phase_is_never_below_its_share(build: Any, job: Any) -> None:
    secondary, _ = job
    picture = picture_of(build, job, growth_pct=15.0)
    times = 3 if "1ph" not in secondary else 1
    assert times * picture.worst_phase_kva >= picture.kva_with_growth * (1 - 1e-9)
    assert picture.kva_heat >= picture.kva_with_growth == pytest.approx(1.15 * picture.kva)
    assert picture.code_kva >= picture.kva_with_growth * (1 - 1e-9)
    assert max(picture.design_line_a) >= max(picture.line_a) * (1 - 1e-9)
    assert all(
        design >= line * (1 - 1e-9)
        for design, line in zip(picture.design_line_a, picture.line_a, strict=True)
    )


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(
            st.floats(0.5, 30.0), st.sampled_from(["A", "B", "C", "AB", "BC", "CA"]), st.sampled_from(FACTORS)
        ),
        min_size=1,
        max_size=6,
    )
)
def test_turning_all_loads_by_one_line_turns_the_results(
    build: Any, rows: list[tuple[float, str, float | None]]
) -> None:
    turn = {"A": "B", "B": "C", "C": "A", "AB": "BC", "BC": "CA", "CA": "AB"}

    def picture(turned: bool) -> Any:
        loads = []
        for index, (kva, lines, factor) in enumerate(rows):
            text = "120 1ph" if len(lines) == 1 else "208 1ph"
            here = turn[lines] if turned else lines
            loads.append(build.load(text, "kva", kva, index, lines=here, power_factor=factor))
        return build.picture(loads)

    before, after = picture(False), picture(True)
    for name in ("line_a", "phase_kva", "design_line_a"):
        a, b, c = getattr(before, name)
        assert getattr(after, name) == pytest.approx((c, a, b), rel=1e-9, abs=1e-9)
    assert after.neutral_a == pytest.approx(before.neutral_a, rel=1e-9, abs=1e-9)
    assert after.kva == pytest.approx(before.kva, rel=1e-12)


@settings(max_examples=20)
@given(jobs(), st.floats(0.0, 150.0))
def test_growth_multiplies_every_load_and_current(build: Any, job: Any, growth_pct: float) -> None:
    now, grown = picture_of(build, job), picture_of(build, job, growth_pct=growth_pct)
    times = 1.0 + growth_pct / 100.0
    assert grown.kva == now.kva
    for name in ("kva_with_growth", "on_kva", "worst_phase_kva", "phase_kva", "line_a", "neutral_a"):
        before, after = getattr(now, name), getattr(grown, name)
        if before is not None:
            expected = tuple(times * one for one in before) if isinstance(before, tuple) else times * before
            assert after == pytest.approx(expected, rel=1e-12), name


@settings(max_examples=60)
@given(jobs(), st.randoms(use_true_random=False))
def test_the_order_of_the_list_does_not_matter(build: Any, job: Any, random: Any) -> None:
    secondary, rows = job
    shuffled = list(rows)
    random.shuffle(shuffled)
    before, after = picture_of(build, job), picture_of(build, (secondary, shuffled))
    for name in GROWING:
        assert getattr(after, name) == pytest.approx(getattr(before, name), rel=1e-9)


@settings(max_examples=60)
@given(jobs())
def test_a_quantity_is_so_many_loads(build: Any, job: Any) -> None:
    """One line with n pieces, or n lines with one."""
    secondary, rows = job
    single = [
        (text, kva, {**facts, "quantity": 1.0})
        for text, kva, facts in rows
        for _ in range(int(facts["quantity"]))
    ]
    before, after = picture_of(build, job), picture_of(build, (secondary, single))
    for name in GROWING:
        assert getattr(after, name) == pytest.approx(getattr(before, name), rel=1e-9)


@given(st.lists(st.tuples(st.floats(0.5, 50.0), st.sampled_from(FACTORS)), min_size=1, max_size=8))
def test_a_vector_sum_lies_between_the_largest_and_the_plain_sum(
    build: Any, rows: list[tuple[float, float | None]]
) -> None:
    loads = [
        build.load("208 3ph", "kva", kva, i, power_factor=factor) for i, (kva, factor) in enumerate(rows)
    ]
    kva = build.picture(loads).kva
    assert (
        max(size for size, _ in rows) * (1 - 1e-12)
        <= kva
        <= math.fsum(size for size, _ in rows) * (1 + 1e-12)
    )


@given(st.floats(0.5, 50.0), st.floats(0.5, 50.0))
def test_an_unknown_angle_adds_in_line(build: Any, first: float, second: float) -> None:
    loads = [build.load("208 3ph", "kva", first, power_factor=0.6), build.load("208 3ph", "kva", second, 1)]
    assert build.picture(loads).kva == pytest.approx(first + second, rel=1e-12)
