"""People who touch the part: every skin condition, percentile and path in every state, and which of them enter."""

import math
from dataclasses import dataclass
from itertools import product

from hazardreport.assess.ledger import Ledger
from hazardreport.assess.records import Exposure
from hazardreport.assess.source import SourceAt, method
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Household, ResidualCurrentDevice
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
from hazardreport.severity.terms import BodyPath, Skin
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


def current_uncertainty(source: SourceAt, person: tuple[Skin, int, BodyPath], point: BodyPoint) -> float:
    """Standard uncertainty of the body current from that of U0 and Zs, to first order. [A]"""
    variance_voltage, covariance, variance_impedance = source.covariance
    if not math.isfinite(variance_voltage + variance_impedance) or not math.isfinite(abs(source.impedance)):
        return 0.0
    by_voltage = by_impedance = 0.0
    if variance_voltage:
        step = STEP * max(source.voltage, 1.0)
        by_voltage = (
            body_point(source.voltage + step, source.impedance, *person).body_current - point.body_current
        ) / step
    if variance_impedance and source.impedance:
        scale = 1.0 + STEP
        by_impedance = (
            body_point(source.voltage, source.impedance * scale, *person).body_current - point.body_current
        ) / (STEP * abs(source.impedance))
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


def exposure(
    ledger: Ledger, case: Case, source: SourceAt, person: tuple[Skin, int, BodyPath], plausible: bool
) -> Exposure:
    """One person at one source, every number written down."""
    skin, percentile, path = person
    point = body_point(source.voltage, source.impedance, *person)
    uncertainty = current_uncertainty(source, person, point)
    prefix = f"person.{source.state.key}.{skin.name.lower()}.{percentile}.{path.name.lower()}"
    factors = _enter_factors(ledger, path)
    tables = (body_impedance_source(point.body_voltage, skin, percentile),)
    fields = {"skin": skin.value, "percentile": percentile, "path": path.value}
    share = uncertainty / point.body_current if point.body_current else 0.0

    def enter(
        name: str,
        symbol: str,
        value: float,
        unit: str,
        doubt: float,
        equation: str,
        inputs: tuple[str, ...],
        src: tuple[Source, ...],
    ) -> str:
        return ledger.enter(
            f"{prefix}.{symbol}",
            name,
            symbol,
            value,
            unit,
            uncertainty=doubt,
            equation=equation,
            inputs=inputs,
            sources=src,
            fields=fields,
        )

    impedance = enter("body_impedance", "ZB", point.body_impedance, "ohm", 0.0, "BF · ZT(UB)", (factors.path,), tables)
    voltage = enter(
        "body_voltage",
        "UB",
        point.body_voltage,
        "V",
        share * point.body_voltage,
        "U0 · ZB / |Zs + ZB|",
        (source.voltage_id, source.impedance_id, impedance),
        (),
    )
    current = enter("body_current", "IB", point.body_current, "A", uncertainty, "UB / ZB", (voltage, impedance), ())
    touch = enter(
        "touch_voltage",
        "UT",
        point.touch_voltage,
        "V",
        share * point.touch_voltage,
        "IB · ZB",
        (current, impedance),
        (),
    )
    factor = heart_current_factor(path)
    heart = enter(
        "heart_current",
        "Iref",
        factor * point.body_current,
        "A",
        factor * uncertainty,
        "F · IB",
        (factors.heart, current),
        (),
    )
    kind = case.household.residual_current_device
    duration = _enter_duration(ledger, prefix, kind, residual_current_operation(kind, point.body_current), current)
    seconds = ledger.value(duration)
    return Exposure(
        state=source.state,
        skin=skin,
        percentile=percentile,
        path=path,
        body_impedance=impedance,
        body_voltage=voltage,
        touch_voltage=touch,
        body_current=current,
        heart_current=heart,
        duration=duration,
        zone=zone(factor * point.body_current, point.body_current, seconds),
        zone_long=zone(factor * point.body_current, point.body_current, long_duration()),
        plausible=plausible,
        sources=(*tables, path_factor_source(path), heart_current_factor_source(path), curve_source("c2", seconds)),
    )


def exposures(ledger: Ledger, case: Case, sources: tuple[SourceAt, ...]) -> tuple[Exposure, ...]:
    """Every person in every state that has a source: skin, percentile and path, in this order."""
    paths, skins = plausible_paths(case.household), plausible_skins(case.household)
    return tuple(
        exposure(ledger, case, source, (skin, percentile, path), source.plausible and path in paths and skin in skins)
        for source in sources
        for skin, percentile, path in product(Skin, PERCENTILES, BodyPath)
    )
