"""Vetting and selecting are one engine: a picked unit fits, the size below does not, for the same reason."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.narrow import select
from turnwright.regimes import regime_of
from turnwright.vetting import vet

NAMES = {"heat": "heat", "drop": "voltage drop", "dip": "dip at motor start", "neutral": "neutral"}
SIZES = regime_of("us", "2023", "test").sizes_kva

LOADS = st.one_of(
    st.fixed_dictionaries({"system": st.sampled_from(["208Y/120", "240 3ph", "400Y/230", "120/240 1ph"])}),
    st.fixed_dictionaries({"system": st.just("480 3ph"), "neutral": st.just(False)}),
    st.fixed_dictionaries(
        {
            "system": st.just("208Y/120"),
            "power_factor": st.floats(0.5, 1.0),
            "regulation_limit": st.just("3 %"),
        }
    ),
)


def plate(pick, kva):
    quantity = {"quantity": pick.units} if pick.units > 1 else {}
    return unit_from_mapping(
        {"kva": f"{kva} kVA", "primary": pick.primary, "secondary": pick.secondary, **quantity}
    )


@settings(max_examples=40)
@given(
    load=LOADS,
    kva=st.floats(0.5, 300),
    growth=st.integers(0, 30),
    supply=st.sampled_from(["480Y/277", "600 3ph"]),
)
@example(
    load={"system": "208Y/120", "power_factor": 0.99999, "regulation_limit": "3 %"},
    kva=105.0,
    growth=28,
    supply="480Y/277",
)
def test_a_picked_unit_fits_and_the_next_smaller_one_does_not(load, kva, growth, supply):
    job = job_from_mapping(
        {
            "supply": {"system": supply},
            "load": [load | {"kva": f"{kva} kVA"}],
            "choices": {"growth": f"{growth} %", "arrangement": "isolation"},
        }
    )
    result = select(job, ledger_open=False, ask=False)
    if result.pick is None:
        return
    assert vet(job, plate(result.pick, result.pick.kva), ledger_open=False).verdict in (
        "fit",
        "fit-with-conditions",
    )
    smaller = [size for size in SIZES[result.pick.phases] if size < result.pick.kva]
    if not smaller:
        return
    below = vet(job, plate(result.pick, smaller[-1]), ledger_open=False)
    assert below.verdict == "unfit"
    unmet = {one.name for one in below.criteria if not one.ok}
    if result.demand.kva_required > smaller[-1]:
        assert NAMES[result.demand.basis] in unmet
    else:  # only the impedance of the smaller one refuses it
        assert unmet and unmet <= {NAMES["drop"], NAMES["dip"]}


@settings(max_examples=15)
@given(kva=st.floats(5, 60), more=st.floats(1.0, 4.0))
def test_a_larger_unit_never_turns_unfit_where_a_smaller_one_fits(kva, more):
    job = job_from_mapping(
        {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": f"{kva} kVA"}]}
    )
    small = vet(job, unit_from_mapping({"kva": "45 kVA", "primary": "480 delta", "secondary": "208Y/120"}))
    large = vet(
        job, unit_from_mapping({"kva": f"{45 * more} kVA", "primary": "480 delta", "secondary": "208Y/120"})
    )
    if small.verdict != "unfit":
        assert large.verdict != "unfit"
    assert large.spare_kva >= small.spare_kva - 1e-9


@settings(max_examples=15)
@given(kva=st.floats(5, 40))
def test_the_spare_is_what_may_be_added(kva):
    unit = unit_from_mapping({"kva": "45 kVA", "primary": "480 delta", "secondary": "208Y/120"})

    def with_load(size):
        load = {"system": "208Y/120", "kva": f"{size} kVA"}
        return vet(
            job_from_mapping({"supply": {"system": "480Y/277"}, "load": [load]}), unit, ledger_open=False
        )

    spare = with_load(kva).spare_kva
    assert with_load(kva + spare * 0.999).verdict != "unfit"
    assert with_load(kva + spare * 1.001 + 1e-6).verdict == "unfit"


def test_every_input_of_the_working_comes_from_a_step_that_is_there():
    job = job_from_mapping(
        {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": "20 kVA"}]}
    )
    unit = unit_from_mapping(
        {"kva": "45 kVA", "primary": "480 delta", "secondary": "208Y/120", "impedance": "4 %"}
    )
    found = vet(job, unit)
    names = {line.name for line in found.working}
    assert {"vet.output_v", "vet.flux_pct", "vet.usable_kva", "currents.primary_rated_a"} <= names
    for line in found.working:
        assert set(line.from_.values()) <= names


def test_the_same_answer_twice_is_the_same_tree():
    job = job_from_mapping(
        {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": "20 kVA"}]}
    )
    unit = unit_from_mapping({"kva": "45 kVA", "primary": "480 delta", "secondary": "208Y/120"})
    assert vet(job, unit).to_json() == vet(job, unit).to_json()
