"""Every page that the hostile corpus leaves behind, opened in a browser: nothing acts, nothing is fetched."""

from classes import points
from coldcab.classroom import formgrader, grading, reporting
from coldcab.cli.server import free_port
from hostile.make import CORPUS, SHEET, make_hostile_class


def test_nothing_acts_and_nothing_is_fetched(page, tmp_path):
    folder, who = make_hostile_class(tmp_path / "all")
    grading.grade_class(folder, SHEET)
    report = reporting.write_report(folder, (SHEET,))[0]
    pages = [report, *sorted(folder.feedback.rglob("*.html"))]
    assert len(pages) > len(CORPUS) / 2
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    for file in pages:
        page.goto(file.as_uri())
        assert page.evaluate("window.caught") is None, file
        assert page.evaluate("document.querySelectorAll('script, iframe, img, object, embed, form').length") == 0, file
    assert all(address.startswith("file:") for address in asked)
    assert f"{points():g} of" in (folder.feedback / "honest" / SHEET / "cycle-1.html").read_text()
    in_formgrader(page, folder, who)


def in_formgrader(page, folder, who):
    """The same in the instructor's own session, where a program that acts could do most."""
    from nbgrader.api import Gradebook

    wild = ("markup in answers", "markup in the written answer", "a heading that ends the page", "script in outputs")
    with Gradebook(folder.gradebook_url) as gradebook:
        ids = [gradebook.find_submission_notebook(SHEET, SHEET, who[name]).id for name in wild]
    with formgrader.formgrader_server(folder, free_port(8940)) as (address, _):
        page.goto(address)
        base = address.split("/lab?")[0]
        outside = []
        page.on("request", lambda request: outside.append(request.url) if base not in request.url else None)
        for number in ids:
            page.goto(f"{base}/formgrader/submissions/{number}/")
            page.wait_for_timeout(1500)
            assert page.evaluate("window.caught") is None
            assert page.locator(".coldcab-rubric").is_visible()
        assert not [one for one in outside if one.startswith("http")]
