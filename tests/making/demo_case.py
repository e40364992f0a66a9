"""Makes the folder of the demo case anew: `PYTHONPATH=. python tests/making/demo_case.py FOLDER [--draw]`.

Without --draw the pictures are those of the repository's demo case, byte for byte, so that the record comes out the
same whatever version of the drawing library is installed. With it they are drawn anew.
"""

import hashlib
import itertools
import shutil
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import demo_risk as judged
import demo_story as story
from demo_readings import INSTRUMENTS, METER, demo_readings

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, CautionShown
from hazardreport.case.custody import Anchor, AnchorKind
from hazardreport.case.picture import Recognisable
from hazardreport.case.reading import Quantity, Reading
from hazardreport.evidence.intake import take_in, take_in_attachment
from hazardreport.readings.plan import test_plan
from hazardreport.review.integrity import check_log
from hazardreport.storage import layout
from hazardreport.storage.folder import copy_case, save_case
from hazardreport.storage.revision import Signature
from hazardreport.storage.values import SALT_BYTES

DEMO = Path(__file__).resolve().parents[2] / "demo-case"
PROGRAM = "hazardreport 0.4.0"
NO_DEVICE_TO_TRY = "device_tried"
IMPORTED = "2026-05-14T16:20:{second:02d}Z"


def shown_on_display(readings: tuple[Reading, ...]) -> str:
    """The digits that the picture of the meter must show."""
    return next(r.typed for r in readings if r.picture == story.DISPLAY).removesuffix(" V")


def _pictures(folder: Path, *, draw: bool) -> Path:
    """A folder with the pictures under the names that they came with."""
    readings = demo_readings()
    if draw:
        import demo_pictures

        demo_pictures.SCENES["meter-reversed-off.jpg"] = lambda: demo_pictures.meter(shown_on_display(readings))
        demo_pictures.draw_all(folder)
    else:
        folder.mkdir(parents=True)
        for picture_id, (name, _, _) in story.CAPTIONS.items():
            shutil.copyfile(DEMO / layout.PICTURES / f"{picture_id}.jpg", folder / name)
    return folder


def _cautions(case: Case) -> Case:
    """The case that records each caution of the tests that were made, before the first test that it stood before."""
    told: dict[str, str] = {}
    for planned in test_plan(case):
        for caution in planned.cautions if planned.done else ():
            told.setdefault(caution, planned.key)
    for caution, test in told.items():
        when = story.LIVE_FROM if test.startswith(("live", "supply")) else story.DEAD_FROM
        kept = Answer.NO if caution == NO_DEVICE_TO_TRY else Answer.YES
        shown = CautionShown(caution=caution, test=test, by=story.ELECTRICIAN, when=when, kept=kept)
        case = edits.record_caution(case, shown)
    return case


def measured_record() -> Case:
    """What the electrician wrote down on the day of the readings; no pictures yet."""
    return Case(
        id=story.CASE_ID,
        title=story.TITLE,
        created=story.CREATED,
        unit=story.UNIT,
        wiring=story.WIRING,
        household=story.HOUSEHOLD,
        competence=story.COMPETENCE,
        points=story.POINTS,
        instruments=INSTRUMENTS,
        readings=demo_readings(),
    )


def filed_record(case: Case) -> Case:
    """The case after whoever files it has added what happened, what was found, and for whom it is."""
    return replace(
        case,
        addressee="eu-maker-notice",
        occurrence=story.OCCURRENCE,
        submitter=story.SUBMITTER,
        consents=story.CONSENTS,
        custody=story.CUSTODY,
        findings=story.FINDINGS,
        situation=judged.SITUATION,
        upkeep=judged.UPKEEP,
        requirements=judged.REQUIREMENTS,
        letters=judged.LETTERS,
    )


def judged_record(case: Case) -> Case:
    """The case after its ways to an injury were told and judged."""
    return replace(case, scenarios=judged.SCENARIOS, harm_factors=judged.HARM_FACTORS)


def kept_record(case: Case, sources: Path, folder: Path) -> Case:
    """The case after the keeping of the evidence was recorded and the note of the call attached."""
    note = sources / "call to the shop.txt"
    note.write_text(story.CALL_NOTE, encoding="utf-8", newline="\n")
    attachment = take_in_attachment(note, folder / layout.ATTACHMENTS, "attachment-001", "2026-05-14T16:31:00Z")
    case = edits.add_attachment(case, replace(attachment, caption="Note of the call to the shop on 2026-05-13"))
    return replace(case, items=story.ITEMS, transfers=story.TRANSFERS, steps=story.STEPS)


def anchored_record(case: Case, folder: Path) -> Case:
    """The case that says to whom the hash of its last revision was sent."""
    anchor = Anchor(
        id="anchor-001",
        kind=AnchorKind.SENT,
        revision=case.revision,
        head=check_log(folder).head,
        whom="Consumer advice centre Kerzenau (invented)",
        when="2026-05-14T18:52:00+02:00",
        reference="message of that time, answered 19:03",
    )
    return edits.record_anchor(case, anchor)


def with_pictures(case: Case, sources: Path, folder: Path) -> Case:
    """The case with its pictures taken into the folder, described, with points and marks on them."""
    display = shown_on_display(case.readings)
    for second, (picture_id, (name, caption, description)) in enumerate(sorted(story.CAPTIONS.items())):
        picture = take_in(sources / name, folder / layout.PICTURES, picture_id, IMPORTED.format(second=second))
        picture = replace(
            picture,
            caption=caption,
            description=description.format(display=display),
            as_found=picture_id == story.AS_FOUND,
            illustration=True,
            recognisable=Recognisable.NO,
            placements=story.PLACEMENTS.get(picture_id, ()),
            marks=story.MARKS.get(picture_id, ()),
        )
        case = edits.add_picture(case, picture)
    return case


def _salts() -> Callable[[], bytes]:
    """Salts that come out the same each time: the demo has no secret to keep."""
    count = itertools.count()
    return lambda: hashlib.sha256(b"salt of the demo case %d" % next(count)).digest()[:SALT_BYTES]


def make(folder: Path, *, draw: bool = False) -> Path:
    """The demo case, saved in a folder that was new or empty."""
    salts = _salts()

    def save(case: Case, author: str, time: str) -> Case:
        return save_case(case, work, signature=Signature(author=author, time=time, salt=salts, program=PROGRAM))

    with tempfile.TemporaryDirectory() as temporary:
        work = Path(temporary) / "case"
        sources = _pictures(Path(temporary) / "sources", draw=draw)
        (work / layout.PICTURES).mkdir(parents=True)
        case = save(measured_record(), story.ELECTRICIAN, "2026-05-12T10:05:12Z")
        case = save(_cautions(with_pictures(case, sources, work)), story.ELECTRICIAN, "2026-05-14T16:21:40Z")
        case = save(filed_record(case), story.ADVOCATE, "2026-05-14T16:29:03Z")
        case = save(kept_record(case, sources, work), story.ADVOCATE, "2026-05-14T16:40:55Z")
        case = save(judged_record(case), story.ADVOCATE, "2026-05-14T16:58:31Z")
        save(anchored_record(case, work), story.ADVOCATE, "2026-05-14T17:10:20Z")
        return copy_case(work, folder)


def checked() -> None:
    """Every reading that names an instrument names one of the case, and the meter has a range for every quantity."""
    known = {instrument.id for instrument in INSTRUMENTS} | {""}
    assert all(reading.instrument in known for reading in demo_readings())
    assert {accuracy.quantity for accuracy in METER.accuracies} == {Quantity.VOLTAGE, Quantity.RESISTANCE}


if __name__ == "__main__":
    checked()
    make(Path(sys.argv[1]), draw="--draw" in sys.argv)
