"""Where and by whom the unit was used, what happened, who reports it, where the unit is kept."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from hazardreport.case.stated import Stated


class Answer(StrEnum):
    """Answer to a plain question."""

    OPEN = "open"
    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class ResidualCurrentDevice(StrEnum):
    """Protection at the socket where the unit was used."""

    OPEN = "open"
    NONE = "none"
    MA_30 = "residual-current device 30 mA"
    GFCI_A = "GFCI class A"
    OTHER = "other"
    UNKNOWN = "unknown"


class Grip(StrEnum):
    """How the touchable part is touched in use."""

    OPEN = "open"
    GRIP = "grip"
    PALM = "palm"
    FINGERTIP = "fingertip"


@dataclass(frozen=True, kw_only=True, slots=True)
class Household:
    """Circumstances of use; they decide which exposures are plausible.

    use                     how it was used, for what, how often
    near_water              sink, bath, wet floor, or water in the unit itself
    care_needs              used by, or near, somebody who needs care or cannot pull away alone
    earthed_metal_in_reach  tap, sink, radiator, another earthed appliance
    conductive_floor        stone, concrete, damp floor, or thin or no footwear
    wet_hands, children, both_hands
    residual_current_device at the socket
    floor_resistance        floor and footwear in series with the body, None if not measured [ohm]
    socket_earth            was the socket's earth contact found good
    reasons                 how each answer is known, one line each, "field: reason"
    """

    place: Stated = Stated()
    users: Stated = Stated()
    earthed_metal_in_reach: Answer = Answer.OPEN
    conductive_floor: Answer = Answer.OPEN
    wet_hands: Answer = Answer.OPEN
    both_hands: Answer = Answer.OPEN
    children: Answer = Answer.OPEN
    grip: Grip = Grip.OPEN
    residual_current_device: ResidualCurrentDevice = ResidualCurrentDevice.OPEN
    socket_earth: Answer = Answer.OPEN
    reasons: Stated = Stated()
    floor_resistance: float | None = None
    use: Stated = Stated()
    near_water: Answer = Answer.OPEN
    care_needs: Answer = Answer.OPEN


class Occasion(StrEnum):
    """Whether something happened to somebody, or the danger was only found."""

    OPEN = "open"
    INCIDENT = "incident"
    DISCOVERY = "discovery"


@dataclass(frozen=True, kw_only=True, slots=True)
class Occurrence:
    """What happened: an incident, or only a discovery.

    occasion        incident or discovery
    narrative       short account of the harm, or of the risk of it
    date            day, or approximate day; of the discovery where there was no incident
    injured_person  age and what else matters of the person hurt; no name
    injury          nature of an injury; not applicable if nobody was hurt
    treatment       medical treatment
    damage          harm to other things
    contacts    contacts already had with seller or maker
    maintained  installed and maintained properly: seen, told or unknown
    """

    narrative: Stated = Stated()
    date: Stated = Stated()
    injury: Stated = Stated()
    treatment: Stated = Stated()
    contacts: Stated = Stated()
    maintained: Stated = Stated()
    occasion: Occasion = Occasion.OPEN
    injured_person: Stated = Stated()
    damage: Stated = Stated()


class SubmitterCategory(StrEnum):
    """Who submits; the categories of 16 CFR 1102.10(a)."""

    OPEN = "open"
    CONSUMER = "consumer"
    GOVERNMENT = "government agency"
    HEALTH_CARE = "health care professional"
    CHILD_SERVICE = "child service provider"
    PUBLIC_SAFETY = "public safety entity"


@dataclass(frozen=True, kw_only=True, slots=True)
class Submitter:
    """Who reports; personal data.

    minor     the submitter, or the person hurt in whose name is reported, is under 18
    guardian  parent or guardian of a minor, with address
    """

    first_name: Stated = Stated()
    last_name: Stated = Stated()
    address: Stated = Stated()
    country: Stated = Stated()
    email: Stated = Stated()
    phone: Stated = Stated()
    category: SubmitterCategory = SubmitterCategory.OPEN
    minor: Answer = Answer.OPEN
    guardian: Stated = Stated()


@dataclass(frozen=True, kw_only=True, slots=True)
class Consents:
    """Independent statements of the submitter.

    verified               reviewed; true and accurate to the best of knowledge, information and belief
    verified_on            day of that statement, ISO
    publish                the report may be published
    contact_to_firm        name and contact may go to the maker
    guardian_agrees        parent or guardian agrees to the report, where a minor is concerned
    early_publication      why it is published before authority and maker have it
    """

    verified: Answer = Answer.OPEN
    verified_on: str = ""
    publish: Answer = Answer.OPEN
    contact_to_firm: Answer = Answer.OPEN
    guardian_agrees: Answer = Answer.OPEN
    early_publication: Stated = Stated()


@dataclass(frozen=True, kw_only=True, slots=True)
class Custody:
    """Where the unit is kept, until when, and how many were examined."""

    kept_at: Stated = Stated()
    kept_until: Stated = Stated()
    units_examined: Stated = Stated()
    units_faulty: Stated = Stated()


@dataclass(frozen=True, kw_only=True, slots=True)
class Competence:
    """Who measures and why that person may: opens the live tests for this case.

    name, qualification  of the person who measures
    permitted            where and why the person may do live work there
    stated               when it was stated, ISO 8601
    """

    name: str
    qualification: str
    permitted: str
    stated: str

    @property
    def dated(self) -> bool:
        """Whether `stated` is a date, or a date with a time of day, of ISO 8601."""
        try:
            datetime.fromisoformat(self.stated.strip())
        except ValueError:
            return False
        return True


@dataclass(frozen=True, kw_only=True, slots=True)
class CautionShown:
    """A caution that stood before a test, and whether it was kept.

    caution  key of the caution in the wording
    test     key of the test it stood before
    """

    caution: str
    test: str
    by: str
    when: str
    kept: Answer = Answer.OPEN


class FindingAnswer(StrEnum):
    """Answer to a finding."""

    SEEN = "seen"
    NOT_SEEN = "not seen"
    COULD_NOT_CHECK = "could not check"


class FindingClaim(StrEnum):
    """Which of three claims a finding supports; each is proved apart."""

    DANGEROUS = "dangerous as found"
    STARTED_IT = "what started it"
    PROTECTION = "protection that was missing or failed"


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    """What was seen, tied to pictures and readings.

    requirement  the construction requirement it concerns, as text with clause; "" if none
    cause        design, production, repair, misuse, wear or unknown; "" if not said
    """

    id: str
    text: str
    claim: FindingClaim = FindingClaim.DANGEROUS
    answer: FindingAnswer = FindingAnswer.SEEN
    requirement: str = ""
    cause: str = ""
    pictures: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
