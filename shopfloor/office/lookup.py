"""Finds a frame by what people type: its code, its number alone, or the shop's own name for it."""

from frames.codes import parse_code
from frames.errors import CodeError
from frames.models import Frame
from frames.wording import say as phrase


def frame(text: str) -> Frame:
    """CodeError names what was typed and what to do."""
    typed = text.strip()
    named = Frame.objects.filter(second_name__iexact=typed).first() if typed else None
    if named:
        return named
    if typed.isdigit():
        found = Frame.objects.filter(number=int(typed)).first()
    else:
        found = Frame.objects.filter(code=str(parse_code(typed))).first()
    if found is None:
        raise CodeError("code", typed, phrase("No frame has this code. Look at its label again."))
    return found
