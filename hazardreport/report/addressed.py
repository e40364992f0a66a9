"""The case as its addressee may see it: without names and contact where the consent for them was not given."""

from collections.abc import Mapping
from dataclasses import replace

from hazardreport.addressees.completeness import State, field_state
from hazardreport.addressees.profiles import Profile
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Submitter
from hazardreport.case.stated import Standing, Stated, not_applicable
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


def renamed(remark: Remark, names: Mapping[str, str]) -> Remark:
    """A remark on the custody with stand-ins for the names in it."""
    return replace(remark, fields=tuple((key, names.get(text, text)) for key, text in remark.fields))


def addressed(case: Case, profile: Profile) -> Case:
    """The case as this addressee may see it: without names and contact where the consent for them was not given."""
    if names_allowed(case, profile):
        return case
    names = stand_ins(case)
    factors = case.harm_factors
    return replace(
        case,
        submitter=_submitter(case.submitter),
        occurrence=replace(case.occurrence, injured_person=_withheld(case.occurrence.injured_person)),
        harm_factors=replace(factors, assessor=_withheld(factors.assessor)),
        confirmations=tuple(
            replace(one, name=withheld_name(one.name), second_reader=withheld_name(one.second_reader))
            for one in case.confirmations
        ),
        letters=tuple(replace(letter, person=withheld_name(letter.person)) for letter in case.letters),
        competence=None
        if case.competence is None
        else replace(
            case.competence, name=sentence("report.words.withheld_name"), permitted=sentence("report.words.withheld")
        ),
        cautions=tuple(replace(caution, by=sentence("report.words.withheld_name")) for caution in case.cautions),
        transfers=tuple(
            replace(
                transfer,
                giver=names.get(transfer.giver, ""),
                taker=names.get(transfer.taker, ""),
                place=sentence("report.words.withheld_place") if transfer.place.strip() else "",
            )
            for transfer in case.transfers
        ),
        steps=tuple(
            replace(step, by=names.get(step.by, ""), informed=withheld_name(step.informed)) for step in case.steps
        ),
    )


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
