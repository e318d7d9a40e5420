"""Stands in for the database of IPython's history, which a kernel in a browser does not keep."""


class Error(Exception):
    """Never raised here."""


class DatabaseError(Error):
    """Never raised here."""


class OperationalError(DatabaseError):
    """Never raised here."""


class Connection:
    """Never made here."""
