"""The owner's notice: one page in plain words, with a slip to sign; it holds no instruction for any test."""

from hazardreport.case.reading import SwitchPosition
from hazardreport.case.stated import Standing, Stated
from hazardreport.report.context import Context, stated_runs
from hazardreport.report.document import (
    Block,
    Items,
    KeyValue,
    KeyValues,
    Paragraph,
    Part,
    Section,
    SignalPanel,
    SignatureLine,
)
from hazardreport.report.first_page import unit_name
from hazardreport.severity.terms import SignalWord
from hazardreport.wording import lines, sentence

SHOCKS = (SignalWord.DANGER, SignalWord.WARNING, SignalWord.CAUTION)
LONGEST = 80
LONGEST_FIRM = 80
"""So many characters of a typed text, and of a firm with its address, are printed: the notice stays one page."""
ALL_FIRMS = 240
"""Firms that together are no longer than this are printed whole: they fit in two lines each."""


def notice(context: Context, number: int) -> Part:
    """The owner's notice."""
    verdict = context.assessment.verdict
    panel = SignalPanel(
        word=verdict.word,
        subject=unit_name(context),
        meaning=sentence(f"report.signal.{verdict.word.name.lower()}"),
    )
    return Part(
        key="notice",
        number=number,
        title=sentence("report.parts.notice"),
        own_page=True,
        sections=(
            Section(title="", blocks=(panel,)),
            _section("found", *_found(context)),
            _section("now", _steps("report_notice.now.steps")),
            _section("held", _steps("report_notice.held.steps")),
            _section("shock", Paragraph(runs=(sentence("report_notice.shock.text"),))),
            _section("same", Paragraph(runs=(sentence("report_notice.same.text"),))),
            _section("ask", *_ask(context)),
            _section("slip", *_slip(context)),
        ),
    )


def _section(name: str, *blocks: Block) -> Section:
    return Section(title=sentence(f"report_notice.title.{name}"), blocks=blocks)


def _steps(key: str) -> Items:
    return Items(items=tuple((line,) for line in lines(key)), numbered=True)


def _found(context: Context) -> tuple[Block, ...]:
    verdict = context.assessment.verdict
    found = sentence(f"report_notice.found.{verdict.word.name.lower()}")
    off = verdict.headline is not None and verdict.headline.switch is SwitchPosition.OFF
    switch = (sentence("report_notice.found.switch"),) if off and verdict.word in SHOCKS else ()
    return (
        Paragraph(runs=(" ".join((found, *switch)),), role="lead"),
        KeyValues(rows=(_row("report_notice.found.serial", context.case.unit.serial),)),
        Paragraph(runs=(sentence("report_notice.found.keeping"),)),
    )


def _row(key: str, stated: Stated) -> KeyValue:
    text = "".join(run for run in stated_runs(stated) if isinstance(run, str))
    return KeyValue(label=sentence(key), runs=(_short(text, LONGEST),), known=bool(stated.text.strip()))


def _short(text: str, longest: int) -> str:
    flat = " ".join(text.split())
    return flat if len(flat) <= longest else f"{flat[:longest]}\u2026"


def _firm(*stated: Stated) -> str:
    """A firm with where it is reached, as far as somebody wrote it down; "" where nobody can be asked there."""
    told = (one.text for one in stated if one.standing is Standing.VALUE)
    return ", ".join(" ".join(text.split()) for text in told if text.strip())


def _firms(context: Context) -> tuple[KeyValue, ...]:
    unit = context.case.unit
    firms = {
        "report_notice.ask.maker": _firm(unit.maker, unit.maker_contact, unit.maker_address),
        "report_notice.ask.importer": _firm(unit.importer, unit.importer_address),
        "report_notice.ask.seller": _firm(unit.seller, unit.seller_contact, unit.seller_address),
    }
    longest = ALL_FIRMS if sum(map(len, firms.values())) <= ALL_FIRMS else LONGEST_FIRM
    return tuple(KeyValue(label=sentence(key), runs=(_short(text, longest),)) for key, text in firms.items() if text)


def _ask(context: Context) -> tuple[Block, ...]:
    rows = (
        KeyValue(label=sentence("report_notice.ask.first"), runs=(sentence("report_notice.ask.giver"),)),
        *_firms(context),
        KeyValue(
            label=sentence("report_notice.ask.authority"),
            runs=(sentence("report_notice.ask.authority_text"),),
        ),
    )
    return (KeyValues(rows=rows), Paragraph(runs=(sentence("report_notice.basis.text"),), role="small"))


def _slip(context: Context) -> tuple[Block, ...]:
    told = sentence("report_notice.slip.text", unit=unit_name(context), case=context.case.id)
    return (
        Paragraph(runs=(told,)),
        *(Paragraph(runs=(line,)) for line in lines("report_notice.slip.choices")),
        SignatureLine(place=sentence("report_notice.slip.told"), name=sentence("report_notice.slip.owner")),
    )
