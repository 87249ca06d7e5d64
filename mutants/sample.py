"""Every small change that can be made to a module, and a random sample of them."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import cosmic_ray.plugins
from cosmic_ray.ast import ast_nodes, get_ast_from_path
from cosmic_ray.mutating import mutate_code

PACKAGES = ("demand", "regimes", "circuit", "thermal")
WITHOUT_EFFECT = ("BitOr", "NoOp")
"""Unions in annotations, which are never evaluated; the operator that changes nothing."""


@dataclass(frozen=True, order=True)
class Mutant:
    """One change: of which module (below src), by which operator, at which of the places it fits."""

    module: str
    operator: str
    occurrence: int

    @property
    def package(self) -> str:
        """The package of the tool that the module belongs to."""
        return Path(self.module).parts[1]

    def code(self, source: str) -> str | None:
        """Return the changed code; None where nothing changes."""
        changed: str | None = mutate_code(source, _operator(self.operator), self.occurrence)
        return None if changed == source else changed


def _operator(name: str) -> object:
    return cosmic_ray.plugins.get_operator(name)()


def operators() -> tuple[str, ...]:
    """Return the names of the operators that are used."""
    names = (
        name for name in cosmic_ray.plugins.operator_names() if not any(w in name for w in WITHOUT_EFFECT)
    )
    return tuple(sorted(name for name in names if not cosmic_ray.plugins.get_operator(name).arguments()))


def mutants_of(sources: Path, module: Path) -> Iterator[Mutant]:
    """Yield every change of one module."""
    nodes = list(ast_nodes(get_ast_from_path(module)))
    for name in operators():
        operator = cosmic_ray.plugins.get_operator(name)()
        places = sum(1 for node in nodes for _ in operator.mutation_positions(node))
        for occurrence in range(places):
            yield Mutant(str(module.relative_to(sources)), name, occurrence)


def sample(sources: Path, count: int, seed: int) -> list[Mutant]:
    """Return a random sample of the changes of the packages, in random order, the same for the same seed."""
    modules = [path for package in PACKAGES for path in (sources / "turnwright" / package).rglob("*.py")]
    every = sorted(one for module in modules for one in mutants_of(sources, module))
    return random.Random(seed).sample(every, min(count, len(every)))
