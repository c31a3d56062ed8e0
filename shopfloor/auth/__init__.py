"""Who comes in: accounts in the office and the screen room, phones on the floor."""

from shopfloor.auth.copies import copied
from shopfloor.auth.devices import block, of_request, reactivate, retire
from shopfloor.auth.enrolment import Claim, Offer, approve, claim, enrol_url, offer, refuse
from shopfloor.auth.errors import EnrolmentError
from shopfloor.auth.roles import who_may

__all__ = [
    "Claim",
    "EnrolmentError",
    "Offer",
    "approve",
    "block",
    "claim",
    "copied",
    "enrol_url",
    "of_request",
    "offer",
    "reactivate",
    "refuse",
    "retire",
    "who_may",
]
