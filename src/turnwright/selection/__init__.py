"""From a case to a defended answer: screen, evaluate, choose."""

from turnwright.selection.choose import Decision, decide, smallest_fitting_kva
from turnwright.selection.evaluate import Evaluation, evaluate

__all__ = ["Decision", "Evaluation", "decide", "evaluate", "smallest_fitting_kva"]
