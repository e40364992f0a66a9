"""The case as its addressee may see it: without names and contact where the consent for them was not given."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from hazardreport.addressees.asked import Profile
from hazardreport.addressees.links import State, field_state
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Submitter
from hazardreport.case.identifying_words import FIRMS, names_nobody, submitter_words
from hazardreport.case.stated import Standing, Stated, not_applicable, value
from hazardreport.case.without_words import without_words
from hazardreport.evidence.custody_order import Remark, same_name
from hazardreport.wording import sentence


def names_allowed(case: Case, profile: Profile) -> bool:
    """Whether this addressee may see names and contact."""
    consent = profile.contact_consent
    return not consent or field_state(case, consent).state is State.PRESENT


def withheld_name(name: str) -> str:
    """That a name is withheld; "" where there is none."""
    return sentence("report.words.withheld_name") if name.strip() else name


def stand_ins(case: Case) -> dict[str, str]:
    """For each name of the custody a stand-in, the same for the same person, so that the chain can be followed."""
    named = [name for transfer in case.transfers for name in (transfer.giver, transfer.taker)]
    named += [step.by for step in case.steps]
    found: dict[str, str] = {}
    for name in named:
        if name.strip() and name not in found:
            same = next((stand_in for other, stand_in in found.items() if same_name(name, other)), "")
            number = len(set(found.values())) + 1
            found[name] = same or sentence("report.words.withheld_person", number=number)
    return found


def renamed(remark: Remark, names: Mapping[str, str], hide: Callable[[str], str]) -> Remark:
    """A remark on the custody with stand-ins for the names in it, and its other texts as the addressee may see them."""
    return replace(remark, fields=tuple((key, names.get(text) or hide(text)) for key, text in remark.fields))


def hiding(case: Case, profile: Profile) -> Callable[[str], str]:
    """What makes of a text written about the case one that this addressee may see."""
    if names_allowed(case, profile):
        return str
    words, by = submitter_words(case), sentence("publication.withheld")
    return lambda text: words.replaced(text, by)[0]


def addressed(case: Case, profile: Profile) -> Case:
    """The case as this addressee may see it: without names and contact where the consent for them was not given.

    The fields for them say that they are withheld; in all other texts the words that tell who submits, who was hurt,
    who measured and where the unit is kept are replaced.
    """
    if names_allowed(case, profile):
        return case
    everywhere, at_firms = submitter_words(case), submitter_words(case, towns=False)
    searched = without_words(
        replace(case, private_words=()),
        lambda place: at_firms if place in FIRMS else everywhere,
        sentence("publication.withheld"),
        _withheld,
    )
    return _without_fields(searched, case)


def _without_fields(searched: Case, case: Case) -> Case:
    """The searched case with each field for a name, an address or a place withheld, or its stand-in."""
    names = stand_ins(case)
    name, place = sentence("report.words.withheld_name"), sentence("report.words.withheld_place")
    competence = searched.competence
    return replace(
        searched,
        submitter=_submitter(searched.submitter),
        occurrence=replace(searched.occurrence, injured_person=_hurt(searched, case)),
        harm_factors=replace(searched.harm_factors, assessor=_withheld(searched.harm_factors.assessor)),
        custody=replace(searched.custody, kept_at=_kept(searched.custody.kept_at)),
        confirmations=tuple(
            replace(one, name=withheld_name(one.name), second_reader=withheld_name(one.second_reader))
            for one in searched.confirmations
        ),
        letters=tuple(replace(letter, person=withheld_name(letter.person)) for letter in searched.letters),
        competence=None
        if competence is None
        else replace(competence, name=name, permitted=sentence("report.words.withheld")),
        cautions=tuple(replace(caution, by=name) for caution in searched.cautions),
        items=tuple(replace(item, place=place if item.place.strip() else "") for item in searched.items),
        transfers=tuple(
            replace(
                transfer,
                giver=names.get(whole.giver, ""),
                taker=names.get(whole.taker, ""),
                place=place if whole.place.strip() else "",
            )
            for transfer, whole in zip(searched.transfers, case.transfers, strict=True)
        ),
        steps=tuple(
            replace(step, by=names.get(whole.by, ""), informed=withheld_name(whole.informed))
            for step, whole in zip(searched.steps, case.steps, strict=True)
        ),
        readings=tuple(replace(reading, by=withheld_name(reading.by)) for reading in searched.readings),
        anchors=tuple(replace(anchor, whom=withheld_name(anchor.whom)) for anchor in searched.anchors),
    )


def _hurt(searched: Case, case: Case) -> Stated:
    """What is said of the person hurt: age and the like are no contact; a text that may name somebody is withheld."""
    shown, whole = searched.occurrence.injured_person, case.occurrence.injured_person
    return shown if shown.text == whole.text and names_nobody(whole.text) else _withheld(shown)


def _kept(kept_at: Stated) -> Stated:
    """Where the unit is kept: told on request, since that is often where the submitter lives."""
    if kept_at.standing is not Standing.VALUE or not kept_at.answered:
        return _withheld(kept_at)
    return replace(value(sentence("report.words.kept_withheld")), picture=kept_at.picture, point=kept_at.point)


def _submitter(submitter: Submitter) -> Submitter:
    withheld = not_applicable(sentence("report.words.withheld"))
    return replace(
        submitter,
        first_name=withheld,
        last_name=withheld,
        address=withheld,
        email=withheld,
        phone=withheld,
        guardian=withheld,
    )


def _withheld(stated: Stated) -> Stated:
    """A field about a person, withheld if it names one; an open one, or a reason for its absence, stays."""
    if stated.standing is not Standing.VALUE:
        return stated
    return not_applicable(sentence("report.words.withheld"))
