"""Overcurrent devices of a transformer: NEC 450.3(B), 450.4(A), 240.6(A), 215.3."""

from __future__ import annotations

from turnwright.reference import load
from turnwright.regimes.common.clauses import under
from turnwright.regimes.common.devices import DeviceFormulas, PercentDevices
from turnwright.regimes.common.devices import chosen_a as rating_chosen
from turnwright.regimes.common.devices import next_standard_a as rating_up
from turnwright.regimes.common.devices import percent_of_rated_a as percent_a
from turnwright.regimes.common.devices import standard_within_a as rating_within

percent_of_rated_a = under("NEC Table 450.3(B)", percent_a)
next_standard_a = under("NEC 450.3(B) note 1 and 240.6(A)", rating_up)
standard_within_a = under("NEC 450.3(B) and 240.6(A)", rating_within)
chosen_a = under("NEC 215.3, 240.6(A), Table 450.3(B)", rating_chosen)


class Devices(PercentDevices):
    """The procedure for one edition: `Devices("2023")(need, work)`."""

    def __init__(self, edition: str) -> None:
        super().__init__(
            limits=load("nec_450_3b").at(edition),
            ratings=load("nec_240_6a").at(edition),
            load_rule=load("nec_limits").at(edition).row(key="continuous_load_pct").source,
            formulas=DeviceFormulas(percent_of_rated_a, next_standard_a, standard_within_a, chosen_a),
            between=load("nec_limits").at(edition).row(key="odd_fuse_ratings").source,
        )
