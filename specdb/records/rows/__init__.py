"""One class for each table of `data/`: the columns of its CSV file, in order.

A cell stays the text it was written as: a number is checked here, never changed, so that a
release's digest is taken over what the curator typed. What a person cannot look at in a cell,
the value in the house unit, is a *converted* column: the build computes it, the database holds it
beside the text, `CONVERTED` says from which cells.

Every row has an `id`, its own for ever (a release's is its `ordinal`), and the `release` that
brought it (`next` for a draft). A table of things (`materials`, `media`, ...) has a `key`
besides, by which other rows name the thing; among the rows live in one release a key stands once.
"""

from __future__ import annotations

from specdb.records.rows.cells import (
    ID,
    KEY,
    SEEN_ORDER,
    Basis,
    Converted,
    Fact,
    Id,
    Key,
    Keys,
    Number,
    Numbers,
    Release,
    Row,
    Seen,
    Text,
)
from specdb.records.rows.factors import BridgeFactor, PocketFactor
from specdb.records.rows.fits import (
    Friction,
    FundamentalDeviation,
    InchFit,
    InterferenceRange,
    SurfaceAllowance,
    ToleranceGrade,
)
from specdb.records.rows.history import DataRelease, ReleaseTable, Withdrawal
from specdb.records.rows.materials import (
    ExpansionFit,
    InsertClass,
    Material,
    MaterialProperty,
    Proxy,
)
from specdb.records.rows.parts import (
    Choice,
    Dimension,
    GuideDimension,
    GuideSeries,
    InsertDimension,
    InsertSeries,
    SeatGeometry,
    Series,
)
from specdb.records.rows.procedures import (
    Caution,
    ExposureLimit,
    HandlingLimit,
    HeatTransfer,
    Medium,
    OperatingTemperature,
)
from specdb.records.rows.sources import Source, Vocabulary

__all__ = [
    "ID",
    "KEY",
    "SEEN_ORDER",
    "TABLES",
    "Basis",
    "BridgeFactor",
    "Caution",
    "Choice",
    "Converted",
    "DataRelease",
    "Dimension",
    "ExpansionFit",
    "ExposureLimit",
    "Fact",
    "Friction",
    "FundamentalDeviation",
    "GuideDimension",
    "GuideSeries",
    "HandlingLimit",
    "HeatTransfer",
    "Id",
    "InchFit",
    "InsertClass",
    "InsertDimension",
    "InsertSeries",
    "InterferenceRange",
    "Key",
    "Keys",
    "Material",
    "MaterialProperty",
    "Medium",
    "Number",
    "Numbers",
    "OperatingTemperature",
    "PocketFactor",
    "Proxy",
    "Release",
    "ReleaseTable",
    "Row",
    "SeatGeometry",
    "Seen",
    "Series",
    "Source",
    "SurfaceAllowance",
    "Text",
    "ToleranceGrade",
    "Vocabulary",
    "Withdrawal",
    "columns",
    "key_column",
]

TABLES: dict[str, type[Row]] = {
    "sources": Source,
    "vocabulary": Vocabulary,
    "materials": Material,
    "insert_classes": InsertClass,
    "material_properties": MaterialProperty,
    "expansion_fits": ExpansionFit,
    "proxies": Proxy,
    "interference_ranges": InterferenceRange,
    "insert_series": InsertSeries,
    "guide_series": GuideSeries,
    "insert_dimensions": InsertDimension,
    "guide_dimensions": GuideDimension,
    "seat_geometry": SeatGeometry,
    "choices": Choice,
    "operating_temperatures": OperatingTemperature,
    "media": Medium,
    "exposure_limits": ExposureLimit,
    "heat_transfer": HeatTransfer,
    "handling_limits": HandlingLimit,
    "cautions": Caution,
    "pocket_factors": PocketFactor,
    "bridge_factors": BridgeFactor,
    "friction": Friction,
    "surface_allowances": SurfaceAllowance,
    "tolerance_grades": ToleranceGrade,
    "fundamental_deviations": FundamentalDeviation,
    "inch_fits": InchFit,
    "releases": DataRelease,
    "release_tables": ReleaseTable,
    "withdrawals": Withdrawal,
}
"""Table -> row model, in the order a loader may fill them."""


def key_column(table: str) -> str:
    """The column a table is sorted by and found by: `id`, for releases `ordinal`."""
    return "ordinal" if table == "releases" else "id"


def columns(table: str) -> list[str]:
    """The columns of a table's CSV file: what it is about first, then what it says of itself."""
    fields = list(TABLES[table].model_fields)
    own = [name for name in fields if name not in Fact.model_fields]
    return own + [name for name in Fact.model_fields if name in fields]
