"""Practice of lesson oil-2: three jobs to balance, with the doubt and the distribution."""

from coldcab.assess import ideas_ledger
from coldcab.assess.forms.oil_2 import FORM
from coldcab.assess.items import Assignment

KEYS = {
    "oil to add, job A": ideas_ledger.add_after_leak(),
    "doubt of that amount": ideas_ledger.doubt_after_leak(),
    "oil to drain, job B": ideas_ledger.drain_after_swap(),
    "oil to add, job C": ideas_ledger.add_after_rebuild(),
    "compressor part, job C": ideas_ledger.compressor_share(),
    "oil to refrigerant": ideas_ledger.oil_to_refrigerant(),
}

SHEET = Assignment(
    "practice-oil-2", FORM.title, 15, tuple(FORM.item(label) for label in KEYS)
).with_keys(KEYS)  # fmt: skip
