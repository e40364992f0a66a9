"""The record of one dangerous unit."""

from dataclasses import dataclass

from hazardreport.case.attachment import Attachment
from hazardreport.case.circumstances import (
    CautionShown,
    Competence,
    Consents,
    Custody,
    Finding,
    Household,
    Occurrence,
    Submitter,
)
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.custody import Anchor, Item, Step, Transfer
from hazardreport.case.exposure import OwnExposure
from hazardreport.case.letter import Letter
from hazardreport.case.picture import Picture, Point
from hazardreport.case.reading import Instrument, Reading
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import HarmFactors, Scenario
from hazardreport.case.situation import Situation
from hazardreport.case.stated import Absence
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.case.upkeep import Upkeep
from hazardreport.case.wiring import Wiring


@dataclass(frozen=True, kw_only=True, slots=True)
class Case:
    """Everything that people entered; what is computed is never part of it.

    id         case number, for people and for file names
    title      short name of the case
    created    when it was made, ISO 8601 UTC
    revision   counts saved revisions
    addressee  key of the chosen profile, or ""
    absences   why pictures, readings, findings or the submitter's category are absent
    exposures  looked at besides the usual ones
    items, transfers, steps   physical evidence, its handing over, what was done to it
    anchors    revisions whose hash is in somebody else's hands
    private_words  names and addresses that a publication must not show wherever they stand
    situation  decides whom the report may go to; upkeep: how the unit was kept
    conformity_marks, requirements   found on the unit: marks; answers to construction requirements
    scenarios, harm_factors   how somebody may come to harm, and what weighs
    confirmations   tables that somebody compared with the document
    letters    what was sent, and what came back
    published_from  hash of the log's line that this publication was derived from; "" for a case itself
    """

    id: str
    title: str = ""
    created: str = ""
    revision: int = 0
    addressee: str = ""
    unit: Unit = Unit()
    wiring: Wiring = Wiring()
    household: Household = Household()
    occurrence: Occurrence = Occurrence()
    submitter: Submitter = Submitter()
    consents: Consents = Consents()
    custody: Custody = Custody()
    competence: Competence | None = None
    cautions: tuple[CautionShown, ...] = ()
    points: tuple[Point, ...] = ()
    pictures: tuple[Picture, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    readings: tuple[Reading, ...] = ()
    findings: tuple[Finding, ...] = ()
    absences: tuple[Absence, ...] = ()
    exposures: tuple[OwnExposure, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    items: tuple[Item, ...] = ()
    transfers: tuple[Transfer, ...] = ()
    steps: tuple[Step, ...] = ()
    anchors: tuple[Anchor, ...] = ()
    private_words: tuple[str, ...] = ()
    published_from: str = ""
    situation: Situation = Situation()
    upkeep: Upkeep = Upkeep()
    conformity_marks: tuple[ConformityMark, ...] = ()
    requirements: tuple[RequirementAnswer, ...] = ()
    scenarios: tuple[Scenario, ...] = ()
    harm_factors: HarmFactors = HarmFactors()
    confirmations: tuple[TableConfirmation, ...] = ()
    letters: tuple[Letter, ...] = ()

    def point(self, letter: str) -> Point | None:
        """The point of that letter, if there is one."""
        return next((point for point in self.points if point.letter == letter), None)

    def picture(self, id: str) -> Picture | None:
        """The picture of that id, if there is one."""
        return next((picture for picture in self.pictures if picture.id == id), None)

    def reading(self, id: str) -> Reading | None:
        """The reading of that id, if there is one."""
        return next((reading for reading in self.readings if reading.id == id), None)

    def attachment(self, id: str) -> Attachment | None:
        """The attachment of that id, if there is one."""
        return next((attachment for attachment in self.attachments if attachment.id == id), None)

    def item(self, id: str) -> Item | None:
        """The item of evidence of that id, if there is one."""
        return next((item for item in self.items if item.id == id), None)

    def instrument(self, id: str) -> Instrument | None:
        """The instrument of that id, if there is one."""
        return next((instrument for instrument in self.instruments if instrument.id == id), None)

    def requirement(self, id: str) -> RequirementAnswer | None:
        """The answer to the requirement of that key, if there is one."""
        return next((answer for answer in self.requirements if answer.id == id), None)

    def scenario(self, id: str) -> Scenario | None:
        """The scenario of that id, if there is one."""
        return next((scenario for scenario in self.scenarios if scenario.id == id), None)

    def letter(self, id: str) -> Letter | None:
        """The letter of that id, if there is one."""
        return next((letter for letter in self.letters if letter.id == id), None)

    def absence(self, field: str) -> str:
        """Why that field is absent, or "" if nobody said."""
        return next((absence.reason for absence in self.absences if absence.field == field), "")
