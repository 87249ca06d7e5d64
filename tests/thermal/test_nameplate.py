"""From a nameplate to what heats the unit: what stands in for what it does not say."""

import pytest

from turnwright.intake.unit_file import unit_from_mapping
from turnwright.thermal.nameplate import Basis, heat_of

LOSSES = {"no_load_loss": "350 W", "load_loss": "1950 W"}
USUAL = Basis()


def losses(basis=USUAL, **facts):
    plate = unit_from_mapping({"kva": "75", **LOSSES, **facts})
    return heat_of(plate, "T-1", "row 2", basis).model.losses


@pytest.mark.parametrize("rise", [80, 115, 150])
def test_load_loss_holds_at_the_rise_plus_twenty_degrees(rise):
    """IEEE C57.12.01 (memory): the reference temperature is the rated average winding rise plus 20 °C."""
    assert losses(rise=f"{rise} K").reference_c == pytest.approx(rise + 20.0)
    assert losses(rise=f"{rise} K", load_loss_at="75 degC").reference_c == 75.0


@pytest.mark.parametrize("eddy", ["0", "0.05", "0.15"])
def test_the_parts_of_the_load_loss_make_up_the_whole(eddy):
    """Eddy loss is its share of the I²R; 67 % of all stray loss is in the windings (IEEE C57.110, memory)."""
    found = losses(p_ecr=eddy, rise="150 K")
    assert found.ohmic_w + found.eddy_w + found.other_w == pytest.approx(1950.0)
    assert found.eddy_w == pytest.approx(float(eddy) * found.ohmic_w)
    assert 0.33 * found.eddy_w == pytest.approx(0.67 * found.other_w)
    assert found.no_load_w == 350.0


def test_the_metal_is_that_of_the_nameplate_then_of_the_basis_then_copper():
    """Resistance is nothing at -234.5 °C in copper, at -225 °C in aluminum (IEEE C57.12.91, memory)."""
    assert losses(winding="aluminum").zero_c == 225.0
    assert losses(Basis(metal="copper"), winding="aluminum").zero_c == 225.0
    assert losses(Basis(metal="aluminum")).zero_c == 225.0
    assert losses().zero_c == 234.5
