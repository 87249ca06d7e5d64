"""What may be said of heat and money on the command line, read into quantities."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnwright.examine.taken import says

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.model.job import Nameplate

RULES = {"standard": ("ieee", "iec"), "ageing": ("iec", "halving-10k"), "cooling": ("AN", "AF")}


def add_rules(parser: ArgumentParser, of: str = "") -> None:
    """Add the rules by which a unit is followed."""
    parser.add_argument("--standard", choices=RULES["standard"], help=f"{of}{says('standard')}")
    parser.add_argument(
        "--ageing",
        choices=RULES["ageing"],
        default="iec",
        help=f"{of}{says('ageing')} (default: iec)",
    )
    parser.add_argument("--cooling", choices=RULES["cooling"], default="AN", help=f"{of}{says('cooling')}")


def add_price(parser: ArgumentParser, of: str = "") -> None:
    """Add the price of energy."""
    parser.add_argument("--price-kwh", metavar="PRICE", help=f"{of}{says('price_kwh')}")


def add_year_and_cost(parser: ArgumentParser) -> None:
    """Add what the questions `year` and `cost` of `examine` may be told."""
    both = "year, cost: "
    parser.add_argument(
        "--load",
        metavar="FILE",
        help=f"{both}CSV or Parquet; {says('load')}",
    )
    add_price(parser, both)
    add_rules(parser, "year, overload: ")
    over = "overload: "
    parser.add_argument("--after", metavar="LOAD", type=float, help=f"{over}{says('after')}")
    parser.add_argument("--lasting", metavar="H", type=float, help=f"{over}{says('lasting')}")
    parser.add_argument("--times", metavar="LOAD", type=float, help=f"{over}{says('times')}")
    cost = "cost: "
    parser.add_argument(
        "--stock",
        metavar="LIST",
        help=f"{cost}{says('stock')}, as CSV or as [[unit]] in TOML",
    )
    parser.add_argument("--demand-price", metavar="PRICE", help=f"{cost}{says('demand_price')}")
    parser.add_argument("--hours", metavar="H", type=float, help=f"{cost}{says('hours')}")
    parser.add_argument("--discount", metavar="PCT", type=float, help=f"{cost}{says('discount')}")
    parser.add_argument("--years", metavar="N", type=float, help=f"{cost}{says('years')}")
    parser.add_argument(
        "--cooling-cop",
        metavar="COP",
        type=float,
        help=f"{cost}{says('cooling_cop')}",
    )


def year_and_cost(arguments: Namespace, unit: str | None = None) -> dict[str, Any]:
    """Return what was said, as options of a question.

    unit : name of the unit, to find its rows in a file of several

    Raises:
        InputError: a file or price that cannot be used.
    """
    from turnwright.examine.course_file import load_course
    from turnwright.examine.told import price

    return {
        "load": None if arguments.load is None else load_course(arguments.load, unit),
        "stock": () if arguments.stock is None else stock_of(arguments.stock),
        "price_kwh": price(arguments.price_kwh, "energy price", "--price-kwh"),
        "demand_price": price(arguments.demand_price, "money", "--demand-price"),
        "hours": arguments.hours,
        "discount": arguments.discount,
        "years": arguments.years,
        "cooling_cop": arguments.cooling_cop,
        "standard": arguments.standard,
        "ageing": arguments.ageing,
        "cooling": arguments.cooling,
        "after": arguments.after,
        "lasting": arguments.lasting,
        "times": arguments.times,
    }


def stock_of(path: str) -> tuple[Nameplate, ...]:
    """Return the units of a list: CSV, or [[unit]] in TOML.

    Raises:
        InputError: it cannot be read.
    """
    if path.lower().endswith(".toml"):
        from turnwright.intake import load_unit

        return load_unit(path)
    from turnwright.vetting import load_stock

    return load_stock(path)
