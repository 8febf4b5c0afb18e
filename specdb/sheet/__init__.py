"""The printed sheet: one self-contained HTML document for the bench, or for the customer.

    render     a plan of a seat or of a head -> the text of the document
    seats      what stands on the sheet of one seat, rounded for people
    checks     tests and boxes to fill in, each with the row its figure stands in
    section    a seat -> a dimensioned section of head, counterbore, insert and seat, as SVG
    plan_view  seats of a head -> a map: bore, leave, stop, as SVG
    svg        lines, words and dimensions of a drawing

Nothing here asks the database or looks at the clock: what is on the sheet is in the plan, and the
date is told. No script, no address of any other place: it prints the same anywhere.
"""

from __future__ import annotations

from specdb.sheet.plan_view import seats_map
from specdb.sheet.render import render
from specdb.sheet.section import section

__all__ = ["render", "seats_map", "section"]
