"""Whom a report may go to, proposed from four answers: each addressee with its reason, in the order of telling."""

from collections.abc import Iterable
from dataclasses import dataclass, fields

from hazardreport import wording
from hazardreport.addressees.asked import Clause, Kind, Profile, ProposalRule
from hazardreport.addressees.conditions import Holds, any_holds, open_links
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.situation import Situation, Territory

NO_MARKETPLACE = (Territory.UNITED_STATES, Territory.CANADA, Territory.AUSTRALIA)
"""Territories with no profile for marketplaces or sellers; Great Britain has a remark of its own."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Duty:
    """What the law makes of the answers for one addressee."""

    text: str
    clauses: tuple[Clause, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposal:
    """One addressee that is proposed.

    profile, title, kind   of the addressee
    reason, clauses        why, in words; where that stands
    duties                 what the answers mean for this addressee
    """

    profile: str
    title: str
    kind: Kind
    reason: str
    clauses: tuple[Clause, ...]
    duties: tuple[Duty, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenQuestion:
    """A question that nobody has answered yet: link, the question, keys of the addressees that depend on it."""

    field: str
    question: str
    profiles: tuple[str, ...]


def _asked(situation: Situation) -> Case:
    return Case(id="", situation=situation)


def _in_order() -> tuple[Profile, ...]:
    return tuple(sorted((profile(key) for key in profile_keys()), key=lambda one: (one.rank, one.key)))


def _holding(case: Case, rules: Iterable[ProposalRule]) -> tuple[ProposalRule, ...]:
    return tuple(rule for rule in rules if any_holds(case, rule.when).holds is Holds.YES)


def proposals(situation: Situation) -> tuple[Proposal, ...]:
    """Addressees that the answers propose, in the order in which they are told; never empty: the owner is always told.

    Parameters
    ----------
    situation : Situation
        The four answers; an open or unknown one proposes nobody by itself.

    Returns
    -------
    tuple of Proposal
        By rank of the addressee: owner, authorities, maker, marketplace, seller.
    """
    case = _asked(situation)
    found = []
    for one in _in_order():
        reasons = _holding(case, (rule for rule in one.proposals if not rule.duty))
        if not reasons:
            continue
        found.append(
            Proposal(
                profile=one.key,
                title=one.title,
                kind=one.kind,
                reason=" ".join(rule.text for rule in reasons),
                clauses=tuple(dict.fromkeys(clause for rule in reasons for clause in rule.clauses)),
                duties=tuple(
                    Duty(text=rule.text, clauses=rule.clauses)
                    for rule in _holding(case, (rule for rule in one.proposals if rule.duty))
                ),
            )
        )
    return tuple(found)


def open_questions(situation: Situation) -> tuple[OpenQuestion, ...]:
    """Questions of the four that nobody has answered, with the addressees that an answer may add."""
    case = _asked(situation)
    waiting = {one.key: {link for rule in one.proposals for link in open_links(case, rule.when)} for one in _in_order()}
    return tuple(
        OpenQuestion(
            field=f"situation.{field.name}",
            question=wording.sentence(f"proposal.questions.{field.name}"),
            profiles=tuple(key for key, links in waiting.items() if f"situation.{field.name}" in links),
        )
        for field in fields(situation)
        if getattr(situation, field.name).value == "open"
    )


def remarks(situation: Situation) -> tuple[str, ...]:
    """Sentences on the proposals: why this order, and what no profile covers."""
    told = [wording.sentence("proposal.remarks.order")]
    territories = (situation.residence, situation.bought_in)
    if Territory.ELSEWHERE in territories:
        told.append(wording.sentence("proposal.remarks.elsewhere"))
    if Territory.EU in territories:
        told.append(wording.sentence("proposal.remarks.european_area"))
    if Territory.NORTHERN_IRELAND in territories:
        told.append(wording.sentence("proposal.remarks.northern_ireland"))
    if Territory.GREAT_BRITAIN in territories:
        told.append(wording.sentence("proposal.remarks.great_britain"))
    if situation.online is Answer.YES and situation.bought_in in NO_MARKETPLACE:
        told.append(wording.sentence("proposal.remarks.online_elsewhere"))
    if len(proposals(situation)) == 1 and not open_questions(situation):
        told.append(wording.sentence("proposal.remarks.nobody_else"))
    return tuple(told)
