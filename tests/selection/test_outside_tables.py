"""Where a table of the code ends, the answer is a refusal with the table's name; never an error, never a guess."""

import pytest

from turnwright import job_from_mapping, select


@pytest.mark.parametrize("units", [2, 3])
def test_a_unit_beyond_the_bonding_table_is_refused(units: int) -> None:
    # CEC Table 16 ends at 6000 A: behind 1900 kVA at 208 V the device is larger
    job = {
        "regime": "ca",
        "supply": {"system": "600Y/347"},
        "load": [{"system": "208 3ph", "kva": "1900 kVA", "power_factor": 0.9}],
        "choices": {"units": units},
    }
    result = select(job_from_mapping(job))
    stops = [finding for finding in result.findings if finding.severity == "stop"]
    assert result.verdict == "refused" and [finding.code for finding in stops] == ["outside-table"]
    assert "ca_bonding_conductors.csv" in stops[0].message and "6000" in stops[0].message


def test_without_insisting_the_same_load_is_answered_without_an_error() -> None:
    job = {
        "regime": "ca",
        "supply": {"system": "600Y/347"},
        "load": [{"system": "208 3ph", "kva": "1900 kVA", "power_factor": 0.9}],
    }
    assert select(job_from_mapping(job)).verdict == "refused"
