"""People who touch the part: every skin condition, percentile and path in every state, and which of them enter."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Exposure
from hazardreport.assess.routes import impedance_parts
from hazardreport.assess.source import SourceAt, method
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Grip, Household, ResidualCurrentDevice
from hazardreport.case.unit_state import UnitState
from hazardreport.quantity.trace import Source
from hazardreport.severity.body import (
    PERCENTILES,
    BodyPoint,
    body_impedance_source,
    heart_current_factor,
    heart_current_factor_source,
    path_factor,
    path_factor_source,
)
from hazardreport.severity.body_many import BodyPoints, body_points
from hazardreport.severity.devices import (
    Verdict,
    exposure_duration,
    residual_current_operation,
    residual_current_sources,
)
from hazardreport.severity.terms import BodyPath, ContactArea, Skin
from hazardreport.severity.zones import curve_source, long_duration, zone
from hazardreport.standards.active import cached_by_confirmations


def plausible_paths(household: Household) -> tuple[BodyPath, ...]:
    """Paths that a recorded circumstance makes plausible; none where nothing was recorded."""
    paths = []
    if household.earthed_metal_in_reach is Answer.YES:
        paths.append(BodyPath.HAND_TO_HAND)
    if household.conductive_floor is Answer.YES:
        paths.append(BodyPath.HAND_TO_FEET)
        if household.both_hands is Answer.YES:
            paths.append(BodyPath.HANDS_TO_FEET)
    return tuple(paths)


def counted_path(household: Household) -> BodyPath:
    """The plausible path that drives most current; hand to both feet where no circumstance was recorded."""
    return min(plausible_paths(household), key=path_factor, default=BodyPath.HAND_TO_FEET)


def plausible_skins(household: Household) -> tuple[Skin, ...]:
    """Skin conditions that enter: dry always, water-wet where wet hands were recorded."""
    return (Skin.DRY, Skin.WATER_WET) if household.wet_hands is Answer.YES else (Skin.DRY,)


@dataclass(frozen=True, kw_only=True, slots=True)
class Person:
    """Someone who touches the part.

    series_resistance  floor, footwear or glove [ohm]
    duration           None for as long as nothing ends it [s]
    own                id of the case's own exposure, "" for a usual one
    plausible          a recorded circumstance lets this exposure in, in a state that people meet
    """

    skin: Skin
    percentile: int
    path: BodyPath
    area: ContactArea = ContactArea.LARGE
    series_resistance: float = 0.0
    duration: float | None = None
    own: str = ""
    plausible: bool = False

    @property
    def key(self) -> str:
        """For ids in the trace."""
        if self.own:
            return f"own.{self.own}"
        area = "" if self.area is ContactArea.LARGE else f".{self.area.value}"
        return f"{self.skin.name.lower()}.{self.percentile}.{self.path.name.lower()}{area}"


def persons(case: Case) -> tuple[Person, ...]:
    """The usual persons, those with a smaller area of contact where one was recorded, and the case's own."""
    household = case.household
    paths, skins = plausible_paths(household), plausible_skins(household)
    found = [
        Person(
            skin=skin,
            percentile=percentile,
            path=path,
            series_resistance=_floor(household, path),
            plausible=path in paths and skin in skins,
        )
        for skin, percentile, path in product(Skin, PERCENTILES, BodyPath)
    ]
    if household.grip in (Grip.PALM, Grip.FINGERTIP):
        found += [
            Person(
                skin=skin,
                percentile=percentile,
                path=path,
                area=ContactArea.MEDIUM,
                series_resistance=_floor(household, path),
            )
            for skin, percentile, path in product(skins, PERCENTILES, paths)
        ]
    found += [
        Person(
            skin=own.skin,
            percentile=own.percentile,
            path=own.path,
            area=own.area,
            series_resistance=own.series_resistance,
            duration=own.duration,
            own=own.id,
        )
        for own in case.exposures
        if own.percentile in PERCENTILES
    ]
    return tuple(found)


def _floor(household: Household, path: BodyPath) -> float:
    return 0.0 if path is BodyPath.HAND_TO_HAND else household.floor_resistance or 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Touched:
    """A person at a source: what they carry, with the standard uncertainty of the current. [A]"""

    source: SourceAt
    person: Person
    point: BodyPoint
    uncertainty: float


def touched(source: SourceAt, person: Person) -> Touched | None:
    """As `all_touched` for one person at one source."""
    return all_touched(((source, person),))[0]


def all_touched(asked: Sequence[tuple[SourceAt, Person]]) -> tuple[Touched | None, ...]:
    """What people carry, all found together; of two natures of a source that the readings leave open, at the worse one.

    None where the voltage lies outside the table of a smaller area of contact.
    """
    pairs = [
        (number, one, person)
        for number, (source, person) in enumerate(asked)
        for one in (source, source.other_nature)
        if one is not None
    ]
    if not pairs:
        return ()
    points = body_points(
        np.array([source.voltage for _, source, _ in pairs]),
        np.array([source.impedance for _, source, _ in pairs], dtype=np.complex128),
        [person.skin for *_, person in pairs],
        [person.percentile for *_, person in pairs],
        [person.path for *_, person in pairs],
        [person.area for *_, person in pairs],
        np.array([person.series_resistance for *_, person in pairs]),
    )
    doubts = _uncertainties([source for _, source, _ in pairs], points)
    worst: list[Touched | None] = [None] * len(asked)
    columns = zip(
        pairs,
        points.body_voltage.tolist(),
        points.touch_voltage.tolist(),
        points.body_current.tolist(),
        points.body_impedance.tolist(),
        points.outside.tolist(),
        doubts.tolist(),
        strict=True,
    )
    for (number, source, person), across, touch, current, impedance, outside, doubt in columns:
        before = worst[number]
        if outside or (before is not None and before.point.body_current >= current):
            continue
        point = BodyPoint(body_voltage=across, touch_voltage=touch, body_current=current, body_impedance=impedance)
        worst[number] = Touched(source=source, person=person, point=point, uncertainty=doubt)
    return tuple(worst)


def _uncertainties(sources: Sequence[SourceAt], points: BodyPoints) -> NDArray[np.float64]:
    """Standard uncertainties of the body currents from those of U0 and Zs, to first order. [A]"""
    voltage, both, impedance = np.array([source.covariance for source in sources]).T
    with np.errstate(invalid="ignore", over="ignore"):
        variance = (
            points.by_voltage**2 * voltage
            + 2.0 * points.by_voltage * points.by_impedance * both
            + points.by_impedance**2 * impedance
        )
    return np.asarray(np.sqrt(np.where(np.isfinite(variance), np.maximum(variance, 0.0), 0.0)))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Factors:
    path: str
    heart: str


@cached_by_confirmations()
def _of_path(path: BodyPath) -> tuple[tuple[str, str, str, float, tuple[Source, ...]], ...]:
    """Id, name, symbol, value and source of a path's two factors."""
    key = path.name.lower()
    return (
        (f"table.path-factor.{key}", "path_factor", "BF", path_factor(path), (path_factor_source(path),)),
        (
            f"table.heart-factor.{key}",
            "heart_factor",
            "F",
            heart_current_factor(path),
            (heart_current_factor_source(path),),
        ),
    )


def _enter_factors(ledger: Ledger, path: BodyPath) -> _Factors:
    ids = [
        ledger.enter(number, name, symbol, value, "1", equation="table", sources=sources, fields={"path": path.value})
        for number, name, symbol, value, sources in _of_path(path)
    ]
    return _Factors(path=ids[0], heart=ids[1])


@cached_by_confirmations()
def _curve_source(duration: float) -> Source:
    return curve_source("c2", duration)


def enter_long_duration(ledger: Ledger) -> str:
    """Write the duration without a device down."""
    return ledger.enter(
        "duration.long", "long_duration", "t", long_duration(), "s", equation="choice", sources=method("duration")
    )


def _enter_duration(ledger: Ledger, prefix: str, kind: ResidualCurrentDevice, verdict: Verdict, current: str) -> str:
    duration = exposure_duration(verdict)
    if duration >= long_duration():
        return enter_long_duration(ledger)
    return ledger.enter(
        f"{prefix}.t",
        "device_time",
        "t",
        duration,
        "s",
        equation="longest time of the device at that current",
        inputs=(current,),
        sources=residual_current_sources(kind),
        fields={"device": kind.value},
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Source:
    """Ids of a source as the equation of the body needs them, and that equation for the voltage across the body."""

    ids: tuple[str, ...]
    equation: str


def _source_inputs(ledger: Ledger, source: SourceAt, series: str) -> _Source:
    """Zs as its modulus where it is a resistance, else as resistance and reactance."""
    added = " + Rser" if series else ""
    parts = impedance_parts(ledger, source)
    if not parts:
        return _Source(ids=(source.voltage_id, source.impedance_id), equation=f"U0 · ZB / (Zs{added} + ZB)")
    return _Source(ids=(source.voltage_id, *parts), equation=f"U0 · ZB / √((Rs{added} + ZB)² + Xs²)")


def _enter_series(ledger: Ledger, person: Person) -> str:
    if not person.series_resistance:
        return ""
    key = f"own.{person.own}" if person.own else "floor"
    return ledger.enter(
        f"person.series.{key}",
        "series_resistance",
        "Rser",
        person.series_resistance,
        "ohm",
        equation="as stated",
    )


def exposure(ledger: Ledger, case: Case, state: UnitState, at: Touched, plausible: bool) -> Exposure:
    """One person at one source, every number written down."""
    person, point, uncertainty = at.person, at.point, at.uncertainty
    prefix = f"person.{state.key}.{person.key}"
    factors = _enter_factors(ledger, person.path)
    series = _enter_series(ledger, person)
    source = _source_inputs(ledger, at.source, series)
    tables = (body_impedance_source(point.body_voltage, person.skin, person.percentile, person.area),)
    fields = {"skin": person.skin.value, "percentile": person.percentile, "path": person.path.value}
    share = uncertainty / point.body_current if point.body_current else 0.0
    with_series = (series,) if series else ()
    impedance, voltage, current, touch = (f"{prefix}.{symbol}" for symbol in ("ZB", "UB", "IB", "UT"))
    factor = heart_current_factor(person.path)
    rows: tuple[tuple[str, str, float, str, float, str, tuple[str, ...], tuple[Source, ...]], ...] = (
        (
            "body_impedance",
            "ZB",
            point.body_impedance,
            "ohm",
            0.0,
            "BF · ZT(UB), found together with UB",
            (factors.path,),
            tables,
        ),
        (
            "body_voltage",
            "UB",
            point.body_voltage,
            "V",
            share * point.body_voltage,
            source.equation,
            (*source.ids, *with_series, impedance),
            (),
        ),
        ("body_current", "IB", point.body_current, "A", uncertainty, "UB / ZB", (voltage, impedance), ()),
        (
            "touch_voltage",
            "UT",
            point.touch_voltage,
            "V",
            share * point.touch_voltage,
            "IB · (ZB + Rser)" if series else "IB · ZB",
            (current, impedance, *with_series),
            (),
        ),
        (
            "heart_current",
            "Iref",
            factor * point.body_current,
            "A",
            factor * uncertainty,
            "F · IB",
            (factors.heart, current),
            (),
        ),
    )
    for name, symbol, value, unit, doubt, equation, inputs, cited in rows:
        ledger.enter(
            f"{prefix}.{symbol}",
            name,
            symbol,
            value,
            unit,
            uncertainty=doubt,
            equation=equation,
            inputs=inputs,
            sources=cited,
            fields=fields,
        )
    duration = _duration_of(ledger, case, person, prefix, point.body_current, current)
    seconds = ledger.value(duration)
    return Exposure(
        state=state,
        skin=person.skin,
        percentile=person.percentile,
        path=person.path,
        body_impedance=impedance,
        body_voltage=voltage,
        touch_voltage=touch,
        body_current=current,
        heart_current=f"{prefix}.Iref",
        duration=duration,
        zone=zone(factor * point.body_current, point.body_current, seconds),
        zone_long=zone(factor * point.body_current, point.body_current, long_duration()),
        plausible=plausible,
        area=person.area,
        series_resistance=series,
        own=person.own,
        sources=(
            *tables,
            *(source for *_, sources in _of_path(person.path) for source in sources),
            _curve_source(seconds),
        ),
    )


def _duration_of(ledger: Ledger, case: Case, person: Person, prefix: str, amperes: float, current: str) -> str:
    if person.duration is None:
        kind = case.household.residual_current_device
        return _enter_duration(ledger, prefix, kind, residual_current_operation(kind, amperes), current)
    return ledger.enter(f"{prefix}.t", "stated_duration", "t", person.duration, "s", equation="as stated")


def exposures(ledger: Ledger, case: Case, sources: tuple[SourceAt, ...]) -> tuple[Exposure, ...]:
    """Every person in every state that has a source: the usual ones first, the case's own last."""
    people = persons(case)
    asked = [(source, person) for source in sources for person in people]
    return tuple(
        exposure(ledger, case, source.state, at, source.plausible and person.plausible)
        for (source, person), at in zip(asked, all_touched(asked), strict=True)
        if at is not None
    )
