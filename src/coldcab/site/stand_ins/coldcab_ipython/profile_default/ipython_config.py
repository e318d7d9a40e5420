"""How the browser's kernel starts: it knows the words of the sheets, and looks for modules in the package alone.

The working folder is not searched for modules: each look into it would wait for the page.
"""

c = get_config()  # type: ignore[name-defined]  # noqa: F821 - IPython provides it
c.InteractiveShellApp.ignore_cwd = True
c.InteractiveShellApp.exec_lines = ["from coldcab.site.in_browser import ready as _; _(get_ipython()); del _"]
