"""People who touch the part: every skin condition, percentile and path in every state, and which of them enter."""

import math
from dataclasses import dataclass
from itertools import product

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Exposure
from hazardreport.assess.routes import impedance_parts
from hazardreport.assess.source import SourceAt, method
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Grip, Household, ResidualCurrentDevice
from hazardreport.case.unit_state import UnitState
from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Source
from hazardreport.severity.body import (
    PERCENTILES,
    BodyPoint,
    body_impedance_source,
    body_point,
    heart_current_factor,
    heart_current_factor_source,
    path_factor,
    path_factor_source,
)
from hazardreport.severity.devices import (
    Verdict,
    exposure_duration,
    residual_current_operation,
    residual_current_sources,
)
from hazardreport.severity.terms import BodyPath, ContactArea, Skin
from hazardreport.severity.zones import curve_source, long_duration, zone

STEP = 1e-4


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
    """What a person carries; of a resistance and a capacitance that the readings leave open, at the worse one.

    None where the voltage lies outside the table of a smaller area of contact.
    """
    found = []
    for one in (source, source.other_nature):
        if one is None:
            continue
        try:
            point = _point(one, person)
        except OutsideTableError:
            continue
        found.append(Touched(source=one, person=person, point=point, uncertainty=_uncertainty(one, person, point)))
    return max(found, key=lambda item: item.point.body_current, default=None)


def _point(source: SourceAt, person: Person, voltage: float | None = None, scale: float = 1.0) -> BodyPoint:
    return body_point(
        source.voltage if voltage is None else voltage,
        source.impedance * scale,
        person.skin,
        person.percentile,
        person.path,
        person.series_resistance,
        person.area,
    )


def _uncertainty(source: SourceAt, person: Person, point: BodyPoint) -> float:
    """Standard uncertainty of the body current from that of U0 and Zs, to first order. [A]"""
    variance_voltage, covariance, variance_impedance = source.covariance
    if not math.isfinite(variance_voltage + variance_impedance) or not math.isfinite(abs(source.impedance)):
        return 0.0
    by_voltage = by_impedance = 0.0
    if variance_voltage:
        step = STEP * max(source.voltage, 1.0)
        by_voltage = (_point(source, person, source.voltage + step).body_current - point.body_current) / step
    if variance_impedance and source.impedance:
        further = _point(source, person, scale=1.0 + STEP).body_current
        by_impedance = (further - point.body_current) / (STEP * abs(source.impedance))
    variance = (
        by_voltage**2 * variance_voltage
        + 2.0 * by_voltage * by_impedance * covariance
        + by_impedance**2 * variance_impedance
    )
    return math.sqrt(max(0.0, variance))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Factors:
    path: str
    heart: str


def _enter_factors(ledger: Ledger, path: BodyPath) -> _Factors:
    fields = {"path": path.value}
    key = path.name.lower()
    return _Factors(
        path=ledger.enter(
            f"table.path-factor.{key}",
            "path_factor",
            "BF",
            path_factor(path),
            "1",
            equation="table",
            sources=(path_factor_source(path),),
            fields=fields,
        ),
        heart=ledger.enter(
            f"table.heart-factor.{key}",
            "heart_factor",
            "F",
            heart_current_factor(path),
            "1",
            equation="table",
            sources=(heart_current_factor_source(path),),
            fields=fields,
        ),
    )


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
        ("body_impedance", "ZB", point.body_impedance, "ohm", 0.0, "BF · ZT(UB)", (factors.path,), tables),
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
            path_factor_source(person.path),
            heart_current_factor_source(person.path),
            curve_source("c2", seconds),
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
    found = []
    for source in sources:
        for person in people:
            at = touched(source, person)
            if at is not None:
                found.append(exposure(ledger, case, source.state, at, source.plausible and person.plausible))
    return tuple(found)
