"""What may be said of a switching-on and of circuits on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnwright.examine.taken import says

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace


def add_inrush_and_network(parser: ArgumentParser) -> None:
    """Add what the questions `inrush` and `network` of `examine` may be told."""
    inrush = "inrush: "
    parser.add_argument(
        "--closing-angle",
        metavar="DEG",
        type=float,
        help=f"{inrush}{says('closing_angle')} (default: the worst)",
    )
    parser.add_argument(
        "--residual",
        metavar="SHARE",
        type=float,
        help=f"{inrush}{says('residual')}",
    )
    parser.add_argument("--together", metavar="N", type=int, default=1, help=f"{inrush}{says('together')}")
    parser.add_argument("--reverse-fed", action="store_true", help=f"{inrush}{says('reverse_fed')}")
    parser.add_argument(
        "--hold-off",
        metavar="POINTS",
        help=f"{inrush}amperes@seconds: {says('hold_off')}",
    )
    network = "network: "
    parser.add_argument(
        "--vary",
        metavar="TEXT",
        action="append",
        help=f"{network}what varies, as load1.r_ohm=0.5..2.0:1000 or load1.r_ohm=1,2,5; may stand several times",
    )
    parser.add_argument("--case", metavar="ID", help=f"{network}the circuit of the file that varies")


def of_inrush(arguments: Namespace) -> dict[str, Any]:
    """Return what was said of a switching-on, as `Options` takes it.

    Raises:
        InputError: EXM-09, points of a device that are none.
    """
    from turnwright.examine.inrush_against import points_of

    return {
        "closing_angle": arguments.closing_angle,
        "residual": arguments.residual,
        "together": arguments.together,
        "reverse_fed": arguments.reverse_fed,
        "hold_off": () if arguments.hold_off is None else points_of(arguments.hold_off),
    }
