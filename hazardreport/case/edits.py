"""Edits: pure functions Case -> Case. The window, the command line and the tests all change a case through these."""

import re
from collections.abc import Callable, Iterable
from dataclasses import fields, replace
from typing import TypeVar

from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
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
from hazardreport.case.picture import Cover, Mark, Picture, Placement, Point, Recognisable
from hazardreport.case.reading import Instrument, Reading
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import HarmFactors, Scenario
from hazardreport.case.situation import Situation
from hazardreport.case.stated import Absence, Stated
from hazardreport.case.unit import ConformityMark, Unit
from hazardreport.case.upkeep import Upkeep
from hazardreport.case.wiring import Wiring
from hazardreport.errors import NoSuchRecordError

Record = TypeVar(
    "Record",
    Picture,
    Reading,
    Instrument,
    Finding,
    Mark,
    Cover,
    OwnExposure,
    Attachment,
    Item,
    Transfer,
    Step,
    ConformityMark,
    RequirementAnswer,
    Scenario,
    TableConfirmation,
    Letter,
)
Edit = Callable[..., Case]


def next_id(kind: str, taken: Iterable[str]) -> str:
    """The next free id of a kind: "picture-001" after none; numbers are never used twice while their record lives."""
    every = set(taken)
    numbers = [int(one[len(kind) + 1 :]) for one in every if re.fullmatch(rf"{kind}-[0-9]{{1,18}}", one)]
    next_number = max(numbers, default=0) + 1
    while (free := f"{kind}-{next_number:03d}") in every:
        next_number += 1
    return free


def next_letter(points: Iterable[Point]) -> str:
    """The next free letter: A … Z, then AA, AB …"""
    taken = {point.letter for point in points}
    count = 1
    while True:
        number, letter = count, ""
        while number:
            number, remainder = divmod(number - 1, 26)
            letter = chr(ord("A") + remainder) + letter
        if letter not in taken:
            return letter
        count += 1


def _replaced(kind: str, records: tuple[Record, ...], record: Record) -> tuple[Record, ...]:
    if all(old.id != record.id for old in records):
        raise NoSuchRecordError(kind=kind, id=record.id)
    return tuple(record if old.id == record.id else old for old in records)


def _without(kind: str, records: tuple[Record, ...], id: str) -> tuple[Record, ...]:
    if all(old.id != id for old in records):
        raise NoSuchRecordError(kind=kind, id=id)
    return tuple(old for old in records if old.id != id)


def set_title(case: Case, title: str) -> Case:
    """Case with another title."""
    return replace(case, title=title)


def choose_addressee(case: Case, key: str) -> Case:
    """Case meant for another addressee."""
    return replace(case, addressee=key)


def set_unit(case: Case, unit: Unit) -> Case:
    """Case with another identity of the unit."""
    return replace(case, unit=unit)


def set_unit_field(case: Case, name: str, stated: Stated) -> Case:
    """Case with one identity field changed."""
    if name not in {field.name for field in fields(Unit)}:
        raise NoSuchRecordError(kind="unit field", id=name)
    return replace(case, unit=replace(case.unit, **{name: stated}))


def set_wiring(case: Case, wiring: Wiring) -> Case:
    """Case with another wiring."""
    return replace(case, wiring=wiring)


def set_household(case: Case, household: Household) -> Case:
    """Case with other circumstances of use."""
    return replace(case, household=household)


def set_occurrence(case: Case, occurrence: Occurrence) -> Case:
    """Case with another account of what happened."""
    return replace(case, occurrence=occurrence)


def set_submitter(case: Case, submitter: Submitter) -> Case:
    """Case with another submitter."""
    return replace(case, submitter=submitter)


def set_consents(case: Case, consents: Consents) -> Case:
    """Case with other consents."""
    return replace(case, consents=consents)


def set_custody(case: Case, custody: Custody) -> Case:
    """Case with another place of keeping."""
    return replace(case, custody=custody)


def state_competence(case: Case, competence: Competence | None) -> Case:
    """Case in which a competent person is named for the live tests, or is no longer."""
    return replace(case, competence=competence)


def record_caution(case: Case, caution: CautionShown) -> Case:
    """Case that records a caution shown before a test; a later answer to the same caution and test replaces it."""
    kept = tuple(old for old in case.cautions if (old.caution, old.test) != (caution.caution, caution.test))
    return replace(case, cautions=(*kept, caution))


def add_point(case: Case, point: Point) -> Case:
    """Case with one more lettered point; a letter that is taken is replaced."""
    if case.point(point.letter) is not None:
        return change_point(case, point)
    return replace(case, points=(*case.points, point))


def change_point(case: Case, point: Point) -> Case:
    """Case with one point described otherwise."""
    if case.point(point.letter) is None:
        raise NoSuchRecordError(kind="point", id=point.letter)
    return replace(case, points=tuple(point if old.letter == point.letter else old for old in case.points))


def remove_point(case: Case, letter: str) -> Case:
    """Case without a point and without its placements; readings keep the letter and say that the point is gone."""
    if case.point(letter) is None:
        raise NoSuchRecordError(kind="point", id=letter)
    pictures = tuple(
        replace(picture, placements=tuple(p for p in picture.placements if p.letter != letter))
        if any(p.letter == letter for p in picture.placements)
        else picture
        for picture in case.pictures
    )
    return replace(case, points=tuple(p for p in case.points if p.letter != letter), pictures=pictures)


def add_picture(case: Case, picture: Picture) -> Case:
    """Case with one more picture; the file itself is evidence's and storage's business."""
    return replace(case, pictures=(*case.pictures, picture))


def change_picture(case: Case, picture: Picture) -> Case:
    """Case with one picture's caption, description, flags, placements or marks changed."""
    return replace(case, pictures=_replaced("picture", case.pictures, picture))


def remove_picture(case: Case, id: str) -> Case:
    """Case that no longer shows a picture; its file stays in the folder so that undo and the log can bring it back."""
    return replace(case, pictures=_without("picture", case.pictures, id))


def _picture(case: Case, id: str) -> Picture:
    picture = case.picture(id)
    if picture is None:
        raise NoSuchRecordError(kind="picture", id=id)
    return picture


def place_point(case: Case, picture_id: str, placement: Placement) -> Case:
    """Case with a point placed on a picture, or moved there; an unknown letter becomes a new point."""
    picture = _picture(case, picture_id)
    others = tuple(p for p in picture.placements if p.letter != placement.letter)
    if case.point(placement.letter) is None:
        case = add_point(case, Point(letter=placement.letter))
    return change_picture(case, replace(picture, placements=(*others, placement)))


def take_point_off(case: Case, picture_id: str, letter: str) -> Case:
    """Case with a point no longer on one picture; the point itself stays."""
    picture = _picture(case, picture_id)
    return change_picture(case, replace(picture, placements=tuple(p for p in picture.placements if p.letter != letter)))


def add_mark(case: Case, picture_id: str, mark: Mark) -> Case:
    """Case with one more mark on a picture."""
    picture = _picture(case, picture_id)
    return change_picture(case, replace(picture, marks=(*picture.marks, mark)))


def change_mark(case: Case, picture_id: str, mark: Mark) -> Case:
    """Case with one mark moved or relabelled."""
    picture = _picture(case, picture_id)
    return change_picture(case, replace(picture, marks=_replaced("mark", picture.marks, mark)))


def remove_mark(case: Case, picture_id: str, mark_id: str) -> Case:
    """Case without one mark."""
    picture = _picture(case, picture_id)
    return change_picture(case, replace(picture, marks=_without("mark", picture.marks, mark_id)))


def add_cover(case: Case, picture_id: str, cover: Cover) -> Case:
    """Case with one more part of a picture hidden in everything derived."""
    picture = _picture(case, picture_id)
    return change_picture(case, replace(picture, covers=(*picture.covers, cover)))


def change_cover(case: Case, picture_id: str, cover: Cover) -> Case:
    """Case with one cover moved, resized or given another reason; if it bares what it hid, nobody has looked yet."""
    picture = _picture(case, picture_id)
    covers = _replaced("cover", picture.covers, cover)
    bares = any(
        old.id == cover.id
        and (cover.left > old.left or cover.top > old.top or cover.right < old.right or cover.bottom < old.bottom)
        for old in picture.covers
    )
    recognisable = Recognisable.OPEN if bares else picture.recognisable
    return change_picture(case, replace(picture, covers=covers, recognisable=recognisable))


def remove_cover(case: Case, picture_id: str, cover_id: str) -> Case:
    """Case without one cover; nobody has looked yet whether a person can be recognised now."""
    picture = _picture(case, picture_id)
    covers = _without("cover", picture.covers, cover_id)
    return change_picture(case, replace(picture, covers=covers, recognisable=Recognisable.OPEN))


def add_instrument(case: Case, instrument: Instrument) -> Case:
    """Case with one more instrument."""
    return replace(case, instruments=(*case.instruments, instrument))


def change_instrument(case: Case, instrument: Instrument) -> Case:
    """Case with one instrument's data changed."""
    return replace(case, instruments=_replaced("instrument", case.instruments, instrument))


def remove_instrument(case: Case, id: str) -> Case:
    """Case without an instrument; its readings stay, with the doubt of an unknown instrument."""
    return replace(case, instruments=_without("instrument", case.instruments, id))


def add_reading(case: Case, reading: Reading) -> Case:
    """Case with one more reading."""
    return replace(case, readings=(*case.readings, reading))


def add_readings(case: Case, readings: Iterable[Reading]) -> Case:
    """Case with several more readings, as one edit."""
    return replace(case, readings=(*case.readings, *readings))


def change_reading(case: Case, reading: Reading) -> Case:
    """Case with one reading changed."""
    return replace(case, readings=_replaced("reading", case.readings, reading))


def remove_reading(case: Case, id: str) -> Case:
    """Case without one reading."""
    return replace(case, readings=_without("reading", case.readings, id))


def add_finding(case: Case, finding: Finding) -> Case:
    """Case with one more finding."""
    return replace(case, findings=(*case.findings, finding))


def change_finding(case: Case, finding: Finding) -> Case:
    """Case with one finding changed."""
    return replace(case, findings=_replaced("finding", case.findings, finding))


def remove_finding(case: Case, id: str) -> Case:
    """Case without one finding."""
    return replace(case, findings=_without("finding", case.findings, id))


def add_exposure(case: Case, exposure: OwnExposure) -> Case:
    """Case with one more exposure to look at."""
    return replace(case, exposures=(*case.exposures, exposure))


def change_exposure(case: Case, exposure: OwnExposure) -> Case:
    """Case with one of its own exposures changed."""
    return replace(case, exposures=_replaced("exposure", case.exposures, exposure))


def remove_exposure(case: Case, id: str) -> Case:
    """Case without one of its own exposures."""
    return replace(case, exposures=_without("exposure", case.exposures, id))


def state_absence(case: Case, field: str, reason: str) -> Case:
    """Case that says why a field is absent; an empty reason takes the statement back."""
    others = tuple(absence for absence in case.absences if absence.field != field)
    return replace(case, absences=(*others, Absence(field=field, reason=reason)) if reason.strip() else others)


def add_attachment(case: Case, attachment: Attachment) -> Case:
    """Case with one more attachment; the file itself is evidence's and storage's business."""
    return replace(case, attachments=(*case.attachments, attachment))


def change_attachment(case: Case, attachment: Attachment) -> Case:
    """Case with one attachment's caption or still changed."""
    return replace(case, attachments=_replaced("attachment", case.attachments, attachment))


def remove_attachment(case: Case, id: str) -> Case:
    """Case that no longer names an attachment; its file stays in the folder, as a picture's does."""
    return replace(case, attachments=_without("attachment", case.attachments, id))


def add_item(case: Case, item: Item) -> Case:
    """Case with one more item of evidence."""
    return replace(case, items=(*case.items, item))


def change_item(case: Case, item: Item) -> Case:
    """Case with one item of evidence changed."""
    return replace(case, items=_replaced("item", case.items, item))


def remove_item(case: Case, id: str) -> Case:
    """Case without one item of evidence."""
    return replace(case, items=_without("item", case.items, id))


def add_transfer(case: Case, transfer: Transfer) -> Case:
    """Case with one more handing over."""
    return replace(case, transfers=(*case.transfers, transfer))


def change_transfer(case: Case, transfer: Transfer) -> Case:
    """Case with one handing over changed."""
    return replace(case, transfers=_replaced("transfer", case.transfers, transfer))


def remove_transfer(case: Case, id: str) -> Case:
    """Case without one handing over."""
    return replace(case, transfers=_without("transfer", case.transfers, id))


def add_step(case: Case, step: Step) -> Case:
    """Case with one more step that was done to the evidence."""
    return replace(case, steps=(*case.steps, step))


def change_step(case: Case, step: Step) -> Case:
    """Case with one step changed."""
    return replace(case, steps=_replaced("step", case.steps, step))


def remove_step(case: Case, id: str) -> Case:
    """Case without one step."""
    return replace(case, steps=_without("step", case.steps, id))


def record_anchor(case: Case, anchor: Anchor) -> Case:
    """Case that says in whose hands the hash of a revision is; anchors are never changed or taken back."""
    return replace(case, anchors=(*case.anchors, anchor))


def set_private_words(case: Case, words: tuple[str, ...]) -> Case:
    """Case with the names and addresses that a publication must not show; blanks and repeats are dropped."""
    kept = tuple(dict.fromkeys(word.strip() for word in words if word.strip()))
    return replace(case, private_words=kept)


def set_situation(case: Case, situation: Situation) -> Case:
    """Case with other answers to the four questions that decide whom the report may go to."""
    return replace(case, situation=situation)


def set_upkeep(case: Case, upkeep: Upkeep) -> Case:
    """Case with other answers on how the unit was kept."""
    return replace(case, upkeep=upkeep)


def set_harm_factors(case: Case, factors: HarmFactors) -> Case:
    """Case with other factors that weigh."""
    return replace(case, harm_factors=factors)


def answer_requirement(case: Case, answer: RequirementAnswer) -> Case:
    """Case with the answer to one construction requirement; an earlier answer to the same one is replaced in place."""
    if case.requirement(answer.id) is None:
        return replace(case, requirements=(*case.requirements, answer))
    return replace(case, requirements=_replaced("requirement", case.requirements, answer))


def take_answer_back(case: Case, id: str) -> Case:
    """Case in which nobody answered a requirement yet."""
    return replace(case, requirements=_without("requirement", case.requirements, id))


def add_conformity_mark(case: Case, mark: ConformityMark) -> Case:
    """Case with one more mark of conformity."""
    return replace(case, conformity_marks=(*case.conformity_marks, mark))


def change_conformity_mark(case: Case, mark: ConformityMark) -> Case:
    """Case with one mark of conformity changed."""
    return replace(case, conformity_marks=_replaced("mark of conformity", case.conformity_marks, mark))


def remove_conformity_mark(case: Case, id: str) -> Case:
    """Case without one mark of conformity."""
    return replace(case, conformity_marks=_without("mark of conformity", case.conformity_marks, id))


def add_scenario(case: Case, scenario: Scenario) -> Case:
    """Case with one more way to an injury."""
    return replace(case, scenarios=(*case.scenarios, scenario))


def change_scenario(case: Case, scenario: Scenario) -> Case:
    """Case with one way to an injury changed."""
    return replace(case, scenarios=_replaced("scenario", case.scenarios, scenario))


def remove_scenario(case: Case, id: str) -> Case:
    """Case without one way to an injury."""
    return replace(case, scenarios=_without("scenario", case.scenarios, id))


def add_confirmation(case: Case, confirmation: TableConfirmation) -> Case:
    """Case with one more confirmed table."""
    return replace(case, confirmations=(*case.confirmations, confirmation))


def change_confirmation(case: Case, confirmation: TableConfirmation) -> Case:
    """Case with one confirmed table changed."""
    return replace(case, confirmations=_replaced("confirmation", case.confirmations, confirmation))


def remove_confirmation(case: Case, id: str) -> Case:
    """Case without one confirmed table."""
    return replace(case, confirmations=_without("confirmation", case.confirmations, id))


def add_letter(case: Case, letter: Letter) -> Case:
    """Case with one more letter."""
    return replace(case, letters=(*case.letters, letter))


def change_letter(case: Case, letter: Letter) -> Case:
    """Case with one letter changed."""
    return replace(case, letters=_replaced("letter", case.letters, letter))


def remove_letter(case: Case, id: str) -> Case:
    """Case without one letter."""
    return replace(case, letters=_without("letter", case.letters, id))
