"""Sign-ins are kept in the database; one that cannot write stops nobody from reading a page."""

import logging

from django.contrib.sessions.backends import db
from django.contrib.sessions.backends.base import UpdateError

from shopfloor.trouble import is_trouble

logger = logging.getLogger(__name__)


class SessionStore(db.SessionStore):
    def save(self, must_create: bool = False) -> None:
        """A new sign-in has to be kept. Of one that goes on, only its latest use is lost."""
        try:
            super().save(must_create)
        except UpdateError as error:
            # Django takes any error for a sign-in that is gone
            if not is_trouble(error.__context__):
                raise
            logger.error("the use of a sign-in was not kept", exc_info=error.__context__)
