"""What vetting answers: criteria with their margins, the one that binds, what is left, and what there is to say."""

from __future__ import annotations

from typing import Any, Literal

from msgspec import Struct

from turnwright.model.result import Blocks, Finding, Question, Tool, WorkingLine

Verdict = Literal["fit", "fit-with-conditions", "unfit", "needs-input"]


class Criterion(Struct, frozen=True, kw_only=True):
    """One thing a unit is held against.

    margin_pct  how far inside its limit the value is, in percent of the limit; negative outside
    says        the same in a sentence
    condition   what would mend it where it is not met; "" where nothing but another unit does
    spare_kva   load that may be added at the present mix before it is no longer met; None: the load does not move it
    """

    name: str
    value: float | str | None
    limit: float | str | None
    measure: str
    margin_pct: float | None
    ok: bool
    clause: str | None = None
    says: str = ""
    condition: str = ""
    spare_kva: float | None = None


class Vetting(Struct, frozen=True, kw_only=True):
    """The answer to: does this unit do this job?

    units        the units as understood, a dict of their facts each
    arrangement  how they would be connected; None where nothing fits
    binds        the criterion nearest to its limit, or furthest outside
    spare_kva    load that may be added before the first criterion is no longer met; negative: what is too much
    blocks       the numbers of the job with this unit; None where it cannot be connected at all
    """

    verdict: Verdict
    units: tuple[dict[str, Any], ...]
    arrangement: str | None
    criteria: tuple[Criterion, ...]
    binds: str | None
    spare_kva: float | None
    blocks: Blocks | None
    findings: tuple[Finding, ...]
    questions: tuple[Question, ...]
    working: tuple[WorkingLine, ...]
    tool: Tool
    job: dict[str, Any]

    def to_json(self) -> dict[str, Any]:
        """Return the answer as a dict of plain values, the structure that `vet --format json` prints."""
        from turnwright.vetting.as_json import vet_to_json

        return vet_to_json(self)
