"""One command makes everything that is made: ``python -m coldcab.make``, or some of its parts by name."""
