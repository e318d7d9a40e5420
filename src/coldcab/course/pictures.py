"""Turning an instrument's drawing (SVG in HTML) into a PNG at screen size, by a headless Chromium.

Only a developer who re-makes the stored outputs needs it; Playwright is among the extra ``test``.
"""

from __future__ import annotations

import base64
import os
import shutil
from types import TracebackType
from typing import Any

from coldcab.course.copying import CourseError
from coldcab.words import _

BROWSER_VARIABLE = "COLDCAB_BROWSER"
_COLOURS = 128  # with the shades that smooth the edges of type
PAGE_WIDTH = 1000  # pixels; about the width of a page in JupyterLab on a laptop
_NAMES = ("chromium", "chromium-browser")
_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--hide-scrollbars",
    "--force-color-profile=srgb",
    "--font-render-hinting=none",
)
_PAGE = """<!doctype html><meta charset="utf-8">
<style>body {{ margin: 0; background: white; }} #picture {{ display: inline-block; width: {width}px; }}
#picture > * {{ max-width: 100%; }}</style><div id="picture">{html}</div>"""


def browser_path() -> str | None:
    """Return the Chromium of this computer: the one that COLDCAB_BROWSER names, or the first on the search path."""
    named = os.environ.get(BROWSER_VARIABLE)
    return named or next(filter(None, map(shutil.which, _NAMES)), None)


def _smaller(png: bytes) -> bytes:
    """Return a drawing's PNG with a palette: a few flat colours need no more, and a third of the bytes."""
    from io import BytesIO

    from PIL import Image

    made = BytesIO()
    picture = Image.open(BytesIO(png)).convert("RGB")
    picture.quantize(_COLOURS, dither=Image.Dither.NONE).save(made, "PNG", optimize=True)
    return made.getvalue()


class Painter:
    """Makes PNGs; the browser starts with the first one and stops at the end of the ``with`` block."""

    def __init__(self) -> None:
        self._playwright: Any = None
        self._browser: Any = None

    def __enter__(self) -> Painter:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._browser is not None:
            self._browser.close()
        if self._playwright is not None:
            self._playwright.stop()
        self._browser = self._playwright = None

    def png(self, html: str) -> str:
        """Return ``html`` as it looks on a screen: a PNG in base64, as a notebook stores it.

        Raises
        ------
        CourseError
            If there is no Playwright or no Chromium, or the picture is empty.
        """
        if self._browser is None:
            self._start()
        page = self._browser.new_page(viewport={"width": PAGE_WIDTH, "height": 800}, java_script_enabled=False)
        try:
            page.set_content(_PAGE.format(width=PAGE_WIDTH, html=html), wait_until="load")
            picture = page.locator("#picture > *").first
            box = picture.bounding_box()
            if box is None or box["width"] < 1 or box["height"] < 1:
                raise CourseError(_("A picture came out empty; look at the HTML of its instrument."))
            return base64.b64encode(_smaller(picture.screenshot(animations="disabled"))).decode()
        finally:
            page.close()

    def _start(self) -> None:
        path = browser_path()
        if path is None:
            raise CourseError(
                _("No Chromium was found; install Debian's chromium or name one in {browser_variable}.").format(
                    browser_variable=BROWSER_VARIABLE
                )
            )
        try:
            from playwright.sync_api import sync_playwright
        except ImportError:
            raise CourseError(_("Pictures need Playwright: run  pip install 'coldcab[test]'")) from None
        self._playwright = sync_playwright().start()
        self._browser = self._playwright.chromium.launch(executable_path=path, args=list(_FLAGS))
