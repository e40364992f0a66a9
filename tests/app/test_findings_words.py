"""Every sentence of the Findings page is used, and every group, status and level has its own."""

from pathlib import Path

import hazardreport
from hazardreport import wording
from hazardreport.app.pages.findings_construction import group_key
from hazardreport.risk.records import RiskLevel, ShiftKind
from hazardreport.risk.requirements import BasisStatus, Group

KEYS = set(wording.keys("findings"))


def built_from_names() -> set[str]:
    """Keys that the code puts together."""
    found = {f"findings.group.{group_key(group)}.{part}" for group in Group for part in ("title", "link")}
    found |= {f"findings.basis.{status.name.lower()}" for status in BasisStatus}
    found |= {f"findings.level.{level.value}" for level in RiskLevel}
    found |= {f"findings.shift.{kind.name.lower()}" for kind in ShiftKind}
    found |= {"findings.shift.step_up", "findings.shift.step_down"}
    found |= {
        f"findings.weighs.{card}_{part}" for card in ("priority", "factors", "judged") for part in ("title", "hint")
    }
    return found | {"findings.result.robust", "findings.result.not_robust"}


def test_every_name_has_its_sentence() -> None:
    assert built_from_names() - KEYS == set()


def test_no_sentence_is_left_without_use() -> None:
    root = Path(hazardreport.__file__).parent / "app"
    code = "".join(path.read_text(encoding="utf-8") for path in sorted(root.rglob("*.py")))
    unused = {key for key in KEYS - built_from_names() if f'"{key}"' not in code and f"'{key}'" not in code}

    assert unused == set()
