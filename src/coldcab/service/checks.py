"""The error of the service room, and its checks."""

from __future__ import annotations

from coldcab.quantities import Check, ColdcabError


class ServiceError(ColdcabError):
    """A value that service work cannot be worked out with; the message is one plain sentence."""


_check = Check(ServiceError)
checked, number, together = _check.value, _check.number, _check.together
