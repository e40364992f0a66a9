"""An assessment as plain text for a terminal."""

from collections.abc import Sequence
from dataclasses import replace

from hazardreport.app.cli_risk import risk_lines, risk_rows
from hazardreport.app.cli_text import table, wrapped
from hazardreport.app.problem_lines import problem_lines
from hazardreport.app.shares import share_of_adults
from hazardreport.assess.agreement import entered, with_misfits, without_misfits
from hazardreport.assess.records import Assessment, Basis, DeviceVerdict, Problem, StateCell
from hazardreport.case.case import Case
from hazardreport.evidence.custody_order import Weight, custody_remarks
from hazardreport.figures.naming import state_words
from hazardreport.quantity.formatting import format_chi_square, format_number, format_value
from hazardreport.risk.requirements import Meaning, requirement
from hazardreport.wording import sentence

MANY = 4


def summary(case: Case, assessment: Assessment, folder: str) -> str:
    """Signal word, sentence, the three numbers, every state, the readings, the limits, what is open, the next test."""
    title = case.title or sentence("cli.summary.untitled")
    parts = [
        sentence("cli.summary.heading", title=title, id=case.id, revision=case.revision),
        _verdict(assessment),
        _states(assessment),
        _adults(assessment),
        _devices(assessment),
        _readings(assessment),
        _limits(assessment),
        _construction(assessment),
        _risk(case, assessment),
        _problems(assessment.problems),
        _custody(case),
        _next(assessment),
        sentence("cli.summary.method", folder=folder),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _custody(case: Case) -> str:
    """One line where the record of keeping lacks something that must be mended, with the first of it."""
    lacking = [remark for remark in custody_remarks(case) if remark.weight is Weight.MEND]
    if not lacking:
        return ""
    key = "cli.summary.custody_one" if len(lacking) == 1 else "cli.summary.custody_many"
    return wrapped(sentence(key, count=len(lacking), link=lacking[0].link, what=lacking[0].what), "")


def _number(assessment: Assessment, number_id: str) -> str:
    return format_number(assessment.number(number_id)) if number_id else sentence("cli.summary.nothing")


def _verdict(assessment: Assessment) -> str:
    verdict = assessment.verdict
    figures = [(assessment.number(key).name, _number(assessment, key)) for key in verdict.figures]
    parts = [verdict.word.value, wrapped(verdict.sentence)]
    if verdict.reason:
        parts.append(wrapped(sentence("cli.summary.why", reason=verdict.reason)))
    if figures:
        parts.append(table(figures))
    return "\n\n".join(parts)


def _basis(cell: StateCell) -> str:
    if not cell.plausible:
        return sentence("cli.summary.not_plausible", basis=cell.basis.value)
    return sentence("cli.summary.established", basis=cell.basis.value) if cell.established else cell.basis.value


def _states(assessment: Assessment) -> str:
    if not assessment.states:
        return ""
    columns = ("state", "voltage", "current", "body", "basis")
    rows = [tuple(sentence(f"cli.summary.column_{column}") for column in columns)]
    for cell in assessment.states:
        known = cell.basis is not Basis.NOT_DETERMINED
        if not (known or cell.plausible):
            continue
        numbers = (cell.open_circuit_voltage, cell.available_fault_current, cell.body_current)
        shown = (_number(assessment, number if known else "") for number in numbers)
        rows.append((state_words(cell.state), *shown, _basis(cell)))
    parts = [sentence("cli.summary.states"), table(rows)]
    body = next((cell.body_current for cell in assessment.states if cell.body_current), "")
    if body:
        parts.append(wrapped(sentence("cli.summary.states_body", name=assessment.number(body).name)))
    if any(cell.established for cell in assessment.states):
        parts.append(wrapped(sentence("assess.basis.established")))
    if assessment.would_measure:
        parts.append(wrapped(assessment.would_measure))
    return "\n".join(parts)


def _devices(assessment: Assessment) -> str:
    """What each protective device does in the state of the verdict: a person touches; the same with earth connected."""
    headline = assessment.verdict.headline
    touching = [verdict for verdict in assessment.devices if verdict.state == headline and verdict.for_person]
    if headline is None or not touching:
        return ""
    built = replace(headline, earthed=True)
    earthed = {d.device: d for unit in assessment.as_built if unit.state == built for d in unit.devices}
    rows = [tuple(sentence(f"cli.summary.column_{column}") for column in ("device", "person", "earthed"))]
    for verdict in touching:
        other = earthed.get(verdict.device)
        rows.append((verdict.device, _operation(assessment, verdict), _operation(assessment, other) if other else ""))
    return sentence("cli.summary.devices", state=state_words(headline)) + "\n" + table(rows)


def _operation(assessment: Assessment, verdict: DeviceVerdict) -> str:
    if not verdict.time:
        return verdict.operation.value
    measured = assessment.number(verdict.time).measured
    time = format_value(measured.value, measured.unit)
    return sentence("cli.summary.within", operation=verdict.operation.value, time=time)


def _readings(assessment: Assessment) -> str:
    if not assessment.readings:
        return ""
    lines = [entered(assessment)]
    fit = assessment.fit
    apart = without_misfits(assessment)
    if apart:
        lines += [apart, with_misfits(assessment)]
    elif fit is not None and fit.consistent is not None:
        key = "cli.summary.fit_consistent" if fit.consistent else "cli.summary.fit_inconsistent"
        lines.append(sentence(key, chi_square=format_chi_square(fit.chi_square), dof=fit.degrees_of_freedom))
    lines += _explanations(assessment)
    lines = [line for line in lines if line]
    return sentence("cli.summary.readings") + "\n" + "\n".join(wrapped(line) for line in lines)


def _explanations(assessment: Assessment) -> list[str]:
    """Which explanations of the readings stand, and which they exclude."""
    rivals = assessment.settled.rivals if assessment.settled is not None else ()
    lines = []
    for key, standing in (("explained", True), ("untested", None), ("excluded", False)):
        names = [rival.name for rival in rivals if rival.explains is standing]
        if names:
            lines.append(sentence(f"cli.summary.{key}", names="; ".join(names)))
    return lines


def _adults(assessment: Assessment) -> str:
    """Share of adults above c2, for the contacts that count in the state of the verdict; two digits at most."""
    shares = assessment.settled.population if assessment.settled is not None else ()
    rows = [
        (
            f"{result.skin.value}, {result.path.value}",
            share_of_adults(assessment.number(result.above_c2).measured.value),
        )
        for result in shares
        if result.state == assessment.verdict.headline
    ]
    return sentence("cli.summary.adults") + "\n" + table(rows) if rows else ""


def _limits(assessment: Assessment) -> str:
    if not assessment.limits:
        return ""
    lines = (
        sentence(
            "cli.summary.limit" if limit.state is None else "cli.summary.limit_in_state",
            state="" if limit.state is None else state_words(limit.state),
            name=limit.name,
            number=_number(assessment, limit.number),
            limit=_number(assessment, limit.limit),
            decision=limit.decision.value,
        )
        for limit in assessment.limits
    )
    return sentence("cli.summary.limits") + "\n" + "\n".join(wrapped(line) for line in lines)


def _construction(assessment: Assessment) -> str:
    """The class that the evidence fits, how many requirements are answered, and what speaks against safety."""
    asked, reasoning = assessment.requirements, assessment.protection_class
    answered = sum(state.answer is not None for state in asked)
    if not (answered or reasoning.reasons):
        return ""
    lines = [sentence("cli.summary.answered", answered=answered, total=len(asked)), reasoning.sentence]
    lines += [contradiction.text for contradiction in reasoning.contradictions]
    lines += [reasoning.caution] if reasoning.caution else []
    against = [state for state in asked if state.speaks == Meaning.AGAINST.value and state.applies]
    for by, measured in (("reading", True), ("eye", False)):
        for meaning, so in ((Meaning.AGAINST, "so"), (Meaning.FOR, "not_so")):
            names = [
                state.name
                for state in against
                if state.measured is measured
                and (known := requirement(state.key)) is not None
                and known.meaning is meaning
            ]
            if names:
                lines.append(sentence(f"cli.summary.by_{by}_{so}", names="; ".join(names)))
    return sentence("cli.summary.construction") + "\n" + "\n".join(wrapped(line) for line in lines)


def _risk(case: Case, assessment: Assessment) -> str:
    """Level of each scenario and of the product, and the US view; nothing where nobody judged anything."""
    rows, lines = risk_rows(case, assessment), risk_lines(assessment)
    parts = [table(rows) if rows else "", *(wrapped(line) for line in lines)]
    told = "\n".join(part for part in parts if part)
    return sentence("risk.summary.heading") + "\n" + told if told else ""


def _problems(problems: Sequence[Problem]) -> str:
    """Each problem once, with the records that have it; those that are only good to know come last."""
    if not problems:
        return ""
    lines = [
        f"{_listed(line.ids)}: {line.text}" if line.ids and not line.counted else line.text
        for line in problem_lines(problems)
    ]
    return sentence("cli.summary.problems") + "\n" + "\n".join(wrapped(line) for line in lines)


def _listed(ids: Sequence[str]) -> str:
    if len(ids) <= MANY:
        return ", ".join(ids)
    return sentence("cli.summary.and_more", some=", ".join(ids[:MANY]), count=len(ids) - MANY)


def _next(assessment: Assessment) -> str:
    """The next test with its cautions before its instruction; both come from behind the competence gate."""
    test = assessment.next_test
    if test is None:
        because = assessment.no_further_test
        return wrapped(sentence(f"tests.no_further.{because}"), "") if because else ""
    cautions = (wrapped(sentence(f"cautions.{key}.text"), "  ! ") for key in test.cautions)
    return "\n".join((sentence("cli.summary.next"), wrapped(test.name), *cautions, wrapped(test.instruction)))
