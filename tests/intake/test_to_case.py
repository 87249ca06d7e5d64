"""A job made into a case: what is given, what stands in and why, what is missing."""

from pathlib import Path

import pytest
from msgspec import structs

from turnwright.errors import InputError
from turnwright.intake import case_of, job_as_understood, load_job, read_job
from turnwright.model.case import Case, CaseLoad, Defaults, Fact, NeedsInput
from turnwright.working import Number, step_of

JOBS = Path(__file__).parent / "data" / "jobs"
NAMES = sorted(path.name for path in JOBS.glob("E??.toml"))


def case(text: str, defaults: Defaults) -> Case:
    found = case_of(read_job(text, "job.toml"), defaults)
    assert isinstance(found, Case)
    return found


def load(text: str, defaults: Defaults) -> CaseLoad:
    return case(text, defaults).loads[0]


def fact(found: Case | NeedsInput, key: str) -> Fact:
    (one,) = [each for each in found.facts if each.key == key]
    return one


@pytest.mark.parametrize("name", NAMES)
def test_every_job_becomes_a_case(name: str, us: Defaults) -> None:
    found = case_of(load_job(JOBS / name), us)
    assert isinstance(found, Case)
    keys = [each.key for each in found.facts]
    assert len(set(keys)) == len(keys)
    for each in found.facts:
        assert each.value
        assert bool(each.reason) or each.known == "given"
        assert bool(each.where) or each.known != "given"


# Key | field of the case | value | a word of the reason. The stand-ins of a job that says only what is required.
STAND_INS = [
    ("supply.frequency", "supply.frequency_hz", 60.0, "usual"),
    ("load[0].continuous", "loads.continuous", True, "3 h or more"),
    ("load[0].power_factor", "loads.power_factor", None, "earns no reduction"),
    ("circuit.conductor", "circuit.conductor", "copper", "usual"),
    ("site.place", "site.place", "indoor", "outdoors"),
    ("choices.growth", "choices.growth_pct", 0.0, "none is counted"),
    ("circuit.primary_length", "circuit.primary_length_m", None, "no length"),
    ("circuit.secondary_length", "circuit.secondary_length_m", None, "no length"),
    ("site.ambient_average", "site.ambient_average_c", 30.0, "usual service condition"),
    ("site.ambient_peak", "site.ambient_peak_c", 40.0, "conductors are taken at the peak"),
    ("site.altitude", "site.altitude_m", 1000.0, "no derating up to here"),
    ("supply.fault_current", "supply.fault_current_a", None, "the safe one for its use"),
    ("supply.x_over_r", "supply.x_over_r", 6.0, "usual"),
    ("supply.source", "supply.source", "utility", "generator"),
    ("choices.impedance", "choices.impedance_pct", None, "low end for faults, the high end for drop and dip"),
    ("circuit.terminals", "circuit.terminals_c", None, "unmarked terminals"),
    ("circuit.insulation", "circuit.insulation", "THWN-2", "usual"),
    ("circuit.raceway", "circuit.raceway", "steel", "larger drop"),
    ("edition", "edition", "2023", "which edition is adopted"),
    ("choices.manufactured", "choices.manufactured", "2026-01-01", "newest"),
    ("regime", "regime", "us", "no regime"),
]


@pytest.mark.parametrize(("key", "field", "value", "reason"), STAND_INS, ids=[each[0] for each in STAND_INS])
def test_what_stands_in_for_a_missing_fact(
    base: str, us: Defaults, key: str, field: str, value: object, reason: str
) -> None:
    found = case(base + 'kva = "31 kVA"', us)
    place: object = found
    for part in field.split("."):
        place = getattr(place, part)
        place = place[0] if isinstance(place, tuple) else place
    assert place == value
    noted = fact(found, key)
    assert (noted.known, noted.where) == ("assumed", "")
    assert reason in noted.reason
    step = step_of(place)
    assert step is None or (step.known, step.name) == ("assumed", key)


def test_nothing_else_is_assumed(base: str, us: Defaults) -> None:
    found = case(base + 'kva = "31 kVA"', us)
    assert {each.key for each in found.assumptions} == {each[0] for each in STAND_INS}
    assert found.site.place_known is False


UNKNOWNS = [
    "supply.frequency", "load[0].continuous", "load[0].power_factor", "circuit.conductor", "site.place",
    "choices.growth", "circuit.primary_length", "site.ambient_average", "site.ambient_peak", "site.altitude",
    "supply.fault_current", "supply.x_over_r", "choices.impedance", "circuit.terminals", "circuit.insulation",
    "choices.manufactured",
]  # fmt: skip


@pytest.mark.parametrize("key", UNKNOWNS)
def test_unknown_gets_the_same_and_says_so(base: str, us: Defaults, key: str) -> None:
    table, _, name = key.partition(".")
    row = f'{name} = "unknown"\n'
    if table == "supply":
        text = base.replace("[supply]\n", f"[supply]\n{row}") + "kva = 31\n"
    else:
        text = base + "kva = 31\n" + (row if table == "load[0]" else f"[{table}]\n{row}")
    plain, asked = fact(case(base + "kva = 31\n", us), key), fact(case(text, us), key)
    assert (asked.value, asked.known) == (plain.value, "assumed")
    assert asked.reason == f"{plain.reason}; the file says it is not known"


def test_a_given_size_knows_its_line(base: str, us: Defaults) -> None:
    found = load(base + 'current = "150 A"', us)
    step = step_of(found.size)
    assert step is not None
    assert (step.name, step.value, step.unit, step.known) == ("load[0].current", 150.0, "A", "given")
    assert step.source == 'job.toml, line 7: "150 A"'
    assert (found.size_kind, found.size) == ("current", 150.0)


def test_lengths_and_currents_are_in_the_units_used_inside(base: str, us: Defaults) -> None:
    text = base + 'kva = 3\n[circuit]\nsecondary_length = 12\nprimary_device = "125 A"\n'
    found = case(text.replace("[supply]", '[supply]\nfault_current = "30 kA"'), us)
    assert found.supply.fault_current_a == found.supply.fault_current_low_a == 30000.0
    assert found.circuit.secondary_length_m == 3.6576
    assert fact(found, "circuit.secondary_length").value == "12 ft"
    assert found.circuit.primary_device_a == 125.0


HALF_KNOWN = [
    ('current = "110..140 A"', "size", 140.0, "110..140 A given; 140 A used, the cautious end"),
    ('kva = "about 30 kVA"', "size", 33.0, "about 30 kVA given; 33 kVA used, the cautious end"),
    ('kva = 3\npower_factor = "0.8..0.9"', "power_factor", 0.8, "0.8..0.9 given; 0.8 used, the cautious end"),
    ('kw = 3\nefficiency = "90..93 %"', "efficiency", 0.9, "90..93 % given; 90 % used, the cautious end"),
    ('kva = 3\nquantity = "2..4"', "quantity", 4.0, "2..4 given; 4 used, the cautious end"),
    ('kva = 3\nquantity = "about 3"', "quantity", 4.0, "about 3 given; 4 used, the cautious end"),
    ('kva = 3\nregulation_limit = "3..5 %"', "regulation_limit_pct", 3.0, "3..5 % given; 3 % used"),
    ('kva = 3\nstart_dip_limit = "10..15 %"', "start_dip_limit_pct", 10.0, "10..15 % given; 10 % used"),
]


@pytest.mark.parametrize(
    ("rows", "field", "value", "reason"), HALF_KNOWN, ids=[each[0] for each in HALF_KNOWN]
)
def test_a_half_known_fact_goes_in_with_its_cautious_end(
    base: str, us: Defaults, rows: str, field: str, value: float, reason: str
) -> None:
    found = case(base + rows, us)
    number = getattr(found.loads[0], field)
    assert number == pytest.approx(value, rel=1e-12)
    step = step_of(number)
    assert step is not None and step.known == "assumed"
    assert reason in fact(found, step.name).reason
    assert fact(found, step.name).where.startswith("job.toml, line ")


def test_where_neither_end_is_the_safer_one_the_middle_is_taken(base: str, us: Defaults) -> None:
    found = case(base + 'kva = 3\n[choices]\nresistance = "1..2 %"\n', us)
    assert found.choices.resistance_pct == 1.5
    assert "the middle, since neither end is the safer one" in fact(found, "choices.resistance").reason


def test_a_half_known_impedance_and_fault_current_are_used_at_both_ends(base: str, us: Defaults) -> None:
    text = base.replace("[supply]", '[supply]\nfault_current = "20..30 kA"')
    found = case(text + 'kva = 3\n[choices]\nimpedance = "3..5 %"\n', us)
    assert (found.supply.fault_current_a, found.supply.fault_current_low_a) == (30000.0, 20000.0)
    choices = found.choices
    assert (choices.impedance_pct, choices.impedance_low_pct, choices.impedance_high_pct) == (None, 3.0, 5.0)
    exact = case(base + "kva = 3\n[choices]\nimpedance = 4\n", us).choices
    assert (exact.impedance_pct, exact.impedance_low_pct, exact.impedance_high_pct) == (4.0, None, None)


@pytest.mark.parametrize(
    ("rows", "power_factor", "efficiency"),
    [
        ("kw = 24", 0.85, 1.0),
        ('kw = 24\nkind = "heating"', 0.85, 1.0),
        ("kw = 24\npower_factor = 1", 1.0, 1.0),
        ("kw = 24\nshaft = true", 0.85, 0.75),
        ("kw = 24\nshaft = true\nefficiency = 0.93", 0.85, 0.93),
        ("hp = 15", None, 0.75),
        ("kva = 31", None, 1.0),
        ("current = 150", None, 1.0),
    ],
)
def test_power_factor_and_efficiency_by_the_kind_of_size(
    base: str, us: Defaults, rows: str, power_factor: float | None, efficiency: float
) -> None:
    found = load(base + rows, us)
    assert (found.power_factor, found.efficiency) == (power_factor, efficiency)


def test_a_load_in_horsepower_is_a_motor(base: str, us: Defaults) -> None:
    found = case(base + "hp = 15", us)
    assert (found.loads[0].kind, fact(found, "load[0].kind").known) == ("motor", "computed")
    assert load(base + 'hp = 15\nkind = "lift"', us).kind == "lift"


@pytest.mark.parametrize(
    ("plate", "nominal"),
    [
        ("230 3ph", "240 3ph"),
        ("460 3ph", "480 3ph"),
        ("460 delta", "480 delta"),
        ("115 1ph", "120 1ph"),
        ("240 3ph", "240 3ph"),
        ("400Y/230", "400Y/230"),
        ("208Y/120", "208Y/120"),
    ],
)
def test_a_nameplate_stands_for_the_nominal_system(base: str, us: Defaults, plate: str, nominal: str) -> None:
    found = load(base.replace("240 3ph", plate) + "kva = 3", us)
    assert found.system.text == nominal
    assert found.nameplate_v == float(plate.split("Y")[0].split()[0])
    assert found.system.line_v == float(nominal.split("Y")[0].split()[0])
    step = step_of(found.system.line_v)
    assert step is not None and step.value == found.system.line_v
    assert 'job.toml, line 6: "' in step.source


def test_the_nominal_volts_keep_the_source_of_their_table(base: str, us: Defaults) -> None:
    from turnwright.working import Step

    cell = Number(240.0, Step("plates[230].nominal_v", 240.0, "V", source="NEC 2023 220.5(A)", known="seen"))
    found = load(base.replace("240 3ph", "230 3ph") + "hp = 5", structs.replace(us, nominal_v={230.0: cell}))
    step = step_of(found.system.line_v)
    assert step is not None
    assert (step.known, step.source) == (
        "seen",
        'NEC 2023 220.5(A): equipment for 230 V; job.toml, line 6: "230 3ph"',
    )


@pytest.mark.parametrize(
    ("row", "frequencies"),
    [("", (60.0,)), ('frequency = "50 Hz"', (50.0,)), ('frequency = "50/60 Hz"', (50.0, 60.0)),
     ('frequency = "50..60 Hz"', (50.0, 60.0)), ('frequency = "unknown"', (60.0,))],
)  # fmt: skip
def test_frequencies_that_a_load_takes(
    base: str, us: Defaults, row: str, frequencies: tuple[float, ...]
) -> None:
    assert load(f"{base}kva = 3\n{row}", us).frequencies_hz == frequencies


def test_starting_current_duty_and_harmonics(base: str, us: Defaults) -> None:
    found = load(
        base
        + 'hp = 5\nstart_current = "4..6 x"\nduty = { period = "2 min" }\nharmonics = { 7 = 15, 5 = "25..30 %" }',
        us,
    )
    assert (found.start_multiple, found.start_current_a) == (6.0, None)
    assert load(base + 'hp = 5\nstart_current = "310 A"', us).start_current_a == 310.0
    assert (found.duty_on_pct, found.duty_period_s) == (100.0, 120.0)
    assert found.harmonics == ((5, 30.0), (7, 15.0))


@pytest.mark.parametrize(
    ("name", "field", "value", "text"),
    [
        ("quantity", "quantity", 1.0, "1"),
        ("demand_factor", "demand_factor", 1.0, "1"),
        ("kind", "kind", "general", "general"),
        ("feeds_back", "feeds_back", False, "no"),
        ("shaft", "shaft", False, "no"),
    ],
)
def test_what_goes_without_saying_is_said_where_it_is_unknown(
    base: str, us: Defaults, name: str, field: str, value: object, text: str
) -> None:
    plain, asked = case(base + "kva = 3", us), case(f'{base}kva = 3\n{name} = "unknown"', us)
    assert getattr(plain.loads[0], field) == getattr(asked.loads[0], field) == value
    noted = fact(asked, f"load[0].{name}")
    assert (noted.value, noted.known) == (text, "assumed")
    assert "the file says it is not known" in noted.reason
    assert f"load[0].{name}" not in [each.key for each in plain.facts]


def test_what_has_no_stand_in_stays_unknown(base: str, us: Defaults) -> None:
    found = case(base + 'kva = 3\nneutral = "unknown"\nregulation_limit = "unknown"', us)
    assert (found.loads[0].neutral, found.loads[0].regulation_limit_pct) == (None, None)
    assert fact(found, "load[0].neutral").value == fact(found, "load[0].regulation_limit").value == "unknown"


def test_ambient_average_and_peak_follow_each_other(base: str, us: Defaults) -> None:
    def ambient(rows: str) -> tuple[float, float]:
        site = case(f"{base}kva = 3\n[site]\n{rows}\n", us).site
        return site.ambient_average_c, site.ambient_peak_c

    assert ambient("ambient_average = 25") == (25.0, 40.0)
    assert ambient("ambient_average = 35") == (35.0, 45.0)
    assert ambient("ambient_peak = 50") == (40.0, 50.0)
    assert ambient("ambient_peak = 35") == (30.0, 35.0)
    assert ambient("ambient_peak = 20") == (20.0, 20.0)


def test_grounding_is_read_from_the_system(base: str, us: Defaults) -> None:
    found = case(base.replace("480Y/277", "240 delta corner") + "kva = 3", us)
    assert (found.supply.grounding, fact(found, "supply.grounding").known) == ("corner", "computed")
    assert case(base + "kva = 3", us).supply.grounding is None


def test_another_regime_than_the_one_written_says_so(base: str, us: Defaults) -> None:
    found = case('regime = "ca"\n' + base + "kva = 3", us)
    assert found.regime == "us"
    assert fact(found, "regime").reason == "asked for in place of ca"


def test_terminals_in_iec_have_no_column(base: str, us: Defaults) -> None:
    found = case(base + "kva = 3", structs.replace(us, regime="iec", unmarked_terminals=None))
    assert not [each for each in found.facts if each.key == "circuit.terminals"]


MISSING = [
    ("[[load]]\nsystem = '208Y/120'\nkva = 3", {"supply.system": ()}),
    ("supply.system = 'unknown'\n[[load]]\nsystem = '208Y/120'\nkva = 3", {"supply.system": ()}),
    (
        "supply.system = '480'\n[[load]]\nsystem = '208Y/120'\nkva = 3",
        {"supply.system": ("480Y/277", "480 3ph", "480 1ph")},
    ),
    ("supply.system = '480 3ph'\n[[load]]\nkva = 3", {"load[0].system": ()}),
    (
        "supply.system = '480 3ph'\n[[load]]\nsystem = '230'\nhp = 3",
        {"load[0].system": ("230Y/133", "230 3ph", "230 1ph")},
    ),
    ("supply.system = '480 3ph'\n[[load]]\nsystem = '240 3ph'", {"load[0].current": ()}),
    ("supply.system = '480 3ph'\n[[load]]\nsystem = '240 3ph'\nkva = 'unknown'", {"load[0].current": ()}),
    ("[[load]]\nname = 'x'", {"supply.system": (), "load[0].system": (), "load[0].current": ()}),
]


@pytest.mark.parametrize(("text", "missing"), MISSING)
def test_required_facts_that_are_missing(
    text: str, missing: dict[str, tuple[str, ...]], us: Defaults
) -> None:
    found = case_of(read_job(text), us)
    assert isinstance(found, NeedsInput)
    assert {each.key: each.possibilities for each in found.missing} == missing
    assert fact(found, "site.place").value == "indoor"


def test_the_possibilities_are_the_systems_of_the_regime(us: Defaults) -> None:
    systems = ("480Y/277", "240/120 delta", "120/240 1ph", "240 3ph", "208Y/120")
    text = "supply.system = '240'\n[[load]]\nsystem = '208Y/120'\nkva = 3"
    found = case_of(read_job(text), structs.replace(us, systems=systems))
    assert isinstance(found, NeedsInput)
    assert found.missing[0].possibilities == ("240/120 delta", "120/240 1ph", "240 3ph", "240 1ph")


def test_the_job_as_understood_holds_every_fact_in_order(base: str, us: Defaults) -> None:
    found = case(base + 'current = "150 A"', us)
    understood = job_as_understood(found)
    assert list(understood) == ["title", "regime", "edition", "facts"]
    assert [each["key"] for each in understood["facts"]] == [each.key for each in found.facts]
    size = next(each for each in understood["facts"] if each["key"] == "load[0].current")
    assert size == {
        "key": "load[0].current",
        "value": "150 A",
        "known": "given",
        "reason": "",
        "where": "job.toml, line 7",
    }
    tables = [each["key"].split("[")[0].split(".")[0] for each in understood["facts"]]
    assert list(dict.fromkeys(tables)) == [
        "regime",
        "edition",
        "supply",
        "load",
        "site",
        "circuit",
        "choices",
    ]
    assert job_as_understood(case(base + 'current = "150 A"', us)) == understood


def test_what_is_missing_is_understood_too(us: Defaults) -> None:
    understood = job_as_understood(case_of(read_job("supply.system = '480'\n[[load]]"), us))
    assert understood["missing"][0] == {
        "key": "supply.system",
        "what": "phases and wires of the supply",
        "possibilities": ["480Y/277", "480 3ph", "480 1ph"],
    }


def test_a_spectrum_of_the_table(base: str, us: Defaults) -> None:
    found = load(base + 'kva = 3\nspectrum = "drive_6pulse_1pct_z"', us)
    assert dict(found.harmonics)[5] == 60.0
    assert 1 not in dict(found.harmonics)
    step = step_of(found.harmonics[0][1])
    assert step is not None and step.source


def test_a_spectrum_on_another_base_is_in_percent_of_the_fundamental(base: str, us: Defaults) -> None:
    found = dict(load(base + 'kva = 3\nspectrum = "c57110_example"', us).harmonics)
    assert found[5] == pytest.approx(17.1 / 97.8 * 100.0, rel=1e-12)


def test_a_spectrum_that_is_not_in_the_table(base: str, us: Defaults) -> None:
    job = read_job(base + 'kva = 3\nspectrum = "drive_6pulse_1pct"', "job.toml")
    with pytest.raises(InputError) as caught:
        case_of(job, us)
    assert (caught.value.code, caught.value.where) == ("JOB-16", "job.toml, line 8, load[0].spectrum")
    assert 'Did you mean "drive_6pulse_1pct_z"?' in caught.value.fix
