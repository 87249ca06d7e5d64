"""What the losses on a plate come to at this load: heat in the room, efficiency at the point of the law."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from turnwright.model.result import Blocks, Finding
from turnwright.selection import Evaluation
from turnwright.vetting.joined import Joined
from turnwright.working import formula

LAW_LOAD = 0.35
"""Load of the figure on both sides of the comparison; a law tested at another load is not judged by it."""


@formula("P_0 + P_load · (I / I_rated)²", "W")
def heat_w(no_load_w: float, load_w: float, load_share: float) -> float:
    """Return the losses at a load. [W]

    no_load_w  : without load [W]
    load_w     : load loss at rated current [W]
    load_share : current over rated current [-]
    Source: load loss goes with the square of the current

    Example:
        >>> heat_w(no_load_w=350.0, load_w=1950.0, load_share=0.5)
        837.5
    """
    return no_load_w + load_w * load_share**2


@formula("x · S / (x · S + P_0 + x² · P_load) · 100", "%")
def efficiency_pct(kva: float, no_load_w: float, load_w: float, load_share: float) -> float:
    """Return the efficiency at a share of the rated load, unity power factor. [%]

    kva        : rated power [kVA]
    no_load_w  : no-load loss [W]
    load_w     : load loss at rated load, as stated: warmer than the test point of a law, so not above the truth [W]
    load_share : of rated load [-]
    Source: definition; load loss goes with the square of the current

    Example:
        >>> round(efficiency_pct(75.0, 350.0, 1950.0, 0.35), 2)
        97.81
    """
    out_w = load_share * kva * 1000
    return out_w / (out_w + no_load_w + load_share**2 * load_w) * 100


def below_law(blocks: Blocks, name: str, law_load_pct: float | None) -> Iterator[Finding]:
    """Yield that a unit falls short of the law of its date of manufacture, by the losses on its plate."""
    law = blocks.efficiency
    if (
        law_load_pct != LAW_LOAD * 100
        or law.at_35_pct is None
        or law.law_pct is None
        or law.at_35_pct >= law.law_pct
    ):
        return
    yield Finding(
        code="efficiency-below-law",
        severity="caution",
        message=(
            f"By the losses on its plate {name} reaches {law.at_35_pct:.2f} % at 35 % load; {law.law_pct:.2f} % is "
            "asked of one made at that date. The law binds whoever makes or imports it: an existing unit may serve "
            "on, a new one may not be sold."
        ),
        clause=law.law,
        known="computed",
        value=float(law.at_35_pct),
        limit=float(law.law_pct),
        unit="%",
    )


def with_losses(blocks: Blocks, joined: Joined, evaluation: Evaluation) -> Blocks:
    """Return the blocks with heat and efficiency where the plate states both losses."""
    unit = joined.plate.unit
    if unit.no_load_loss_w is None or unit.load_loss_w is None:
        return blocks
    no_load_w, load_w = float(unit.no_load_loss_w), float(unit.load_loss_w)
    currents = evaluation.blocks.currents
    share = currents.secondary_load_a / currents.secondary_rated_a
    at_35 = efficiency_pct(float(unit.kva), no_load_w, load_w, LAW_LOAD)
    return replace(
        blocks,
        pick=replace(blocks.pick, heat_w=heat_w(no_load_w, load_w, share)),
        efficiency=replace(blocks.efficiency, at_35_pct=at_35),
    )
