"""nbgrader's configuration of a class; it stands in the class folder and is read by every nbgrader command there."""

from pathlib import Path

from coldcab.classroom import configure

configure(get_config(), folder=Path(__file__).parent)  # noqa: F821 - nbgrader provides get_config
