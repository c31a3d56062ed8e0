"""Finds a frame by what people type: its code, its number alone, or the shop's own name for it."""

from frames.codes import parse_code
from frames.errors import CodeError
from frames.models import Frame
from frames.wording import say as phrase
from shopfloor.office.fields import read_count

LONGEST = 40  # no code and no second name is longer


def frame(text: str) -> Frame:
    """CodeError names what was typed and what to do."""
    typed = text.strip()
    may_be_one = 0 < len(typed) <= LONGEST
    named = Frame.objects.filter(second_name__iexact=typed).first() if may_be_one else None
    if named:
        return named
    if (number := read_count(typed)) is not None:
        found = Frame.objects.filter(number=number).first()
    else:
        found = Frame.objects.filter(code=str(parse_code(typed))).first()
    if found is None:
        raise CodeError("code", typed, phrase("No frame has this code. Look at its label again."))
    return found
