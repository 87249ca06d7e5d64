"""The clock hour of a delta-wye unit: the same windings with two lines exchanged on both sides turn the other way."""

from __future__ import annotations

from msgspec.structs import replace

from turnwright.arrangements.proposal import Proposal
from turnwright.circuit.connections import Connection

LEADING = 11
TURNED = {"Dyn1": "Dyn11", "YNd1": "YNd11"}
BUILT = {"Dyn1": "Dyn11", "Dyn11": "Dyn1"}
EXCHANGED = {"H2": "H3", "H3": "H2", "X2": "X3", "X3": "X2"}


def at_hour(proposal: Proposal, hour: int) -> Proposal:
    """Return a proposal as a regime orders it: hour 1, the lower voltage lags by 30 degrees, or hour 11, it leads.

    What is no delta-wye unit is returned as it is.

    Source: IEC 60076-1, vector groups
    """
    group = TURNED.get(proposal.vector_group or "")
    if hour != LEADING or group is None:
        return proposal
    build = proposal.build
    return replace(proposal, vector_group=group, build=lambda *rating: exchanged(build(*rating)))


def exchanged(connection: Connection) -> Connection:
    """Return a connection with the second and third line exchanged on both sides.

    Example:
        >>> from turnwright.circuit import connections
        >>> made = connections.three_phase("T1", "Dyn1", 30.0, 480.0, 208.0, 3.0, 4.0)
        >>> exchanged(made).vector_group, exchanged(exchanged(made)).cores == made.cores
        ('Dyn11', True)
    """

    def other(node: str) -> str:
        return EXCHANGED.get(node, node)

    shift = connection.displacement_deg
    return replace(
        connection,
        vector_group=BUILT.get(connection.vector_group or "", connection.vector_group),
        displacement_deg=None if shift is None else -shift,
        cores=tuple(
            replace(
                core,
                windings=tuple(replace(w, dot=other(w.dot), other=other(w.other)) for w in core.windings),
            )
            for core in connection.cores
        ),
        places=tuple(replace(p, dot=other(p.dot), other=other(p.other)) for p in connection.places),
    )
