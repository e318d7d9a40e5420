"""Stands in for a shell in a terminal, which a browser does not have; IPython would load one with every start."""


def embed(*arguments: object, **options: object) -> None:
    """Open no shell."""
