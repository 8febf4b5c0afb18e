"""The rules across rows, each a small function that yields what breaks it, file and line named.

names      keys stand once, references resolve, no fact twice, withdrawals
evidence   how a fact was seen fits its sources
figures    units of the right kind, ends in order, what nature allows
expansion  hotter is longer; forms of one material agree
history    releases in order; every published digest still holds
results    what the build computed stands on rows that stand
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from specdb.build.expand import Expanded, releases
from specdb.build.read import Tables
from specdb.build.rules import evidence, expansion, figures, history, names, results
from specdb.build.rules.data import Data, Rule
from specdb.build.rules.results import Computed
from specdb.errors import BadCell

ROW_RULES: tuple[Rule, ...] = (
    names.keys_stand_once,
    names.references_resolve,
    names.fixed_words_are_defined,
    names.no_fact_stands_twice,
    names.withdrawals_fit,
    history.releases_are_in_order,
    history.only_releases_have_tables,
    history.published_digests_hold,
    evidence.seen_fits_the_source,
    evidence.doubts_are_explained,
    evidence.nothing_from_the_demo,
    figures.properties_have_a_unit,
    figures.units_are_of_their_kind,
    figures.ends_are_in_order,
    figures.properties_are_possible,
    figures.uncertainties_are_not_negative,
    figures.temperatures_are_possible,
    figures.interferences_are_possible,
    figures.every_property_says_its_temperature,
    figures.fits_are_finite,
    expansion.strains_rise,
    expansion.means_rise,
    expansion.forms_agree,
)
COMPUTED_RULES: tuple[Callable[[Data, Computed], Iterator[BadCell]], ...] = (
    results.averages_stand,
    results.curves_rise,
    results.ranges_are_in_order,
)


def check_rows(
    tables: Tables, expanded: Expanded, spoiled: frozenset[str] = frozenset()
) -> list[BadCell]:
    """Every breach of a rule about the rows as written, in order of file and line.

    `spoiled`: tables some of whose rows could not be read; what names their rows is not judged.
    """
    data = Data(tables, expanded, tuple(releases(tables)), spoiled)
    return sorted({cell for rule in ROW_RULES for cell in rule(data)})


def check_computed(tables: Tables, expanded: Expanded, computed: Computed) -> list[BadCell]:
    """Every breach of a rule about what was computed from the rows."""
    data = Data(tables, expanded, tuple(releases(tables)))
    return sorted({cell for rule in COMPUTED_RULES for cell in rule(data, computed)})
