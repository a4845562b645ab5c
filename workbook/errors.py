"""The refusals of the workbook: each says what is wrong and the way out."""


class WorkbookError(ValueError):
    """A request the workbook refuses, with one sentence a reader can act on."""


class OutOfRangeError(WorkbookError):
    """A value outside what the model, a part or a form allows."""


class MechanismError(WorkbookError):
    """An arrangement that is free to move, so that no balance holds it."""


class NoConvergenceError(WorkbookError):
    """An iteration that did not reach the accuracy asked for."""


class FormError(WorkbookError):
    """A file, code or typed text that cannot be read as what it should be."""
