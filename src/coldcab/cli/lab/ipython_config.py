"""Every kernel of the course knows the words of the sheets, whichever cell a learner runs first."""

from coldcab.words import _

c = get_config()  # noqa: F821 - IPython provides it
# Not as an extension: a page's own %load_ext would then say that it is loaded already.
c.InteractiveShellApp.exec_lines = [_("from coldcab.notebook import register as _; _(get_ipython()); del _")]
