"""What is judged and written in the demo case: ways to an injury, what weighs, marks, upkeep, letters. All invented."""

from demo_story import ADVOCATE, AS_FOUND, CRACK, ELECTRICIAN, PLATE, PLUG, TERMINALS

from hazardreport.case.circumstances import Answer, FindingAnswer
from hazardreport.case.letter import Letter, LetterKind
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
from hazardreport.case.stated import not_applicable, unknown, value
from hazardreport.case.upkeep import Alteration, Excluded, Kept, Knowing, Upkeep

SITUATION = Situation(residence=Territory.EU, bought_in=Territory.EU, online=Answer.NO, injured=Answer.NO)

UPKEEP = Upkeep(
    socket_earth=Kept(
        known=Knowing.SEEN, proper=Answer.YES, text="measured from line to earth at the socket beside the sink"
    ),
    cord=Kept(known=Knowing.SEEN, proper=Answer.YES, text="cord and plug whole, no kink, no scorch mark"),
    cleaning=Kept(
        known=Knowing.TOLD, proper=Answer.YES, text="wiped dry after each use, as both helpers said; never in water"
    ),
    instructions=Kept(
        known=Knowing.TOLD, proper=Answer.YES, text="used as the leaflet says, one afternoon a week, wax only"
    ),
    repairs=Alteration(
        result=Excluded.EXCLUDED,
        text="the paint over the cover screws was whole until the electrician broke it",
        pictures=(TERMINALS,),
    ),
    changes=Alteration(result=Excluded.EXCLUDED, text="cord, plug and screws are those of the other boxes in the shop"),
    misuse=Alteration(
        result=Excluded.EXCLUDED, text="no trace of dry running, of a fall or of water inside", pictures=(CRACK,)
    ),
)

SCENARIOS = (
    Scenario(
        id="scenario-001",
        title="A child holds the pot and touches the sink",
        consumer=Consumer.VULNERABLE,
        who="children from 8 to 14 who pour candles in the club",
        hazard="high-or-low-voltage",
        steps=(
            ScenarioStep(
                text="The metal pot is joined to the mains, as it was found",
                probability="1",
                reason="measured on this unit, switch off",
                basis=ProbabilityBasis.MEASURED,
                pictures=(AS_FOUND,),
                readings=("reading-019", "reading-020"),
            ),
            ScenarioStep(
                text="The plug is in the way round that puts the pot at nearly the full mains voltage",
                probability="1/2",
                reason="the plug goes in both ways round and nobody looks which way",
                pictures=(PLUG,),
            ),
            ScenarioStep(
                text="A child holds the pot with one hand and touches sink or tap with the other",
                probability="1/2",
                reason="the sink is an arm's length away and moulds are rinsed there; over the years of use",
                pictures=(AS_FOUND,),
            ),
            ScenarioStep(
                text="The current from hand to hand is one at which the heart may fibrillate if it flows on",
                probability="69/100",
                reason="share of adults computed in this case for that contact, dry; no table is made for children",
                basis=ProbabilityBasis.CALCULATED,
                readings=("reading-019", "reading-024"),
            ),
            ScenarioStep(
                text="Nobody cuts the supply before the heart fails",
                probability="1/10",
                reason="two helpers for twelve children, no residual-current device in the room",
            ),
        ),
        injury="electric-shock",
        severity=4,
        severity_reason="electrocution: the current lies in the zone in which the heart may fibrillate",
        findings=("finding-001", "finding-003", "finding-005"),
    ),
    Scenario(
        id="scenario-002",
        title="Startled by a shock, somebody spills hot wax",
        consumer=Consumer.OTHER,
        who="adult helpers",
        hazard="high-or-low-voltage",
        steps=(
            ScenarioStep(
                text="The metal pot is joined to the mains, as it was found",
                probability="1",
                reason="measured on this unit, switch off",
                basis=ProbabilityBasis.MEASURED,
                readings=("reading-019",),
            ),
            ScenarioStep(
                text="The plug is in the way round that puts the pot at nearly the full mains voltage",
                probability="1/2",
                reason="the plug goes in both ways round and nobody looks which way",
                pictures=(PLUG,),
            ),
            ScenarioStep(
                text="A helper is startled by a shock while the pot is full",
                probability="1/5",
                reason="a tingle was felt within a week of use; the pot is full on most afternoons",
            ),
            ScenarioStep(
                text="Wax of 80 °C runs over the skin of an arm or a leg",
                probability="1/20",
                reason="the pot holds a litre and stands at the edge of the worktop",
            ),
        ),
        injury="burn-or-scald",
        severity=2,
        severity_reason="scald of second degree of a hand and a forearm, 6 to 15 % of the skin at the most",
        findings=("finding-001",),
    ),
)

HARM_FACTORS = HarmFactors(
    harm=HarmGrade.GRIEVOUS,
    likelihood=Likelihood.LIKELY,
    likelihood_reason=value("children use it beside a sink, and nothing in the room cuts the supply"),
    pattern=value("earth ring on unbroken paint points to assembly; whether other pots have it nobody has looked yet"),
    units=value("1 of 1 examined; three boxes of the same batch number stood in the shop"),
    exposed=value("about twelve children from 8 to 14, two adults"),
    injuries=value("none; a tingle felt once"),
    utility=value("melts wax for candles; a hobby"),
    need=value("low: wax can be melted in a water bath"),
    obviousness=value("not to be seen: the switch stands on 0 and the pot looks whole"),
    warnings=value("none on pot, box or leaflet that would help against it"),
    misuse=not_applicable("it was used as the leaflet says"),
    other=unknown("numbers sold are known to the maker only"),
    plausibility=value("the helper's tingle fits the first steps of both ways"),
    assessor=value(f"{ADVOCATE}, with {ELECTRICIAN} for the electrical steps"),
    assessed_on="2026-05-14",
)

LETTERS = (
    Letter(
        id="letter-001",
        kind=LetterKind.MESSAGE,
        addressee="seller",
        whom="Bastelkiste Wachs & Docht (invented)",
        person="the shop's owner",
        day="2026-05-13",
        means="telephone",
        text="one pot of theirs stands at mains voltage while switched off; asked to take the others off the shelf",
        attachments=("attachment-001",),
    ),
    Letter(
        id="letter-002",
        kind=LetterKind.ANSWER,
        addressee="seller",
        whom="Bastelkiste Wachs & Docht (invented)",
        person="the shop's owner",
        day="2026-05-13",
        means="telephone",
        text="three boxes are on the shelf; the shop will ask the maker before it does anything",
        answers="letter-001",
        attachments=("attachment-001",),
    ),
)

SEEN, NOT_SEEN, COULD_NOT = FindingAnswer.SEEN, FindingAnswer.NOT_SEEN, FindingAnswer.COULD_NOT_CHECK

REQUIREMENTS = (
    RequirementAnswer(id="rating-plate", answer=SEEN, pictures=(PLATE,)),
    RequirementAnswer(
        id="double-square", answer=NOT_SEEN, note="neither on the plate nor elsewhere", pictures=(PLATE,)
    ),
    RequirementAnswer(id="class-0-marked", answer=NOT_SEEN, note="the plate bears the protective-earth symbol"),
    RequirementAnswer(id="touchable-metal", answer=SEEN, note="the whole pot and its rim", pictures=(AS_FOUND,)),
    RequirementAnswer(id="earth-contact", answer=SEEN, note="on two sides of the plug", pictures=(PLUG,)),
    RequirementAnswer(id="earth-wire-in-cord", answer=SEEN, pictures=(TERMINALS,)),
    RequirementAnswer(id="cord-not-light", answer=SEEN, note="two layers, round, 7 mm", pictures=(PLUG,)),
    RequirementAnswer(
        id="cord-thick-enough", answer=COULD_NOT, note="no size is printed on the cord, and it was not cut"
    ),
    RequirementAnswer(id="live-parts-in-reach", answer=NOT_SEEN, note="cover closed", pictures=(AS_FOUND, PLATE)),
    RequirementAnswer(
        id="touch-current-small", answer=COULD_NOT, note="no instrument with the network of the standard was at hand"
    ),
    RequirementAnswer(
        id="false-voltage-excluded",
        answer=SEEN,
        note="a lamp across the same points lit fully",
        readings=("reading-024", "reading-025"),
    ),
    RequirementAnswer(
        id="metal-joined-to-earth",
        answer=NOT_SEEN,
        note="the ring of the earth core stands on unbroken paint",
        pictures=(TERMINALS,),
        readings=("reading-009",),
    ),
    RequirementAnswer(id="earth-symbol", answer=SEEN, note="beside the screw of the ring", pictures=(TERMINALS,)),
    RequirementAnswer(id="earth-wire-colours", answer=SEEN, pictures=(TERMINALS,)),
    RequirementAnswer(
        id="handles-insulating", answer=NOT_SEEN, note="none: lifted by the bare rim", pictures=(AS_FOUND,)
    ),
    RequirementAnswer(id="heat-damage", answer=SEEN, note="soot around the crack of the sheath", pictures=(CRACK,)),
    RequirementAnswer(
        id="insulation-holds", answer=NOT_SEEN, note="less than 0.01 MΩ, plug out", readings=("reading-010",)
    ),
    RequirementAnswer(id="run-dry-damage", answer=NOT_SEEN, pictures=(CRACK,)),
    RequirementAnswer(
        id="energised-metal", answer=SEEN, note="switch off, plug reversed", readings=("reading-019", "reading-025")
    ),
)
"""Looked at by the electrician; half of the points nobody looked at, and the report says so."""
