"""Laws that hold for every answer, whatever the job."""

from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping
from turnwright.narrow import select

KVA = st.floats(min_value=0.2, max_value=700)
SUPPLY = {"system": "480Y/277", "fault_current": "20 kA"}


def job(*loads, supply=None, **tables):
    return job_from_mapping({"supply": supply or SUPPLY, "load": list(loads), **tables})


def answer(*loads, **tables):
    return select(job(*loads, **tables), ledger_open=False, ask=False)


def three_phase(kva, **more):
    return {"system": "208Y/120", "kva": f"{kva} kVA"} | more


def single(kva, lines=None):
    load = {"system": "120 1ph", "kva": f"{kva} kVA", "neutral": True, "power_factor": 0.9}
    return load | ({"lines": lines} if lines else {})


@settings(max_examples=40)
@given(kva=KVA, more=st.floats(1, 3))
def test_more_load_never_gives_a_smaller_unit(kva, more):
    small, large = answer(three_phase(kva)), answer(three_phase(kva * more))
    if large.pick is not None:
        assert small.pick is not None
        assert large.pick.kva >= small.pick.kva


@settings(max_examples=40)
@given(kva=KVA, growth=st.integers(0, 100))
def test_the_pick_carries_the_load_with_growth(kva, growth):
    result = answer(three_phase(kva), choices={"growth": f"{growth} %"})
    if result.pick is not None:
        assert result.pick.kva >= result.demand.kva_with_growth * (1 - 1e-9)
        assert result.demand.loading_pct <= 100 * (1 + 1e-9)


@settings(max_examples=25)
@given(a=st.floats(1, 10), b=st.floats(1, 10), c=st.floats(1, 10))
def test_permuting_phases_permutes_line_currents(a, b, c):
    """A-B-C to B-C-A: the same load one phase further, the supply lines follow."""
    first = answer(single(a, "A"), single(b, "B"), single(c, "C"))
    turned = answer(single(c, "A"), single(a, "B"), single(b, "C"))
    lines, other = first.blocks.currents.line_load_a, turned.blocks.currents.line_load_a
    assert all(
        abs(x - y) <= 1e-6 * max(lines) for x, y in zip(lines, (other[1], other[2], other[0]), strict=True)
    )
    assert abs(first.blocks.currents.neutral_load_a - turned.blocks.currents.neutral_load_a) < 1e-6 * max(
        lines
    )


@settings(max_examples=25)
@given(kva=st.floats(0.5, 20))
def test_a_balanced_sinusoidal_load_has_no_neutral_current(kva):
    result = answer(single(kva, "A"), single(kva, "B"), single(kva, "C"))
    currents = result.blocks.currents
    assert currents.neutral_load_a <= 1e-9 * currents.secondary_load_a
    assert max(currents.line_load_a) - min(currents.line_load_a) <= 1e-6 * max(currents.line_load_a)


@settings(max_examples=40)
@given(kva=KVA, continuous=st.booleans())
def test_no_device_is_above_its_limit_and_every_conductor_carries_its_device(kva, continuous):
    result = answer(three_phase(kva, continuous=continuous))
    if result.pick is None:
        return
    protection, conductors = result.blocks.protection, result.blocks.conductors
    if protection.primary_a is not None:
        assert protection.primary_a <= protection.primary_with_secondary_max_a
    if protection.secondary_a is not None:
        assert protection.secondary_a <= protection.secondary_max_a
        assert conductors.secondary.ampacity_a >= protection.secondary_a * (1 - 1e-9)
    assert conductors.primary.ampacity_a >= result.blocks.currents.primary_load_a


@settings(max_examples=25)
@given(kva=st.floats(5, 60), extra=st.floats(0.5, 60))
def test_adding_a_load_never_takes_a_stop_away(kva, extra):
    before = answer(three_phase(kva), choices={"kva": "45 kVA"})
    after = answer(three_phase(kva), three_phase(extra), choices={"kva": "45 kVA"})
    stops = {finding.code for finding in before.findings if finding.severity == "stop"}
    assert stops <= {finding.code for finding in after.findings if finding.severity == "stop"}


@settings(max_examples=20)
@given(kva=st.floats(5, 60), ambient=st.floats(30, 60), altitude=st.floats(1000, 4000))
def test_heat_and_height_never_give_a_smaller_unit(kva, ambient, altitude):
    plain = answer(three_phase(kva))
    harder = answer(
        three_phase(kva), site={"ambient_average": f"{ambient} degC", "altitude": f"{altitude} m"}
    )
    assert harder.pick.kva >= plain.pick.kva
    assert harder.demand.kva_required >= plain.demand.kva_required * (1 - 1e-9)
