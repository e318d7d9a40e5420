"""coldcab: a course on the air conditioning of off-road cabs, and the calculations behind it.

``import coldcab`` is quick: each room (``coldcab.refrigerants``, ``coldcab.cycle`` ...) loads when
first used.
"""

import importlib

__version__ = "0.7.2"


def _rooms() -> list[str]:
    import pkgutil

    return [module.name for module in pkgutil.iter_modules(__path__) if not module.name.startswith("_")]


def __getattr__(name: str) -> object:
    if name.startswith("_"):
        raise AttributeError(name)
    try:
        return importlib.import_module(f"{__name__}.{name}")
    except ModuleNotFoundError as error:
        if error.name != f"{__name__}.{name}":
            raise  # something that the room itself needs is missing
    raise AttributeError(f"coldcab has no room called {name!r}; there are {', '.join(_rooms())}.")


def __dir__() -> list[str]:
    return sorted({*globals(), *_rooms()})


def load_ipython_extension(shell: object) -> None:
    """Teach a notebook the words of the answer sheets (``%load_ext coldcab``)."""
    from coldcab.notebook import load

    load(shell)
