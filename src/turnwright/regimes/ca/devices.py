"""Overcurrent devices of a dry-type transformer: CEC 26-254 (to 2015: 26-256), Table 13, 8-104."""

from __future__ import annotations

from turnwright.reference import load
from turnwright.regimes.common.clauses import under
from turnwright.regimes.common.devices import (
    DeviceFormulas,
    PercentDevices,
    chosen_a,
    next_standard_a,
    percent_of_rated_a,
    standard_within_a,
)


class Devices(PercentDevices):
    """The procedure for one edition: `Devices("2024")(need, work)`.

    A primary device within 125 % protects conductors of 125 % on the secondary too, so one after the transformer
    is a choice: with it the device before may reach 300 %.
    """

    def __init__(self, edition: str) -> None:
        limits = load("ca_transformer_devices").at(edition)
        ratings = load("ca_device_ratings").at(edition)
        rule = limits.row(id="D1").source.cite()
        series = ratings.row(rating_a=15).source.cite()
        load_rule = load("ca_limits").at(edition).row(key="continuous_load_pct").source
        super().__init__(
            limits=limits,
            ratings=ratings,
            load_rule=load_rule,
            formulas=DeviceFormulas(
                under(rule, percent_of_rated_a),
                under(f"{rule}, {series}", next_standard_a),
                under(f"{rule}, {series}", standard_within_a),
                under(f"{rule}, {series}, {load_rule.cite()}", chosen_a),
            ),
            secondary_rule=False,
        )
