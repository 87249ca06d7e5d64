"""How sentences of rules name many loads."""

import pytest

from turnwright.intake import case_of, job_from_mapping
from turnwright.narrow.select import regime_for
from turnwright.regimes.common.rules.plain import labels


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (1, "load 1, a"),
        (2, "load 1, a and load 2, b"),
        (3, "load 1, a and load 2, b and load 3, c"),
        (4, "load 1, a, load 2, b, load 3, c and 1 more"),
        (9, "load 1, a, load 2, b, load 3, c and 6 more"),
    ],
)
def test_three_are_named_and_the_others_counted(count: int, said: str) -> None:
    job = job_from_mapping(
        {
            "supply": {"system": "480Y/277"},
            "load": [{"name": "abcdefghi"[i], "system": "208Y/120", "kva": "2 kVA"} for i in range(count)],
        },
        "example",
    )
    case = case_of(job, regime_for(job).defaults)
    assert labels(case.loads) == said
