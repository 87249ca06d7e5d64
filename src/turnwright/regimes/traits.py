"""What else differs by regime, for whoever shows or examines an answer: words, signs, measures, names of tables."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Measure = Literal["us", "metric"]
"""Letter, feet and pounds first; or A4, metres and kilograms first."""


class Words(Struct, frozen=True, kw_only=True):
    """What the trade of a regime calls things.

    ground            "ground" or "earth"; `grounded` and `ungrounded` of a system or a point
    ground_bar        the bar in the case of a unit
    equipment         conductor that bonds cases, on either side
    electrode         conductor from the neutral point to the electrode or the main terminal
    bonding           the row that has them
    bond              the one connection of the new neutral
    board             what distributes: panel or distribution board
    wye               a three-phase winding or system with its ends joined: wye or star
    grounding         how a system is tied to the earth
    utility           who runs the public network
    neutral_mark      the neutral terminal of a load winding
    lines             names of the three lines
    outdoor_case      what a case under the sky has to be
    """

    ground: str
    grounded: str
    ungrounded: str
    ground_bar: str
    equipment: str
    electrode: str
    bonding: str
    bond: str
    board: str
    wye: str
    grounding: str
    utility: str
    neutral_mark: str
    lines: tuple[str, str, str]
    outdoor_case: str


class TripBand(Struct, frozen=True):
    """Where breakers trip at once: a table of numbers with both keys, and what such breakers are called.

    table  None: the usual band of the trade
    """

    table: str | None
    low_key: str
    high_key: str
    words: str


class Traits(Struct, frozen=True, kw_only=True):
    """A regime as those see it who show or examine its answers; every table is named, None where there is none.

    code              installation code, as papers head their answers
    not_carried       what is out and not carried, a sentence or ""
    frequency_hz      of its networks
    measure           of its papers
    symbols           whose signs its drawings have
    terminal_marks    whose marks its units bear
    heat              whose hot-spot rises its units are rated by
    device_clause     clause of the largest devices, as it is written behind them
    law_load_pct      load at which the efficiency law tests; None where no law sets a level
    impedances        impedance of conductors by size and raceway; None: by resistivity and area
    resistivities     resistivity and reactance of cables; None: by size
    impedance_bands   usual impedance of units
    rise_classes      insulation system by winding rise
    requirements      what the code asks of units by item: nameplate, bar, marks, disconnect
    colors            of conductors by voltage system
    checks            on site before switching on
    third_harmonic    factors of four-core cables by third harmonic
    """

    code: str
    words: Words
    frequency_hz: float
    measure: Measure
    symbols: Literal["IEEE 315", "IEC 60617"]
    terminal_marks: Literal["IEEE C57.12.70", "IEC 60616"]
    heat: Literal["ieee", "iec"]
    not_carried: str = ""
    device_clause: str = ""
    law_load_pct: float | None = None
    trip_band: TripBand
    impedances: str | None = None
    resistivities: str | None = None
    impedance_bands: str
    rise_classes: str
    requirements: str | None = None
    colors: str | None = None
    checks: str | None = None
    third_harmonic: str | None = None

    @property
    def iec_signs(self) -> bool:
        """The signs of drawings are those of IEC 60617."""
        return self.symbols == "IEC 60617"


USUAL_TRIP = TripBand(
    None, "instantaneous_low_multiple", "instantaneous_high_multiple", "usual instantaneous trip"
)
