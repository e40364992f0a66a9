"""What was found, what weighs and the correspondence in a unit sheet: read once, described anew, refused as a whole."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import errors
from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import (
    Answer,
    Consents,
    Finding,
    FindingAnswer,
    Household,
    Occasion,
    Occurrence,
    Submitter,
    SubmitterCategory,
)
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind
from hazardreport.case.picture import Picture, Point
from hazardreport.case.reading import Quantity, Reading
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
from hazardreport.case.stated import unknown, value
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.case.upkeep import Alteration, Excluded, Kept, Knowing, Upkeep
from hazardreport.storage.case_json import case_bytes, case_from_bytes
from hazardreport.storage.unit_sheet import read_unit_sheet

PLATE = Picture(
    id="picture-001",
    file="picture-001.jpg",
    original_name="a.jpg",
    media_type="image/jpeg",
    sha256="0" * 64,
    size=1,
    width=10,
    height=10,
)
READ = Reading(id="reading-001", first="A", second="B", quantity=Quantity.VOLTAGE, typed="117 V")
PAPER = Attachment(
    id="attachment-001", file="a.pdf", original_name="a.pdf", media_type="application/pdf", sha256="1" * 64, size=1
)
CASE = Case(
    id="C-1",
    pictures=(PLATE,),
    readings=(READ,),
    attachments=(PAPER,),
    points=(Point(letter="B"),),
    findings=(Finding(id="finding-001", text="The rim is live."),),
)
Make = Callable[[str], Path]


@pytest.fixture
def sheet(tmp_path: Path) -> Make:
    def make(text: str) -> Path:
        path = tmp_path / "unit.toml"
        path.write_bytes(text.encode())
        return path

    return make


def faults(path: Path, case: Case = CASE) -> list[str]:
    with pytest.raises(errors.UnitSheetRefusedError) as caught:
        read_unit_sheet(case, path)
    return [fault.place.partition(", ")[2] for fault in caught.value.details]


WHOLE = """
[situation]
residence = "Great Britain"
bought_in = "european union or eea"
online = "yes"
injured = "no"
[unit]
ip_code = "IPX4"
responsible_person = { unknown = "none on plate or box" }
[household]
use = "melting wax, weekly"
near_water = "yes"
care_needs = "no"
[occurrence]
occasion = "discovery"
injured_person = { not_applicable = "nobody was hurt" }
damage = "none"
[submitter]
category = "public safety entity"
minor = "no"
guardian = { not_applicable = "of age" }
[consents]
guardian_agrees = "unknown"
early_publication = "children use it"
[upkeep.cord]
known = "seen"
proper = "yes"
text = "whole along its length"
[upkeep.repairs]
result = "excluded"
text = "rivets whole"
pictures = ["picture-001"]
[harm_factors]
harm = "death or grievous injury"
likelihood = "possible, not likely"
likelihood_reason = "used by children"
units = "1"
assessor = "K. Sander"
assessed_on = 2026-05-12
[[conformity_marks]]
mark = "XY"
number = "E 1"
place = "plate"
picture = "picture-001"
point = "B"
[[requirements]]
id = "rating-plate"
answer = "seen"
note = "underneath"
pictures = ["picture-001"]
readings = ["reading-001"]
[[scenarios]]
title = "rim and tap"
consumer = "vulnerable"
hazard = "high-or-low-voltage"
injury = "electric-shock"
severity = 4
findings = ["finding-001"]
[[scenarios.steps]]
text = "the rim is live"
probability = "1"
reason = "measured"
basis = "measured"
readings = ["reading-001"]
pictures = ["picture-001"]
[[scenarios.steps]]
text = "the child touches it"
probability = "3/2"
[[letters]]
kind = "report"
addressee = "us-agency-harm"
whom = "office"
day = 2026-05-12
revision = 2
attachments = ["attachment-001"]
[[letters]]
kind = "request for correction"
whom = "maker"
day = "31 February"
disputes = "harm or risk"
text = "the rim"
answers = "letter-001"
answer_by = 2026-06-12
"""


def test_everything_comes_in_once_and_is_saved(sheet: Make) -> None:
    case = read_unit_sheet(CASE, sheet(WHOLE))

    assert case.situation == Situation(
        residence=Territory.GREAT_BRITAIN, bought_in=Territory.EU, online=Answer.YES, injured=Answer.NO
    )
    assert case.unit == Unit(ip_code=value("IPX4"), responsible_person=unknown("none on plate or box"))
    assert case.household == Household(use=value("melting wax, weekly"), near_water=Answer.YES, care_needs=Answer.NO)
    assert isinstance(case.occurrence, Occurrence)
    assert (case.occurrence.occasion, case.occurrence.damage) == (Occasion.DISCOVERY, value("none"))
    assert isinstance(case.submitter, Submitter)
    assert (case.submitter.category, case.submitter.minor) == (SubmitterCategory.PUBLIC_SAFETY, Answer.NO)
    assert case.consents == Consents(guardian_agrees=Answer.UNKNOWN, early_publication=value("children use it"))
    assert case.upkeep == Upkeep(
        cord=Kept(known=Knowing.SEEN, proper=Answer.YES, text="whole along its length"),
        repairs=Alteration(result=Excluded.EXCLUDED, text="rivets whole", pictures=("picture-001",)),
    )
    assert case.harm_factors == HarmFactors(
        harm=HarmGrade.GRIEVOUS,
        likelihood=Likelihood.POSSIBLE,
        likelihood_reason=value("used by children"),
        units=value("1"),
        assessor=value("K. Sander"),
        assessed_on="2026-05-12",
    )
    assert case.conformity_marks == (
        ConformityMark(
            id="conformity-mark-001", mark="XY", number="E 1", place="plate", picture="picture-001", point="B"
        ),
    )
    assert case.requirements == (
        RequirementAnswer(
            id="rating-plate",
            answer=FindingAnswer.SEEN,
            note="underneath",
            pictures=("picture-001",),
            readings=("reading-001",),
        ),
    )
    assert case.scenarios == (
        Scenario(
            id="scenario-001",
            title="rim and tap",
            consumer=Consumer.VULNERABLE,
            hazard="high-or-low-voltage",
            injury="electric-shock",
            severity=4,
            findings=("finding-001",),
            steps=(
                ScenarioStep(
                    text="the rim is live",
                    probability="1",
                    reason="measured",
                    basis=ProbabilityBasis.MEASURED,
                    pictures=("picture-001",),
                    readings=("reading-001",),
                ),
                ScenarioStep(text="the child touches it", probability="3/2"),
            ),
        ),
    )
    assert case.letters == (
        Letter(
            id="letter-001",
            addressee="us-agency-harm",
            whom="office",
            day="2026-05-12",
            revision=2,
            attachments=("attachment-001",),
        ),
        Letter(
            id="letter-002",
            kind=LetterKind.CORRECTION_REQUEST,
            disputes=AttackedPoint.HARM,
            whom="maker",
            day="31 February",
            text="the rim",
            answers="letter-001",
            answer_by="2026-06-12",
        ),
    )
    assert read_unit_sheet(case, sheet(WHOLE)) == case
    assert case_from_bytes(case_bytes(case), "case.json") == case


def test_a_record_is_described_anew_by_its_id_or_its_telling_fields(sheet: Make) -> None:
    case = read_unit_sheet(CASE, sheet(WHOLE))
    changed = read_unit_sheet(
        case,
        sheet("""
[[conformity_marks]]
id = "conformity-mark-001"
holder = "Lumenta Works"
[[requirements]]
id = "rating-plate"
answer = "could not check"
note = "scratched"
[[scenarios]]
title = "rim and tap"
severity = 3
[[letters]]
kind = "report"
whom = "office"
day = 2026-05-12
reference = "R-1"
[upkeep.cord]
text = ""
"""),
    )
    assert changed.conformity_marks == (replace(case.conformity_marks[0], holder="Lumenta Works"),)
    assert changed.requirements == (
        replace(case.requirements[0], answer=FindingAnswer.COULD_NOT_CHECK, note="scratched"),
    )
    assert changed.scenarios == (replace(case.scenarios[0], severity=3),)
    assert changed.letters == (replace(case.letters[0], reference="R-1"), case.letters[1])
    assert changed.upkeep == case.upkeep


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ('[situation]\nresidence = "Mars"', ["situation.residence"]),
        ('[upkeep.cord]\nknown = "heard"', ["upkeep.cord.known"]),
        ('[upkeep.misuse]\npictures = ["picture-009"]', ["upkeep.misuse.pictures"]),
        ('[upkeep]\ncord = "whole"', ["upkeep.cord"]),
        ("[harm_factors]\nunits = 3", ["harm_factors.units"]),
        (
            '[[conformity_marks]]\npicture = "picture-009"\npoint = "Q"',
            ["conformity_marks[0].picture", "conformity_marks[0].point"],
        ),
        ('[[requirements]]\nid = "no-such-thing"\nanswer = "seen"', ["requirements[0].id"]),
        ('[[requirements]]\nid = "rating-plate"', ["requirements[0].answer"]),
        ('[[requirements]]\nid = ["rating-plate"]\nanswer = "seen"', ["requirements[0].id"]),
        (
            2 * '[[requirements]]\nid = "rating-plate"\nanswer = "seen"\n',
            ["requirements[1].id"],
        ),
        (
            '[[requirements]]\nid = "rating-plate"\nanswer = "seen"\npictures = ["x"]\nreadings = ["y"]',
            ["requirements[0].pictures", "requirements[0].readings"],
        ),
        ('[[scenarios]]\nhazard = "x"\ninjury = "y"', ["scenarios[0].hazard", "scenarios[0].injury"]),
        ("[[scenarios]]\nseverity = 5", ["scenarios[0].severity"]),
        ('[[scenarios]]\nfindings = ["finding-009"]', ["scenarios[0].findings"]),
        ("[[scenarios]]\n[[scenarios.steps]]\nprobability = 0.5", ["scenarios[0].steps[0].probability"]),
        ('[[scenarios]]\n[[scenarios.steps]]\nreadings = ["y"]', ["scenarios[0].steps[0].readings"]),
        ('[[letters]]\nanswers = "letter-009"', ["letters[0].answers"]),
        ('[[letters]]\nid = "letter-001"\n[[letters]]\nid = "letter-001"', ["letters[1].id"]),
        (
            '[[letters]]\nfile_sha256 = "abc"\nattachments = ["attachment-009"]',
            ["letters[0].attachments", "letters[0].file_sha256"],
        ),
        ('[[letters]]\nkind = "rumour"', ["letters[0].kind"]),
        ("[[letters]]\nrevision = -1", ["letters[0].revision"]),
        ("confirmations = []", ["confirmations"]),
    ],
)
def test_what_does_not_fit_is_refused_at_its_place(sheet: Make, text: str, places: list[str]) -> None:
    assert faults(sheet(text)) == places


def test_two_letters_of_one_day_and_kind_need_an_id(sheet: Make) -> None:
    text = '[[letters]]\nid = "a"\nwhom = "office"\nday = "2026-05-12"\n'
    case = read_unit_sheet(CASE, sheet(text + text.replace('"a"', '"b"')))
    assert [one.id for one in case.letters] == ["a", "b"]


TABLES = {
    "conformity_marks": ("id", "mark", "number", "picture", "point"),
    "requirements": ("id", "answer", "note", "pictures"),
    "scenarios": ("id", "title", "hazard", "severity", "steps", "findings"),
    "letters": ("id", "kind", "day", "answers", "revision", "disputes"),
}
ODD = (
    '""',
    '"x"',
    '"letter-001"',
    '"rating-plate"',
    '"seen"',
    "3",
    "-1",
    "true",
    "[]",
    '["x"]',
    "{}",
    "[{}]",
    '[{text = "x"}]',
    "2026-05-04",
)
ROWS = st.sampled_from(sorted(TABLES)).flatmap(
    lambda name: st.tuples(
        st.just(name), st.lists(st.dictionaries(st.sampled_from(TABLES[name]), st.sampled_from(ODD)), max_size=3)
    )
)


@given(named=ROWS)
@settings(derandomize=True, deadline=None, max_examples=200)
def test_any_sheet_is_read_again_alike_or_refused(
    tmp_path_factory: pytest.TempPathFactory, named: tuple[str, list[dict[str, str]]]
) -> None:
    table, rows = named
    path = tmp_path_factory.mktemp("sheet") / "unit.toml"
    lines = [line for row in rows for line in (f"[[{table}]]", *(f"{name} = {odd}" for name, odd in row.items()))]
    path.write_text("\n".join(lines), encoding="utf-8")
    try:
        case = read_unit_sheet(CASE, path)
    except errors.UnitSheetRefusedError:
        return
    assert read_unit_sheet(case, path) == case
    assert case_from_bytes(case_bytes(case), "case.json") == case


@pytest.mark.parametrize("text", ["none", "None", ""])
def test_a_letter_to_somebody_else_has_no_addressee(sheet: Make, text: str) -> None:
    lines = f'[[letters]]\nkind = "report"\nwhom = "office"\nday = 2026-05-12\naddressee = "{text}"\n'
    (letter,) = read_unit_sheet(CASE, sheet(lines)).letters
    assert letter.addressee == ""
