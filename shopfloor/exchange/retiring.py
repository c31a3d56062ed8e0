"""What a list may say of things that are out of use: nothing that it would change; pure."""

from frames.forms import FORMS
from frames.wording import say
from shopfloor.exchange.columns import ListKind
from shopfloor.exchange.proposals import Body
from shopfloor.exchange.rows import Read, differences


def settle_retired(kind: ListKind, out: Read, stands: Body | None) -> None:
    """Take the column `retired` out of the values, with a fault where it would matter."""
    says = out.values.pop("retired", None)
    if stands is None:
        if says:
            out.fault("retired", say("Leave this row out: a list takes in what is in use."))
        return
    if not stands["retired"]:
        if says:
            out.fault("retired", say("Retire it on its own page: a list does not."))
    elif differences(kind, out, stands) or says is False:
        remedy = say(
            "It is retired. Take it back into use on its page first, or leave the row out."
        )
        out.fault(kind.known_by, remedy)


def editable(kind: str, body: Body) -> Body:
    """The values of a thing that its form knows."""
    return {name: body[name] for name in FORMS[kind].model_fields}
