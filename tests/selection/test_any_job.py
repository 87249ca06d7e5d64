"""Any job that can be read is answered: selected, or refused with a reason, with finite numbers and whole working."""

from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping
from turnwright.narrow import select

SYSTEMS = [
    "480Y/277",
    "480 3ph",
    "240 delta corner",
    "240/120 delta",
    "120/240 1ph",
    "208Y/120",
    "400Y/230",
    "230 3ph",
    "460 3ph",
    "208 1ph",
    "277 1ph",
    "100 1ph",
]
ARRANGEMENTS = ["isolation", "autotransformer", "buck-boost", "open delta", "zig-zag", "scott"]


def optional(strategy):
    return st.none() | strategy


def without_none(table):
    return {key: value for key, value in table.items() if value is not None}


LOADS = st.lists(
    st.fixed_dictionaries(
        {
            "system": st.sampled_from(SYSTEMS),
            "kva": st.floats(0.1, 400).map(lambda kva: f"{kva} kVA"),
            "quantity": optional(st.integers(1, 5)),
            "transformer": optional(st.just("own")),
            "neutral": optional(st.booleans()),
            "grounded_wye": optional(st.just(True)),
            "frequency": optional(st.sampled_from(["50 Hz", "50/60 Hz"])),
            "kind": optional(st.sampled_from(["motor", "lift", "heating"])),
        }
    ).map(without_none),
    min_size=1,
    max_size=3,
)
CHOICES = st.fixed_dictionaries(
    {
        "arrangement": optional(st.sampled_from(ARRANGEMENTS)),
        "units": optional(st.integers(1, 4)),
        "secondary": optional(st.sampled_from(SYSTEMS)),
        "kva": optional(st.sampled_from(["0.5 kVA", "15 kVA", "75 kVA"])),
    }
).map(without_none)


@settings(max_examples=120)
@given(supply=st.sampled_from(SYSTEMS), loads=LOADS, choices=st.just({}) | CHOICES)
def test_any_job_is_answered(supply, loads, choices):
    named = [load | {"name": f"load {number}"} for number, load in enumerate(loads)]
    job = job_from_mapping({"supply": {"system": supply}, "load": named, "choices": choices})
    tree = select(job, ask=False).to_json()
    stops = [finding for finding in tree["findings"] if finding["severity"] == "stop"]
    if tree["verdict"] == "refused":
        assert tree["pick"] is None and stops and all(stop["message"] for stop in stops)
    else:
        assert tree["verdict"] == "selected" and tree["pick"]["kva"] > 0
        assert tree["demand"]["loading_pct"] <= 100 * (1 + 1e-9)
        wanted = choices.get("arrangement")
        assert wanted is None or tree["pick"]["arrangement"] == wanted
    names = {line["name"] for line in tree["working"]}
    assert all(set(line["from"].values()) <= names for line in tree["working"])
    for other in [*tree["instead"], *tree["also"]]:
        assert other["pick"] is None or other["demand"]["loading_pct"] <= 100 * (1 + 1e-9)
