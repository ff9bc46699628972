"""What `cuewalk check` remarks on a profile."""

from __future__ import annotations

from pathlib import Path

from assistant.checking import check_everything

PROFILE = 'athlete = "Robin"\n[levels]\nbalance = "advanced"\n'


def test_skills_that_a_profile_does_not_name_are_told(tmp_path: Path) -> None:
    """They are trained all the same, which surprises."""
    file = tmp_path / "robin.toml"
    file.write_text(PROFILE, encoding="utf-8")
    found = check_everything(None, file, "pocketsphinx", None)
    told = [remark for remark in found.remarks if remark.startswith(f"{file}: no level for ")]
    assert len(told) == 1
    assert "hangs" in told[0]
    assert "balance" not in told[0]
    assert "trained as a beginner" in told[0]
    assert found.summary.endswith(" 0 to mend, 1 remark.")
