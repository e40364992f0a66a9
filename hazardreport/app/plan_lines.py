"""The test plan as the window shows it, behind the competence gate. Runs in a job: the plan solves the circuit."""

from dataclasses import dataclass

from hazardreport import wording
from hazardreport.app.views.plan_view import TestLine
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.edits import next_letter
from hazardreport.case.picture import Point, PointRole
from hazardreport.case.reading import Reading, State
from hazardreport.readings.planned import PlannedTest, cautions, instruction, name, reason


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """Tests and their lines, in the same order."""

    tests: tuple[PlannedTest, ...] = ()
    lines: tuple[TestLine, ...] = ()

    def test(self, id: str) -> PlannedTest | None:
        """The test of an id."""
        return next((test for test in self.tests if test.id == id), None)

    def following(self) -> TestLine | None:
        """The next open test that is a reading and may be shown."""
        return next((line for line in self.lines if line.sign in ("▸", "○") and line.readable), None)


def plan_of(case: Case) -> Plan:
    """The plan of a case with the words that may be shown."""
    from hazardreport.readings.energising import energising_refused
    from hazardreport.readings.plan import test_plan

    tests, refused = test_plan(case), energising_refused(case)
    following = next((t.id for t in tests if not (t.done or t.optional or (t.live and refused))), "")
    return Plan(tests=tests, lines=tuple(_line(test, case, test.id == following) for test in tests))


def _line(test: PlannedTest, case: Case, following: bool) -> TestLine:
    left_out = case.absence(f"test.{test.id}")
    sign, standing = ("▸", "next") if following else ("○", "only if needed" if test.optional else "open")
    if test.done:
        sign, standing = ("–", "left out") if left_out else ("✓", "done")
    shown = cautions(test, case)
    kept = {(one.caution, one.test) for one in case.cautions if one.kept is Answer.YES}
    return TestLine(
        id=test.id,
        group=wording.sentence(f"window.readings.group.{'live' if test.live else 'dead'}"),
        name=name(test, case),
        reason=reason(test, case),
        instruction=instruction(test, case),
        cautions=tuple(wording.sentence(f"cautions.{key}.text") for key in shown),
        sign=sign,
        standing=standing,
        live=test.live,
        readable=test.quantity is not None and bool(test.roles) and test.shown,
        kept=all((key, test.key) in kept for key in shown),
        left_out=left_out,
    )


def begun_reading(
    test: PlannedTest, case: Case, id: str, instrument: str, by: str
) -> tuple[Reading, tuple[Point, ...]]:
    """A reading for a test with all but its value filled in, and the points that the case lacks for it."""
    points = list(case.points)
    new: list[Point] = []
    letters = []
    for role in test.roles:
        point = next((point for point in points if point.role is role), None)
        if point is None:
            point = Point(letter=next_letter(points), role=role, description=_words(role))
            points.append(point)
            new.append(point)
        letters.append(point.letter)
    if test.quantity is None or len(letters) != 2:
        raise ValueError(test.id)
    reading = Reading(
        id=id,
        first=letters[0],
        second=letters[1],
        quantity=test.quantity,
        typed="",
        state=test.state or State(),
        load=test.load,
        instrument=instrument,
        by=by,
    )
    return reading, tuple(new)


def _words(role: PointRole) -> str:
    return "" if role is PointRole.OTHER else role.value
