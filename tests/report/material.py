"""A wax-melting pot of a youth craft club: a rich case, and an assessment whose numbers obey their own equations."""

from dataclasses import dataclass, field, replace
from io import BytesIO

from PIL import Image, ImageDraw

from hazardreport.assess.records import (
    ArtefactArgument,
    AsBuilt,
    Assessment,
    Basis,
    DeviceVerdict,
    Exposure,
    Fit,
    LimitComparison,
    NextTest,
    Parameter,
    ReadNumber,
    Residual,
    RouteKind,
    SourceRoute,
    StateCell,
    Verdict,
)
from hazardreport.case.case import Case
from hazardreport.case.circumstances import (
    Answer,
    Competence,
    Consents,
    Custody,
    Finding,
    FindingAnswer,
    FindingClaim,
    Grip,
    Household,
    Occurrence,
    ResidualCurrentDevice,
    Submitter,
    SubmitterCategory,
)
from hazardreport.case.picture import Mark, MarkKind, Picture, Placement, Point, PointRole
from hazardreport.case.reading import (
    Accuracy,
    Instrument,
    Load,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    State,
    SwitchPosition,
)
from hazardreport.case.stated import not_applicable, unknown, value
from hazardreport.case.unit import Unit
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, ElementMaterial, Plug, ProtectiveEarth, SwitchPoles, Wiring
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Number, Source, Status, Trace
from hazardreport.quantity.typed import Bound
from hazardreport.severity.terms import BodyPath, LimitDecision, Operation, SignalWord, Skin, Zone

CREATED = "2026-11-25T12:00:00+00:00"
BODY = Source(key="iec-60479-1-2018", place="table 1, 50 %")
BODY_MEMORY = Source(key="iec-60479-1-2018", place="table 1, 5 % and 95 %", status=Status.FROM_MEMORY)
LIMIT = Source(key="iec-60335-1-2010", place="13.2")
HEADLINE = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)


def jpeg(width: int = 900, height: int = 640) -> bytes:
    """A drawn pot."""
    image = Image.new("RGB", (width, height), (226, 228, 230))
    draw = ImageDraw.Draw(image)
    draw.ellipse((220, 180, 620, 300), fill=(150, 154, 160), outline=(70, 74, 80), width=6)
    draw.rectangle((220, 240, 620, 480), fill=(168, 172, 178), outline=(70, 74, 80), width=6)
    draw.rectangle((180, 480, 660, 540), fill=(60, 62, 66))
    draw.line((660, 510, 860, 560), fill=(30, 30, 30), width=14)
    stream = BytesIO()
    image.save(stream, "JPEG", quality=85)
    return stream.getvalue()


def _picture(id: str, caption: str, placements: tuple[Placement, ...], marks: tuple[Mark, ...] = ()) -> Picture:
    return Picture(
        id=id,
        file=f"{id}.jpg",
        original_name=f"IMG_{id[-3:]}.jpg",
        media_type="image/jpeg",
        sha256=("3f9a0c5be7d2" * 6)[:64],
        size=214_233,
        width=900,
        height=640,
        claimed_time="2026-11-14T18:22:05+01:00",
        imported="2026-11-15T09:12:44+00:00",
        camera="pocket camera",
        caption=caption,
        as_found=True,
        illustration=True,
        placements=placements,
        marks=marks,
    )


def rich_case() -> Case:
    """The case."""
    points = (
        Point(letter="A", role=PointRole.TOUCHABLE_PART, description="rim of the pot, bare metal"),
        Point(letter="B", role=PointRole.PIN_1, description="pin 1, marked with a dot"),
        Point(letter="C", role=PointRole.PIN_2, description="pin 2"),
        Point(letter="D", role=PointRole.EARTH, description="tap of the sink"),
    )
    pictures = (
        _picture(
            "picture-001",
            "The pot as found on the work table, with the points that were measured",
            (
                Placement(letter="A", x=420, y=240),
                Placement(letter="D", x=800, y=120),
                Placement(letter="B", x=840, y=560),
            ),
            (Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((700, 330), (560, 300)), text="bare rim"),),
        ),
        _picture("picture-002", "Rating plate under the base", ()),
    )
    meter = Instrument(
        id="instrument-001",
        name="multimeter 1",
        serial="M-20417",
        input_resistance=10e6,
        input_capacitance=100e-12,
        lead_resistance=0.2,
        calibrated="2026-03-02",
        calibrated_by="club workshop, comparison",
        accuracies=(
            Accuracy(quantity=Quantity.VOLTAGE, range_to=600, percent=1.0, digits=3, resolution=0.1),
            Accuracy(quantity=Quantity.RESISTANCE, range_to=600, percent=0.9, digits=2, resolution=0.1),
        ),
    )
    live = State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)
    dead = State(plug=PlugPosition.UNPLUGGED, switch=SwitchPosition.ON)
    base = {"instrument": "instrument-001", "taken": "2026-11-14", "by": "A. Marten"}
    readings = (
        Reading(
            id="reading-001", first="B", second="A", quantity=Quantity.RESISTANCE, typed="61.3 Ω", state=dead, **base
        ),
        Reading(
            id="reading-002", first="C", second="A", quantity=Quantity.RESISTANCE, typed="2.264 kΩ", state=dead, **base
        ),
        Reading(
            id="reading-003", first="B", second="C", quantity=Quantity.RESISTANCE, typed="98.7 Ω", state=dead, **base
        ),
        Reading(
            id="reading-004", first="A", second="D", quantity=Quantity.RESISTANCE, typed="> 20 MΩ", state=dead, **base
        ),
        Reading(
            id="reading-005",
            first="A",
            second="D",
            quantity=Quantity.VOLTAGE,
            typed="228.1 V",
            state=live,
            proved=True,
            supply_typed="231 V",
            **base,
        ),
        Reading(
            id="reading-006",
            first="A",
            second="D",
            quantity=Quantity.VOLTAGE,
            typed="213.9 V",
            state=live,
            proved=True,
            load=Load(kind=LoadKind.RESISTOR, resistance=47e3, tolerance=0.05),
            **base,
        ),
        Reading(
            id="reading-007",
            first="A",
            second="D",
            quantity=Quantity.LAMP,
            typed="glow",
            state=live,
            load=Load(kind=LoadKind.LAMP, rated_voltage=230, rated_power=15),
            **base,
        ),
        Reading(
            id="reading-008",
            first="A",
            second="D",
            quantity=Quantity.VOLTAGE,
            typed="9,4 V",
            state=replace(live, switch=SwitchPosition.ON),
            **base,
        ),
    )
    return Case(
        id="WP-2026-003",
        title="Wax-melting pot, youth craft club",
        created="2026-11-15T09:10:00+00:00",
        revision=7,
        unit=Unit(
            product_name=value("electric wax-melting pot", picture="picture-001"),
            category=value("household heating appliance, craft"),
            brand=value("Lumora", picture="picture-002"),
            model=value("WM-18", picture="picture-002"),
            serial=value("180347", picture="picture-002"),
            batch=unknown("the field is printed on the plate but empty"),
            date_code=value("2338", picture="picture-002"),
            date_code_meaning=value("year and week, as the leaflet says: week 38 of 2023"),
            barcode=value("6291041500213"),
            rated_voltage=value("220–240 V ~"),
            rated_frequency=value("50 Hz"),
            rated_power=value("550 W"),
            protection_class=unknown("the plate carries neither the symbol of class II nor an earth symbol"),
            marks=value("CE on the plate, no number beside it"),
            maker=value("Lumora Craft Goods Ltd"),
            maker_address=value("14 Foundry Lane, Port Ansel"),
            maker_contact=unknown("none on plate, carton or leaflet"),
            importer=value("Nordhafen Basteln GmbH"),
            importer_address=unknown("the carton names the firm only"),
            country=value("not marked on the unit; the leaflet says “made in Estavia”"),
            seller=value("Bastelhof Lindau, shop"),
            purchased=value("2024-10-05"),
            price=value("39.90 EUR"),
            still_on_sale=value("seen on the shelf at Bastelhof Lindau on 2026-11-16"),
            condition=value("used, clean, no mechanical damage"),
            repairs_and_changes=value("none found; screws of the base with unbroken varnish"),
        ),
        wiring=Wiring(
            nominal_voltage=230.0,
            frequency=50.0,
            cord_cores=2,
            plug=Plug.REVERSIBLE,
            protective_earth=ProtectiveEarth.NONE,
            switch=SwitchPoles.POLE_1,
            element=Element(rated_voltage=230, rated_power=550, material=ElementMaterial.NICKEL_CHROMIUM),
            circuit_breaker="B16",
        ),
        household=Household(
            place=value("craft room of a youth club, stone floor, sink within reach"),
            users=value("children from 9 years and two adults"),
            earthed_metal_in_reach=Answer.YES,
            conductive_floor=Answer.YES,
            wet_hands=Answer.NO,
            both_hands=Answer.YES,
            children=Answer.YES,
            grip=Grip.GRIP,
            residual_current_device=ResidualCurrentDevice.NONE,
            socket_earth=Answer.YES,
            reasons=value("seen by the person who measured"),
        ),
        occurrence=Occurrence(
            narrative=value(
                "A helper felt a shock when she held the rim of the pot and touched the tap. "
                "The pot was plugged in and switched off."
            ),
            date=value("2026-11-13, evening"),
            injury=value("tingling in both forearms for some minutes; no visible mark"),
            treatment=value("seen by a doctor the same evening, no finding"),
            contacts=unknown("none yet; this is the first contact"),
            maintained=value("yes, told by the club"),
        ),
        submitter=Submitter(
            first_name=value("Almut"),
            last_name=value("Marten"),
            address=value("7 Quay Street, 88131 Lindau"),
            country=value("Germany"),
            email=value("a.marten@club.example"),
            phone=not_applicable("no telephone during working hours"),
            category=SubmitterCategory.CONSUMER,
        ),
        consents=Consents(
            verified=Answer.YES, verified_on="2026-11-24", publish=Answer.YES, contact_to_firm=Answer.YES
        ),
        custody=Custody(
            kept_at=value("locked cabinet of the club"),
            kept_until=value("2027-05-31"),
            units_examined=value("1"),
            units_faulty=value("1"),
        ),
        competence=Competence(
            name="Almut Marten",
            qualification="electrician, journeyman's certificate",
            permitted="owner's consent; licensed for work on appliances",
            stated="2026-11-14T17:00:00+01:00",
        ),
        points=points,
        pictures=pictures,
        instruments=(meter,),
        readings=readings,
        findings=(
            Finding(
                id="finding-001",
                text="The bare rim of the pot carries mains voltage while the switch is off.",
                requirement="Low Voltage Directive, Annex I, 2(a)",
                pictures=("picture-001",),
                readings=("reading-005", "reading-006"),
            ),
            Finding(
                id="finding-002",
                text="The heating element's sheath has a resistive path to the pot about two thirds along its length.",
                claim=FindingClaim.STARTED_IT,
                cause="unknown",
                readings=("reading-001", "reading-002"),
            ),
            Finding(
                id="finding-003",
                text="The cord has two cores; no protective earth reaches the pot; no class II symbol is on the plate.",
                claim=FindingClaim.PROTECTION,
                cause="design",
                pictures=("picture-002",),
            ),
            Finding(
                id="finding-004",
                text="Second layer of insulation between element and pot.",
                claim=FindingClaim.PROTECTION,
                answer=FindingAnswer.COULD_NOT_CHECK,
            ),
        ),
    )


@dataclass
class Numbers:
    """Numbers of a trace, added in the order of calculation."""

    rows: list[Number] = field(default_factory=list)

    def add(
        self,
        id: str,
        name: str,
        symbol: str,
        amount: float,
        doubt: float,
        unit: str,
        equation: str = "as read",
        inputs: tuple[str, ...] = (),
        sources: tuple[Source, ...] = (),
        low: float | None = None,
        high: float | None = None,
    ) -> str:
        measured = Measured(value=amount, standard_uncertainty=doubt, unit=unit)
        self.rows.append(
            Number(
                id=id,
                name=name,
                symbol=symbol,
                measured=measured,
                low=low,
                high=high,
                equation=equation,
                inputs=inputs,
                sources=sources,
            )
        )
        return id


def rich_assessment(case: Case) -> Assessment:
    """The assessment."""
    numbers = Numbers()
    typed = {
        "reading-001": (61.3, 0.45, "ohm"),
        "reading-002": (2264.0, 12.0, "ohm"),
        "reading-003": (98.7, 0.63, "ohm"),
        "reading-004": (20e6, 0.0, "ohm"),
        "reading-005": (228.1, 1.5, "V"),
        "reading-006": (213.9, 1.4, "V"),
        "reading-008": (9.4, 0.23, "V"),
    }
    for key, (amount, doubt, unit) in typed.items():
        numbers.add(f"{key}", f"Reading {key[-3:]}", "U" if unit == "V" else "R", amount, doubt, unit)
    load = numbers.add("load", "Test resistor", "RL", 47e3, 1350.0, "ohm")
    cells, exposures, devices, built = [], [], [], []
    for plug in (PlugPosition.STRAIGHT, PlugPosition.REVERSED):
        for switch in (SwitchPosition.OFF, SwitchPosition.ON):
            state = UnitState(plug=plug, switch=switch)
            volts = {"straight-off": 4.2, "straight-on": 142.7, "reversed-off": 228.14, "reversed-on": 88.02}[state.key]
            cells.append(_cell(numbers, state, volts, exposures, devices))
            built.append(_built(numbers, state, volts))
    touch = numbers.add(
        "limits.touch",
        "Reading of the touch-current network",
        "It",
        0.0893,
        0.0011,
        "A",
        "1.06 * Un / (Zs + ZN)",
        ("reversed-off.zs",),
        (Source(key="iec-60990", place="figure 4", status=Status.FROM_MEMORY),),
    )
    limit = numbers.add(
        "limits.touch.limit", "Limit of the touch current", "Il", 0.00075, 0.0, "A", "from the table", (), (LIMIT,)
    )
    fitted = [
        numbers.add(
            "fit.x",
            "Fault position",
            "x",
            0.6212,
            0.006,
            "1",
            "least squares over the readings",
            ("reading-001", "reading-003"),
        ),
        numbers.add(
            "fit.rf",
            "Fault resistance",
            "Rf",
            2203.0,
            14.0,
            "ohm",
            "least squares over the readings",
            ("reading-002", load),
        ),
        numbers.add(
            "fit.re", "Element resistance", "Re", 98.7, 0.6, "ohm", "least squares over the readings", ("reading-003",)
        ),
    ]
    return Assessment(
        case_id=case.id,
        trace=Trace(numbers=tuple(numbers.rows)),
        readings=tuple(
            ReadNumber(
                reading=reading.id,
                number=reading.id if reading.id in typed else "",
                bound=Bound.ABOVE if reading.id == "reading-004" else Bound.NONE,
                used=reading.id not in ("reading-007", "reading-008"),
            )
            for reading in case.readings
        ),
        routes=(
            SourceRoute(
                kind=RouteKind.TWO_LOADS,
                state=HEADLINE,
                readings=("reading-005", "reading-006"),
                open_circuit_voltage="reversed-off.u0",
                source_impedance="reversed-off.zs",
                available_fault_current="reversed-off.isc",
            ),
            SourceRoute(
                kind=RouteKind.OHMMETER,
                state=HEADLINE,
                readings=("reading-001", "reading-002", "reading-003"),
                open_circuit_voltage="reversed-off.u0",
                source_impedance="reversed-off.zs",
                available_fault_current="reversed-off.isc",
                resolved=False,
            ),
        ),
        fit=Fit(
            parameters=tuple(
                Parameter(symbol=symbol, number=key, determined=True)
                for symbol, key in zip(("x", "Rf", "Re"), fitted, strict=True)
            ),
            residuals=(Residual(reading="reading-005", predicted="reversed-off.u0", standardized=0.9),),
            chi_square=2.31,
            degrees_of_freedom=2,
            consistent=True,
        ),
        states=tuple(cells),
        exposures=tuple(exposures),
        devices=tuple(devices),
        as_built=tuple(built),
        limits=(
            LimitComparison(
                name="Touch current of a portable class I appliance",
                number=touch,
                limit=limit,
                probability=0.9999,
                decision=LimitDecision.EXCEEDED,
                sources=(LIMIT,),
            ),
        ),
        artefact=(
            ArtefactArgument(
                text="The voltage fell by 6 % only when 47 kΩ were connected.",
                supports=True,
                readings=("reading-005", "reading-006"),
            ),
            ArtefactArgument(text="A lamp glowed.", supports=None, readings=("reading-007",)),
        ),
        verdict=Verdict(
            word=SignalWord.DANGER,
            sentence=(
                "Whoever holds the bare rim of this pot and touches earthed metal is connected to the mains, "
                "with the switch off and the plug one way round."
            ),
            reason="the current through a median adult, hand to hand with dry skin, lies above c2 after 10 s.",
            figures=("reversed-off.u0", "reversed-off.isc", "reversed-off.ib.50"),
            headline=HEADLINE,
        ),
        next_test=NextTest(
            key="resistance_part", live=False, shown=True, name="Pin to part", instruction="Measure again."
        ),
        problems=(),
        editions=(
            ("iec-60479-1-2018", "1", "2018", "confirmed", "ab12" * 16),
            ("iec-60990", "figure 4", "", "from memory", "cd34" * 16),
        ),
        choices=(),
    )


def _cell(
    numbers: Numbers, state: UnitState, volts: float, exposures: list[Exposure], devices: list[DeviceVerdict]
) -> StateCell:
    key = state.key
    u0 = numbers.add(
        f"{key}.u0",
        "Open-circuit voltage",
        "U0",
        volts,
        0.006 * volts,
        "V",
        "U * (Zs + RL) / RL",
        ("reading-005", "load"),
    )
    zs = numbers.add(
        f"{key}.zs",
        "Source impedance",
        "Zs",
        2264.0,
        30.0,
        "ohm",
        "RL * (U0 - U) / U",
        ("reading-005", "reading-006", "load"),
    )
    isc = numbers.add(
        f"{key}.isc", "Available fault current", "Isc", volts / 2264.0, 0.012 * volts / 2264, "A", "U0 / Zs", (u0, zs)
    )
    duration = numbers.add(f"{key}.t", "Duration", "t", 10.0, 0.0, "s", "10 s where no device acts")
    for percentile, ohms in ((5, 1025.0), (50, 1350.0), (95, 2100.0)):
        source = BODY if percentile == 50 else BODY_MEMORY
        zb = numbers.add(
            f"{key}.zb.{percentile}",
            f"Body impedance, {percentile} %",
            "ZB",
            ohms,
            0.0,
            "ohm",
            "from the table",
            (),
            (source,),
        )
        ib = numbers.add(
            f"{key}.ib.{percentile}",
            f"Body current, {percentile} %",
            "IB",
            volts / (2264.0 + ohms),
            0.01 * volts / (2264 + ohms),
            "A",
            "U0 / (Zs + ZB)",
            (u0, zs, zb),
        )
        ub = numbers.add(
            f"{key}.ub.{percentile}",
            f"Body voltage, {percentile} %",
            "UB",
            volts * ohms / (2264.0 + ohms),
            0.01 * volts,
            "V",
            "IB * ZB",
            (ib, zb),
        )
        ih = numbers.add(
            f"{key}.ih.{percentile}",
            f"Heart current, {percentile} %",
            "IH",
            0.4 * volts / (2264.0 + ohms),
            0.004 * volts / 2264,
            "A",
            "F * IB",
            (ib,),
            (BODY,),
        )
        exposures.append(
            Exposure(
                state=state,
                skin=Skin.DRY,
                percentile=percentile,
                path=BodyPath.HAND_TO_HAND,
                body_impedance=zb,
                body_voltage=ub,
                touch_voltage=ub,
                body_current=ib,
                heart_current=ih,
                duration=duration,
                zone=Zone.AC_3,
                zone_long=Zone.AC_4_1 if volts > 200 else Zone.AC_3,
                plausible=True,
                sources=(source,),
            )
        )
    never = numbers.add(
        f"{key}.breaker.t", "Time of the breaker", "tb", float("inf"), 0.0, "s", "never below its no-trip current"
    )
    devices.append(
        DeviceVerdict(
            device="B16",
            state=state,
            for_person=True,
            current=f"{key}.ib.50",
            operation=Operation.DOES_NOT_OPERATE,
            time=never,
        )
    )
    measured = state.key in ("reversed-off", "reversed-on")
    return StateCell(
        state=state,
        basis=Basis.MEASURED if measured else Basis.PREDICTED,
        established=state.key != "straight-off",
        open_circuit_voltage=u0,
        source_impedance=zs,
        available_fault_current=isc,
        body_current=f"{key}.ib.50",
    )


def _built(numbers: Numbers, state: UnitState, volts: float) -> AsBuilt:
    earthed = UnitState(plug=state.plug, switch=state.switch, earthed=True)
    key = earthed.key
    current = numbers.add(
        f"{key}.ipe",
        "Current in the protective earth",
        "IPE",
        volts / 2264.3,
        0.01 * volts / 2264,
        "A",
        "U0 / (Zs + RPE)",
        (f"{state.key}.u0", f"{state.key}.zs"),
    )
    touch = numbers.add(
        f"{key}.ut", "Touch voltage", "Ut", 0.1 * volts / 2264.3, 0.001 * volts / 2264, "V", "RPE * IPE", (current,)
    )
    true = numbers.add(
        f"{key}.utt",
        "Touch voltage to true earth",
        "Utt",
        0.3 * volts / 2264.3,
        0.003 * volts / 2264,
        "V",
        "(RPE + RI) * IPE",
        (current,),
    )
    return AsBuilt(
        state=earthed,
        touch_voltage=touch,
        touch_voltage_true_earth=true,
        earth_current=current,
        devices=(
            DeviceVerdict(
                device="B16",
                state=earthed,
                for_person=False,
                current=current,
                operation=Operation.DOES_NOT_OPERATE,
            ),
        ),
    )
