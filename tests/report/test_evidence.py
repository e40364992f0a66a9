"""The part on evidence: everything recorded is told, everything that is not says so, and names obey the consents."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from hazardreport.addressees.profiles import profile
from hazardreport.assess.records import Assessment
from hazardreport.case.attachment import Attachment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.custody import Anchor, AnchorKind, Item, ItemKind, Step, StepEffect, Transfer
from hazardreport.case.picture import Cover
from hazardreport.report.build import report_document
from hazardreport.report.context import RevisionLine
from hazardreport.report.document import (
    KeyValues,
    Missing,
    Part,
    Reference,
    ReportDocument,
    Table,
    anchors,
    blocks,
    blocks_of,
    runs_of,
)

CREATED = "2026-11-25T12:00:00+00:00"
HEAD = "3f9a0c5be7d2" * 5 + "3f9a"
LOG = (
    RevisionLine(revision=6, time="2026-11-20T08:00:00Z", author="A. Marten", changed="readings", hash="a" * 64),
    RevisionLine(revision=7, time="2026-11-21T08:00:00Z", author="", changed="steps, transfers", hash=HEAD),
)


@pytest.fixture
def kept(case: Case) -> Case:
    cover = Cover(id="cover-001", left=0, top=0, right=9, bottom=9, reason="face")
    plate = replace(
        case.pictures[1],
        has_position=True,
        covers=(cover, replace(cover, id="cover-002"), replace(cover, id="cover-003", reason="")),
    )
    return replace(
        case,
        pictures=(case.pictures[0], plate),
        items=(
            Item(
                id="item-001",
                description="wax pot",
                label="seal 0417",
                place="cabinet",
                condition="whole",
                since="2026-11-14T19:00+01:00",
                pictures=("picture-001", "picture-009"),
            ),
            Item(id="item-002", kind=ItemKind.CORD),
        ),
        transfers=(
            Transfer(
                id="transfer-001",
                items=("item-001", "item-009"),
                giver="Oakes, R.",
                taker="T. Reed",
                when="2026-11-20T09:00+01:00",
                purpose="examination",
                place="Mill Lane 3",
                seal_whole=Answer.YES,
                picture="picture-002",
            ),
            Transfer(id="transfer-002", items=("item-001",), giver="Q. Stone", taker="oakes r"),
        ),
        steps=(
            Step(
                id="step-001",
                what="resistances read",
                by="T. Reed",
                effect=StepEffect.NON_DESTRUCTIVE,
                readings=("reading-001",),
            ),
            Step(
                id="step-002",
                what="base taken off",
                when="2026-11-21T09:00+01:00",
                by="T. Reed",
                effect=StepEffect.DESTRUCTIVE,
                opens=True,
                informed="maker, by letter",
                items=("item-001",),
                pictures=("picture-002",),
            ),
        ),
        attachments=(
            Attachment(
                id="attachment-001",
                file="attachment-001.pdf",
                original_name="slip.pdf",
                media_type="application/pdf",
                sha256="b" * 64,
                size=20_480,
                caption="countersigned page",
            ),
            Attachment(
                id="attachment-002",
                file="attachment-002.mp4",
                original_name="v.mp4",
                media_type="video/mp4",
                sha256="c" * 64,
                size=9,
                still="picture-001",
            ),
            Attachment(
                id="attachment-003",
                file="attachment-003.mp4",
                original_name="w.mp4",
                media_type="video/mp4",
                sha256="d" * 64,
                size=9,
            ),
        ),
        anchors=(
            Anchor(
                id="anchor-001",
                kind=AnchorKind.COUNTERSIGNED,
                revision=7,
                head=HEAD,
                whom="town office",
                when="2026-11-22",
                reference="AZ 17",
                attachment="attachment-001",
            ),
        ),
    )


def told(document: ReportDocument) -> Iterator[str]:
    for block in blocks_of(part(document)):
        yield from ("".join(run if isinstance(run, str) else run.text for run in runs) for runs in runs_of(block))
        if isinstance(block, Missing):
            yield f"{block.what}: {block.why}"
        if isinstance(block, KeyValues):
            yield block.title
            yield from (row.label for row in block.rows)


def part(document: ReportDocument) -> Part:
    return next(part for part in document.parts if part.key == "evidence")


def built(
    case: Case, assessment: Assessment, key: str = "us-agency-harm", log: tuple[RevisionLine, ...] = ()
) -> ReportDocument:
    return report_document(case, assessment, profile(key), created=CREATED, log=log)


def row(document: ReportDocument, anchor: str) -> list[str]:
    tables = [block for block in blocks_of(part(document)) if isinstance(block, Table)]
    found = next(row for table in tables for row in table.rows if row.anchor == anchor)
    return ["".join(run if isinstance(run, str) else run.text for run in runs) for runs in found.cells]


def test_items_transfers_and_steps_are_told_in_full(kept: Case, assessment: Assessment) -> None:
    document = built(kept, assessment)
    assert row(document, "custody-item-001") == [
        "item-001, the unit: wax pot",
        "seal 0417",
        "cabinet",
        "whole",
        "2026-11-14 19:00 UTC+01:00",
        "picture-001, picture-009 (not in this case)",
    ]
    assert row(document, "custody-item-002") == ["item-002, cord: not described", *["not stated"] * 4, "none named"]
    assert row(document, "custody-transfer-001") == [
        "transfer-001: 2026-11-20 09:00 UTC+01:00; Mill Lane 3",
        "Oakes, R.",
        "T. Reed",
        "item-001, item-009 (not in this case)",
        "examination",
        "not stated",
        "yes; slip: picture-002",
    ]
    assert row(document, "custody-step-002") == [
        "step-002: 2026-11-21 09:00 UTC+01:00",
        "base taken off; to: item-001",
        "T. Reed",
        "destructive: others cannot repeat it on the same thing; opened or changed the unit",
        "maker, by letter",
        "picture-002",
    ]
    assert row(document, "custody-step-001")[4] == "not needed"
    text = "\n".join(told(document))
    assert "As found until 2026-11-21 09:00 UTC+01:00: then the unit was opened or changed by step-002." in text


def test_every_link_of_the_part_leads_somewhere_and_nothing_is_blank(kept: Case, assessment: Assessment) -> None:
    document = built(kept, assessment, log=LOG)
    targets = {
        run.target
        for block in blocks(document)
        for runs in runs_of(block)
        for run in runs
        if isinstance(run, Reference)
    }
    assert targets <= anchors(document)
    assert {"custody-item-001", "custody-transfer-002", "custody-step-002", "attachment-attachment-001"} <= targets
    for block in blocks_of(part(document)):
        for runs in runs_of(block):
            assert "".join(run if isinstance(run, str) else run.text for run in runs).strip()


def test_gaps_are_told_with_their_records_and_their_sources(kept: Case, assessment: Assessment) -> None:
    document = built(kept, assessment)
    text = "\n".join(told(document))
    assert "item-002: The item has no number of a seal or label" in text
    assert "transfer-002: Q. Stone hands over item-001, but by transfer-001 it was with T. Reed." in text
    assert "item-001: It names picture-009, which is not in this case." in text
    assert "astm-e1459, scope – confirmed" in text
    limits = next(part for part in document.parts if part.key == "limits")
    cited = [row.anchor for block in blocks_of(limits) if isinstance(block, Table) for row in block.rows]
    assert {"reference-astm-e1459", "reference-astm-e860"} <= set(cited)


def test_names_of_the_custody_are_withheld_from_a_firm_without_consent_and_the_chain_can_be_followed(
    kept: Case, assessment: Assessment
) -> None:
    refused = replace(kept, consents=replace(kept.consents, contact_to_firm=Answer.NO))
    document = built(refused, assessment, "eu-maker-notice", LOG)
    text = "\n".join(told(document))
    for name in ("Oakes", "Reed", "Stone", "oakes", "Mill Lane", "Marten"):
        assert name not in text
    first, second = row(document, "custody-transfer-001"), row(document, "custody-transfer-002")
    assert first[1:3] == ["person 1, name withheld", "person 2, name withheld"]
    assert second[1:3] == ["person 3, name withheld", "person 1, name withheld"]
    assert (
        "person 3, name withheld hands over item-001, but by transfer-001 it was with person 2, name withheld" in text
    )
    assert "Reed" in "\n".join(told(built(refused, assessment, "us-agency-harm")))


def test_covers_of_a_picture_are_counted_with_their_reasons(kept: Case, assessment: Assessment) -> None:
    text = "\n".join(told(built(kept, assessment)))
    assert "3 places covered: 2 × face, no reason was given" in text
    assert "without metadata; nothing covered" in text
    assert "The original carries a geographic position; this file does not." in text


def test_a_published_picture_was_covered_before(kept: Case, assessment: Assessment) -> None:
    first, plate = kept.pictures
    cover = plate.covers[0]
    pictures = (replace(first, derived_from="d" * 64, covers=(cover,)), replace(plate, derived_from="e" * 64))
    text = "\n".join(told(built(replace(kept, pictures=pictures), assessment)))
    assert "covered before publication (1 place: face)" in text
    assert "covered before publication (3 places: 2 × face, no reason was given)" in text
    assert "nothing covered" not in text


def test_a_withheld_picture_is_not_said_to_be_shown(kept: Case, assessment: Assessment) -> None:
    document = report_document(
        kept, assessment, profile("us-agency-harm"), created=CREATED, withheld={"picture-002": "it was changed"}
    )
    assert "3 places covered" not in "\n".join(told(document))


def test_attachments_are_told_with_hash_size_and_still(kept: Case, assessment: Assessment) -> None:
    text = "\n".join(told(built(kept, assessment)))
    assert "attachment-001.pdf, came as slip.pdf; 20\u202f480 bytes, application/pdf" in text
    assert "b" * 64 in text
    assert "attachment-001: countersigned page" in text
    assert text.count("no picture stands for this video") == 1


def test_anchors_are_told_and_held_against_the_log(kept: Case, assessment: Assessment) -> None:
    text = "\n".join(told(built(kept, assessment, log=LOG)))
    assert f"revision 7: its hash, beginning {HEAD[:16]}, was countersigned by town office on 2026-11-22" in text
    assert "; reference AZ 17; kept as attachment-001" in text
    assert "not anchored" not in text
    assert "another hash" not in text
    other = (LOG[0], replace(LOG[1], hash="e" * 64))
    assert "another hash" in "\n".join(told(built(kept, assessment, log=other)))
    assert "another hash" not in "\n".join(told(built(kept, assessment)))


def test_without_an_anchor_the_order_rests_on_the_authors_word(case: Case, assessment: Assessment) -> None:
    text = "\n".join(told(built(case, assessment)))
    assert "not anchored" in text
    assert "the order of events rests on the author's word" in text


def test_revisions_are_told_or_said_not_to_be(kept: Case, assessment: Assessment) -> None:
    tables = [block for block in blocks_of(part(built(kept, assessment, log=LOG))) if isinstance(block, Table)]
    assert [cell for row in tables[-1].rows for cell in row.cells[:4]] == [
        ("6",),
        ("2026-11-20 08:00 UTC",),
        ("A. Marten",),
        ("readings",),
        ("7",),
        ("2026-11-21 08:00 UTC",),
        ("not stated",),
        ("steps, transfers",),
    ]
    assert any(line.startswith("Revisions: none is printed") for line in told(built(kept, assessment)))


def test_what_is_not_recorded_is_said(case: Case, assessment: Assessment) -> None:
    text = "\n".join(told(built(case, assessment)))
    for line in (
        "Physical items: none is recorded in this case",
        "Handing over: none is recorded in this case",
        "What was done to the evidence: no step is recorded in this case",
        "Attachments: no file but the pictures belongs to this case",
        "No item of evidence is recorded",
    ):
        assert line in text


def test_a_publication_does_not_judge_what_it_leaves_out(kept: Case, assessment: Assessment) -> None:
    published = replace(kept, published_from="f" * 64, items=(Item(id="item-001"),))
    text = "\n".join(told(built(published, assessment)))
    assert "Names and places are left out of this publication" in text
    assert "no number of a seal or label" not in text


def test_a_record_without_a_gap_says_what_that_shows(kept: Case, assessment: Assessment) -> None:
    whole = replace(kept.items[0], pictures=("picture-001",))
    text = "\n".join(told(built(replace(kept, items=(whole,), transfers=(), steps=()), assessment)))
    assert "found nothing that is missing" in text
    assert "No step that opened" not in text
