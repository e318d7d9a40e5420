"""``python -m coldcab`` is ``coldcab``, for where the command is not on the search path."""

from coldcab.cli import main

main()
