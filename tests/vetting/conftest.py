"""Jobs and nameplates from short tables, and what vetting says of them."""

import pytest

from turnwright.intake import job_from_mapping, unit_from_mapping
from turnwright.vetting import vet

OFFICE = {"name": "office", "system": "208Y/120", "kva": "40 kVA"}


class Vet:
    """`vet(job tables, unit keys)` and the criterion of a name."""

    @staticmethod
    def job(supply="480Y/277", loads=(OFFICE,), **tables):
        given = {"system": supply} if isinstance(supply, str) else supply
        return job_from_mapping({"supply": given, "load": list(loads), **tables})

    @staticmethod
    def unit(kva, primary, secondary, **more):
        return unit_from_mapping({"kva": f"{kva} kVA", "primary": primary, "secondary": secondary, **more})

    def __call__(self, units, supply="480Y/277", loads=(OFFICE,), **tables):
        several = units if isinstance(units, list) else [units]
        plates = [unit if not isinstance(unit, tuple) else self.unit(*unit) for unit in several]
        return vet(self.job(supply, loads, **tables), plates, ledger_open=False)

    @staticmethod
    def criterion(found, name):
        return next(one for one in found.criteria if one.name == name)

    @staticmethod
    def codes(found):
        return {finding.code for finding in found.findings}


@pytest.fixture(scope="session")
def check():
    return Vet()
