"""What can be wrong with a request for labels, in words a printer understands."""

from frames.errors import BadInput, Problem
from frames.wording import mark


class LabelProblem(BadInput):
    """One wrong value: which field, what was given, what to do about it."""

    title = mark("These labels cannot be printed")

    def __init__(self, field: str, value: object, remedy: str) -> None:
        super().__init__([Problem(field, value, remedy)])
        self.field, self.value, self.remedy = field, value, remedy
