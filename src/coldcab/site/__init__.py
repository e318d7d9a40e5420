"""The course as a site: a folder of files that runs in any browser, with nothing to install.

JupyterLite shows the pages, Pyodide runs the course's Python. Needs the extra ``site``.
"""

from coldcab.site.assembling import build
from coldcab.site.runtime import SiteError

__all__ = ["SiteError", "build"]
