"""Practice of the capstone: the figures of another machine's job."""

from coldcab.assess import ideas_rebuild as rebuild
from coldcab.assess.forms.capstone import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "cause": rebuild.cause(),
    "net fill allowed": rebuild.net_fill(),
    "oil to add": rebuild.oil_to_add(),
    "gauge next morning": rebuild.gauge_next_morning(),
    "charge by density": rebuild.charge_by_density(),
    "last can": rebuild.last_can(),
    "acceptance": rebuild.acceptance(),
}

SHEET = Assignment(
    "practice-capstone", FORM.title, 40, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
