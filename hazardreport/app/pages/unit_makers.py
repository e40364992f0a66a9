"""Which widget enters which kind of field."""

from collections.abc import Callable, Mapping

from hazardreport.app.pages.unit_places import FieldPlace
from hazardreport.app.views.custody_fields import WordsField
from hazardreport.app.views.fields import AnswerField, ChoiceField, Field, NumberField, TextField, choices
from hazardreport.app.views.quantity_field import QuantityField
from hazardreport.app.views.stated_field import StatedField
from hazardreport.app.views.upkeep_fields import AlterationField, KeptField
from hazardreport.case.personal import person_of

CHOICE_WIDTH = 280


def _stated(place: FieldPlace) -> Field:
    offered = person_of(place.path) is None
    return StatedField(place.label, long=place.kind == "long", hint=place.hint, may_be_private=offered)


MAKERS: Mapping[str, Callable[[FieldPlace], Field]] = {
    "stated": _stated,
    "long": _stated,
    "answer": lambda place: AnswerField(place.label),
    "statement": lambda place: AnswerField(place.label, statement=True),
    "kept": lambda place: KeptField(place.label),
    "alteration": lambda place: AlterationField(place.label),
    "fraction": lambda place: NumberField(place.label, "", hint=place.hint, fraction=True),
    "words": lambda place: WordsField(place.label, hint=place.hint),
    "text": lambda place: TextField(place.label, hint=place.hint),
}


def made_field(place: FieldPlace) -> Field:
    """The widget of a field; a kind that nobody knows is a KeyError (a defect of ours)."""
    kind = place.kind
    if not isinstance(kind, str):
        return ChoiceField(place.label, choices(kind, place.words), width=CHOICE_WIDTH)
    if kind.startswith("["):
        return NumberField(place.label, "" if kind == "[1]" else kind.strip("[]"), hint=place.hint)
    if kind.startswith("<"):
        return QuantityField(place.label, kind.strip("<>"), hint=place.hint)
    return MAKERS[kind](place)
