"""`cuewalk devices` tells of a language and a catalogue as its neighbours do."""

from __future__ import annotations

from pathlib import Path

from tests.assistant.report.run import run


def test_it_tells_of_the_language_that_is_asked_for(tmp_path: Path) -> None:
    profile = tmp_path / "robin.toml"
    profile.write_text('athlete = "Robin"\nvoice = "natural"\n', encoding="utf-8")
    ran = run("devices", "--profile", profile, "--language", "ko")
    assert ran.code == 0, ran.err
    assert "The natural voice does not speak 'ko', so the standard one does." in ran.out


def test_a_profile_goes_with_its_catalogue(tmp_path: Path) -> None:
    folder, profile = tmp_path / "skills", tmp_path / "robin.toml"
    assert run("new", "catalogue", folder).code == 0
    profile.write_text('athlete = "Robin"\n[levels]\nlattice = "advanced"\n', encoding="utf-8")
    catalogue = folder / "catalogue.toml"
    text = catalogue.read_text(encoding="utf-8")
    catalogue.write_text(text + '\n[[skill]]\nid = "lattice"\nname = "lattice"\n', encoding="utf-8")
    assert "lattice" in run("devices", "--profile", profile).err
    assert run("devices", "--profile", profile, "--catalogue", folder).code == 0
