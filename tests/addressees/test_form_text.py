"""Text to enter on an addressee's own form: from the case alone, counted, nothing invented, nobody given away."""

from dataclasses import replace
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import wording
from hazardreport.addressees.asked import Level, Profile
from hazardreport.addressees.form_text import AttachmentKind, FormEntry, FormText, form_text
from hazardreport.addressees.links import State, gap_name
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.picture import Picture, Recognisable
from hazardreport.case.stated import not_applicable, unknown, value
from hazardreport.case.unit import Unit

FORMS = [key for key in profile_keys() if profile(key).text_to_enter]
AGENCY = "us-agency-harm"


def entry(text: FormText, element: str) -> FormEntry:
    return next(one for one in text.entries if one.element == element)


def limited(read: Profile, element: str, limit: int) -> Profile:
    elements = tuple(replace(one, limit=limit) if one.key == element else one for one in read.elements)
    return replace(read, elements=elements)


@pytest.mark.parametrize("key", FORMS)
def test_a_full_case_gives_a_text_for_each_element_that_is_asked_in_its_order(cases: ModuleType, key: str) -> None:
    text = form_text(cases.full_case(), profile(key), cases.assessment())
    asked = [element.key for element in profile(key).elements if element.level is not Level.NOT_ASKED]
    assert [one.element for one in text.entries] == asked
    for one in text.entries:
        assert one.text.strip()
        assert one.state is State.PRESENT
        assert one.characters == len(one.text)


@pytest.mark.parametrize("key", FORMS)
def test_an_empty_case_invents_nothing_and_says_what_is_asked(key: str) -> None:
    for one in form_text(Case(id="WP-2"), profile(key), None).entries:
        assert (one.text, one.characters) == ("", 0)
        element = profile(key).element(one.element)
        assert (element.asked if one.state is State.MISSING else element.only_if_text) in one.note


def test_texts_of_people_enter_as_they_are_braces_and_all(cases: ModuleType) -> None:
    case = cases.full_case()
    odd = "A pot {0} with {braces} and \u201cquotes\u201d"
    case = replace(case, unit=replace(case.unit, product_name=value(odd)))
    case = replace(case, occurrence=replace(case.occurrence, narrative=value(odd)))
    text = form_text(case, profile(AGENCY), cases.assessment())
    assert entry(text, "product_description").text == odd
    assert entry(text, "harm").text.startswith(f"{odd}. What was seen")


def test_the_harm_joins_account_finding_and_meaning_and_says_what_is_open(cases: ModuleType) -> None:
    text = entry(form_text(cases.full_case(), profile(AGENCY), cases.assessment()), "harm").text
    assert text.startswith("narrative as told. ")
    assert "The rim was live." in text
    assert text.endswith("The rim is live.")
    assert entry(form_text(cases.full_case(), profile(AGENCY), None), "harm").text.endswith("(not entered yet).")


def test_several_fields_are_labelled_and_an_absent_one_says_why(cases: ModuleType) -> None:
    case = replace(cases.full_case(), unit=Unit(brand=value("Lumenkessel"), model=unknown("plate worn off")))
    text = entry(form_text(case, profile(AGENCY), None), "brand_and_model").text
    assert text.split("\n") == ["Brand: Lumenkessel", "Model: unknown: plate worn off"]


def test_where_any_field_will_do_only_those_with_a_text_are_entered(cases: ModuleType) -> None:
    case = replace(cases.full_case(), unit=Unit(maker=value("Lumenkessel"), importer=not_applicable("none named")))
    assert entry(form_text(case, profile(AGENCY), None), "manufacturer").text == "Maker: Lumenkessel"


def test_a_statement_is_entered_in_full_and_only_where_it_was_given(cases: ModuleType) -> None:
    case = cases.full_case()
    given_text = entry(form_text(case, profile(AGENCY), None), "verification")
    assert given_text.text.startswith("I have reviewed this report.")
    refused = replace(case, consents=replace(case.consents, publish=Answer.NO))
    assert (
        entry(form_text(refused, profile(AGENCY), None), "consent_to_publication").text == "the submitter answered: no"
    )


def test_names_are_left_out_where_their_consent_is_not_given(cases: ModuleType) -> None:
    case = cases.full_case()
    case = replace(case, consents=replace(case.consents, contact_to_firm=Answer.NO))
    for key, kept in (("eu-marketplace", False), (AGENCY, True)):
        text = form_text(case, profile(key), cases.assessment())
        everything = "\n".join(one.text for one in text.entries)
        assert ("email as told" in everything) is kept
    withheld = entry(form_text(case, profile("eu-marketplace"), None), "sender_contact")
    assert withheld.personal
    assert "Left out" in withheld.note


@pytest.mark.parametrize(("limit", "over"), [(42, 0), (41, 1), (1, 41)])
def test_a_text_longer_than_a_limit_says_by_how_much_and_is_not_cut(cases: ModuleType, limit: int, over: int) -> None:
    typed = "Electric wax-melting pot for candle making"
    case = replace(cases.full_case(), unit=Unit(product_name=value(typed)))
    one = entry(form_text(case, limited(profile(AGENCY), "product_description", limit), None), "product_description")
    assert (one.text, one.characters, one.limit) == (typed, 42, limit)
    assert one.too_long is bool(over)
    assert (f"Too long by {over} characters" in one.note) is bool(over)


@settings(derandomize=True, deadline=None)
@given(st.text(min_size=1, max_size=60).filter(str.strip), st.integers(1, 60))
def test_characters_are_counted_as_people_see_them_entered(typed: str, limit: int) -> None:
    case = Case(id="WP-3", unit=Unit(product_name=value(typed)))
    one = entry(form_text(case, limited(profile(AGENCY), "product_description", limit), None), "product_description")
    assert one.text == typed
    assert one.characters == len(typed)
    assert one.too_long is (len(typed) > limit)


def test_no_rule_that_was_read_gives_a_number_of_characters() -> None:
    text = form_text(Case(id="WP-4"), profile(AGENCY), None)
    assert {one.limit for one in text.entries} == {None}
    assert "gives no number" in text.size


def test_only_pictures_on_which_nobody_can_be_recognised_are_attached(cases: ModuleType) -> None:
    pictures = tuple(
        replace(cases.PICTURE, id=f"picture-00{number}", file=f"picture-00{number}.jpg", recognisable=answer)
        for number, answer in enumerate(Recognisable, start=1)
    )
    text = form_text(replace(cases.full_case(), pictures=pictures), profile(AGENCY), None)
    clear = next(picture for picture in pictures if picture.recognisable is Recognisable.NO)
    named = [(attachment.kind, attachment.name) for attachment in text.attachments]
    assert named == [
        (AttachmentKind.REPORT, "WP-1-us-agency-harm.pdf"),
        (AttachmentKind.PICTURE, clear.file),
        (AttachmentKind.PACK, "WP-1.zip"),
    ]
    source, *left_out = text.withheld
    assert "never the originals" in source
    assert len(left_out) == 2
    assert all(sentence.endswith(": 1.") for sentence in left_out)


def test_without_a_picture_to_attach_nothing_is_said_of_where_to_take_it_from(cases: ModuleType) -> None:
    assert form_text(replace(cases.full_case(), pictures=()), profile(AGENCY), None).withheld == ()
    assert all("never" not in s for s in form_text(cases.full_case(), profile(AGENCY), None).withheld)


def test_what_comes_in_numbers_is_counted_and_found_in_what_is_attached(cases: ModuleType) -> None:
    case = cases.full_case()
    nobody = tuple(replace(picture, recognisable=Recognisable.NO) for picture in case.pictures)
    text = form_text(replace(case, pictures=nobody), profile("eu-authority-record"), cases.assessment())
    for element in ("photographs", "measurements", "requirements", "scenarios", "marks_of_conformity"):
        assert entry(text, element).text.startswith("1")
        assert "attached" in entry(text, element).text
    counted = {key.rpartition(".")[2] for key in wording.keys("form_text") if key.startswith("form_text.counted.")}
    assert counted == {*(gap_name(link) for link in cases.COUNTED), "no_picture"}


def test_every_link_that_is_no_field_of_a_record_has_a_label_and_no_label_is_left_over(cases: ModuleType) -> None:
    dotted = {*cases.CLAIMS, *cases.COMPUTED, *(link for link in cases.COUNTED if "." in link)}
    labels = {key.rpartition(".")[2] for key in wording.keys("form_text") if key.startswith("form_text.label.")}
    assert labels == {gap_name(link) for link in dotted}
    fields = {link for key in profile_keys() for element in profile(key).elements for link in element.fields}
    for link in fields - dotted:
        assert wording.sentence(f"changes.field.{link.rpartition('.')[2]}")


@pytest.mark.parametrize(("answers", "expected"), [("YO", "none attached"), ("NYN", "2, attached")])
def test_only_pictures_on_which_nobody_can_be_recognised_are_told_as_attached(answers: str, expected: str) -> None:
    said = {"Y": Recognisable.YES, "N": Recognisable.NO, "O": Recognisable.OPEN}
    pictures = tuple(
        Picture(
            id=f"picture-{number:03d}",
            file=f"picture-{number:03d}.jpg",
            original_name="a.jpg",
            media_type="image/jpeg",
            sha256="0" * 64,
            size=1,
            width=4,
            height=3,
            recognisable=said[answer],
        )
        for number, answer in enumerate(answers, 1)
    )
    told = form_text(Case(id="a", pictures=pictures), profile("us-agency-harm"), None)

    assert next(entry.text for entry in told.entries if entry.element == "photographs") == expected
    assert sum(one.kind is AttachmentKind.PICTURE for one in told.attachments) == answers.count("N")
