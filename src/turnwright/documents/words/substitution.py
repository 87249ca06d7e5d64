"""A formula with numbers in place of its names."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from turnwright.documents.words.figures import bare


def substitution(formula: str, inputs: Mapping[str, Any]) -> str:
    """Return the formula with numbers in place of names, or "" when it does not use the names of all inputs.

    Example:
        >>> substitution("kva * 1000 / (√3 * line_v)", {"kva": 300.0, "line_v": 480.0})
        '300 * 1000 / (√3 * 480)'
        >>> substitution("S · 1000 / (√3 · V)", {"kva": 300.0, "line_v": 480.0})
        ''
    """
    numbers = {key: value for key, value in inputs.items() if isinstance(value, int | float)}
    if not numbers or any(not re.search(rf"(?<!\w){re.escape(key)}(?!\w)", formula) for key in inputs):
        return ""
    return re.sub(
        r"[^\W\d]\w*", lambda found: bare(numbers[found[0]]) if found[0] in numbers else found[0], formula
    )
