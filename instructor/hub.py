"""A JupyterHub for one class on one computer: ``jupyterhub -f instructor/hub.py``, started as root.

Learners log in with their id, get the course in their home, fetch the sheet, submit it and see their feedback in
nbgrader's own lists (Assignments in the menu Nbgrader). The instructor's class folder names the course and the
exchange in its ``class.toml``. Which users there are, and how they prove who they are, is for whoever runs the
computer: set ``COLDCAB_HUB_PASSWORD`` for a trial on a computer of one's own, else the computer's own accounts (PAM)
are used.

Environment: ``COLDCAB_CLASS``, the class folder; ``COLDCAB_HUB_ADDRESS``, by default http://127.0.0.1:8000.
"""

import os
from pathlib import Path

from coldcab.classroom.hub import configure_hub

configure_hub(
    get_config(),  # noqa: F821 - JupyterHub provides get_config
    Path(os.environ["COLDCAB_CLASS"]),
    address=os.environ.get("COLDCAB_HUB_ADDRESS", "http://127.0.0.1:8000"),
    trial_password=os.environ.get("COLDCAB_HUB_PASSWORD", ""),
)
