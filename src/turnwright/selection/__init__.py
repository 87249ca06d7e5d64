"""From a case to a defended answer: screen, evaluate, choose."""

from turnwright.selection.choose import Decision, decide, picked_numbers, smallest_fitting_kva
from turnwright.selection.evaluate import Evaluation, evaluate

__all__ = ["Decision", "Evaluation", "decide", "evaluate", "picked_numbers", "smallest_fitting_kva"]
