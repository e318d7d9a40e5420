"""Every kernel of the course knows the words of the sheets, whichever cell a learner runs first."""

c = get_config()  # noqa: F821 - IPython provides it
c.InteractiveShellApp.extensions = ["coldcab"]
