"""What a named connection is: its cores, and the facts a drawing of it needs."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from turnwright.circuit.network import Core, Winding


class Place(Struct, frozen=True):
    """Where one winding sits: core and winding number, which side it belongs to, dotted and other node."""

    core: str
    winding: int
    side: str
    dot: str
    other: str
    rated_v: float


class Connection(Struct, frozen=True):
    """Cores joined in a named way.

    kind              name of the connection in the trade
    vector_group      by IEC 60076-1 with the primary first; None where it has none
    displacement_deg  by how much the secondary lags the primary, line to star point; None where it has none
    cores             what the network solver takes
    terminals         side -> its line terminals in order
    neutrals          side -> the node of its star point or tap
    places            every winding between its two nodes, for drawings
    """

    kind: str
    vector_group: str | None
    displacement_deg: float | None
    cores: tuple[Core, ...]
    terminals: dict[str, tuple[str, ...]]
    neutrals: dict[str, str]
    places: tuple[Place, ...]


def connection(
    kind: str,
    vector_group: str | None,
    displacement_deg: float | None,
    cores: Sequence[Core],
    sides: Sequence[Sequence[str]],
    terminals: dict[str, tuple[str, ...]],
    neutrals: dict[str, str] | None = None,
) -> Connection:
    """Return the connection of `cores`; `sides` names the side of each winding of each core."""
    places = tuple(
        Place(core.name, at, side, winding.dot, winding.other, winding.rated_v)
        for core, of_core in zip(cores, sides, strict=True)
        for at, (winding, side) in enumerate(zip(core.windings, of_core, strict=True), 1)
    )
    return Connection(kind, vector_group, displacement_deg, tuple(cores), terminals, neutrals or {}, places)


def two_windings(
    name: str,
    kva: float,
    first: tuple[str, str, float],
    second: tuple[str, str, float],
    resistance_pct: float,
    reactance_pct: float,
    no_load_loss_pct: float = 0.0,
    magnetizing_pct: float = 0.0,
    bank: str | None = None,
) -> Core:
    """Return a core of two windings (dot, other, rated volts), the resistance split equally between them."""
    return Core(
        name,
        kva,
        tuple(Winding(dot, other, volts, resistance_pct / 2) for dot, other, volts in (first, second)),
        (reactance_pct,),
        no_load_loss_pct,
        magnetizing_pct,
        bank,
    )
