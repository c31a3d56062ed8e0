"""What can be wrong with an invitation, in words for the person who holds it."""

from frames.errors import BadInput, Problem
from frames.wording import mark


class EnrolmentError(BadInput):
    """Names the field, the value given (empty if secret) and what to do."""

    title = mark("That did not let the phone in")

    def __init__(self, field: str, value: str, remedy: str) -> None:
        super().__init__([Problem(field, value, remedy)])
        self.field, self.value, self.remedy = field, value, remedy
