"""What a shop is told about its own lists."""

from __future__ import annotations

from typing import Literal

from specdb.records.answer import Frozen

OdMeans = Literal["ring", "counterbore"]
"""What a list's outside diameter is: the ring as it is, or the nominal counterbore, the press being
built into the ring."""

FIELDS: dict[str, tuple[str, ...]] = {
    "part": (
        *("part", "part_no", "part_nr", "part_number", "partno", "number", "no", "nr", "code"),
        *("item", "item_no", "ref", "reference", "article", "article_no", "stock_no", "order_no"),
    ),
    "outer": (
        *("outer", "outer_mm", "od", "o_d", "outside", "outer_diameter", "outside_diameter"),
        *("outer_dia", "outside_dia", "dia_outside", "od_nominal", "nominal_od"),
    ),
    "inner": (
        *("inner", "inner_mm", "id", "i_d", "inside", "inner_diameter", "inside_diameter"),
        *("inner_dia", "inside_dia", "dia_inside", "id_nominal", "nominal_id"),
    ),
    "height": ("height", "height_mm", "h", "ht", "high", "depth", "thickness", "overall_height"),
    "material": ("material", "mat", "alloy", "grade", "made_of", "ring_material"),
    "class": ("class", "insert_class", "material_class", "kind"),
    "qty": ("qty", "quantity", "count", "on_hand", "in_stock", "stock", "pcs", "pieces", "have"),
    "tolerance": ("tolerance", "tol", "od_tolerance", "od_tol", "outer_tolerance"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments", "description"),
}
"""What a column of a list may hold -> the headers it is known by, folded, the first one our own."""
NEEDED = ("part", "outer", "inner", "height")


class CellChange(Frozen):
    """A cell of a ring on a list, before and after."""

    part: str
    column: str
    before: str
    after: str


class ImportReport(Frozen):
    """What importing a list did. `columns`: field -> the header it was read from; `not_used`:
    headers that say nothing to us; `none_left`: rings with a quantity of 0, which are not offered.
    """

    list: str
    stock: str
    od_means: OdMeans
    od_means_before: OdMeans | None
    rings: int
    none_left: int
    written: str
    columns: dict[str, str]
    not_used: tuple[str, ...]
    materials: dict[str, str]
    added: tuple[str, ...]
    changed: tuple[CellChange, ...]
    removed: tuple[str, ...]
    unchanged: int
    digest: str


class ListNote(Frozen):
    """A list: what its outside diameter means, how many rings it holds, what it adds up to."""

    list: str
    od_means: OdMeans
    rings: int
    digest: str
    imported_at: str
