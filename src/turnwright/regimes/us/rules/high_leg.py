"""Rules about an output with a high leg: its mark, what may hang on it, how much may hang on the mid tap."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.common.rules.looks import SQRT3
from turnwright.regimes.common.rules.plain import practice
from turnwright.regimes.rule import Facts, Rule, Said


@lru_cache(maxsize=1)
def _high_leg_color() -> str:
    return str(load("us_conductor_colors").newest().row(system="240/120 delta").text("b"))


def _high_leg(facts: Facts) -> bool:
    return facts.proposal.derived and facts.proposal.output.high_leg


def high_leg_mark(facts: Facts) -> Iterator[Said]:
    """110.15, 408.3(E): the phase with the higher voltage to ground is orange and is phase B in panels."""
    output = facts.proposal.output
    high_v = output.line_v * SQRT3 / 2
    yield Said(
        message=(
            f"Mark the leg with {figure(high_v)} V to ground {_high_leg_color()} wherever the neutral is "
            "there too, make it phase B in panels, and mark the panel."
        ),
        value=high_v,
        unit="V",
    )


def high_leg_loads(facts: Facts) -> Iterator[Said]:
    """240.85 and practice: nothing single-pole, nothing of 120 V on the high leg."""
    yield Said(
        message=(
            "Nothing between the high leg and the neutral: no single-pole breaker on it, and 240 V "
            "single-phase equipment that has 120 V parts inside only on the other two legs."
        )
    )


def mid_tap_share(facts: Facts) -> Iterator[Said]:
    """Common practice: some 5 % of one three-phase unit on its mid tap; over a quarter the system is the wrong one."""
    picture = facts.picture
    total = sum(made.running_kva for made in picture.loads)
    tapped = sum(
        made.running_kva for made in picture.loads if made.place in ("line to neutral", "three-wire")
    )
    if total <= 0 or tapped <= 0:
        return
    share_pct = tapped / total * 100
    wrong_pct, of_unit_pct = practice("high_leg_120v_share_pct"), practice("mid_tap_share_pct")
    one_unit = facts.proposal.units == 1
    if share_pct > wrong_pct:
        yield Said(
            message=(
                f"{figure(share_pct)} % of the load is at 120 V: over {wrong_pct:g} % a high-leg system is "
                "the wrong one. Take a wye, or a single-phase unit for the 120 V."
            ),
            value=share_pct,
            limit=wrong_pct,
            unit="%",
        )
    elif one_unit and tapped / facts.unit.kva * 100 > of_unit_pct:
        yield Said(
            message=(
                f"{figure(tapped)} kVA on the mid tap are {figure(tapped / facts.unit.kva * 100)} % of the "
                f"unit: about {of_unit_pct:g} % is what a lighting tap carries. Ask the maker, or feed it "
                "from a unit of its own."
            ),
            value=tapped / facts.unit.kva * 100,
            limit=of_unit_pct,
            unit="%",
        )


SHOP = [
    {"name": "machines", "system": "240 3ph", "kva": "30 kVA"},
    {"name": "lights", "system": "120 1ph", "kva": "14 kVA"},
]
HIGH_LEG = {"load": [{"name": "shop", "system": "240/120 delta", "kva": "20 kVA"}]}

RULES = (
    Rule(
        id="high-leg-mark",
        severity="caution",
        applies=_high_leg,
        check=high_leg_mark,
        trips=HIGH_LEG,
        clean={},
    ),
    Rule(
        id="high-leg-loads",
        severity="caution",
        applies=_high_leg,
        check=high_leg_loads,
        trips=HIGH_LEG,
        clean={},
    ),
    Rule(
        id="mid-tap-share",
        severity="caution",
        applies=_high_leg,
        check=mid_tap_share,
        trips={"load": SHOP, "choices": {"secondary": "240/120 delta"}},
        clean=HIGH_LEG,
    ),
)
