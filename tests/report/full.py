"""The wax-melting pot with everything that a person can enter besides measurement: identity, use, risk, letters."""

import importlib.util
from dataclasses import fields, replace
from pathlib import Path

from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, FindingAnswer, Occasion
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import (
    Consumer,
    HarmFactors,
    HarmGrade,
    Likelihood,
    ProbabilityBasis,
    Scenario,
    ScenarioStep,
)
from hazardreport.case.situation import Situation, Territory
from hazardreport.case.stated import Stated, not_applicable, unknown, value
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.case.upkeep import Alteration, Excluded, Kept, Knowing, Upkeep
from hazardreport.risk.requirements import requirements
from hazardreport.standards.tables import table


def _rich_case() -> Case:
    spec = importlib.util.spec_from_file_location("report_material", Path(__file__).with_name("material.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    case: Case = module.rich_case()
    return case


def _unit(unit: Unit) -> Unit:
    """Every field answered: what the rich case has, and a value, an unknown or a not applicable for the others."""
    open_ = [field.name for field in fields(Unit) if not getattr(unit, field.name).answered]
    kinds: tuple[Stated, ...] = (
        value("as printed on the plate", picture="picture-002", point="A"),
        unknown("nobody looked for it"),
        not_applicable("the product has no such thing"),
    )
    return replace(unit, **{name: kinds[place % 3] for place, name in enumerate(open_)})


SCENARIOS = (
    Scenario(
        id="scenario-001",
        title="A child holds the rim and the tap",
        consumer=Consumer.VULNERABLE,
        who="children from 9 years who melt wax at the club",
        hazard="high-or-low-voltage",
        steps=(
            ScenarioStep(
                text="The pot is plugged in with the plug one way round.",
                probability="1/2",
                reason="the plug goes in both ways round",
                basis=ProbabilityBasis.STATISTICS,
                pictures=("picture-001",),
            ),
            ScenarioStep(
                text="The rim carries mains voltage while the switch is off.",
                probability="1",
                reason="measured on this unit",
                basis=ProbabilityBasis.MEASURED,
                readings=("reading-005",),
            ),
            ScenarioStep(
                text="A child holds the rim with one hand and the tap with the other.",
                probability="10 %",
                reason="the sink is within reach, pots are filled there",
            ),
            ScenarioStep(text="The heart fibrillates.", probability="1/50", basis=ProbabilityBasis.CALCULATED),
        ),
        injury="electric-shock",
        severity=4,
        severity_reason="a current above the threshold of fibrillation flows through the chest",
        findings=("finding-001",),
    ),
    Scenario(
        id="scenario-002",
        title="Startled, somebody spills hot wax",
        consumer=Consumer.OTHER,
        who="adults who lead the group",
        hazard="heat-production",
        steps=(
            ScenarioStep(text="Somebody is startled by a shock.", probability="1 in 4", reason="it happened once"),
            ScenarioStep(text="Hot wax runs over the hand.", probability="about a third", reason="seen elsewhere"),
        ),
        injury="burn-or-scald",
        severity=1,
    ),
    Scenario(id="scenario-003", title="Not yet thought through"),
)
FACTORS = HarmFactors(
    harm=HarmGrade.GRIEVOUS,
    likelihood=Likelihood.LIKELY,
    likelihood_reason=value("the rim is held in normal use"),
    pattern=value("one pole of the element leaks to the pot; no earth, one-pole switch"),
    units=value("1 of 1 examined"),
    exposed=value("children from 9 years"),
    injuries=value("one person felt a shock"),
    utility=unknown("nobody compared it with other pots"),
    obviousness=value("nothing shows that the rim is live"),
    warnings=value("none on the pot"),
    misuse=not_applicable("it was used as the leaflet shows"),
    plausibility=value("one shock has already happened in this way"),
    assessor=value("Almut Marten"),
    assessed_on="2026-11-23",
)
LETTERS = (
    Letter(
        id="letter-001",
        kind=LetterKind.REPORT,
        addressee="eu-maker-notice",
        whom="Lumora Craft Goods Ltd",
        day="2026-11-16",
        means="e-mail",
        text="Report of revision 5 with three pictures.",
        revision=5,
        file_sha256="5ad0" * 16,
    ),
    Letter(
        id="letter-002",
        kind=LetterKind.RECEIPT,
        addressee="eu-maker-notice",
        whom="Lumora Craft Goods Ltd",
        person="B. Orlan, customer service",
        day="2026-11-18",
        means="e-mail",
        reference="LCG-7781",
        text="They have it and will answer.",
        answers="letter-001",
    ),
    Letter(
        id="letter-003",
        kind=LetterKind.CORRECTION_REQUEST,
        disputes=AttackedPoint.MAKER,
        addressee="us-agency-harm",
        whom="Lumora Craft Goods Ltd",
        day="2026-11-20",
        means="post",
        text="“made by Lumora Craft Goods Ltd”",
        answer_by="2026-12-04",
    ),
    Letter(
        id="letter-004",
        kind=LetterKind.MAKER_COMMENT,
        whom="Lumora Craft Goods Ltd",
        day="2026-11-21",
        text="The plug must be put in with the dot upwards.",
        answers="letter-999",
    ),
    Letter(id="letter-005", kind=LetterKind.REPORT, addressee="us-agency-harm", day="2026-11-23", revision=7),
)
UPKEEP = Upkeep(
    socket_earth=Kept(known=Knowing.SEEN, proper=Answer.YES, text="earth contact measured at the socket"),
    cord=Kept(known=Knowing.SEEN, proper=Answer.YES, text="no cut, no crushed place"),
    cleaning=Kept(known=Knowing.TOLD, proper=Answer.YES, text="wiped after each evening, told by the club"),
    instructions=Kept(known=Knowing.UNKNOWN),
    repairs=Alteration(result=Excluded.EXCLUDED, text="varnish on the screws unbroken", pictures=("picture-002",)),
    changes=Alteration(result=Excluded.COULD_NOT_TELL),
    misuse=Alteration(result=Excluded.FOUND, text="left on empty once", pictures=("picture-999",)),
)
MARKS = (
    ConformityMark(id="conformity-mark-001", mark="CE", place="plate", picture="picture-002", point="A"),
    ConformityMark(
        id="conformity-mark-002",
        mark="letters in a circle",
        holder="Nordhafen Basteln GmbH",
        number="40031-7",
        place="carton",
        note="the body's list does not have this number, looked up on 2026-11-20",
    ),
)


def _answers() -> tuple[RequirementAnswer, ...]:
    """An answer of every kind to every second requirement, and one to a point that the program does not know."""
    kinds = list(FindingAnswer)
    given = [
        RequirementAnswer(
            id=one.key,
            answer=kinds[place % 3],
            note="" if place % 2 else "looked at by lamp light",
            pictures=("picture-002",) if place % 3 == 0 else (),
            readings=("reading-004", "reading-777") if place % 5 == 0 else (),
        )
        for place, one in enumerate(requirements()[::2])
    ]
    return (*given, RequirementAnswer(id="no-such-point", answer=FindingAnswer.SEEN))


def _confirmation() -> TableConfirmation:
    """The table of risk levels, read by somebody who has one cell otherwise."""
    held = table("eu-2019-417", "risk-level")
    rows = [list(row) for row in held.rows]
    rows[4][1] = "H"
    return TableConfirmation(
        id="confirmation-001",
        table="eu-2019-417/risk-level",
        sha256=held.sha256,
        edition="decision of 2018-11-08",
        page="page as printed in the copy of the reader",
        name="Ida Brehm",
        day="2026-11-22",
        rows=tuple(tuple(row) for row in rows),
    )


def full_case() -> Case:
    """The case."""
    case = _rich_case()
    return replace(
        case,
        unit=_unit(case.unit),
        household=replace(
            case.household,
            use=value("melting wax for candles, two evenings a week"),
            near_water=Answer.YES,
            care_needs=Answer.NO,
        ),
        occurrence=replace(
            case.occurrence,
            occasion=Occasion.INCIDENT,
            injured_person=value("a helper, 43 years old"),
            damage=not_applicable("nothing was damaged"),
        ),
        submitter=replace(case.submitter, minor=Answer.YES, guardian=value("Jonas Marten, 7 Quay Street")),
        consents=replace(case.consents, guardian_agrees=Answer.YES),
        situation=Situation(residence=Territory.EU, bought_in=Territory.EU, online=Answer.NO, injured=Answer.YES),
        upkeep=UPKEEP,
        conformity_marks=MARKS,
        requirements=_answers(),
        scenarios=SCENARIOS,
        harm_factors=FACTORS,
        confirmations=(_confirmation(),),
        letters=LETTERS,
    )
