"""A counterbore judged: what its readings, run-out, pits and bridge allow, and what to say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from specdb.answers import readings
from specdb.answers.measuring import Measuring
from specdb.answers.press_range import SOFT
from specdb.answers.readings import Bore
from specdb.answers.trade_limits import Limit
from specdb.answers.windows import FAR_MM, FLOAT_MM, Proportion, Row, Verdict, Wanted
from specdb.records.sizes import Candidate, Measured, SizesRequest

FEATURES = (
    "as-found-ovality",
    "as-found-taper",
    "bridge-refuse-aluminium",
    "bridge-warn-aluminium",
    "counterbore-check",
    "counterbore-to-guide-run-out",
    "height-to-outer-diameter",
    "least-clean-cut",
    "oversize-before-jacket-check",
    "same-size-preference",
    "used-bore-rule",
    "wall-to-outer-diameter",
    SOFT,
)
"""The limit rows a counterbore is judged by."""
SETBACK = "insert-setback"
"""The limit row, of seat geometry, for how far below the deck a ring may stand."""
SEEN_MM = 0.005
"""What two sizes may differ by before a word is said of it."""
EXACT = "no tolerance on its list: taken as exact, measure it"


@dataclass(frozen=True, slots=True)
class Counterbore:
    """The readings as a bore at 20 degC, what is wanted of a ring, and the request behind both.

    `faults`: what forbids using it as found; `clean_up_limit`: what limits the metal taken out;
    `setback`: how far a ring may stand below the deck, mm; `port`: the diameter its inside is to
    run into and what that is called, where it was told; `deep`: its depth, where that was told.
    """

    request: SizesRequest
    state: Measuring
    trade: Mapping[str, Limit]
    bore: Bore
    wanted: Wanted
    error: float
    faults: tuple[str, ...]
    clean_up_limit: str
    alloy: bool
    setback: float
    port: tuple[float, str] | None
    deep: float | None = None

    def measured(self) -> Measured:
        """The readings as the answer gives them, lengths in mm."""
        return Measured(
            mean_mm=self.bore.mean,
            smallest_mm=self.bore.smallest,
            largest_mm=self.bore.largest,
            ovality_mm=self.bore.ovality,
            taper_mm=self.bore.taper,
            reading_error_mm=self.error,
            readings=self.bore.readings,
            head_c=self.state.head_c,
            ring_c=self.state.ring_c,
        )

    def bridge_left(self, clean_up: float) -> float | None:
        """Thinnest metal to the neighbour after boring, which moves the centre to the guide's."""
        return bridge_left(self.request, clean_up)

    def head_reads(self, size: float) -> float | None:
        """What a bore of `size` at 20 degC reads in the head as warm as it was measured."""
        return size * (1.0 + self.state.head_strain.value) if self.state.told else None

    def ring_reads(self, size: float) -> float | None:
        """What a ring of `size` at 20 degC reads as warm as it was measured."""
        return size * (1.0 + self.state.ring_strain.value) if self.state.told else None

    def said_of(self, row: Row, verdict: Verdict, *, stated: bool) -> tuple[str, ...]:
        """What to look at before this ring is taken; `stated`: its tolerance is known."""
        said = [] if stated else [EXACT]
        if verdict.tight:
            window = verdict.cut_max - verdict.cut_min
            said.append(f"bore window {window:.3f} mm: bore to the measured ring instead")
        if inside := self.inside(row["inner_mm"]):
            said.append(inside)
        below = self.below(row["height_mm"])
        if below is not None and abs(below) > SEEN_MM:
            said.append(self.lower(below))
        return tuple(said)

    def below(self, height: float) -> float | None:
        """How far a ring stands below the deck, mm; below zero, how much is faced off it."""
        return None if self.deep is None else self.deep - height

    def too_low(self, height: float) -> bool:
        """Whether a ring stands further below the deck than is usual."""
        return self.deep is not None and height < self.deep - self.setback

    def inside(self, inner: float) -> str:
        """What an inside that is not the port's means for the work after fitting."""
        if self.port is None:
            return ""
        size, name = self.port
        if inner < size - SEEN_MM:
            off = size - inner
            return f"inside is {off:.2f} mm smaller than {name}: blend or bore after fitting"
        if inner > size + SEEN_MM:
            return f"inside is {inner - size:.2f} mm larger than {name}: it leaves a step"
        return ""

    def lower(self, below: float) -> str:
        """What to say of a ring `below` mm lower than the counterbore is deep."""
        if below < 0.0:
            return f"{-below:.2f} mm higher than the counterbore is deep: face it down to the deck"
        if below <= self.setback:
            return f"stands {below:.2f} mm below the deck"
        return (
            f"stands {below:.2f} mm below the deck, more than is usual: take a higher ring and "
            "face it, or cut the deck"
        )

    def unknown(self) -> Iterator[tuple[str, str]]:
        """What the readings cannot say: field, reason."""
        if self.bore.ovality is None:
            yield "ovality_mm", "one reading; take some round the bore at one depth"
        if self.bore.taper is None:
            yield "taper_mm", "no readings near the floor (bore_bottom)"
        if self.request.bridge is None:
            yield "bridge_left_mm", "thinnest metal to a neighbour (bridge) was not told"

    def assumed(self) -> Iterator[str]:
        """What was taken for granted because nobody told, a text each."""
        if not self.request.measured_at:
            yield "head, ring and gauge at 20 degC: left in one room overnight"
        if self.request.pit_depth == 0.0:
            yield "counterbore clean: no fretting, no pits, no crack, floor good"
        if self.request.runout == 0.0:
            yield "counterbore true to the guide, no run-out"
        if _inner(self.request) is None:
            yield "throat not told: walls nearest the usual share of the diameter come first"
        if self.deep is None:
            yield "depth not told: heights nearest the usual share of the diameter come first"

    def remarks(self, candidates: Sequence[Candidate]) -> Iterator[str]:
        """What to say beside the sizes."""
        yield from self._of_first(candidates)
        if any(each.as_found for each in candidates):
            rule, check = self.trade["used-bore-rule"], self.trade["counterbore-check"]
            yield f"One manual forbids it as found ({rule.source}): {rule.statement}."
            yield f"Before a counterbore is used, look with the ring out: {check.statement}."
        run_out = self.trade["counterbore-to-guide-run-out"]
        if self.request.runout > run_out.value + FLOAT_MM:
            yield (
                f"Run-out {self.request.runout:.3f} mm is more than {run_out.value:.3f} mm: a "
                "ring as found would stand beside the guide's axis."
            )
        if self._deep(candidates):
            first = "More than" if self._deep(candidates[:1]) else "Some of these take more than"
            yield (
                f"{first} {self.trade['oversize-before-jacket-check'].value:g} mm on diameter: "
                "nothing here sees the water jacket. Section a scrap head or measure it with "
                "ultrasound first."
            )
        yield from self._of_bridge(candidates)

    def _of_first(self, candidates: Sequence[Candidate]) -> Iterator[str]:
        """What is to be looked at of the ring that comes first, its usual setback left out."""
        for first in candidates[:1]:
            below = self.below(first.height_mm)
            usual = below is not None and 0.0 <= below <= self.setback
            quiet = {EXACT, self.lower(below) if usual and below is not None else ""}
            name = f"{first.outer_mm:.2f} x {first.inner_mm:.2f} x {first.height_mm:.2f} mm"
            if first.preferred:
                yield f"{name} comes first: {first.why}."
            yield from (f"{name}: {said}." for said in first.remarks if said not in quiet)

    def _of_bridge(self, candidates: Sequence[Candidate]) -> Iterator[str]:
        if self.request.bridge is None:
            return
        if self.request.bridge < 0:
            yield "Negative bridge: fit in sequence, the second cut trims the first ring."
        elif self.alloy and self.request.bridge < self.trade["bridge-refuse-aluminium"].value:
            yield "The bridge is thinner than the trade leaves one: take out the least there is."
        warn = self.trade["bridge-warn-aluminium"].value
        left = [each.bridge_left_mm for each in candidates if each.bridge_left_mm is not None]
        if self.alloy and left and min(left) < warn:
            yield f"Some of these leave a bridge under {warn:g} mm; it may crack."

    def _deep(self, candidates: Sequence[Candidate]) -> bool:
        most = self.trade["oversize-before-jacket-check"].value
        return any(not each.as_found and each.clean_up_mm > most for each in candidates)

    def topics(self, candidates: Sequence[Candidate]) -> Iterator[str]:
        """Caution topics of measuring, boring and the water jacket."""
        yield "measure"
        if any(not each.as_found for each in candidates):
            yield "bore"
        if self._deep(candidates):
            yield "water-jacket"

    def rows_used(self, candidates: Sequence[Candidate]) -> Iterator[str]:
        """The limit rows that had a say."""
        used = ["as-found-ovality", "as-found-taper", "least-clean-cut", "same-size-preference"]
        if any(each.as_found for each in candidates):
            used += ["used-bore-rule", "counterbore-check"]
        if self.request.bridge is not None and self.alloy:
            used += ["bridge-refuse-aluminium", "bridge-warn-aluminium"]
        if self.request.head_state in ("welded", "soft"):
            used.append(SOFT)
        if _inner(self.request) is None:
            used.append("wall-to-outer-diameter")
        if self.deep is None:
            used.append("height-to-outer-diameter")
        else:
            used.append(SETBACK)
        used += ["counterbore-to-guide-run-out", "oversize-before-jacket-check"]
        return (self.trade[name].row for name in used)


def counterbore(
    request: SizesRequest, state: Measuring, trade: Mapping[str, Limit], head_class: str
) -> Counterbore:
    """Judge a counterbore. Raises `BadRequest` for readings that disagree wildly."""
    bore = readings.bore(request.bore, request.bore_bottom, strain=state.head_strain.value)
    error = request.reading_error + state.open_mm(bore.largest)
    faults = tuple(_faults(request, bore, trade))
    alloy = head_class == "aluminium"
    most, limit = _clean_up_max(request, trade["bridge-refuse-aluminium"], alloy)
    return Counterbore(
        request=request,
        state=state,
        trade=trade,
        bore=bore,
        wanted=_wanted(request, bore, trade, error, most, as_found=not faults),
        error=error,
        faults=faults,
        clean_up_limit=limit,
        alloy=alloy,
        setback=(trade[SETBACK].greatest or 0.0) + FLOAT_MM,
        port=_port(request),
        deep=request.height_max,
    )


def deepened(bore: Counterbore, depth: float | None) -> Counterbore:
    """The same counterbore, its depth told apart from the height a ring may have: a higher ring is
    faced down to the deck."""
    if depth is None:
        return bore
    wanted = replace(bore.wanted, height=Proportion(depth, 0.0))
    return replace(bore, deep=depth, wanted=wanted)


def bridge_left(request: SizesRequest, clean_up: float) -> float | None:
    """Metal left to the neighbour: half the clean-up goes, and a cut moves the centre besides."""
    if request.bridge is None:
        return None
    moved = request.runout / 2 if clean_up > 0 else 0.0
    return request.bridge - clean_up / 2 - moved


def _faults(request: SizesRequest, bore: Bore, trade: Mapping[str, Limit]) -> Iterator[str]:
    ovality, taper = trade["as-found-ovality"].value, trade["as-found-taper"].value
    if bore.ovality is not None and bore.ovality > ovality + FLOAT_MM:
        yield f"ovality {bore.ovality:.3f} mm, up to {ovality:.3f} mm is usable"
    if bore.taper is not None and bore.taper > taper + FLOAT_MM:
        yield f"taper {bore.taper:.3f} mm, up to {taper:.3f} mm is usable"
    if request.pit_depth > 0.0:
        yield f"pits {request.pit_depth:.3f} mm deep"


def _clean_up_max(request: SizesRequest, refuse: Limit, alloy: bool) -> tuple[float, str]:
    """The most that may be taken out on diameter, mm, and what sets it."""
    asked = request.largest_clean_up
    limit = f"largest_clean_up is {asked:g} mm"
    if request.bridge is None or not alloy or request.bridge < refuse.value:
        return asked, limit
    room = 2 * (request.bridge - request.runout / 2 - refuse.value)
    if room >= asked:
        return asked, limit
    return room, f"it would leave a bridge under {refuse.value:g} mm"


def _port(request: SizesRequest) -> tuple[float, str] | None:
    if request.throat is not None:
        return request.throat, "the throat"
    if request.inner_max is not None:
        return request.inner_max, f"the {request.inner_max:.2f} mm asked for"
    return None


def _inner(request: SizesRequest) -> float | None:
    """The inside diameter wanted, if any was told: the largest that serves, else the throat's."""
    return next(
        (told for told in (request.inner_max, request.throat, request.inner_min) if told), None
    )


def _wanted(
    request: SizesRequest,
    bore: Bore,
    trade: Mapping[str, Limit],
    error: float,
    most: float,
    *,
    as_found: bool,
) -> Wanted:
    cut = max(request.runout + 2 * request.pit_depth, trade["least-clean-cut"].value)
    inner = _inner(request)
    wall, height = trade["wall-to-outer-diameter"].value, trade["height-to-outer-diameter"].value
    return Wanted(
        smallest=bore.smallest - error,
        largest=bore.largest + error,
        largest_reading=bore.largest,
        clean_bore=bore.largest + cut,
        clean_up_max=most,
        hit=2 * request.reading_error,
        as_found=as_found,
        inner_min=request.inner_min or 0.0,
        inner_max=FAR_MM if request.inner_max is None else request.inner_max,
        height_min=0.0,
        height_max=FAR_MM if request.height_max is None else request.height_max,
        inner=Proportion(0.0, 1 - 2 * wall) if inner is None else Proportion(inner, 0.0),
        height=Proportion(0.0, height)
        if request.height_max is None
        else Proportion(request.height_max, 0.0),
    )
